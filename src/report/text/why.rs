//! How a verdict came about.

#![expect(clippy::arithmetic_side_effects, reason = "columns of a line")]

use super::{code_field, lean_field, outcome, sentence};
use crate::law::verdict::{Outcome, Why};
use crate::report::excerpt::excerpts;
use crate::report::figures::is_pick;
use crate::report::page::{Ink, Look, Page, columns, wrap};
use crate::report::problems::at;
use crate::report::{Finding, printable};
use crate::text::{FileId, Sources};

/// One finding with its derivation and what would change it; every step of it with `all`.
pub fn finding(finding: &Finding, plan: FileId, sources: &Sources, look: Look, all: bool) -> String {
    let mut page = Page::new(look);
    let word = outcome(finding.verdict);
    let ink = match finding.verdict {
        Outcome::Attention => Ink::Alarm,
        Outcome::Unknown => Ink::Doubt,
        Outcome::Pass | Outcome::NotApplicable => Ink::Strong,
    };
    let about: Vec<&str> = finding.about.iter().map(|a| a.called.as_str()).collect();
    let left = format!("{word}   {} at {}", finding.rule, about.join(" and "));
    page.heading(ink, &left, &format!("stage {}, {}", finding.stage.name(), finding.level.name()));
    page.gap();
    page.text(&sentence(&finding.message));
    page.gap();
    let spans: Vec<_> = std::iter::once(finding.place).chain(finding.also.iter().copied()).collect();
    for excerpt in excerpts(sources, &spans) {
        page.quote(&format!("line {}", excerpt.line), &excerpt.text);
    }
    page.gap();
    code_field(&mut page, finding);
    page.field("why", &sentence(&finding.hazard));
    if let Some(why) = &finding.why {
        page.heading(Ink::Strong, "How it came about", "");
        let deepest = if all { usize::MAX } else { USUAL_DEPTH };
        let mut tree = Tree { plan, sources, width: look.width, deepest, is_brief: false, out: String::new() };
        tree.step(why, 0);
        tree.out.lines().for_each(|line| page.as_it_stands(line));
    }
    if !finding.missing.is_empty() {
        page.heading(Ink::Strong, "Missing", "");
        for missing in &finding.missing {
            page.field(&format!("line {}", sources.place(missing.place).line), &missing.ask);
        }
    }
    if !finding.changes.is_empty() {
        page.heading(Ink::Strong, "What would change it", "");
        for (change, result) in &finding.changes {
            page.field(outcome(*result), change);
        }
    }
    page.gap();
    if !finding.editions.is_empty() {
        page.field("editions", &finding.editions.join("\n"));
    }
    if let Some(remedy) = &finding.remedy {
        page.field("do", &sentence(remedy));
    }
    if let Some(caution) = &finding.caution {
        page.field("careful", &sentence(caution));
    }
    lean_field(&mut page, finding);
    page.finish()
}

/// Steps below this depth are left out unless all are wanted: they are how a figure was reckoned.
const USUAL_DEPTH: usize = 5;
/// Steps of a figure that are shown in brief.
const MOST_STEPS: usize = 6;
/// Deeper steps than this are not indented further.
const MOST_INDENTED: usize = 12;

/// A derivation as it is laid out: a step a line, what it came to and its line at the right.
pub(super) struct Tree<'a> {
    pub(super) plan: FileId,
    pub(super) sources: &'a Sources,
    pub(super) width: usize,
    pub(super) deepest: usize,
    /// Leaves out marks of what is left out, and places in rule files.
    pub(super) is_brief: bool,
    pub(super) out: String,
}

impl Tree<'_> {
    /// The steps of a figure. In brief, what only says that the least, the largest or the sum of some
    /// counts gives way to those.
    pub(super) fn steps(&mut self, why: &Why) {
        let most = if self.is_brief { MOST_STEPS } else { usize::MAX };
        for step in why.from.iter().take(most) {
            match self.is_brief && is_pick(step) {
                true => self.steps(step),
                false => self.step(step, 1),
            }
        }
    }

    pub(super) fn step(&mut self, why: &Why, depth: usize) {
        let indent = 2 + 2 * depth.min(MOST_INDENTED);
        let mut right = printable(&why.value).into_owned();
        let mut text = match &why.source {
            Some(source) => format!("{} ({source})", why.text),
            None => why.text.clone(),
        };
        if columns(&right) > self.width / 3 {
            text = format!("{text}: {}", std::mem::take(&mut right));
        }
        let shown = |place: &&crate::text::Span| !self.is_brief || place.file == self.plan;
        if let Some(place) = why.places.first().filter(shown) {
            let place = match place.file == self.plan {
                true => format!("line {}", self.sources.place(*place).line),
                false => at(self.sources, *place),
            };
            right = if right.is_empty() { place } else { format!("{right}   {place}") };
        }
        self.line(indent, &text, &right);
        if depth >= self.deepest && !why.from.is_empty() {
            if !self.is_brief {
                self.line(indent + 2, "…", "");
            }
            return;
        }
        for step in &why.from {
            self.step(step, depth.saturating_add(1));
        }
    }

    fn line(&mut self, indent: usize, text: &str, right: &str) {
        let room = self.width.saturating_sub(indent + columns(right) + 3).max(20);
        let lines = wrap(text, room);
        for (i, line) in lines.iter().enumerate() {
            let is_last = i + 1 == lines.len();
            let pad = match is_last && !right.is_empty() {
                true => self.width.saturating_sub(indent + columns(line) + columns(right)).max(3),
                false => 0,
            };
            let right = if is_last { right } else { "" };
            self.out.push_str(&format!("{}{line}{}{right}\n", " ".repeat(indent), " ".repeat(pad)));
        }
    }
}

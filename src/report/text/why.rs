//! How a verdict came about.

use super::{code_field, lean_field, outcome, sentence};
use crate::law::verdict::{Outcome, Why};
use crate::report::excerpt::excerpts;
use crate::report::page::{Ink, Look, Page, columns, wrap};
use crate::report::{Finding, printable};
use crate::text::{FileId, Sources};

/// One finding with its derivation, and what would change it.
pub fn finding(finding: &Finding, plan: FileId, sources: &Sources, look: Look) -> String {
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
        let mut text = String::new();
        write_tree(why, 0, plan, sources, look.width, &mut text);
        text.lines().for_each(|line| page.as_it_stands(line));
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

/// A derivation alone: a step a line, what it came to and its line at the right.
pub fn tree(why: &Why, plan: FileId, sources: &Sources, look: Look) -> String {
    let mut out = String::new();
    write_tree(why, 0, plan, sources, look.width, &mut out);
    out
}

/// Deeper steps than this are not indented further.
const DEEPEST: usize = 12;

fn write_tree(why: &Why, depth: usize, plan: FileId, sources: &Sources, width: usize, out: &mut String) {
    let indent = 2 + 2 * depth.min(DEEPEST);
    let mut right = printable(&why.value).into_owned();
    if let Some(place) = why.places.first() {
        let place_text = if place.file == plan {
            format!("line {}", sources.place(*place).line)
        } else {
            super::super::problems::at(sources, *place)
        };
        right = if right.is_empty() { place_text } else { format!("{right}   {place_text}") };
    }
    let text = match &why.source {
        Some(source) => format!("{} ({source})", why.text),
        None => why.text.clone(),
    };
    let room = width.saturating_sub(indent + columns(&right) + 3).max(20);
    let lines = wrap(&text, room);
    for (i, line) in lines.iter().enumerate() {
        out.push_str(&" ".repeat(indent));
        out.push_str(line);
        if i + 1 == lines.len() && !right.is_empty() {
            let pad = width.saturating_sub(indent + columns(line) + columns(&right)).max(3);
            out.push_str(&" ".repeat(pad));
            out.push_str(&right);
        }
        out.push('\n');
    }
    for step in &why.from {
        write_tree(step, depth.saturating_add(1), plan, sources, width, out);
    }
}

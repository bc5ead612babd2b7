//! What every sheet has: its head and foot, links to lines and questions, room to write.

use super::{Packet, Sheet};
use crate::law::code::Stage;
use crate::report::problems::at;
use crate::report::text::{limits, local, moment};
use crate::report::{Finding, Question};
use crate::text::Span;
use crate::words::Kind;
use maud::{Markup, html};

/// Characters of the job's name at the head of each page: two lines.
const LONGEST_HEAD: usize = 120;
/// Items of a check that are named one by one.
const MOST_PLACES: usize = 4;

impl Packet<'_> {
    /// What the job is called; the plan's file where nobody said.
    pub(super) fn job(&self) -> &str {
        self.report.title.as_deref().unwrap_or(&self.report.plan)
    }

    /// What the plan was held against.
    pub(super) fn edition(&self) -> String {
        match (self.report.edition, self.report.editions.first(), self.report.editions.last()) {
            (Some(year), _, _) => format!("NEC {year}"),
            (None, Some(first), Some(last)) => format!("every edition from NEC {first} to NEC {last}"),
            _ => "the rules given".to_string(),
        }
    }

    /// A sheet with its heading, in a frame whose head and foot come again on every page.
    pub(super) fn sheet(&self, sheet: Sheet, body: Markup) -> Markup {
        self.framed(&sheet.number(), sheet.title(), false, body)
    }

    /// The same under a number of its own, for a sheet of several parts; `is_across` where the page lies on its side.
    pub(super) fn framed(&self, number: &str, title: &str, is_across: bool, body: Markup) -> Markup {
        html! {
            section.sheet.across[is_across] id=(number) aria-labelledby={ (number) "-title" } {
                table.frame role="presentation" {
                    thead { tr { td {
                        div.top {
                            span.job { (shortened(self.job())) ": electrical plan" }
                            span.sheet-number { "Sheet " b { (number) } }
                        }
                    } } }
                    tfoot { tr { td { div.foot { "Held against " (self.edition()) ". " (local(self.report)) " " (limits(&self.report.authority)) } } } }
                    tbody { tr { td {
                        h2 id={ (number) "-title" } { (title) }
                        div.scroll { (body) }
                    } } }
                }
            }
        }
    }

    /// `line 25`, as a link where the plan is printed too; a line of another file with that file's name.
    pub(super) fn line(&self, place: Span) -> Markup {
        match place.file == self.checked.file {
            true => html! { (self.linked_line(place, "line ")) },
            false => html! { (at(&self.checked.sources, place)) },
        }
    }

    /// The number of a line of the plan alone, as a link.
    pub(super) fn line_number(&self, place: Span) -> Markup {
        self.linked_line(place, "")
    }

    fn linked_line(&self, place: Span, before: &str) -> Markup {
        let line = self.checked.sources.place(place).line;
        html! {
            @if self.prints(Sheet::Plan) { a href={ "#L" (line) } { (before) (line) } }
            @else { (before) (line) }
        }
    }

    /// Lines of several places, each once.
    pub(super) fn lines(&self, places: &[Span]) -> Markup {
        let mut lines: Vec<(u32, Span)> = places.iter().map(|p| (self.checked.sources.place(*p).line, *p)).collect();
        lines.sort();
        lines.dedup_by_key(|(line, _)| *line);
        let word = if lines.len() == 1 { "line " } else { "lines " };
        html! {
            (word)
            @for (i, (_, place)) in lines.iter().enumerate() { @if i > 0 { ", " } (self.line_number(*place)) }
        }
    }

    /// What findings are about: `box B1 (44), B2 (45)`; where they are many, how many of each kind and all lines.
    pub(super) fn places(&self, findings: &[&Finding]) -> Markup {
        let about: Vec<_> = findings.iter().flat_map(|f| f.about.first().map(|a| (a, f.place))).collect();
        if about.len() > MOST_PLACES {
            let mut kinds: Vec<(Kind, usize)> = Vec::new();
            for (item, _) in &about {
                match kinds.iter_mut().find(|(kind, _)| *kind == item.kind) {
                    Some((_, count)) => *count = count.saturating_add(1),
                    None => kinds.push((item.kind, 1)),
                }
            }
            let places: Vec<Span> = about.iter().map(|(_, place)| *place).collect();
            return html! {
                @for (i, (kind, count)) in kinds.iter().enumerate() {
                    @if i > 0 { ", " }
                    (count) " " (if *count == 1 { kind.name() } else { kind.plural() })
                }
                ", " (self.lines(&places))
            };
        }
        let names = crate::report::text::short_names(about.iter().map(|(a, _)| *a));
        html! {
            @for (i, (name, (_, place))) in names.iter().zip(&about).enumerate() {
                @if i > 0 { ", " }
                (name) " (" (self.line_number(*place)) ")"
            }
        }
    }

    /// The letter of a question in a round mark, as a link where the questions are printed too.
    pub(super) fn question(&self, question: &Question) -> Markup {
        let mark = html! { span.mark.round { (question.letter) } };
        html! { @if self.prints(Sheet::Questions) { a href={ "#Q-" (question.letter) } { (mark) } } @else { (mark) } }
    }

    /// The mark of a finding: `A3`, square; as a link to what is said of it.
    pub(super) fn mark(&self, name: &str) -> Markup {
        let mark = html! { span.mark.heavy { (name) } };
        html! { @if self.prints(Sheet::Checks) { a href={ "#" (name) } { (mark) } } @else { (mark) } }
    }
}

/// A name for the head of every page: the cover has all of it.
fn shortened(name: &str) -> String {
    match name.chars().count() > LONGEST_HEAD {
        true => name.chars().take(LONGEST_HEAD).chain(['…']).collect(),
        false => name.to_string(),
    }
}

/// A stage and when it is looked at: `Rough-in, before walls are closed`.
pub(super) fn stage_title(stage: Stage) -> String {
    format!("{}, {}", super::cover::capital(stage.name()), moment(stage))
}

/// A box to tick.
pub(super) fn tick() -> Markup {
    html! { span.tick {} }
}

/// A label above a rule to write on, or above what is known; as wide as so many of four columns.
pub(super) fn fill(label: &str, value: Option<Markup>, columns: u8) -> Markup {
    html! {
        div class={ "fill over" (columns) } {
            span.label { (label) }
            span.value { @if let Some(value) = value { (value) } }
        }
    }
}

//! The plan itself, every line with its number: what all other sheets point at.

use super::{Packet, Sheet};
use crate::text::Span;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// As wide as the terminal shows a tab.
const TAB: &str = "    ";

impl Packet<'_> {
    /// The plan as it was read, a row a line; beside each the findings and questions about it.
    pub(super) fn plan(&self) -> Markup {
        let marks = self.marks();
        let unread = self.unread_lines();
        let source = self.checked.sources.get(self.checked.file);
        // A file that ends without a line end, or is empty, still has the line that findings point at.
        let count = source.map_or(1, |s| s.line_count().max(1));
        self.sheet(
            Sheet::Plan,
            html! {
                p.lead {
                    "The plan as the check read it. "
                    @if unread.is_empty() { "Every line could be used." }
                    @else { "Lines with a bar could not be used: what they might say counts as unknown." }
                }
                table.grid.listing {
                    thead { tr { th scope="col" { "line" } th scope="col" { (self.report.plan) } th scope="col" { "see" } } }
                    tbody {
                        @for line in 1..=count {
                            tr id={ "L" (line) } class=[unread.contains(&line).then_some("unread")] {
                                th scope="row" { (line) }
                                td { code { (source.map_or(String::new(), |s| s.line(line).replace('\t', TAB))) } }
                                td {
                                    @if unread.contains(&line) { "not read " }
                                    @for mark in marks.get(&line).into_iter().flatten() { (mark) " " }
                                }
                            }
                        }
                    }
                }
            },
        )
    }

    fn line_of(&self, place: Span) -> u32 {
        self.checked.sources.place(place).line
    }

    /// What is said of each line elsewhere.
    fn marks(&self) -> BTreeMap<u32, Vec<Markup>> {
        let mut marks: BTreeMap<u32, Vec<Markup>> = BTreeMap::new();
        for (letter, groups) in [("A", &self.attention), ("D", &self.advice)] {
            for (index, group) in groups.iter().enumerate() {
                let mut lines: Vec<u32> = group.iter().map(|finding| self.line_of(finding.place)).collect();
                lines.sort();
                lines.dedup();
                for line in lines {
                    marks.entry(line).or_default().push(self.mark(&format!("{letter}{}", index.saturating_add(1))));
                }
            }
        }
        for question in &self.report.questions {
            let mut lines: Vec<u32> = question.places.iter().map(|place| self.line_of(*place)).collect();
            lines.sort();
            lines.dedup();
            for line in lines {
                marks.entry(line).or_default().push(self.question(question));
            }
        }
        marks
    }

    fn unread_lines(&self) -> Vec<u32> {
        let mut lines = Vec::new();
        for problem in self.report.unread().filter(|problem| problem.span.file == self.checked.file) {
            let place = self.checked.sources.place(problem.span);
            lines.extend(place.line..=place.end_line.max(place.line));
        }
        lines
    }
}

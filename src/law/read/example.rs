//! `example`, `given`, and the plan lines under them.

use super::lines::{Clause, Line};
use super::parse::{Children, Found};
use super::{Reader, Rule};
use crate::law::syntax::{Example, ExampleBody, Expected, Given, Missing, Set};
use crate::text::Spanned;

impl<'a> Reader<'a> {
    /// `example pass "title"` and its lines.
    pub(super) fn example(&mut self, clause: &Clause) -> Option<Example> {
        let read = self.parse(Rule::example_line, clause.first());
        let body = self.example_body(clause.rest);
        let mut parts = read?;
        let expected = self.expected(&mut parts)?;
        let title = self.title(&mut parts);
        let span = self.span(clause.span.start as usize..clause.first().end);
        Some(Example { expected, title, body, span })
    }

    fn expected(&mut self, parts: &mut Children<'a>) -> Option<Expected> {
        Some(match parts.next()?.rule() {
            Rule::pass => match parts.has(Rule::kw_except) {
                true => Expected::PassExcept(self.name(&parts.next()?)),
                false => Expected::Pass,
            },
            Rule::attention => match parts.has(Rule::kw_at) {
                true => Expected::Attention(Some(self.name(&parts.next()?))),
                false => Expected::Attention(None),
            },
            Rule::unknown => {
                parts.maybe(Rule::kw_missing);
                let mut missing = Vec::new();
                while let Some(found) = parts.maybe(Rule::missing) {
                    missing.extend(self.missing(found));
                }
                Expected::Unknown(missing)
            }
            _ => Expected::NotApplicable,
        })
    }

    /// `given NAME` and its lines.
    pub(super) fn given(&mut self, block: &Clause) {
        let before = self.problems.len();
        let name = self.parse(Rule::name_line, block.first()).and_then(|mut parts| parts.next());
        let body = self.example_body(block.rest);
        if let Some(name) = name
            && !self.errors_since(before)
        {
            let name = self.name(&name);
            self.pack.givens.push(Given { name, body });
        }
    }

    /// Plan lines, and the lines that take facts away or set them.
    fn example_body(&mut self, lines: &[Line]) -> ExampleBody {
        let mut body = ExampleBody::default();
        let margin = lines.first().map_or(0, Line::indent);
        for line in lines {
            let clause = self.clause(*line, &[]);
            match clause.keyword {
                "unsaid" if line.indent() <= margin => {
                    let parts = self.parse(Rule::unsaid_line, clause.all());
                    body.unsaid.extend(parts.into_iter().flatten().filter_map(|found| self.missing(found)));
                }
                "set" if line.indent() <= margin => {
                    let parts = self.parse(Rule::set_line, clause.all());
                    body.sets.extend(parts.into_iter().flatten().filter_map(|found| self.set(found)));
                }
                _ => body.plan.push(self.plan_line(line, margin)),
            }
        }
        body
    }

    /// A plan line with the indentation that it has beyond the body's.
    fn plan_line(&self, line: &Line, margin: usize) -> Spanned<String> {
        self.spanned(line.origin + margin.min(line.indent())..line.end)
    }

    /// `WORD of TAG`.
    fn missing(&mut self, found: Found<'a>) -> Option<Missing> {
        let mut parts = found.children();
        let word = self.name(&parts.next()?);
        let item = match parts.has(Rule::kw_of) {
            true => Some(self.name(&parts.next()?)),
            false => None,
        };
        Some(Missing { word, item })
    }

    /// `TAG.word = VALUE`.
    fn set(&mut self, found: Found<'a>) -> Option<Set> {
        let mut parts = found.children().filter(|part| part.rule() != Rule::equal);
        let item = self.name(&parts.next()?);
        let word = self.name(&parts.next()?);
        Some(Set { item, word, value: self.name(&parts.next()?) })
    }
}

//! `example`, `given`, and the plan lines under them.

use super::lines::{Clause, Line};
use super::parse::{Children, Found};
use super::{Reader, Rule};
use crate::law::syntax::{Example, ExampleBody, Expected, FigureExample, Given, Missing, Set};
use crate::text::Spanned;

impl<'a> Reader<'a> {
    /// `example pass "title"` and its lines.
    pub(super) fn example(&mut self, clause: &Clause) -> Option<Example> {
        let head = self.read(Rule::example_line, clause.first(), |reader, parts| {
            Some((reader.expected(parts)?, reader.title(parts)))
        });
        let body = self.example_body(clause.rest);
        let (expected, title) = head?;
        let span = self.span(clause.span.start as usize..clause.first().end);
        Some(Example { expected, title, body, span })
    }

    /// `example C1 gives 40 A "title"` of a formula, and its lines.
    pub(super) fn figure_example(&mut self, clause: &Clause) -> Option<FigureExample> {
        let head = self.read(Rule::gives_line, clause.first(), |reader, parts| {
            let item = reader.name(&parts.next()?);
            parts.maybe(Rule::kw_gives)?;
            let value = parts.next()?;
            let value = reader.spanned(value.range().start..value.range().start + value.text().trim_end().len());
            Some((item, value, reader.title(parts)))
        });
        let body = self.example_body(clause.rest);
        let (item, value, title) = head?;
        let span = self.span(clause.span.start as usize..clause.first().end);
        Some(FigureExample { item, value, title, body, span })
    }

    pub(super) fn expected(&mut self, parts: &mut Children<'a>) -> Option<Expected> {
        Some(match parts.next()?.rule() {
            Rule::pass => match parts.has(Rule::kw_except) {
                true => Expected::PassExcept(self.name(&parts.next()?)),
                false => Expected::Pass,
            },
            Rule::attention => Expected::Attention(self.at(parts)?),
            Rule::unknown => {
                parts.maybe(Rule::kw_missing);
                let mut missing = Vec::new();
                while let Some(found) = parts.maybe(Rule::missing) {
                    missing.push(self.missing(found)?);
                }
                Expected::Unknown(missing)
            }
            _ => Expected::NotApplicable(self.at(parts)?),
        })
    }

    /// `at NAME`, where it is written; the outer `None` ends a line that can't be read.
    fn at(&mut self, parts: &mut Children<'a>) -> Option<Option<Spanned<String>>> {
        Some(match parts.has(Rule::kw_at) {
            true => Some(self.name(&parts.next()?)),
            false => None,
        })
    }

    /// `given NAME` and its lines.
    pub(super) fn given(&mut self, block: &Clause) {
        let before = self.problems.len();
        let name = self.read(Rule::name_line, block.first(), |reader, parts| Some(reader.name(&parts.next()?)));
        let body = self.example_body(block.rest);
        if let Some(name) = name
            && !self.errors_since(before)
        {
            self.pack.givens.push(Given { name, body });
        }
    }

    /// Plan lines, and the lines that take facts away or set them.
    pub(super) fn example_body(&mut self, lines: &[Line]) -> ExampleBody {
        let mut body = ExampleBody::default();
        let margin = lines.first().map_or(0, Line::indent);
        for line in lines {
            let clause = self.clause(*line, &[]);
            match clause.keyword {
                "unsaid" if line.indent() <= margin => {
                    let read = self.read(Rule::unsaid_line, clause.all(), |reader, parts| {
                        parts.map(|found| reader.missing(found)).collect::<Option<Vec<_>>>()
                    });
                    body.unsaid.extend(read.into_iter().flatten());
                }
                "set" if line.indent() <= margin => {
                    let read = self.read(Rule::set_line, clause.all(), |reader, parts| {
                        parts.map(|found| reader.set(found)).collect::<Option<Vec<_>>>()
                    });
                    body.sets.extend(read.into_iter().flatten());
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

//! Values, lists, and the lines that cite: what rules and defines both have.

use super::amount::is_earlier;
use super::lines::Clause;
use super::parse::{Children, Found};
use super::{Reader, Rule};
use crate::law::syntax::{Bounds, Cite, Limit, List, ListItem, Step, Value, WordName};
use crate::text::{Problem, Spanned, nearest};
use std::ops::Range;

impl<'a> Reader<'a> {
    /// `value NAME "title": …`, one or several.
    pub(super) fn values(&mut self, clause: &Clause) -> Vec<Value> {
        let parts = self.parts(clause, Rule::part_start);
        parts.into_iter().filter_map(|part| self.value(part)).collect()
    }

    pub(super) fn value(&mut self, range: Range<usize>) -> Option<Value> {
        self.read(Rule::value_line, range, |reader, parts| {
            let name = reader.name(&parts.next()?);
            let title = reader.title(parts);
            let mut steps: Vec<Step> = Vec::new();
            for part in parts {
                let range = part.range();
                let step = reader.step(part)?;
                let last = steps.last().and_then(|step| step.from);
                if last.zip(step.from).and_then(|(last, from)| is_earlier(last, from)) == Some(false) {
                    let help = "write them from oldest to newest";
                    reader.error(range, "this figure is not later than the one before it", help);
                }
                steps.push(step);
            }
            Some(Value { name, title, steps })
        })
    }

    pub(super) fn step(&mut self, found: Found<'a>) -> Option<Step> {
        if found.rule() != Rule::step {
            return Some(Step { from: None, limit: self.limit(found)? });
        }
        let mut parts = found.children();
        let from = Some(self.moment(parts.next()?.children())?);
        Some(Step { from, limit: self.limit(parts.next()?)? })
    }

    fn limit(&mut self, found: Found<'a>) -> Option<Limit> {
        let mut parts = found.children();
        if found.rule() == Rule::asked {
            parts.next()?;
            let scale = self.name(&parts.next()?);
            return Some(Limit::Asked { scale, question: self.quoted(&parts.next()?) });
        }
        if parts.has(Rule::kw_at) {
            let is_least = parts.next()?.rule() == Rule::kw_least;
            let bound = self.expression(parts.next()?, 0)?;
            return Some(if is_least { Limit::AtLeast(bound) } else { Limit::AtMost(bound) });
        }
        let first = self.expression(parts.next()?, 0)?;
        if !parts.has(Rule::kw_to) {
            return Some(Limit::Plain(first));
        }
        Some(Limit::Between(first, self.expression(parts.next()?, 0)?))
    }

    /// `list NAME …`: named conditions on lines of their own, or values of a choice.
    pub(super) fn list(&mut self, clause: &Clause) -> Option<List> {
        let first = self.text.get(clause.first()).unwrap_or("");
        if clause.rest.is_empty() || first.contains(" of choice ") {
            return self.choice_list(clause);
        }
        let head = self.read(Rule::list_line, clause.first(), |reader, parts| {
            Some((reader.name(&parts.next()?), reader.title(parts)))
        });
        let below = Clause { head: super::Line { start: clause.head.end, ..clause.head }, ..*clause };
        let mut items = Vec::new();
        for range in self.parts(&below, Rule::part_start) {
            items.extend(self.item(range));
        }
        let (name, title) = head?;
        Some(List { name, title, choice: None, items })
    }

    fn choice_list(&mut self, clause: &Clause) -> Option<List> {
        self.read(Rule::choice_list, clause.all(), |reader, parts| {
            let name = reader.name(&parts.next()?);
            let title = reader.title(parts);
            parts.maybe(Rule::kw_of)?;
            parts.maybe(Rule::kw_choice)?;
            let choice = Some(reader.name(&parts.next()?));
            let items = parts.map(|value| reader.list_value(value)).collect::<Option<_>>()?;
            Some(List { name, title, choice, items })
        })
    }

    fn list_value(&mut self, found: Found<'a>) -> Option<ListItem> {
        let mut parts = found.children();
        let bounds = self.bounds(parts.maybe(Rule::bounds))?;
        Some(ListItem { name: self.name(&parts.next()?), title: None, bounds, test: None })
    }

    pub(super) fn item(&mut self, range: Range<usize>) -> Option<ListItem> {
        self.read(Rule::item_line, range, |reader, parts| {
            let name = reader.name(&parts.next()?);
            let (title, bounds) = reader.title_and_bounds(parts)?;
            Some(ListItem { name, title, bounds, test: Some(reader.expression(parts.next()?, 0)?) })
        })
    }

    /// `NAME "title"`, behind the keyword of a block.
    pub(super) fn titled(&mut self, block: &Clause, name: &mut Spanned<String>, title: &mut String) {
        let read = self.read(Rule::title_line, block.first(), |reader, parts| {
            Some((reader.name(&parts.next()?), reader.title(parts)?))
        });
        if let Some(read) = read {
            (*name, *title) = read;
        }
    }

    /// The title in quotes, where there is one.
    pub(super) fn title(&mut self, parts: &mut Children<'a>) -> Option<String> {
        parts.maybe(Rule::text).map(|text| self.quoted(&text))
    }

    /// `"title", from X, before Y`, each where it is there. None where a moment is wrong.
    pub(super) fn title_and_bounds(&mut self, parts: &mut Children<'a>) -> Option<(Option<String>, Bounds)> {
        let title = self.title(parts);
        let bounds = self.bounds(parts.maybe(Rule::bounds))?;
        Some((title, bounds))
    }

    /// `cites`, one line for some editions.
    pub(super) fn cites(&mut self, clause: &Clause) -> Vec<Cite> {
        clause.each_line().filter_map(|line| self.cite(line)).collect()
    }

    pub(super) fn cite(&mut self, range: Range<usize>) -> Option<Cite> {
        self.read(Rule::cite_line, range, |reader, parts| {
            let edition = parts.next()?;
            let first = reader.edition(&edition)?;
            let last = if parts.has(Rule::kw_to) { reader.edition(&parts.next()?)? } else { first };
            if last < first {
                let help = "write `NEC 2014 to NEC 2023`";
                reader.error(edition.range(), "the later edition comes first here", help);
            }
            let mut sections = Vec::new();
            let mut is_memory = false;
            for section in parts {
                match section.text() {
                    "memory" => is_memory = true,
                    "" => {}
                    half if half.starts_with('(') => {
                        let help = "write each section in full, the article and number before every bracket";
                        reader.error(section.range(), format!("`{half}` is half a section"), help);
                    }
                    whole => sections.push(whole.to_string()),
                }
            }
            Some(Cite { first, last, sections, is_memory })
        })
    }

    /// `receptacle or light.word`.
    pub(super) fn word_name(&mut self, found: Found<'a>) -> Option<WordName> {
        let mut parts = found.children();
        let kinds = self.kinds(&parts.next()?);
        Some(WordName { kinds, name: self.name(&parts.next()?), span: self.place(&found) })
    }

    /// `receptacle or light`.
    pub(super) fn kinds(&mut self, found: &Found<'a>) -> Vec<Spanned<String>> {
        found.children().filter(|part| part.rule() == Rule::name).map(|kind| self.name(&kind)).collect()
    }

    /// Names between commas.
    pub(super) fn names_clause(&mut self, clause: &Clause) -> Vec<Spanned<String>> {
        self.read(Rule::names_line, clause.all(), |reader, parts| Some(reader.names(parts))).unwrap_or_default()
    }

    /// All names that are left.
    pub(super) fn names(&mut self, parts: &mut Children<'a>) -> Vec<Spanned<String>> {
        parts.map(|name| self.name(&name)).collect()
    }

    /// One name out of a closed list.
    pub(super) fn one_of(&mut self, clause: &Clause, known: &[&str]) -> Option<Spanned<String>> {
        let what = clause.keyword;
        self.read(Rule::name_line, clause.all(), |reader, parts| reader.known(&parts.next()?, what, known))
    }

    /// A name, if it is in a closed list.
    pub(super) fn known(&mut self, name: &Found<'a>, what: &str, known: &[&str]) -> Option<Spanned<String>> {
        if known.contains(&name.text()) {
            return Some(self.name(name));
        }
        let help = format!("{what} is one of {}", known.join(", "));
        let problem = Problem::error(self.span(name.range()), format!("`{}` is no {what}", name.text()));
        self.problems.push(match nearest(name.text(), known.iter().copied()) {
            Some(near) => {
                problem.help(format!("{help}; perhaps `{near}` is meant")).instead(self.span(name.range()), near)
            }
            None => problem.help(help),
        });
        None
    }
}

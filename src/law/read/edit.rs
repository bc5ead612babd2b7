//! The lines of a `change` block that begin with a verb.

use super::lines::Clause;
use super::parse::{Children, Found};
use super::{Reader, Rule};
use crate::law::syntax::layer::{Action, CellAt, Change, Edit, Place, Quoted, RuleGuard, TestPart, Text, Was};
use crate::law::syntax::{self, Cell, List, ListItem, Row, Step};
use std::ops::Range;

/// What an edit does to a part.
const VERBS: [&str; 6] = ["set", "add", "strike", "limit", "borrow", "defer"];

/// What can be set.
const SET: [&str; 19] = [
    "value",
    "list",
    "item",
    "needs",
    "where",
    "exception",
    "level",
    "stage",
    "cell",
    "table",
    "rule",
    "formula",
    "meaning",
    "title",
    "else",
    "remedy",
    "caution",
    "cites",
    "reach",
];
const ADD: [&str; 10] = ["item", "exception", "needs", "where", "value", "list", "row", "evidence", "ask", "meaning"];
const STRIKE: [&str; 7] = ["item", "exception", "needs", "where", "row", "evidence", "rule"];
const LIMIT: [&str; 4] = ["item", "exception", "needs", "where"];
const BORROW: [&str; 2] = ["value", "rule"];

/// A verb's line, taken apart: the kind of part, and what stands behind it.
struct Line<'c> {
    part: &'c str,
    place: Range<usize>,
    rest: Range<usize>,
    first: Range<usize>,
}

impl<'a> Reader<'a> {
    /// Reads one edit into its block. `about` are the other lines that a block may have.
    pub(super) fn edit(&mut self, clause: &Clause, change: &mut Change, about: &[&str]) {
        let line = self.verb_line(clause);
        let before = self.problems.len();
        let action = match clause.keyword {
            "set" => self.set_edit(&line, clause),
            "add" => self.add_edit(&line, clause),
            "strike" => self.strike_edit(&line),
            "limit" => self.limit_edit(&line),
            "borrow" => self.borrow_edit(&line),
            "defer" => self.read(Rule::defer_line, clause.all(), |reader, parts| {
                parts.maybe(Rule::kw_to)?;
                let who = parts.next()?.text().trim().to_string();
                Some(Action::Defer(who, reader.title(parts)?))
            }),
            unknown => {
                let known: Vec<&str> = VERBS.iter().chain(about).copied().collect();
                return self.unknown_word(clause, unknown, "begins no line of a `change`", &known);
            }
        };
        if self.errors_since(before) {
            return;
        }
        change.edits.extend(action.map(|action| Edit { action, span: clause.whole() }));
    }

    fn verb_line(&self, clause: &Clause) -> Line<'a> {
        let all = clause.all();
        let text = self.text.get(all.clone()).unwrap_or("");
        let end = text.find(|c: char| c.is_whitespace() || c == ',' || c == '(').unwrap_or(text.len());
        let part: &'a str = self.text.get(all.start..all.start + end).unwrap_or("");
        let behind = text.get(end..).unwrap_or("");
        let start = all.start + end + (behind.len() - behind.trim_start().len());
        let first = clause.first();
        Line { part, place: all.start..all.start + end, rest: start..all.end, first: start.min(first.end)..first.end }
    }

    fn set_edit(&mut self, line: &Line, clause: &Clause) -> Option<Action> {
        match line.part {
            "value" => self.checked(line, Rule::set_limit, |reader, parts| {
                let name = reader.name(&parts.next()?);
                parts.maybe(Rule::kw_to)?;
                let steps = reader.steps(&parts.next()?)?;
                Some(Action::SetValue(name, steps, reader.was_steps(parts)?))
            }),
            "item" | "needs" | "where" | "exception" => self.checked(line, Rule::set_test, |reader, parts| {
                let part = reader.test_part(line.part, parts)?;
                parts.maybe(Rule::kw_to)?;
                let test = reader.expression(parts.next()?, 0)?;
                Some(Action::SetTest(part, test, reader.quoted_guard(parts)?))
            }),
            "level" | "stage" => self.checked(line, Rule::set_word, |reader, parts| {
                parts.maybe(Rule::kw_to)?;
                let to = reader.name(&parts.next()?);
                parts.maybe(Rule::kw_was)?;
                let was = reader.name(&parts.next()?);
                let was = Was { found: was.node, span: was.span };
                Some(if line.part == "level" { Action::SetLevel(to, was) } else { Action::SetStage(to, was) })
            }),
            "reach" => self.checked(line, Rule::set_reach, |reader, parts| {
                parts.maybe(Rule::kw_to)?;
                let to = parts.next()?.text() == "new";
                parts.maybe(Rule::kw_was)?;
                let was = parts.next()?;
                Some(Action::SetReach(to, Was { found: was.text() == "new", span: reader.place(&was) }))
            }),
            "list" => self.set_list(line, clause),
            "table" => self.set_table(line, clause),
            "rule" => self.set_rule(line, clause),
            "cell" => self.checked(line, Rule::set_cell, |reader, parts| {
                let column = parts.maybe(Rule::ident).map(|name| reader.name(&name));
                let keys = parts.next()?;
                let at = CellAt { column, span: reader.place(&keys), keys: reader.keys(&keys)? };
                parts.maybe(Rule::kw_to)?;
                let to = reader.flat_cell(&parts.next()?)?;
                parts.maybe(Rule::kw_was)?;
                let was = parts.next()?;
                Some(Action::SetCell(at, to, Was { span: reader.place(&was), found: reader.flat_cell(&was)? }))
            }),
            "formula" | "meaning" => self.checked(line, Rule::set_body, |reader, parts| {
                let purpose = match parts.maybe(Rule::purpose) {
                    Some(purpose) => Some(reader.purpose(purpose)?),
                    None => None,
                };
                parts.maybe(Rule::kw_to)?;
                let body = reader.expression(parts.next()?, 0)?;
                parts.maybe(Rule::kw_was)?;
                let was = reader.expression(parts.next()?, 0)?;
                Some(Action::SetBody(purpose, body, Was { span: was.span, found: was }))
            }),
            "title" | "else" | "remedy" | "caution" => self.checked(line, Rule::set_text, |reader, parts| {
                parts.maybe(Rule::kw_to)?;
                let to = reader.message(&parts.next()?)?;
                parts.maybe(Rule::kw_was)?;
                let was = parts.next()?;
                let found = if was.rule() == Rule::none { syntax::Message::default() } else { reader.message(&was)? };
                let text = match line.part {
                    "title" => Text::Title,
                    "else" => Text::Otherwise,
                    "remedy" => Text::Remedy,
                    _ => Text::Caution,
                };
                Some(Action::SetText(text, to, Was { found, span: reader.place(&was) }))
            }),
            "cites" => self.set_cites(line),
            _ => self.no_part(line, "set", &SET),
        }
    }

    fn add_edit(&mut self, line: &Line, clause: &Clause) -> Option<Action> {
        match line.part {
            "item" => self.read(Rule::add_item, line.rest.clone(), |reader, parts| {
                let name = reader.name(&parts.next()?);
                let title = reader.title(parts);
                parts.maybe(Rule::kw_to)?;
                let to = match parts.maybe(Rule::to_part).map(|part| part.text()) {
                    Some("needs") => Place::Part(TestPart::Needs(reader.name(&parts.next()?))),
                    Some(_) => Place::Part(TestPart::Where(reader.name(&parts.next()?))),
                    None => Place::List(reader.name(&parts.next()?)),
                };
                let bounds = reader.bounds(parts.maybe(Rule::bounds))?;
                let test = match parts.next() {
                    Some(test) => Some(reader.expression(test, 0)?),
                    None => None,
                };
                Some(Action::AddItem(ListItem { name, title, bounds, test }, to))
            }),
            "exception" => self.except(line.rest.clone()).map(Action::AddExcept),
            "needs" => self.condition(line.rest.clone()).map(Action::AddNeeds),
            "where" => self.condition(line.rest.clone()).map(Action::AddWhere),
            "value" => self.value(line.rest.clone()).map(Action::AddValue),
            "list" => {
                let inner = self.inner_clause(line, clause);
                self.list(&inner).map(Action::AddList)
            }
            "row" => self.read(Rule::add_row, line.rest.clone(), |reader, parts| {
                let keys = parts.next()?;
                let span = reader.span(line.rest.clone());
                let keys = reader.keys(&keys)?;
                let values = parts.map(|cell| reader.flat_cell(&cell)).collect::<Option<Vec<_>>>()?;
                let bounds = syntax::Bounds::default();
                Some(Action::AddRow(Row { keys, values, bounds, is_memory: false, span }))
            }),
            "evidence" => {
                let inner = self.inner_clause(line, clause);
                self.evidence(&inner).pop().map(Action::AddEvidence)
            }
            "ask" => {
                let inner = self.inner_clause(line, clause);
                self.asks(&inner).pop().map(Action::AddAsk)
            }
            "meaning" => self.read(Rule::add_meaning, line.rest.clone(), |reader, parts| {
                let purpose = reader.purpose(parts.next()?)?;
                Some(Action::AddMeaning(purpose, reader.expression(parts.next()?, 0)?))
            }),
            _ => self.no_part(line, "add", &ADD),
        }
    }

    fn strike_edit(&mut self, line: &Line) -> Option<Action> {
        match line.part {
            "item" | "needs" | "where" | "exception" => self.checked(line, Rule::strike_test, |reader, parts| {
                let part = reader.test_part(line.part, parts)?;
                Some(Action::StrikeTest(part, reader.quoted_guard(parts)?))
            }),
            "rule" => self.checked(line, Rule::strike_whole, |reader, parts| {
                parts.maybe(Rule::kw_was)?;
                Some(Action::StrikeRule(reader.rule_guard(&parts.next()?)?))
            }),
            "row" => self.checked(line, Rule::strike_row, |reader, parts| {
                let keys = reader.keys(&parts.next()?)?;
                parts.maybe(Rule::kw_was)?;
                let found = parts.map(|cell| reader.flat_cell(&cell)).collect::<Option<Vec<_>>>()?;
                Some(Action::StrikeRow(keys, Was { found, span: reader.span(line.rest.clone()) }))
            }),
            "evidence" => self.checked(line, Rule::strike_evidence, |reader, parts| {
                let word = reader.word_name(parts.next()?)?;
                parts.maybe(Rule::kw_was)?;
                let was = reader.name(&parts.next()?);
                Some(Action::StrikeEvidence(word, Was { found: was.node, span: was.span }))
            }),
            _ => self.no_part(line, "strike", &STRIKE),
        }
    }

    fn limit_edit(&mut self, line: &Line) -> Option<Action> {
        if !LIMIT.contains(&line.part) {
            return self.no_part(line, "limit", &LIMIT);
        }
        self.checked(line, Rule::set_test, |reader, parts| {
            let part = reader.test_part(line.part, parts)?;
            parts.maybe(Rule::kw_to)?;
            let test = reader.expression(parts.next()?, 0)?;
            Some(Action::Limit(part, test, reader.quoted_guard(parts)?))
        })
    }

    fn borrow_edit(&mut self, line: &Line) -> Option<Action> {
        match line.part {
            "value" => self.checked(line, Rule::borrow_value, |reader, parts| {
                let name = reader.name(&parts.next()?);
                parts.maybe(Rule::kw_from)?;
                let year = reader.edition(&parts.next()?)?;
                Some(Action::BorrowValue(name, year, reader.was_steps(parts)?))
            }),
            "rule" => self.checked(line, Rule::borrow_rule, |reader, parts| {
                parts.maybe(Rule::kw_from)?;
                let year = reader.edition(&parts.next()?)?;
                parts.maybe(Rule::kw_was)?;
                Some(Action::BorrowRule(year, reader.rule_guard(&parts.next()?)?))
            }),
            _ => self.no_part(line, "borrow", &BORROW),
        }
    }

    /// `set list NAME, was a, b` and items below, or `set list NAME to a, b, was c`.
    fn set_list(&mut self, line: &Line, clause: &Clause) -> Option<Action> {
        let head = Line { rest: line.first.clone(), place: line.place.clone(), first: line.first.clone(), ..*line };
        let (name, values, was) = self.checked(&head, Rule::set_list, |reader, parts| {
            let name = reader.name(&parts.next()?);
            let mut values = Vec::new();
            parts.maybe(Rule::kw_to);
            while let Some(value) = parts.maybe(Rule::value_word) {
                values.push(reader.name(&value));
            }
            let guard = parts.next()?;
            let found = guard.children().filter(|part| part.rule() == Rule::value_word);
            let was = Was { found: found.map(|part| part.text().to_string()).collect(), span: reader.place(&guard) };
            Some((name, values, was))
        })?;
        let bounds = syntax::Bounds::default();
        let of_choice = values.into_iter().map(|name| ListItem { name, title: None, bounds, test: None });
        let mut items: Vec<ListItem> = of_choice.collect();
        if !clause.rest.is_empty() {
            let below = Clause { head: super::lines::Line { start: clause.head.end, ..clause.head }, ..*clause };
            for range in self.parts(&below, Rule::part_start) {
                items.extend(self.item(range));
            }
        }
        if items.is_empty() {
            self.error(
                line.place.clone(),
                "this list would hold nothing",
                "write its items below, one a line: `NAME \"title\": CONDITION`",
            );
        }
        Some(Action::SetList(List { name, title: None, choice: None, items }, was))
    }

    /// `set table, was "title"` and a table's lines below.
    fn set_table(&mut self, line: &Line, clause: &Clause) -> Option<Action> {
        let was = self.title_guard(line)?;
        let mut table = syntax::Table::default();
        let clauses = self.clauses(clause.rest);
        for inner in clauses.iter().filter(|inner| inner.keyword != "rows") {
            self.table_clause(inner, &mut table);
        }
        for inner in clauses.iter().filter(|inner| inner.keyword == "rows") {
            self.rows(inner, &mut table);
        }
        if table.rows.is_empty() {
            self.error(
                line.place.clone(),
                "this table would hold nothing",
                "write its keys, its columns and `rows` below, as in a table of its own",
            );
        }
        Some(Action::SetRows(table.rows, was))
    }

    /// `set rule, was "title"` and a rule's lines below.
    fn set_rule(&mut self, line: &Line, clause: &Clause) -> Option<Action> {
        let was = self.title_guard(line)?;
        let mut rule = syntax::Rule { span: clause.whole(), ..syntax::Rule::default() };
        let clauses = self.clauses(clause.rest);
        self.demanded(clause, &clauses);
        self.twice(&clauses);
        for inner in &clauses {
            match inner.keyword {
                "title" => super::rule::put(&mut rule.title, self.text_clause(inner)),
                _ => self.rule_clause(inner, &mut rule),
            }
        }
        super::rule::own_letter(&mut rule);
        Some(Action::SetRule(Box::new(rule), was))
    }

    fn title_guard(&mut self, line: &Line) -> Option<Was<String>> {
        let head = Line { rest: line.first.clone(), place: line.place.clone(), first: line.first.clone(), ..*line };
        self.checked(&head, Rule::set_whole, |reader, parts| {
            parts.maybe(Rule::kw_was)?;
            let text = parts.next()?;
            Some(Was { found: reader.quoted(&text), span: reader.place(&text) })
        })
    }

    /// `set cites to NEC 2023: S, S, was S, S`. A section may hold any words, so that the guard is cut off first.
    fn set_cites(&mut self, line: &Line) -> Option<Action> {
        let text = self.text.get(line.rest.clone()).unwrap_or("");
        let Some(cut) = text.rfind(", was ") else { return self.no_guard(line) };
        let guard = line.rest.start + cut + ", was ".len()..line.rest.end;
        let sections = self.text.get(guard.clone()).unwrap_or("").split(',').map(|s| s.trim().to_string()).collect();
        let Some(behind) = text.get(..cut).and_then(|t| t.strip_prefix("to ")) else { return self.no_guard(line) };
        let start = line.rest.start + cut - behind.len();
        let cite = self.cite(start..line.rest.start + cut)?;
        Some(Action::SetCites(cite, Was { found: sections, span: self.span(guard) }))
    }

    /// Reads what stands behind the part's kind; a line that quotes nothing is told so first.
    fn checked<T>(
        &mut self,
        line: &Line,
        rule: Rule,
        make: impl FnOnce(&mut Self, &mut Children<'a>) -> Option<T>,
    ) -> Option<T> {
        let text = self.text.get(line.rest.clone()).unwrap_or("");
        let has_guard = text.match_indices("was").any(|(at, _)| {
            text.get(..at).is_some_and(|before| before.trim_end().ends_with(','))
                && text.get(at + 3..).is_some_and(|behind| behind.starts_with(char::is_whitespace))
        });
        if !has_guard {
            return self.no_guard(line);
        }
        self.read(rule, line.rest.clone(), make)
    }

    fn no_guard<T>(&mut self, line: &Line) -> Option<T> {
        let help = "end it with `, was` and what it finds there; `ringout rules show` prints each part";
        self.error(line.place.start..line.rest.end.max(line.place.end), "this edit doesn't say what it replaces", help);
        None
    }

    fn no_part<T>(&mut self, line: &Line, verb: &str, known: &[&str]) -> Option<T> {
        let mut help = format!("`{verb}` goes with {}", known.join(", "));
        if let Some(near) = crate::text::nearest(line.part, known.iter().copied()) {
            help = format!("{help}; perhaps `{near}` is meant");
        }
        let word = line.part;
        self.error(line.place.clone(), format!("`{verb} {word}`: `{word}` is no part that this verb takes"), help);
        None
    }

    /// The rest of an `add` line as the clause that a rule would have.
    fn inner_clause<'c>(&self, line: &Line<'a>, clause: &Clause<'c>) -> Clause<'c>
    where
        'a: 'c,
    {
        let head = super::lines::Line { origin: clause.head.origin, start: line.first.start, end: line.first.end };
        Clause { keyword: line.part, span: self.span(line.place.clone()), head, rest: clause.rest }
    }

    fn test_part(&mut self, part: &str, parts: &mut Children<'a>) -> Option<TestPart> {
        let name = self.name(&parts.next()?);
        let list = match parts.has(Rule::kw_of) {
            true => Some(self.name(&parts.next()?)),
            false => None,
        };
        match (part, list) {
            ("item", Some(list)) => Some(TestPart::Item(name, list)),
            ("item", None) => {
                let range = name.span.start as usize..name.span.end as usize;
                self.error(range, format!("`{}` of which list?", name.node), "write `item NAME of LIST`");
                None
            }
            (_, Some(list)) => {
                let range = list.span.start as usize..list.span.end as usize;
                self.error(
                    range,
                    format!("only an item is `of` something, not {part}"),
                    "leave out `of` and the name behind it",
                );
                None
            }
            ("needs", None) => Some(TestPart::Needs(name)),
            ("where", None) => Some(TestPart::Where(name)),
            _ => Some(TestPart::Except(name)),
        }
    }

    fn quoted_guard(&mut self, parts: &mut Children<'a>) -> Option<Was<Quoted>> {
        let guard = parts.next()?;
        let inner = guard.children().last()?;
        let found = match inner.rule() {
            Rule::text => Quoted::Title(self.quoted(&inner)),
            _ => Quoted::Test(self.expression(inner, 0)?),
        };
        Some(Was { found, span: self.place(&guard) })
    }

    fn rule_guard(&mut self, found: &Found<'a>) -> Option<Was<RuleGuard>> {
        let guard = match found.rule() {
            Rule::none => RuleGuard::None,
            Rule::rule_count => RuleGuard::Count(found.children().next()?.text().parse().ok()?),
            _ => RuleGuard::Title(self.quoted(found)),
        };
        Some(Was { found: guard, span: self.place(found) })
    }

    fn steps(&mut self, found: &Found<'a>) -> Option<Vec<Step>> {
        found.children().map(|part| self.step(part)).collect()
    }

    fn was_steps(&mut self, parts: &mut Children<'a>) -> Option<Was<Vec<Step>>> {
        let guard = parts.next()?;
        let steps = guard.children().last()?;
        Some(Was { found: self.steps(&steps)?, span: self.place(&guard) })
    }

    fn keys(&mut self, found: &Found<'a>) -> Option<Vec<Cell>> {
        let mut keys = Vec::new();
        for cell in found.children() {
            let range = cell.range();
            match self.flat_cell(&cell)? {
                Some(cell) => keys.push(cell),
                None => {
                    self.error(range, "a key has a value", "each key of the row stands in the brackets");
                    return None;
                }
            }
        }
        Some(keys)
    }

    /// `Some(None)` where the table has no value.
    fn flat_cell(&mut self, found: &Found<'a>) -> Option<Option<Cell>> {
        let inner = found.children().next()?;
        if inner.rule() == Rule::no_value {
            return Some(None);
        }
        Some(Some(Cell { content: self.cell_content(inner)?, span: self.place(found) }))
    }
}

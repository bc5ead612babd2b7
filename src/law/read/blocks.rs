//! `fact`, `choice`, `ordinary`, `group`, `name`, `sheet`.

use super::lines::Clause;
use super::{Reader, Rule};
use crate::law::syntax::{Choice, Fact, Group, Ordinary, Sheet, Title};
use crate::text::Spanned;

/// Every clause of a fact.
const CLAUSES: [&str; 3] = ["phrase", "ordinary", "ask"];

impl<'a> Reader<'a> {
    /// `fact KIND.NAME TYPE "doc"`, its phrase and its question.
    pub(super) fn fact(&mut self, block: &Clause) {
        let before = self.problems.len();
        let mut fact = self.fact_head(block);
        let clauses = self.clauses(block.rest);
        self.twice(&clauses);
        for clause in &clauses {
            let (mut phrase, mut ordinary, mut question) = (None, None, None);
            match clause.keyword {
                "phrase" => phrase = Some(self.plain(clause)),
                "ordinary" => ordinary = self.answer(clause),
                "ask" => question = self.text_clause(clause),
                unknown => self.unknown_word(clause, unknown, "begins no clause of a fact", &CLAUSES),
            }
            if let Some(fact) = &mut fact {
                super::rule::put(&mut fact.phrase, phrase);
                fact.ordinary = ordinary.or(fact.ordinary.take());
                fact.question = question.or(fact.question.take());
            }
        }
        if let Some(fact) = fact
            && !self.errors_since(before)
        {
            self.pack.facts.push(fact);
        }
    }

    fn fact_head(&mut self, block: &Clause) -> Option<Fact> {
        self.read(Rule::fact_line, block.first(), |reader, parts| {
            let word = reader.word_name(parts.next()?)?;
            let is_part = parts.has(Rule::kw_part);
            let ty = reader.type_name(parts.next()?);
            let doc = reader.title(parts)?;
            Some(Fact { word, is_part, ty, doc, phrase: String::new(), ordinary: None, question: None })
        })
    }

    fn answer(&mut self, clause: &Clause) -> Option<Spanned<String>> {
        self.read(Rule::answer_line, clause.all(), |reader, parts| Some(reader.name(&parts.next()?)))
    }

    /// `ordinary KIND.NAME: no`.
    pub(super) fn ordinary(&mut self, block: &Clause) {
        let read = self.read(Rule::ordinary_line, block.all(), |reader, parts| {
            Some(Ordinary { word: reader.word_name(parts.next()?)?, answer: reader.name(&parts.next()?) })
        });
        self.pack.ordinaries.extend(read);
    }

    /// `choice NAME: a, b`, `choice NAME adds c`.
    pub(super) fn choice(&mut self, block: &Clause) {
        let read = self.read(Rule::choice_line, block.all(), |reader, parts| {
            let name = reader.name(&parts.next()?);
            let adds = parts.has(Rule::kw_adds);
            Some(Choice { name, adds, values: reader.names(parts) })
        });
        self.pack.choices.extend(read);
    }

    /// `group NAME "title": rule, rule`.
    pub(super) fn group(&mut self, block: &Clause) {
        let read = self.read(Rule::group_line, block.all(), |reader, parts| {
            let name = reader.name(&parts.next()?);
            Some(Group { name, title: reader.title(parts)?, rules: reader.names(parts) })
        });
        self.pack.groups.extend(read);
    }

    /// `name NAME "title"`.
    pub(super) fn title_block(&mut self, block: &Clause) {
        let read = self.read(Rule::title_line, block.all(), |reader, parts| {
            let name = reader.name(&parts.next()?);
            Some(Title { name, title: reader.title(parts)? })
        });
        self.pack.titles.extend(read);
    }

    /// `sheet KIND "title" for WORD: figure, figure`.
    pub(super) fn sheet(&mut self, block: &Clause) {
        let read = self.read(Rule::sheet_line, block.all(), |reader, parts| {
            let kind = reader.name(&parts.next()?);
            let title = reader.title(parts)?;
            let only = if parts.has(Rule::kw_for) { Some(reader.name(&parts.next()?)) } else { None };
            Some(Sheet { kind, title, only, figures: reader.names(parts) })
        });
        self.pack.sheets.extend(read);
    }
}

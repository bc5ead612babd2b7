//! `fact`, `choice`, `ordinary`, `group`.

use super::lines::Clause;
use super::{Reader, Rule};
use crate::law::syntax::{Choice, Fact, Group, Ordinary};
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
        let mut parts = self.parse(Rule::fact_line, block.first())?;
        let word = self.word_name(parts.next()?)?;
        let is_part = parts.has(Rule::kw_part);
        let ty = self.type_name(parts.next()?);
        let doc = self.title(&mut parts)?;
        Some(Fact { word, is_part, ty, doc, phrase: String::new(), ordinary: None, question: None })
    }

    fn answer(&mut self, clause: &Clause) -> Option<Spanned<String>> {
        let answer = self.parse(Rule::answer_line, clause.all())?.next()?;
        Some(self.name(&answer))
    }

    /// `ordinary KIND.NAME: no`.
    pub(super) fn ordinary(&mut self, block: &Clause) {
        let Some(mut parts) = self.parse(Rule::ordinary_line, block.all()) else { return };
        if let (Some(word), Some(answer)) = (parts.next(), parts.next())
            && let Some(word) = self.word_name(word)
        {
            let answer = self.name(&answer);
            self.pack.ordinaries.push(Ordinary { word, answer });
        }
    }

    /// `choice NAME: a, b`, `choice NAME adds c`.
    pub(super) fn choice(&mut self, block: &Clause) {
        let Some(mut parts) = self.parse(Rule::choice_line, block.all()) else { return };
        let Some(name) = parts.next() else { return };
        let adds = parts.has(Rule::kw_adds);
        let choice = Choice { name: self.name(&name), adds, values: parts.map(|value| self.name(&value)).collect() };
        self.pack.choices.push(choice);
    }

    /// `group NAME "title": rule, rule`.
    pub(super) fn group(&mut self, block: &Clause) {
        let Some(mut parts) = self.parse(Rule::group_line, block.all()) else { return };
        let Some(name) = parts.next() else { return };
        let title = self.title(&mut parts).unwrap_or_default();
        let group = Group { name: self.name(&name), title, rules: parts.map(|rule| self.name(&rule)).collect() };
        self.pack.groups.push(group);
    }
}

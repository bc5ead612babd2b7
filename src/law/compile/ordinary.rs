//! Ordinary answers: which rules presume them, and the proof that presuming can only deny an exception.

use super::{Compiler, messages as say};
use crate::law::code::*;
use crate::law::syntax::{Aggregate, Comparison};
use crate::words::{Kinds, NameId, Ordinary, Type, Word};
use std::collections::{BTreeSet, HashSet};

/// Whether a larger "yes" of a reading makes the whole more or less true, or can't be told.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Pull {
    Up,
    Down,
    Either,
}

impl Pull {
    fn turned(self) -> Pull {
        match self {
            Pull::Up => Pull::Down,
            Pull::Down => Pull::Up,
            Pull::Either => Pull::Either,
        }
    }
}

/// Rare facts that are read somewhere, each with whether presuming it can only deny.
#[derive(Default)]
struct Found {
    facts: Vec<(NameId, bool)>,
    /// Formulas that were looked into already: they call each other many times over.
    seen: HashSet<(u32, Pull)>,
    /// Kinds that each letter in sight may stand for, by slot.
    letters: Vec<Kinds>,
}

impl Compiler<'_> {
    /// Rare facts that the exceptions of a rule read.
    pub(super) fn presumed(&mut self, rule: &Rule) -> Vec<(Kinds, NameId)> {
        let mut found = BTreeSet::new();
        for except in &rule.excepts {
            let mut here = Found { letters: vec![rule.kinds], ..Found::default() };
            self.walk(&except.test, Pull::Up, &mut here);
            for (name, is_strict) in here.facts {
                if !is_strict {
                    let text = self.vocabulary.text(name).to_string();
                    self.problem(say::not_strict(except.test.span, &text));
                }
                found.insert(name.0);
            }
        }
        found.into_iter().map(|n| (self.rare_kinds(NameId(n)), NameId(n))).collect()
    }

    fn rare_kinds(&self, name: NameId) -> Kinds {
        let rare = self.vocabulary.words().iter().filter(|w| w.name == name && w.ordinary.is_some());
        rare.fold(Kinds::default(), |all, w| all.and(w.kinds))
    }

    /// A fact with an ordinary answer may stand in exceptions only.
    pub(super) fn check_ordinary(&mut self) {
        let mut problems = Vec::new();
        for rule in &self.code.rules {
            for part in rule.wheres.iter().chain(&rule.needs) {
                let mut here = Found { letters: vec![rule.kinds], ..Found::default() };
                self.walk(&part.test, Pull::Up, &mut here);
                for (name, _) in here.facts {
                    problems.push(say::not_only_exception(part.test.span, self.vocabulary.text(name)));
                }
            }
        }
        self.problems.extend(problems);
    }

    fn rare(&self, kinds: Kinds, name: NameId) -> Option<&Word> {
        kinds.iter().find_map(|k| self.vocabulary.word(k, name).filter(|w| w.ordinary.is_some()))
    }

    /// The kinds that an item may be of.
    fn kinds(&self, item: &Item, all: &Found) -> Kinds {
        match item {
            Item::Letter(slot) => all.letters.get(slot.0 as usize).copied().unwrap_or_default(),
            Item::Only(kind) => Kinds::of(*kind),
            Item::Word(inner, name) => self.members(self.kinds(inner, all), *name),
        }
    }

    /// The kinds that an item word or list word of some kinds leads to.
    fn members(&self, kinds: Kinds, name: NameId) -> Kinds {
        let types = kinds.iter().filter_map(|k| self.vocabulary.word(k, name).map(|w| w.ty));
        types.fold(Kinds::default(), |all, ty| match ty {
            Type::Item(kinds) | Type::List(kinds) => all.and(kinds),
            _ => all,
        })
    }

    /// Lets a letter go through what an `each` names.
    fn lead(&self, each: &Each, all: &mut Found) {
        let kinds = match &each.over {
            Over::Items(Items::Word(item, name)) => self.members(self.kinds(item, all), *name),
            Over::Rows(_) | Over::Choices(..) => Kinds::default(),
        };
        let slot = each.slot.0 as usize;
        all.letters.resize(all.letters.len().max(slot + 1), Kinds::default());
        all.letters[slot] = kinds;
    }

    /// Notes a reading of a word; of a formula, what the formula reads.
    fn reads(&self, item: &Item, name: NameId, pull: Pull, all: &mut Found) {
        let kinds = self.kinds(item, all);
        if let Some(word) = self.rare(kinds, name) {
            let strict = match word.ordinary {
                Some(Ordinary::No) => pull == Pull::Up,
                Some(Ordinary::Yes) => pull == Pull::Down,
                _ => pull != Pull::Either,
            };
            all.facts.push((name, strict));
        }
        let defines: BTreeSet<u32> = kinds.iter().filter_map(|k| self.code.define_of(k, name)).map(|d| d.0).collect();
        for define in defines {
            if let Some(Define { body: Body::Test(test), .. }) = self.code.defines.get(define as usize)
                && all.seen.insert((define, pull))
            {
                let outside = std::mem::replace(&mut all.letters, vec![kinds]);
                self.walk(test, pull, all);
                all.letters = outside;
            }
        }
    }

    fn walk(&self, test: &Test, pull: Pull, all: &mut Found) {
        match &test.node {
            TestNode::Word(item, name) | TestNode::Has(item, name) => self.reads(item, *name, pull, all),
            TestNode::Not(inner) => self.walk(inner, pull.turned(), all),
            TestNode::All(parts) => parts.iter().for_each(|p| self.walk(p, pull, all)),
            TestNode::Any(parts) => parts.iter().for_each(|p| self.walk(&p.test, pull, all)),
            TestNode::Quantified { is_all, each, body } => {
                self.lead(each, all);
                self.walk(body, pull, all);
                if let Some(filter) = &each.filter {
                    self.walk(filter, if *is_all { pull.turned() } else { pull }, all);
                }
            }
            TestNode::IsOneOf(choice, bits, _) => self.choice(choice, *bits, pull, all),
            TestNode::IsInList(choice, values, _) => {
                let bits = values.iter().fold(0, |all, (b, _)| all | b);
                self.choice(choice, bits, pull, all);
            }
            TestNode::Compare(how, left, right, _) => {
                let (a, b) = match how {
                    Comparison::More | Comparison::AtLeast => (pull, pull.turned()),
                    Comparison::Less | Comparison::AtMost => (pull.turned(), pull),
                    Comparison::Equal => (Pull::Either, Pull::Either),
                };
                self.amount(left, a, all);
                self.amount(right, b, all);
            }
            TestNode::If(parts) => {
                self.walk(&parts.0, Pull::Either, all);
                self.walk(&parts.1, pull, all);
                self.walk(&parts.2, pull, all);
            }
            _ => {}
        }
    }

    /// `x is VALUE`: with the ordinary value among those asked for, presuming it makes this yes.
    fn choice(&self, choice: &Choice, bits: u64, pull: Pull, all: &mut Found) {
        let ChoiceNode::Word(item, name) = &choice.node else { return };
        if let Some(word) = self.rare(self.kinds(item, all), *name) {
            let taken = matches!(word.ordinary, Some(Ordinary::Value(v)) if bits & (1 << v) != 0);
            let strict = if taken { pull == Pull::Down } else { pull == Pull::Up };
            all.facts.push((*name, strict));
        }
    }

    fn amount(&self, number: &Number, pull: Pull, all: &mut Found) {
        let each = match &number.node {
            NumberNode::Count(each) => each,
            NumberNode::Aggregate { kind: Aggregate::Sum | Aggregate::Largest, each, .. } => each,
            NumberNode::Aggregate { each, .. } => {
                self.lead(each, all);
                if let Some(filter) = &each.filter {
                    self.walk(filter, pull.turned(), all);
                }
                return;
            }
            _ => return,
        };
        self.lead(each, all);
        if let Some(filter) = &each.filter {
            self.walk(filter, pull, all);
        }
    }
}

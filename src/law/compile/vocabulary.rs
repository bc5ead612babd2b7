//! The words in force: the program's own, and those that the pack declares.

use super::defines::{Signature, State};
use super::types::{TypePlace, nearest_kind};
use super::{Compiler, messages};
use crate::law::syntax::{Choice, Define, Fact, Ordinary as Answer, WordName};
use crate::text::{Span, Spanned, nearest};
use crate::words::{KINDS, Kind, Kinds, NameId, Ordinary, Origin, Type, Word, kind_of_closing, patterns};
use std::collections::HashMap;

/// Most names and values; their numbers are small on purpose.
const MAX_NAMES: usize = 60_000;
const MAX_VALUES: usize = 64;

impl<'a> Compiler<'a> {
    /// Takes in everything that gives a name: choices, facts, ordinary answers, defines, values, lists.
    pub(super) fn declare(&mut self) {
        let pack = self.pack;
        for choice in &pack.choices {
            self.declare_choice(choice);
        }
        let mut places = HashMap::new();
        for fact in &pack.facts {
            self.declare_fact(fact, &mut places);
        }
        for ordinary in &pack.ordinaries {
            self.declare_ordinary(ordinary);
        }
        for (place, define) in pack.defines.iter().enumerate() {
            let signature = self.declare_define(define, place as u32, &mut places);
            self.states.push(if signature.is_some() { State::Todo } else { State::Broken });
            self.signatures.push(signature);
        }
        for (place, title) in pack.titles.iter().enumerate() {
            if let Some(other) = pack.titles.iter().take(place).find(|other| other.name == title.name) {
                self.report(messages::twice(title.name.span, "name", &title.name.node, other.name.span));
            }
        }
        for value in &pack.values {
            if let Some(other) = self.values.insert(&value.name.node, value) {
                self.report(messages::twice(value.name.span, "value", &value.name.node, other.name.span));
            }
        }
        for list in &pack.lists {
            if let Some(other) = self.lists.insert(&list.name.node, list) {
                self.report(messages::twice(list.name.span, "list", &list.name.node, other.name.span));
            }
            self.check_item_names(list);
        }
    }

    fn declare_choice(&mut self, choice: &Choice) {
        let name = choice.name.node.as_str();
        let known = self.vocabulary.choice_named(name);
        match (known, choice.adds) {
            (None, true) => drop(self.choice(name, choice.name.span)),
            (Some(_), false) => self.report(messages::choice_twice(choice.name.span, name)),
            _ => {
                let mut before =
                    known.and_then(|id| self.vocabulary.choice(id)).map_or(Vec::new(), |c| c.values.clone());
                for value in &choice.values {
                    if before.contains(&value.node) {
                        self.report(messages::value_twice(value.span, name, &value.node));
                    } else if before.len() >= MAX_VALUES {
                        return self.report(messages::too_many_values(value.span, name, MAX_VALUES));
                    } else {
                        before.push(value.node.clone());
                    }
                }
                self.vocabulary.add_choice(name, &before);
            }
        }
    }

    fn declare_fact(&mut self, fact: &'a Fact, places: &mut HashMap<(Kind, NameId), Span>) {
        let name = &fact.word.name;
        let kinds = self.kinds_of(&fact.word.kinds);
        let ty = self.type_named(&fact.ty, TypePlace::Word);
        let (Some(kinds), Some(ty)) = (kinds, ty) else { return self.leave_out(&name.node) };
        self.check_prefix(name, ty, fact.is_part);
        let ordinary = match &fact.ordinary {
            Some(answer) => self.ordinary(answer, ty, fact.is_part),
            None => None,
        };
        let Some(id) = self.new_name(name) else { return };
        let word = Word {
            kinds,
            name: id,
            ty,
            is_part: fact.is_part,
            origin: Origin::Fact,
            doc: fact.doc.clone(),
            phrase: fact.phrase.clone(),
            ordinary,
            question: fact.question.clone(),
        };
        let written = fact.phrase.split(" / ").filter(|phrase| !phrase.trim().is_empty()).count();
        let read = patterns(&word, &self.vocabulary).len();
        if read < written {
            let ty = self.described_type(ty);
            self.report(messages::bad_phrase(name.span, &fact.phrase, &ty, written.saturating_sub(read)));
        }
        self.add_word(word, name, places);
    }

    /// Adds a word, unless a kind has one of that name or a part that brings it.
    fn add_word(&mut self, word: Word, name: &Spanned<String>, places: &mut HashMap<(Kind, NameId), Span>) -> bool {
        let (kinds, id) = (word.kinds, word.name);
        let part = name.node.strip_prefix("has-").and_then(|part| self.vocabulary.name(part));
        let brought = part.and_then(|part| {
            kinds.iter().find(|kind| self.vocabulary.word(*kind, part).is_some_and(|word| word.is_part))
        });
        if let Some(kind) = brought {
            self.report(messages::brought_by_part(name.span, &name.node, kind));
            return false;
        }
        match self.vocabulary.add(word) {
            Ok(()) => {
                places.extend(kinds.iter().map(|kind| ((kind, id), name.span)));
                true
            }
            Err(kind) => {
                self.report(messages::word_twice(name.span, &name.node, kind, places.get(&(kind, id)).copied()));
                false
            }
        }
    }

    /// The number of a name, unless there are too many.
    fn new_name(&mut self, name: &Spanned<String>) -> Option<NameId> {
        if self.vocabulary.name_count() >= MAX_NAMES || self.vocabulary.words().len() >= MAX_NAMES {
            return self.fail(messages::too_many_names(name.span));
        }
        Some(self.vocabulary.name_or_new(&name.node))
    }

    /// Yes/no words begin with `is-` or `has-`, and nothing else does: sentences are made from it.
    fn check_prefix(&mut self, name: &Spanned<String>, ty: Type, is_part: bool) {
        let is_named_so = name.node.starts_with("is-") || name.node.starts_with("has-");
        let is_yes_no = ty == Type::YesNo && !is_part;
        if is_named_so != is_yes_no {
            self.report(messages::prefix(name.span, &name.node, is_yes_no));
        }
    }

    fn declare_ordinary(&mut self, ordinary: &Answer) {
        let Some((kinds, name)) = self.word_named(&ordinary.word) else { return };
        let mut words = kinds.iter().filter_map(|kind| self.vocabulary.word(kind, name));
        let Some((ty, is_part)) = words.next().map(|word| (word.ty, word.is_part)) else { return };
        if let Some(answer) = self.ordinary(&ordinary.answer, ty, is_part) {
            kinds.iter().for_each(|kind| self.vocabulary.set_ordinary(kind, name, answer));
        }
    }

    /// The ordinary answer that was written for a word of this type.
    fn ordinary(&mut self, answer: &Spanned<String>, ty: Type, is_part: bool) -> Option<Ordinary> {
        match (answer.node.as_str(), ty, is_part) {
            ("none", _, true) => Some(Ordinary::Absent),
            ("yes", Type::YesNo, false) => Some(Ordinary::Yes),
            ("no", Type::YesNo, false) => Some(Ordinary::No),
            (value, Type::Choice(id), false) => match self.value_of_choice(id, value) {
                Some(bits) => Some(Ordinary::Value(bits.trailing_zeros() as u8)),
                None => self.unknown_value(id, value, answer.span),
            },
            (value, ..) => {
                let ty = self.described_type(ty);
                self.fail(messages::bad_ordinary(answer.span, value, &ty, is_part))
            }
        }
    }

    /// `KIND.WORD` as kinds and a number; every kind must have the word.
    pub(super) fn word_named(&mut self, word: &WordName) -> Option<(Kinds, NameId)> {
        let kinds = self.kinds_of(&word.kinds)?;
        let text = word.name.node.as_str();
        let having = |id: NameId| {
            let all = kinds.iter().filter(|kind| self.vocabulary.word(*kind, id).is_some());
            all.fold(Kinds::default(), |all, kind| all.and(Kinds::of(kind)))
        };
        let id = self.vocabulary.name(text);
        // `has-main` asks for the part `main`.
        let part = text.strip_prefix("has-").and_then(|part| self.vocabulary.name(part));
        let found = id.filter(|id| having(*id) == kinds).or(part.filter(|id| having(*id) == kinds));
        let some = id.map_or(Kinds::default(), having);
        match found {
            Some(id) => Some((kinds, id)),
            None => self.unknown_word(kinds, some, &word.name),
        }
    }

    /// Kinds by name.
    pub(super) fn kinds_of(&mut self, names: &[Spanned<String>]) -> Option<Kinds> {
        let mut kinds = Kinds::default();
        for name in names {
            match Kind::named(&name.node) {
                Some(kind) => kinds = kinds.and(Kinds::of(kind)),
                None => return self.fail(messages::unknown_kind(name.span, &name.node, nearest_kind(&name.node))),
            }
        }
        (!kinds.is_empty()).then_some(kinds)
    }

    /// The types of a define; with one item it is a word of that kind, else it is called.
    fn declare_define(
        &mut self,
        define: &'a Define,
        place: u32,
        places: &mut HashMap<(Kind, NameId), Span>,
    ) -> Option<Signature> {
        let types: Vec<Type> =
            define.parameters.iter().filter_map(|p| self.type_named(&p.ty, TypePlace::Word)).collect();
        let result = match &define.result {
            Some(ty) => self.type_named(ty, TypePlace::Word),
            None => Some(Type::YesNo),
        };
        let (Some(result), true) = (result, types.len() == define.parameters.len()) else {
            self.leave_out(&define.name.node);
            return None;
        };
        self.check_prefix(&define.name, result, false);
        if matches!(result, Type::List(_) | Type::Choices(_) | Type::Name) {
            let ty = self.described_type(result);
            let span = define.result.as_ref().map_or(define.name.span, |ty| ty.span);
            return self.fail(messages::result_type(span, &ty));
        }
        for (parameter, ty) in define.parameters.iter().zip(&types) {
            if matches!(ty, Type::List(_) | Type::Choices(_) | Type::Name) {
                let ty = self.described_type(*ty);
                return self.fail(messages::parameter_type(parameter.ty.span, &ty));
            }
        }
        let id = self.new_name(&define.name)?;
        match types.as_slice() {
            [Type::Item(kinds)] => {
                let word = Word {
                    kinds: *kinds,
                    name: id,
                    ty: result,
                    is_part: false,
                    origin: Origin::Law,
                    doc: define.doc.clone(),
                    phrase: String::new(),
                    ordinary: None,
                    question: None,
                };
                if !self.add_word(word, &define.name, places) {
                    return None;
                }
                if self.laws.len() <= usize::from(id.0) {
                    self.laws.resize(usize::from(id.0) + 1, [None; KINDS]);
                }
                let row = self.laws.get_mut(usize::from(id.0))?;
                for kind in kinds.iter() {
                    if let Some(law) = row.get_mut(kind as usize) {
                        *law = Some(place);
                    }
                }
            }
            _ => {
                if let Some(other) = self.calls.insert(&define.name.node, place) {
                    let other = self.pack.defines.get(other as usize).map_or(define.name.span, |d| d.name.span);
                    self.report(messages::twice(define.name.span, "define", &define.name.node, other));
                }
            }
        }
        Some(Signature { parameters: types, result })
    }

    /// Keeps what speaks of a declaration with a problem from being called unknown.
    fn leave_out(&mut self, name: &'a str) {
        self.broken.insert(name);
    }

    /// Items of a list have names of their own.
    pub(super) fn check_item_names(&mut self, list: &crate::law::syntax::List) {
        let names: Vec<&Spanned<String>> = list.items.iter().map(|item| &item.name).collect();
        self.check_names("list item", &names);
    }

    /// Says which of some names come twice.
    pub(super) fn check_names(&mut self, what: &str, names: &[&Spanned<String>]) {
        let twice = |(place, name): (usize, &&Spanned<String>)| {
            names.get(..place).unwrap_or_default().iter().any(|other| other.node == name.node)
        };
        // Most have a few names: to compare each with each is quicker than to hash them.
        if names.len() < 16 && !names.iter().enumerate().any(twice) {
            return;
        }
        let mut before: HashMap<&str, Span> = HashMap::with_capacity(names.len());
        for name in names {
            if let Some(other) = before.insert(&name.node, name.span) {
                self.report(messages::twice(name.span, what, &name.node, other));
            }
        }
    }

    /// Says that a name of a word in an example is none.
    pub(super) fn check_word_exists(&mut self, word: &Spanned<String>) {
        let text = word.node.as_str();
        let part = text.strip_prefix("has-").unwrap_or(text);
        let is_word = self.vocabulary.name(text).or(self.vocabulary.name(part)).is_some();
        if is_word || self.broken.contains(text) || kind_of_closing(text).is_some() {
            return;
        }
        let near = nearest(text, self.vocabulary.words().iter().map(|word| self.vocabulary.text(word.name)));
        let problem = messages::unknown_fact(word.span, text, near);
        self.report(problem);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::law::compile::Demands;
    use crate::law::syntax::Pack;

    /// Names have small numbers; the first that has none left is refused. A pack of so many takes a minute to
    /// compile in a test, so the names are there already.
    #[test]
    fn a_pack_has_so_many_names_and_no_more() {
        let pack = Pack::default();
        let mut compiler = Compiler::new(&pack, Demands::default());
        for number in compiler.vocabulary.name_count()..MAX_NAMES - 1 {
            compiler.vocabulary.name_or_new(&format!("x{number}"));
        }
        let name = |text: &str| Spanned { node: text.to_string(), span: Span::default() };
        assert_eq!(compiler.new_name(&name("the-last")), Some(NameId(59_999)));
        assert_eq!(compiler.errors, 0);
        assert_eq!(compiler.new_name(&name("one-more")), None);
        assert!(compiler.problems.iter().any(|problem| problem.message.contains("too many words")), "it is said");
    }
}

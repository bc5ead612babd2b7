//! `x.word`: columns of items, defines with one item, `has-` of parts, cells of rows.

use super::expressions::word_of_type;
use super::frame::{Frame, Letter};
use super::types::Typed;
use super::{Compiler, messages};
use crate::law::code::{Choice, ChoiceNode, Item, Number, NumberNode, Slot, TableId, Test, TestNode};
use crate::law::syntax::{Expr, Node, purpose_of};
use crate::text::{Span, Spanned, nearest};
use crate::words::{Kind, Kinds, NameId, Ordinary, Origin, Type, name};

/// What a word is on all the kinds that an item may have.
#[derive(Clone, Copy)]
struct Shared {
    ty: Type,
    is_part: bool,
    is_law: bool,
    ordinary: Option<Ordinary>,
}

impl<'a> Compiler<'a> {
    pub(super) fn word(
        &mut self,
        frame: &mut Frame<'a>,
        owner: &'a Expr,
        word: &'a Spanned<String>,
        span: Span,
    ) -> Option<Typed> {
        if let Node::Name(letter) = &*owner.node {
            if let Some((slot, Letter::Row(table))) = frame.letter(letter) {
                return self.cell(slot, table, word, span);
            }
            if frame.letter(letter).is_none() && self.table_names.contains_key(letter.as_str()) {
                return self.fail(messages::table_alone(owner.span, letter));
            }
        }
        match self.typed_either(frame, owner, None)? {
            Typed::Item(item, kinds) => self.word_of(frame, item, kinds, word, span),
            Typed::Items(_, kinds) => self.fail(messages::word_of_list(span, kinds, &word.node)),
            other => {
                let found = self.described(&other);
                self.fail(messages::word_of_no_item(span, &found, &word.node))
            }
        }
    }

    /// The word of an item that may be of any of these kinds.
    pub(super) fn word_of(
        &mut self,
        frame: &mut Frame<'a>,
        item: Item,
        kinds: Kinds,
        word: &Spanned<String>,
        span: Span,
    ) -> Option<Typed> {
        let mut text = word.node.as_str();
        let mut id = self.vocabulary.name(text);
        let mut having = id.map_or(Kinds::default(), |id| self.kinds_with(kinds, id));
        // A term that has no meaning for this purpose means what it means for any.
        if let Some((term, _)) = purpose_of(text).filter(|_| having != kinds) {
            text = term;
            id = self.vocabulary.name(term);
            having = id.map_or(Kinds::default(), |id| self.kinds_with(kinds, id));
            if id.is_some_and(|id| self.laws.get(usize::from(id.0)).is_none_or(|row| row.iter().all(Option::is_none))) {
                return self.fail(messages::no_purpose(word.span, term));
            }
        }
        let Some(id) = id.filter(|_| having == kinds) else {
            let part = text.strip_prefix("has-").and_then(|part| self.vocabulary.name(part));
            return match part.filter(|part| self.is_part_of(kinds, *part)) {
                Some(part) => Some(self.has(frame, item, kinds, part, span)),
                None => self.unknown_word(kinds, having, word),
            };
        };
        let shared = self.shared(kinds, id, word)?;
        self.mark_used(id, kinds);
        if shared.is_part && !frame.is_guarded(&item, id) {
            return self.fail(messages::unguarded(span, text));
        }
        if shared.is_law {
            self.depend_on_laws(frame, kinds, id, span)?;
        }
        if let Some(ordinary) = shared.ordinary
            && !shared.is_part
        {
            frame.meet_rare(kinds, id, ordinary, span);
        }
        if let Item::Only(Kind::Permit) = item
            && let Some(node) = moment(id)
        {
            frame.turns.edition |= id == name::EDITION;
            frame.turns.day |= id == name::DATE;
            let Type::Quantity(scale) = shared.ty else { return None };
            return Some(Typed::Number(Number { node, span }, scale));
        }
        Some(word_of_type(item, id, shared.ty, span))
    }

    /// Those of some kinds that have a word.
    fn kinds_with(&self, kinds: Kinds, id: NameId) -> Kinds {
        let having = kinds.iter().filter(|kind| self.vocabulary.word(*kind, id).is_some());
        having.fold(Kinds::default(), |all, kind| all.and(Kinds::of(kind)))
    }

    fn is_part_of(&self, kinds: Kinds, part: NameId) -> bool {
        kinds.iter().all(|kind| self.vocabulary.word(kind, part).is_some_and(|word| word.is_part))
    }

    fn has(&mut self, frame: &mut Frame<'a>, item: Item, kinds: Kinds, part: NameId, span: Span) -> Typed {
        self.mark_used(part, kinds);
        let ordinary = kinds.iter().find_map(|kind| self.vocabulary.word(kind, part)?.ordinary);
        if let Some(ordinary) = ordinary {
            frame.meet_rare(kinds, part, ordinary, span);
        }
        Typed::Test(Test { node: TestNode::Has(Box::new(item), part), span })
    }

    /// What the word is for all of the kinds; it must be one thing.
    fn shared(&mut self, kinds: Kinds, id: NameId, word: &Spanned<String>) -> Option<Shared> {
        let mut shared: Option<Shared> = None;
        for kind in kinds.iter() {
            let own = self.vocabulary.word(kind, id)?;
            let own =
                Shared { ty: own.ty, is_part: own.is_part, is_law: own.origin == Origin::Law, ordinary: own.ordinary };
            shared = Some(match shared {
                None => own,
                Some(before) => match joined(before.ty, own.ty).filter(|_| before.is_part == own.is_part) {
                    Some(ty) => Shared {
                        ty,
                        is_part: own.is_part,
                        is_law: before.is_law || own.is_law,
                        ordinary: before.ordinary.or(own.ordinary),
                    },
                    None => {
                        let types = (self.described_type(before.ty), self.described_type(own.ty));
                        return self.fail(messages::two_meanings(word.span, &word.node, kinds, &types));
                    }
                },
            });
        }
        shared
    }

    pub(super) fn mark_used(&mut self, id: NameId, kinds: Kinds) {
        let place = usize::from(id.0);
        if self.used.words.len() <= place {
            self.used.words.resize(place + 1, Kinds::default());
        }
        if let Some(used) = self.used.words.get_mut(place) {
            *used = used.and(kinds);
        }
    }

    /// Says that some kind has no such word, with the nearest that it has.
    pub(super) fn unknown_word<T>(&mut self, kinds: Kinds, having: Kinds, word: &Spanned<String>) -> Option<T> {
        let text = word.node.as_str();
        if self.broken.contains(text) || text.strip_prefix("has-").is_some_and(|part| self.broken.contains(part)) {
            return None;
        }
        let common = self.vocabulary.words().iter().filter(|w| !w.kinds.common(kinds).is_empty());
        let mut known: Vec<String> = Vec::new();
        for word in common {
            let text = self.vocabulary.text(word.name);
            known.push(text.to_string());
            if word.is_part {
                known.push(format!("has-{text}"));
            }
        }
        let near = nearest(text, known.iter().map(String::as_str));
        let elsewhere = self.vocabulary.name(text).map_or(Kinds::default(), |id| {
            let all = Kind::ALL.into_iter().fold(Kinds::default(), |all, kind| all.and(Kinds::of(kind)));
            self.kinds_with(all, id)
        });
        let problem = messages::unknown_word(word.span, text, kinds, having, near, elsewhere);
        self.fail(problem)
    }

    fn cell(&mut self, slot: Slot, table: TableId, word: &Spanned<String>, span: Span) -> Option<Typed> {
        let table = self.tables.get(table.0 as usize)?;
        let keys = table.keys.iter().map(|(name, ty, _)| (name.as_str(), *ty));
        let cells = keys.chain(table.columns.iter().map(|(name, ty)| (name.as_str(), *ty)));
        let Some((place, (_, ty))) = cells.clone().enumerate().find(|(_, (name, _))| *name == word.node) else {
            let near = nearest(&word.node, cells.map(|(name, _)| name));
            let problem = messages::unknown_cell(word.span, &word.node, &table.name, near);
            return self.fail(problem);
        };
        let place = place as u8;
        match ty {
            Type::YesNo => Some(Typed::Test(Test { node: TestNode::Cell(slot, place), span })),
            Type::Quantity(scale) => Some(Typed::Number(Number { node: NumberNode::Cell(slot, place), span }, scale)),
            Type::Choice(id) => Some(Typed::Choice(Choice { node: ChoiceNode::Cell(slot, place), span }, id)),
            _ => self.fail(messages::cell_of_names(span)),
        }
    }
}

/// The edition or day of the permit stands in the world that is tried, not in a column.
fn moment(id: NameId) -> Option<NumberNode> {
    match id {
        name::EDITION => Some(NumberNode::Edition),
        name::DATE => Some(NumberNode::Day),
        _ => None,
    }
}

/// The one type of a word that two kinds have.
fn joined(a: Type, b: Type) -> Option<Type> {
    match (a, b) {
        (Type::Item(a), Type::Item(b)) => Some(Type::Item(a.and(b))),
        (Type::List(a), Type::List(b)) => Some(Type::List(a.and(b))),
        _ => (a == b).then_some(a),
    }
}

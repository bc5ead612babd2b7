//! Defines and terms, each compiled when something first speaks of it.

use super::frame::{Frame, Letter, MAX_DEPTH};
use super::rare::{Rare, Sign};
use super::{Compiler, Turns, messages};
use crate::law::code::{Any, Body, Define, DefineId, Later};
use crate::law::syntax;
use crate::text::Span;
use crate::words::{KINDS, Kinds, NameId, Type};
use std::rc::Rc;

/// Types of a define's parameters and result.
#[derive(Clone)]
pub(super) struct Signature {
    pub parameters: Vec<Type>,
    pub result: Type,
}

/// How far a define is.
#[derive(Clone)]
pub(super) enum State {
    /// Nothing spoke of it yet.
    Todo,
    /// It is being compiled.
    Doing,
    /// It is compiled.
    Done(Done),
    /// It has a problem, or speaks of one that has.
    Broken,
}

/// What is known of a compiled define.
#[derive(Clone)]
pub(super) struct Done {
    id: DefineId,
    turns: Turns,
    /// How many expressions stand in one another in it, defines that it calls included.
    height: usize,
    rare: Rc<[Rare]>,
}

impl<'a> Compiler<'a> {
    pub(super) fn compile_defines(&mut self) {
        for place in 0..self.pack.defines.len() as u32 {
            if matches!(self.states.get(place as usize), Some(State::Todo)) {
                self.compile_define(place, 0);
            }
        }
    }

    /// Which define gives each word of each kind.
    pub(super) fn words_by_define(&self) -> Vec<[Option<DefineId>; KINDS]> {
        let id = |place: u32| match self.states.get(place as usize) {
            Some(State::Done(done)) => Some(done.id),
            _ => None,
        };
        let rows = self.laws.iter().map(|row| row.map(|place| place.and_then(id)));
        let rest = self.vocabulary.name_count().saturating_sub(self.laws.len());
        rows.chain(std::iter::repeat_n([None; KINDS], rest)).collect()
    }

    /// The defines that give a word to some kinds.
    pub(super) fn depend_on_laws(
        &mut self,
        frame: &mut Frame<'a>,
        kinds: Kinds,
        name: NameId,
        span: Span,
    ) -> Option<()> {
        let row = self.laws.get(usize::from(name.0)).copied().unwrap_or([None; KINDS]);
        let mut last = None;
        for place in kinds.iter().filter_map(|kind| row.get(kind as usize).copied().flatten()) {
            if last != Some(place) {
                self.depend_on(frame, place, span)?;
                last = Some(place);
            }
        }
        Some(())
    }

    /// A define that an expression speaks of: what it turns on and leans on counts there too.
    pub(super) fn depend_on(&mut self, frame: &mut Frame<'a>, place: u32, span: Span) -> Option<DefineId> {
        self.used.defines.insert(place);
        if matches!(self.states.get(place as usize), Some(State::Todo)) {
            self.compile_define(place, frame.depth);
        }
        match self.states.get(place as usize)?.clone() {
            State::Done(done) => {
                let deepest = frame.depth.saturating_add(done.height);
                if deepest > MAX_DEPTH {
                    return self.fail(messages::too_deep(span, MAX_DEPTH));
                }
                frame.deepest = frame.deepest.max(deepest);
                frame.turns = frame.turns.and(done.turns);
                frame.inherit_rare(&done.rare, span);
                Some(done.id)
            }
            State::Doing => self.circle(place, span),
            State::Todo | State::Broken => None,
        }
    }

    /// Says by which way a define leads to itself.
    fn circle<T>(&mut self, place: u32, span: Span) -> Option<T> {
        let from = self.doing.iter().position(|p| *p == place).unwrap_or(0);
        let way = self.doing.get(from..).unwrap_or_default().iter().chain([&place]);
        let names: Vec<&str> =
            way.filter_map(|p| self.pack.defines.get(*p as usize)).map(|d| d.name.node.as_str()).collect();
        self.fail(messages::circle(span, &names))
    }

    fn compile_define(&mut self, place: u32, depth: usize) {
        let (pack, at) = (self.pack, place as usize);
        let (Some(define), Some(Some(signature))) = (pack.defines.get(at), self.signatures.get(at).cloned()) else {
            return;
        };
        self.set_state(place, State::Doing);
        self.doing.push(place);
        let state = self.define(define, &signature, depth).map_or(State::Broken, State::Done);
        self.doing.pop();
        self.set_state(place, state);
    }

    fn set_state(&mut self, place: u32, state: State) {
        if let Some(now) = self.states.get_mut(place as usize) {
            *now = state;
        }
    }

    fn define(&mut self, define: &'a syntax::Define, signature: &Signature, depth: usize) -> Option<Done> {
        let mut frame =
            Frame { values: &define.values, lists: &define.lists, depth, deepest: depth, ..Frame::default() };
        frame.sign = if signature.result == Type::YesNo { Sign::Helps } else { Sign::Either };
        for (parameter, ty) in define.parameters.iter().zip(&signature.parameters) {
            let letter = match ty {
                Type::YesNo => Letter::YesNo,
                Type::Quantity(scale) => Letter::Number(*scale),
                Type::Choice(id) => Letter::Choice(*id),
                Type::Item(kinds) => Letter::Item(*kinds),
                Type::List(_) | Type::Choices(_) | Type::Name => return None,
            };
            let name = &parameter.name;
            if matches!(name.node.as_str(), "shop" | "permit") {
                return self.fail(messages::letter_twice(name.span, &name.node));
            }
            if frame.push(&name.node, letter).is_none() {
                return self.fail(messages::too_many_letters(name.span));
            }
        }
        frame.base = frame.letters.len();
        self.check_own(&frame);
        let used = self.used.places.len();
        self.check_cites(&define.cites, define.name.span);
        let body = self.typed(&mut frame, &define.body, Some(signature.result));
        let (turns, rare) = (frame.turns, frame.rare.len());
        self.check_unused(&mut frame, used);
        (frame.turns, _) = (turns, frame.rare.truncate(rare));
        let body = match self.fitted(body?, signature.result, define.body.span)? {
            Any::Test(test) => Body::Test(test),
            Any::Number(number, _) => Body::Number(number),
            Any::Choice(choice, _) => Body::Choice(choice),
            Any::Item(item) => Body::Item(item),
            Any::Items(_) | Any::Name(..) => return None,
        };
        let id = DefineId(self.defines.len() as u32);
        self.defines.push(Later::now(Define {
            name: define.name.node.clone(),
            doc: define.doc.clone(),
            note: define.note.clone(),
            cites: define.cites.clone(),
            source: define.source.clone(),
            parameters: signature.parameters.clone(),
            result: signature.result,
            is_percent: define.result.as_ref().is_some_and(|r| r.words.len() == 1 && r.words.iter().any(|w| w == "%")),
            body,
            slots: frame.slots,
            turns_on_edition: frame.turns.edition,
            turns_on_day: frame.turns.day,
            span: define.span,
        }));
        let height = frame.deepest.saturating_sub(depth);
        Some(Done { id, turns: frame.turns, height, rare: frame.rare.into() })
    }
}

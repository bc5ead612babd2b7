use super::ground::Ground;
use super::memo::{self, CallKey, Memo, Out, Recalled};
use super::moment::Now;
use super::reader::{Fact, Reader};
use super::{Interval, Truth};
use crate::law::code::{Any, Body, Call, Code, Define, DefineId, Item, Items, Slot, TableId};
use crate::shop::{ItemRef, List, Value};
use crate::words::{Kind, NameId, name};

/// What runs conditions and formulas: a walk over the typed tree.
///
/// Invariant: it never asks whether a fact is unknown in order to answer yes or no. What is not
/// known stays a set of values all the way up.
pub(in crate::law) struct Machine<'m, 'a, R> {
    /// Pack and shop.
    pub ground: &'m Ground<'a>,
    /// The edition and days that are tried.
    pub now: Now,
    /// How facts are read.
    pub reader: R,
    /// Where results are kept.
    pub memo: &'m mut Memo,
    /// Results of the plan as it is; of use to a trial where they are decided.
    pub base: Option<&'m Memo>,
    frame: usize,
    top: usize,
}

/// What a letter stands for while an expression runs.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::law) enum Letter {
    /// Nothing yet.
    #[default]
    Empty,
    /// An item, where it is known.
    Item(Option<ItemRef>),
    /// A row of a table.
    Row(TableId, u32),
    /// A quantity.
    Number(Interval),
    /// Values of a choice.
    Choice(u64),
    /// Yes or no.
    Test(Truth),
}

impl Letter {
    /// The item that it stands for, where it is known.
    #[inline]
    pub fn item(&self) -> Option<ItemRef> {
        match self {
            Letter::Item(item) => *item,
            _ => None,
        }
    }
}

/// The letters of an expression that waits for another.
#[derive(Clone, Copy, Debug)]
pub(in crate::law) struct Frame(usize, usize);

/// A list as a rule meets it.
#[derive(Clone, Copy, Debug)]
pub(in crate::law) struct Members<'a> {
    /// Members for sure and perhaps; none where nothing is known.
    pub list: Option<&'a List>,
    /// Whether there may be others.
    pub is_open: bool,
    /// The word that gives it; none where its owner is not known.
    pub fact: Option<Fact>,
}

impl<'m, 'a, R: Reader> Machine<'m, 'a, R> {
    pub fn new(ground: &'m Ground<'a>, now: Now, reader: R, memo: &'m mut Memo, base: Option<&'m Memo>) -> Self {
        Machine { ground, now, reader, memo, base, frame: 0, top: 0 }
    }

    /// Makes room for the letters of a rule, whose item stands in slot 0.
    pub fn enter_rule(&mut self, slots: usize, item: ItemRef) {
        self.memo.begin_rule();
        self.frame = 0;
        self.top = slots;
        self.make_room();
        self.bind(Slot(0), Letter::Item(Some(item)));
    }

    fn make_room(&mut self) {
        let letters = &mut self.memo.letters;
        if letters.len() < self.top {
            letters.resize(self.top * 2, Letter::Empty);
        }
    }

    /// Lets a letter stand for something.
    #[inline]
    pub fn bind(&mut self, slot: Slot, letter: Letter) {
        if let Some(place) = self.memo.letters.get_mut(self.frame + slot.0 as usize) {
            *place = letter;
        }
    }

    /// What a letter stands for.
    #[inline]
    pub fn letter(&self, slot: Slot) -> &Letter {
        self.memo.letters.get(self.frame + slot.0 as usize).unwrap_or(&Letter::Empty)
    }

    /// An item, where it is known.
    #[inline]
    pub fn item(&mut self, item: &Item) -> Option<ItemRef> {
        match item {
            Item::Letter(slot) => self.letter(*slot).item(),
            Item::Only(kind) => Some(ItemRef { kind: *kind, index: 0 }),
            Item::Word(owner, name) => {
                let owner = self.item(owner)?;
                match self.ground.define_of(owner, *name) {
                    Some(define) => match self.define(define, owner) {
                        Out::Item(item) => item,
                        _ => None,
                    },
                    None => match self.reader.value(self.ground, (owner, *name)) {
                        Value::Item(item) => Some(item),
                        _ => None,
                    },
                }
            }
        }
    }

    /// A fact of a known item. The edition and day of the permit are those that are tried.
    #[inline]
    pub fn value(&mut self, item: ItemRef, name: NameId) -> Value {
        self.reader.value(self.ground, (item, name))
    }

    /// The permit's edition or day in the moment that is tried, where the word is one of them.
    #[inline]
    pub fn moment(&self, item: ItemRef, name: NameId) -> Option<Interval> {
        if item.kind != Kind::Permit {
            return None;
        }
        match name {
            name::EDITION => Some(Interval::of(crate::quantity::Rational::whole(self.now.edition))),
            name::DATE => Some(self.now.day()),
            _ => None,
        }
    }

    /// The members of a list.
    pub fn members(&mut self, items: &Items) -> Members<'a> {
        let Items::Word(owner, name) = items;
        let Some(owner) = self.item(owner) else { return Members { list: None, is_open: true, fact: None } };
        self.members_of((owner, *name))
    }

    /// The members of a list of a known item.
    pub fn members_of(&mut self, fact: Fact) -> Members<'a> {
        let shop = self.ground.shop;
        let is_opened = self.reader.is_opened(self.ground, fact);
        match shop.fact(fact.0, fact.1) {
            Value::List(id) => {
                let list = shop.list(*id);
                Members { list: Some(list), is_open: list.is_open || is_opened, fact: Some(fact) }
            }
            _ => Members { list: None, is_open: true, fact: Some(fact) },
        }
    }

    /// Notes that a list may have members beside the sure ones.
    pub fn loose(&mut self, members: &Members) {
        if let Some(fact) = members.fact {
            self.reader.loose(self.ground, fact);
        }
    }

    /// A define for one item, once for each item and moment.
    pub fn define(&mut self, id: DefineId, item: ItemRef) -> Out {
        let ground = self.ground;
        let Some(define) = ground.code.define(id) else { return Out::Test(Truth::Unknown) };
        let (place, seat) = (memo::place(ground, define, &self.now), memo::seat(ground.shop, define, item));
        let recalled = (self.base.and_then(|base| base.get(id, place, seat)), self.memo.get(id, place, seat));
        if let Some(out) = self.recall(recalled) {
            return out;
        }
        if !self.memo.spend(1) {
            return Out::Test(Truth::Unknown);
        }
        let begun = self.reader.begin();
        let before = self.enter(define.slots, item);
        let out = self.body(&define.body);
        self.leave(before);
        let kept = self.reader.end(begun);
        self.memo.put(ground, id, (place, seat), out, kept);
        out
    }

    /// A define with several arguments.
    pub fn call(&mut self, call: &Call) -> Out {
        let Some((define, before)) = self.enter_call(call) else { return Out::Test(Truth::Unknown) };
        let arguments = self.memo.letters.get(self.frame..self.frame + call.arguments.len()).unwrap_or_default();
        let key = CallKey::new(call.define, memo::place(self.ground, define, &self.now), arguments);
        let recalled = key.as_ref().map(|key| (self.base.and_then(|base| base.get_call(key)), self.memo.get_call(key)));
        let out = match recalled.and_then(|recalled| self.recall(recalled)) {
            Some(out) => out,
            None if !self.memo.spend(1) => Out::Test(Truth::Unknown),
            None => {
                let begun = self.reader.begin();
                let out = self.body(&define.body);
                let kept = self.reader.end(begun);
                if let Some(key) = key {
                    self.memo.put_call(key, out, kept);
                }
                out
            }
        };
        self.leave(before);
        out
    }

    /// A kept result: of the plan as it is where it is decided, else of this trial, else of the
    /// first one where it hangs on nothing that is replaced.
    fn recall(&mut self, (base, own): (Option<Recalled>, Option<Recalled>)) -> Option<Out> {
        if let Some(base) = base.filter(|b| b.out.is_decided() && self.reader.may_recall(b.kept.is_weak)) {
            return Some(base.out);
        }
        let own = own.filter(|own| !own.is_root || self.reader.is_untouched(own.kept))?;
        self.reader.recall(own.kept);
        Some(own.out)
    }

    /// Puts the arguments of a call into a new frame. Ends with [`Machine::leave`].
    pub fn enter_call(&mut self, call: &Call) -> Option<(&'a Define, Frame)> {
        let code: &'a Code = self.ground.code;
        let define = code.define(call.define)?;
        let before = Frame(self.frame, self.top);
        // Arguments are put above the frame one by one, so that a call inside one finds its own room.
        for argument in &call.arguments {
            let letter = self.any(argument);
            self.top += 1;
            self.make_room();
            if let Some(place) = self.memo.letters.get_mut(self.top - 1) {
                *place = letter;
            }
        }
        self.frame = before.1;
        self.top = before.1 + define.slots.max(call.arguments.len());
        self.make_room();
        Some((define, before))
    }

    /// Makes room for the letters of a define, whose item stands in slot 0. Ends with [`Machine::leave`].
    pub fn enter(&mut self, slots: usize, item: ItemRef) -> Frame {
        let before = Frame(self.frame, self.top);
        self.frame = self.top;
        self.top += slots.max(1);
        self.make_room();
        self.bind(Slot(0), Letter::Item(Some(item)));
        before
    }

    /// Back to the letters of before.
    pub fn leave(&mut self, before: Frame) {
        (self.frame, self.top) = (before.0, before.1);
    }

    fn body(&mut self, body: &Body) -> Out {
        match body {
            Body::Test(test) => Out::Test(self.test(test)),
            Body::Number(number) => Out::Number(self.number(number)),
            Body::Choice(choice) => Out::Choice(self.choice(choice)),
            Body::Item(item) => Out::Item(self.item(item)),
        }
    }

    /// An argument.
    pub fn any(&mut self, any: &Any) -> Letter {
        match any {
            Any::Test(test) => Letter::Test(self.test(test)),
            Any::Number(number, _) => Letter::Number(self.number(number)),
            Any::Choice(choice, _) => Letter::Choice(self.choice(choice)),
            Any::Item(item) => Letter::Item(self.item(item)),
            Any::Items(_) | Any::Name(..) => Letter::Empty,
        }
    }
}

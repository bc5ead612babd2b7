//! Reading and deriving single facts.

use crate::quantity::Rational;
use crate::shop::{How, ItemRef, List, Range, Shop, Value};
use crate::words::{ChoiceId, KINDS, Kind, NameId};

/// Short readings of one fact.
pub(super) trait Facts {
    /// Yes, no, or not known.
    fn yes(&self, item: ItemRef, name: NameId) -> Option<bool>;
    /// The item that a word names, where it is known.
    fn item(&self, item: ItemRef, name: NameId) -> Option<ItemRef>;
    /// An exact number.
    fn exact(&self, item: ItemRef, name: NameId) -> Option<Rational>;
    /// An exact whole number.
    fn whole(&self, item: ItemRef, name: NameId) -> Option<i64>;
    /// The possible values of a choice, all of them where nobody said.
    fn bits(&self, item: ItemRef, name: NameId) -> u64;
    /// A copy of a list; empty and open where nobody said.
    fn members(&self, item: ItemRef, name: NameId) -> List;
    /// Whether the plan itself says something of it.
    fn is_said(&self, item: ItemRef, name: NameId) -> bool;
    /// Derives a fact that nothing is known of. A stated one stands, and so does a conflict.
    fn settle(&mut self, item: ItemRef, name: NameId, value: Value);
    /// Derives a list that nothing is known of.
    fn settle_list(&mut self, item: ItemRef, name: NameId, list: List);
    /// Whether the plan says that it names every item of this kind.
    fn is_listed(&self, kind: Kind) -> bool;
    /// The place of a value in a choice, as a bit; none of the bits where a pack took it away.
    fn bit(&self, choice: ChoiceId, value: &str) -> u64;
}

impl Facts for Shop {
    fn yes(&self, item: ItemRef, name: NameId) -> Option<bool> {
        match self.value(item, name) {
            Value::YesNo(b) => Some(b),
            _ => None,
        }
    }

    fn item(&self, item: ItemRef, name: NameId) -> Option<ItemRef> {
        match self.value(item, name) {
            Value::Item(i) => Some(i),
            _ => None,
        }
    }

    fn exact(&self, item: ItemRef, name: NameId) -> Option<Rational> {
        match self.value(item, name) {
            Value::Number(n) => Some(n),
            _ => None,
        }
    }

    fn whole(&self, item: ItemRef, name: NameId) -> Option<i64> {
        self.exact(item, name).filter(|n| n.is_whole()).map(Rational::floor)
    }

    fn bits(&self, item: ItemRef, name: NameId) -> u64 {
        match self.value(item, name) {
            Value::Choice(bits) => bits,
            _ => u64::MAX,
        }
    }

    fn members(&self, item: ItemRef, name: NameId) -> List {
        match self.value(item, name) {
            Value::List(id) => self.list(id).clone(),
            _ => List { is_open: true, ..List::default() },
        }
    }

    fn is_said(&self, item: ItemRef, name: NameId) -> bool {
        !matches!(self.source(item, name).how, How::Unsaid | How::Derived)
    }

    fn settle(&mut self, item: ItemRef, name: NameId, value: Value) {
        let how = self.source(item, name).how;
        let is_free = self.value(item, name) == Value::Unknown && !matches!(how, How::Conflict | How::Unread);
        if is_free && value != Value::Unknown {
            self.derive(item, name, value);
        }
    }

    fn settle_list(&mut self, item: ItemRef, name: NameId, list: List) {
        if self.value(item, name) == Value::Unknown {
            self.derive_list(item, name, list);
        }
    }

    fn is_listed(&self, kind: Kind) -> bool {
        self.listed.contains_key(&kind)
    }

    fn bit(&self, choice: ChoiceId, value: &str) -> u64 {
        self.vocabulary.choice(choice).and_then(|c| c.value(value)).map_or(0, |place| 1 << place.min(63))
    }
}

/// Yes or no as a value; none is unknown.
pub(super) fn yes_no(answer: Option<bool>) -> Value {
    answer.map_or(Value::Unknown, Value::YesNo)
}

/// A whole number as a value.
pub(super) fn number(n: i64) -> Value {
    Value::Number(Rational::whole(n))
}

/// A whole number between two bounds; no upper bound where there may be more.
pub(super) fn between(low: i64, high: Option<i64>) -> Value {
    match high {
        Some(high) if high == low => number(low),
        Some(high) => Value::Range(Range::between(Rational::whole(low), Rational::whole(high))),
        None => Value::Range(Range::at_least(Rational::whole(low))),
    }
}

/// Whether all possible values lie in `set`: yes, no, or not known.
pub(super) fn within(bits: u64, set: u64) -> Option<bool> {
    match (bits & set != 0, bits & !set != 0) {
        (true, false) => Some(true),
        (false, _) => Some(false),
        (true, true) => None,
    }
}

/// Something for each item of each kind.
#[derive(Clone, Debug)]
pub(super) struct PerItem<T>(Vec<Vec<T>>);

impl<T: Clone + Default> PerItem<T> {
    /// The default for every item that the shop has now.
    pub fn new(shop: &Shop) -> PerItem<T> {
        let mut all = vec![Vec::new(); KINDS];
        for (kind, column) in Kind::ALL.into_iter().zip(&mut all) {
            column.resize(shop.count(kind), T::default());
        }
        PerItem(all)
    }

    /// That of an item; none for one that came later.
    pub fn get(&self, item: ItemRef) -> Option<&T> {
        self.0.get(item.kind as usize)?.get(item.index as usize)
    }

    /// The same, to be changed.
    pub fn get_mut(&mut self, item: ItemRef) -> Option<&mut T> {
        self.0.get_mut(item.kind as usize)?.get_mut(item.index as usize)
    }
}

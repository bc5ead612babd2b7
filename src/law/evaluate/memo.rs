use super::ground::Ground;
use super::machine::Letter;
use super::moment::Now;
use super::reader::Kept;
use super::{End, Interval, Truth};
use crate::law::code::{Define, DefineId};
use crate::shop::{ItemRef, Shop};
use crate::words::{Kinds, Type};

/// What an expression comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::law) enum Out {
    /// Yes or no.
    Test(Truth),
    /// A quantity.
    Number(Interval),
    /// Values of a choice, as a bit set.
    Choice(u64),
    /// An item, where it is known.
    Item(Option<ItemRef>),
}

impl Out {
    /// Whether one value is left. Knowing more can then not change it.
    pub fn is_decided(&self) -> bool {
        match self {
            Out::Test(t) => t.is_decided(),
            Out::Number(n) => n.is_decided(),
            Out::Choice(bits) => bits.count_ones() == 1,
            Out::Item(item) => item.is_some(),
        }
    }
}

/// What defines gave: one with one item is worked out once for each item and moment, one with
/// several arguments is kept for the last of them.
///
/// A result counts only under the stamp that it was made under. The base memo keeps one stamp for
/// good; a trial with other facts moves the stamp of its own memo on. What the first of several
/// trials gave (the root) counts in the others too, where it hangs on no fact that they replace.
#[derive(Debug)]
pub(in crate::law) struct Memo {
    /// For each define, for each moment, the items' entries by pages: a message asks for one item of thousands.
    defines: Vec<Vec<Vec<Option<Page>>>>,
    /// A place has a few hundred bytes, so it comes when it is filled.
    calls: Vec<Option<Box<CallEntry>>>,
    /// What is kept for every item that a rule meets: a define, a moment and an item, and what it gave.
    giants: Vec<((DefineId, usize, usize), Entry)>,
    stamp: u32,
    root: u32,
    steps: Steps,
    /// What letters stand for while something runs: kept here since a machine is made for each item of each rule.
    pub letters: Vec<Letter>,
}

/// Most members, rows and calls that one rule may go through at one item in one moment: a list of a thousand
/// within another, and no more. Past it a list counts as open and a call as unknown, so that no pack can
/// hang the program by lists in lists or calls that double.
const RULE_STEPS_CAP: usize = 1_000_000;

/// The same for all that one memo serves. Rules that go through the longest lists of 10,000 circuits once
/// take a tenth of it.
const STEPS_CAP: usize = 300_000_000;

/// What may be gone through still.
#[derive(Debug)]
struct Steps {
    /// In this rule at this item.
    left: usize,
    /// Of it at first.
    granted: usize,
    /// In all others to come.
    later: usize,
}

impl Default for Steps {
    fn default() -> Steps {
        Steps { left: RULE_STEPS_CAP, granted: RULE_STEPS_CAP, later: STEPS_CAP }
    }
}

#[derive(Clone, Copy, Debug)]
struct Entry {
    stamp: u32,
    kept: Kept,
    out: Out,
}

type Page = Box<[Entry]>;

const PAGE: usize = 32;

const EMPTY: Entry = Entry { stamp: 0, kept: Kept { is_weak: false, from: 0, to: 0 }, out: Out::Test(Truth::Unknown) };

/// How many calls are kept; each has one place.
const CALLS: usize = 512;

/// Calls with more arguments are not kept.
const ARGUMENTS: usize = 4;

/// A call: which define, in which moment, with what arguments.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::law) struct CallKey {
    define: DefineId,
    place: usize,
    arguments: [Letter; ARGUMENTS],
}

#[derive(Clone, Copy, Debug)]
struct CallEntry {
    key: CallKey,
    entry: Entry,
}

/// A kept result, and whether it is of the first trial.
pub(in crate::law) struct Recalled {
    /// The result.
    pub out: Out,
    /// What was kept beside it.
    pub kept: Kept,
    /// Whether it is of the first trial.
    pub is_root: bool,
}

impl CallKey {
    /// None where there are too many arguments.
    pub fn new(define: DefineId, place: usize, arguments: &[Letter]) -> Option<CallKey> {
        let mut kept = [Letter::Empty; ARGUMENTS];
        kept.get_mut(..arguments.len())?.copy_from_slice(arguments);
        Some(CallKey { define, place, arguments: kept })
    }

    /// Its place among the kept calls.
    fn seat(&self) -> usize {
        let mut hash = u64::from(self.define.0).wrapping_add(self.place as u64);
        let mut add = |n: u64| hash = (hash.rotate_left(5) ^ n).wrapping_mul(0x517c_c1b7_2722_0a95);
        let end = |end: End| match end {
            End::Below => 1,
            End::NoLimit => 2,
            End::At(n) => (n.numerator() as u64).wrapping_mul(31) ^ n.denominator() as u64,
        };
        for letter in &self.arguments {
            match letter {
                Letter::Empty => add(0),
                Letter::Item(item) => add(item.map_or(1, |i| u64::from(i.index) << 8 | i.kind as u64)),
                Letter::Row(table, row) => add(u64::from(table.0) << 32 | u64::from(*row)),
                Letter::Number(n) => {
                    add(end(n.low));
                    add(end(n.high));
                }
                Letter::Choice(bits) => add(*bits),
                Letter::Test(truth) => add(*truth as u64),
            }
        }
        (hash >> 40) as usize % CALLS
    }
}

impl Memo {
    /// An empty memo. Places come when something is kept: most messages need none.
    pub fn new() -> Memo {
        Memo {
            defines: Vec::new(),
            calls: Vec::new(),
            giants: Vec::new(),
            stamp: 1,
            root: 0,
            steps: Steps::default(),
            letters: Vec::new(),
        }
    }

    /// What comes next is a rule at an item: it has steps of its own, as long as there are any.
    pub fn begin_rule(&mut self) {
        let Steps { left, granted, later } = &mut self.steps;
        *later = later.saturating_sub(granted.saturating_sub(*left));
        *granted = RULE_STEPS_CAP.min(*later);
        *left = *granted;
    }

    /// Takes steps. False where there are none left.
    #[inline]
    pub fn spend(&mut self, steps: usize) -> bool {
        self.steps.left = self.steps.left.saturating_sub(steps);
        self.steps.left > 0
    }

    /// How many steps were taken since the memo was new.
    pub fn spent(&self) -> usize {
        let Steps { left, granted, later } = &self.steps;
        STEPS_CAP.saturating_sub(*later).saturating_add(granted.saturating_sub(*left))
    }

    /// Forgets everything but the first trial.
    pub fn forget(&mut self) {
        self.stamp = self.stamp.wrapping_add(1).max(1);
    }

    /// Forgets everything. What comes next is the first trial of several.
    pub fn begin_trials(&mut self) {
        self.forget();
        self.root = self.stamp;
    }

    /// Forgets the first trial too.
    pub fn end_trials(&mut self) {
        self.forget();
        self.root = 0;
    }

    /// Forgets what is kept for every item of a rule.
    pub fn forget_giants(&mut self) {
        self.giants.clear();
    }

    /// What a define gave for an item.
    #[inline]
    pub fn get(&self, id: DefineId, place: usize, item: usize) -> Option<Recalled> {
        let page = self.defines.get(id.0 as usize)?.get(place)?.get(item / PAGE)?.as_ref()?;
        let found = self.recall(page.get(item % PAGE)?);
        if found.is_none() && !self.giants.is_empty() { self.giant((id, place, item)) } else { found }
    }

    /// It counts where a result of the first trial does.
    fn giant(&self, key: (DefineId, usize, usize)) -> Option<Recalled> {
        let (_, entry) = self.giants.iter().find(|(known, _)| *known == key)?;
        Some(Recalled { out: entry.out, kept: entry.kept, is_root: true })
    }

    /// What a call gave.
    pub fn get_call(&self, key: &CallKey) -> Option<Recalled> {
        let call = self.calls.get(key.seat())?.as_ref()?;
        if call.key == *key { self.recall(&call.entry) } else { None }
    }

    #[inline]
    fn recall(&self, entry: &Entry) -> Option<Recalled> {
        // Outside of trials there is no root: its stamp is that of an entry that was never filled.
        let is_root = self.root != 0 && entry.stamp == self.root && self.root != self.stamp;
        (entry.stamp == self.stamp || is_root).then_some(Recalled { out: entry.out, kept: entry.kept, is_root })
    }

    /// Keeps what a define gave for an item.
    pub fn put(&mut self, ground: &Ground, id: DefineId, (place, item): (usize, usize), out: Out, kept: Kept) {
        let stamp = self.stamp;
        // Where the steps are used up something may have been left out.
        if kept.is_giant() && self.steps.left > 0 {
            self.giants.push(((id, place, item), Entry { stamp, kept, out }));
        }
        if self.defines.is_empty() {
            self.defines = vec![Vec::new(); ground.code.defines.len()];
        }
        let Some(places) = self.defines.get_mut(id.0 as usize) else { return };
        if places.len() <= place {
            places.resize(place + 1, Vec::new());
        }
        let Some(pages) = places.get_mut(place) else { return };
        let count = || ground.code.define(id).map_or(0, |define| count(ground.shop, define));
        if pages.len() <= item / PAGE {
            pages.resize(count().div_ceil(PAGE), None);
        }
        let Some(page) = pages.get_mut(item / PAGE) else { return };
        let page = page.get_or_insert_with(|| {
            let before = item - item % PAGE;
            vec![EMPTY; count().saturating_sub(before).min(PAGE)].into()
        });
        if let Some(entry) = page.get_mut(item % PAGE) {
            *entry = Entry { stamp, kept, out };
        }
    }

    /// Keeps what a call gave, in the place of another.
    pub fn put_call(&mut self, key: CallKey, out: Out, kept: Kept) {
        let entry = Entry { stamp: self.stamp, kept, out };
        if self.calls.is_empty() {
            self.calls = vec![None; CALLS];
        }
        match self.calls.get_mut(key.seat()) {
            Some(Some(call)) => **call = CallEntry { key, entry },
            Some(free) => *free = Some(Box::new(CallEntry { key, entry })),
            None => {}
        }
    }
}

/// An item's place among all that a define with one item can be asked for.
#[inline]
pub(in crate::law) fn seat(shop: &Shop, define: &Define, item: ItemRef) -> usize {
    let before = kinds(define).0 & (Kinds::of(item.kind).0 - 1);
    count_of(shop, Kinds(before)) + item.index as usize
}

/// How many items a define with one item can be asked for.
fn count(shop: &Shop, define: &Define) -> usize {
    count_of(shop, kinds(define))
}

#[inline]
fn count_of(shop: &Shop, kinds: Kinds) -> usize {
    if kinds.is_empty() { 0 } else { kinds.iter().map(|kind| shop.count(kind)).sum() }
}

#[inline]
fn kinds(define: &Define) -> Kinds {
    match define.parameters.as_slice() {
        [Type::Item(kinds)] => *kinds,
        _ => Kinds::default(),
    }
}

/// A define's place in the memo for the moment that is tried.
#[inline]
pub(in crate::law) fn place(ground: &Ground, define: &Define, now: &Now) -> usize {
    ground.moments.place(now, define.turns_on_edition, define.turns_on_day)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rule at an item has a million steps, and all that one memo serves three hundred times as many; then a list counts as
    /// open at its first member.
    #[test]
    fn steps_come_to_an_end() {
        let mut memo = Memo::new();
        memo.begin_rule();
        assert!(memo.spend(RULE_STEPS_CAP - 1) && !memo.spend(1));
        for _ in 1..STEPS_CAP / RULE_STEPS_CAP {
            memo.begin_rule();
            assert!(memo.spend(RULE_STEPS_CAP - 1) && !memo.spend(1));
        }
        assert_eq!(memo.spent(), STEPS_CAP);
        memo.begin_rule();
        assert!(!memo.spend(1), "nothing is left");
    }
}

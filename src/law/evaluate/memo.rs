use super::ground::Ground;
use super::moment::Now;
use super::reader::Kept;
use super::{Interval, Truth};
use crate::law::code::{Define, DefineId};
use crate::shop::ItemRef;
use crate::words::{KINDS, Kind, Type};

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

/// What defines gave for items: a define with one item is worked out once for each item and moment.
///
/// A result counts only under the stamp that it was made under. The base memo keeps one stamp for
/// good; a trial with other facts moves the stamp of its own memo on.
#[derive(Debug, Default)]
pub(in crate::law) struct Memo {
    defines: Vec<Vec<Vec<Entry>>>,
    stamp: u32,
    /// Formulas worked out so far: what a trial may cost is counted in these.
    pub work: u64,
}

#[derive(Clone, Copy, Debug)]
struct Entry {
    stamp: u32,
    kept: Kept,
    out: Out,
}

const EMPTY: Entry = Entry { stamp: 0, kept: Kept { is_weak: false, from: 0, to: 0 }, out: Out::Test(Truth::Unknown) };

impl Memo {
    /// An empty memo.
    pub fn new(ground: &Ground) -> Memo {
        Memo { defines: vec![Vec::new(); ground.code.defines.len()], stamp: 1, work: 0 }
    }

    /// Forgets everything.
    pub fn forget(&mut self) {
        self.stamp = self.stamp.wrapping_add(1).max(1);
    }

    /// What a define gave for an item.
    #[inline]
    pub fn get(&self, id: DefineId, place: usize, item: usize) -> Option<(Out, Kept)> {
        let entry = self.defines.get(id.0 as usize)?.get(place)?.get(item)?;
        (entry.stamp == self.stamp).then_some((entry.out, entry.kept))
    }

    /// Keeps what a define gave for an item. `count` is how many items it can be asked for.
    pub fn put(&mut self, id: DefineId, place: usize, item: usize, count: usize, out: Out, kept: Kept) {
        let stamp = self.stamp;
        let Some(places) = self.defines.get_mut(id.0 as usize) else { return };
        if places.len() <= place {
            places.resize(place + 1, Vec::new());
        }
        let Some(entries) = places.get_mut(place) else { return };
        if entries.len() < count {
            entries.resize(count, EMPTY);
        }
        if let Some(entry) = entries.get_mut(item) {
            *entry = Entry { stamp, kept, out };
        }
    }
}

/// Where the items of a define's parameter stand among all that it can be asked for.
#[derive(Clone, Debug)]
pub(in crate::law) struct Seats {
    offsets: [u32; KINDS],
    /// How many items it can be asked for.
    pub count: usize,
}

impl Seats {
    pub fn of(define: &Define, shop: &crate::shop::Shop) -> Seats {
        let mut seats = Seats { offsets: [0; KINDS], count: 0 };
        if let [Type::Item(kinds)] = define.parameters.as_slice() {
            for kind in kinds.iter() {
                if let Some(offset) = seats.offsets.get_mut(kind as usize) {
                    *offset = seats.count as u32;
                }
                seats.count += shop.count(kind);
            }
        }
        seats
    }

    /// An item's place.
    #[inline]
    pub fn seat(&self, item: ItemRef) -> usize {
        self.offset(item.kind) + item.index as usize
    }

    fn offset(&self, kind: Kind) -> usize {
        self.offsets.get(kind as usize).copied().unwrap_or(0) as usize
    }
}

/// A define's place in the memo for the moment that is tried.
#[inline]
pub(in crate::law) fn place(ground: &Ground, define: &Define, now: &Now) -> usize {
    ground.moments.place(now, define.turns_on_edition, define.turns_on_day)
}

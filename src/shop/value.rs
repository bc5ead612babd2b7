use crate::quantity::Rational;
use crate::text::Span;
use crate::words::Kind;
use serde::{Deserialize, Serialize};

/// One item of the model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct ItemRef {
    /// Its kind.
    pub kind: Kind,
    /// Its place among the items of that kind.
    pub index: u32,
}

/// The possible values of one fact of one item. Small and copied: a rule reads dozens of them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Value {
    /// Any value: nobody said.
    #[default]
    Unknown,
    /// Known not to be there; only for parts.
    Absent,
    /// Yes or no.
    YesNo(bool),
    /// One number, in base units of the word's scale.
    Number(Rational),
    /// Some number between two bounds.
    Range(Range),
    /// One or several values of a choice, as a bit set: bit 3 is the fourth value.
    Choice(u64),
    /// An item.
    Item(ItemRef),
    /// A list, in [`super::Shop::list`].
    List(ListId),
    /// A proper name, in [`super::Shop::proper_name`].
    Name(u32),
}

/// Bounds of a number; none is no bound. Written `at least`, `at most`, `over`, `under`, `A to B`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Lower bound.
    pub low: Option<Rational>,
    /// Upper bound.
    pub high: Option<Rational>,
    /// Whether the lower bound itself is left out (`over`).
    pub low_is_open: bool,
    /// Whether the upper bound itself is left out (`under`).
    pub high_is_open: bool,
}

/// A list's number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ListId(pub u32);

/// Members of a list. Open until the plan closes it: what isn't said is not absent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct List {
    /// In it for sure, in the order of the plan.
    pub sure: Vec<ItemRef>,
    /// Perhaps in it: an item whose place in the relation is unsaid.
    pub possible: Vec<ItemRef>,
    /// Whether there may be members that the plan does not name.
    pub is_open: bool,
    /// For lists of a choice's values instead of items: the sure ones, as a bit set.
    pub choices: u64,
}

/// How a fact is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum How {
    /// Nobody said.
    #[default]
    Unsaid,
    /// The plan says so.
    Planned,
    /// The plan guesses so on purpose (`assume`, `about`).
    Assumed,
    /// Somebody looked (`seen`).
    Seen,
    /// Somebody measured (`measured`, `tested`).
    Measured,
    /// A paper says so (`on paper`).
    OnPaper,
    /// It follows from other facts.
    Derived,
    /// The plan speaks of it on a line that could not be read.
    Unread,
    /// The plan says two things that differ.
    Conflict,
}

/// Where a fact comes from. Kept beside the value, off the hot path.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Source {
    /// How it is known.
    pub how: How,
    /// The phrase that says so, or the line that could not be read.
    pub place: Span,
    /// The claim for many (`every box: …`, `unless said`, `all wire Cu`) that it leans on, if any.
    pub claim: Option<u32>,
    /// The day of a dated record, as days from 1970-01-01.
    pub day: Option<i32>,
}

impl Value {
    /// Whether it is one value and no more.
    pub fn is_known(self) -> bool {
        match self {
            Value::Unknown | Value::Range(_) => false,
            Value::Choice(bits) => bits.count_ones() == 1,
            _ => true,
        }
    }

    /// A single value of a choice.
    pub fn choice(value: u8) -> Value {
        Value::Choice(1 << value.min(63))
    }
}

impl Range {
    /// At least so much.
    pub fn at_least(low: Rational) -> Range {
        Range { low: Some(low), high: None, low_is_open: false, high_is_open: false }
    }

    /// At most so much.
    pub fn at_most(high: Rational) -> Range {
        Range { low: None, high: Some(high), low_is_open: false, high_is_open: false }
    }

    /// Between two, both included.
    pub fn between(low: Rational, high: Rational) -> Range {
        Range { low: Some(low), high: Some(high), low_is_open: false, high_is_open: false }
    }
}

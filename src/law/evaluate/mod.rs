//! Runs compiled rules on a shop.
//!
//! A fact is a set of possible values; a condition is yes or no only where it is so for all of
//! them. Quantities are intervals ([`Interval`]), choices bit sets, conditions a [`Truth`], lists
//! have sure and possible members and may be open. `rule` turns conditions into an outcome.

mod condition;
mod finish;
mod ground;
mod index;
mod interval;
mod judge;
mod list;
mod lookup;
mod machine;
mod memo;
mod moment;
mod number;
mod reader;
mod rule;
mod search;
mod split;
mod truth;

pub use index::TableIndex;
pub use interval::{End, Interval};
pub use judge::{Judge, Options, judge};
pub use truth::Truth;

#[cfg(test)]
mod tests;

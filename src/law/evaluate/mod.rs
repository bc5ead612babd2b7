//! Runs compiled rules on a shop.
//!
//! A fact is a set of possible values; a condition is yes or no only where it is so for all of
//! them. Quantities are intervals ([`Interval`]), choices bit sets, conditions a [`Truth`], lists
//! have sure and possible members and may be open. `rule` turns conditions into an outcome.

#![expect(
    clippy::arithmetic_side_effects,
    reason = "numbers of items, rows and steps, each of which has a limit; amounts are exact fractions, whose sums are checked"
)]

mod alike;
mod condition;
pub(in crate::law) mod cuts;
mod exact;
pub(in crate::law) mod finish;
pub(in crate::law) mod ground;
mod index;
mod interval;
mod judge;
pub(in crate::law) mod list;
pub(in crate::law) mod lookup;
pub(in crate::law) mod machine;
pub(in crate::law) mod memo;
pub(in crate::law) mod moment;
mod number;
mod quick;
pub(in crate::law) mod reader;
pub(in crate::law) mod rule;
pub(in crate::law) mod search;
pub(in crate::law) mod split;
mod truth;

pub use index::TableIndex;
pub use interval::{End, Interval};
pub use judge::{Judge, Options, judge};
pub use truth::Truth;

#[cfg(test)]
pub(in crate::law) mod tests;

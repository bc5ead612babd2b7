//! Exact numbers with dimensions, the trade's sizes, and how both are read and printed.
//!
//! No figure of a code lives here: only what a unit is, and in what order wire sizes come.

#[expect(
    clippy::arithmetic_side_effects,
    reason = "64 bits are reckoned with in 128, and what may be too many still is checked"
)]
mod rational;
mod scale;
mod size;
mod unit;

pub use rational::{Rational, Toward};
pub use scale::{Dimension, Quantity, Scale, edition_year};
pub use size::{WIRE_SIZES, trade_size_text, wire_size, wire_size_text};
pub use unit::{UNITS, Unit, day, day_text, number, unit};

//! Reading `.shop` text into [`syntax`]. pest stays inside.

#![expect(
    clippy::arithmetic_side_effects,
    reason = "positions in a text of limited size, and numbers of its lines and words"
)]

mod by_word;
mod bytes;
mod gather;
mod glued;
mod grammar;
mod near;
mod near_misses;
mod phrase;
mod read;
mod same;
mod scan;
pub mod syntax;
mod tidy;
mod wording;

pub use bytes::decode;
pub use read::{read, read_lines};
pub use same::says_the_same;
pub use tidy::tidy;

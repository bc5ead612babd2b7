//! The rule language: read, check, compile, evaluate, explain.

pub mod code;
pub mod evaluate;
mod read;
pub mod syntax;
pub mod verdict;

pub use evaluate::{Options, judge};
pub use read::read;

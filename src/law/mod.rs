//! The rule language: read, check, compile, evaluate, explain.

pub mod code;
mod read;
pub mod syntax;
pub mod verdict;

pub use read::read;

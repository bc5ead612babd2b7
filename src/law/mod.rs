//! The rule language: read, check, compile, evaluate, explain.

pub mod code;
pub mod syntax;
pub mod verdict;

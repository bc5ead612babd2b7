//! The rule language: read, check, compile, evaluate, explain.

mod builtin;
pub mod code;
mod compile;
pub mod evaluate;
mod explain;
pub mod layer;
pub mod print;
pub mod proof;
mod read;
mod ready;
pub mod syntax;
pub mod verdict;

pub use builtin::{BUILTIN_FILES, BUILTIN_LAYERS, builtin, builtin_code, builtin_examples};
pub use compile::{Demands, compile, compile_with};
pub use evaluate::{Options, judge};
pub use explain::{
    Candidate, Change, Figure, Limits, Told, edits_of, explain, figure, figure_of, message, question, question_of,
    what_answers_give, what_would_change,
};
pub use read::{BLOCKS, LAYER_WORDS, RULE_CLAUSES, read, read_layer};

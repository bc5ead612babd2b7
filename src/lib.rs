//! Ringout turns a workshop wiring plan, written as plain text, into what an inspector would ask about.

pub mod law;
pub mod packs;
pub mod plan;
pub mod quantity;
pub mod report;
pub mod shop;
pub mod text;
pub mod wiring;
pub mod words;

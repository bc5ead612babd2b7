//! `ringout rules …`.

pub mod check;
pub mod export;
mod layer;
pub mod list;
pub mod show;
pub mod try_one;
pub mod words;

use super::args::Printing;
use super::{End, output};

/// Prints what was made, and whether all went well.
fn printed(text: Result<String, serde_json::Error>, printing: &Printing, are_read: bool) -> End {
    match text {
        Ok(text) => End::of(output::print(printing, &text) && are_read),
        Err(error) => End::of(output::complain(&format!("can't print: {error}"))),
    }
}

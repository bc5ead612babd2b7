//! What each construct is read as, and what is said where it doesn't fit.

mod blocks;
mod expressions;
mod problems;

use crate::law::read;
use crate::law::syntax::Pack;
use crate::text::FileId;

/// The pack of a text without a problem.
fn pack(text: &str) -> Pack {
    let (pack, problems) = read(FileId(0), text);
    assert!(problems.is_empty(), "{text}\n{problems:#?}");
    pack
}

/// Each problem of a text: the underlined text, the message, the help.
fn problems(text: &str) -> Vec<(String, String, String)> {
    let (_, problems) = read(FileId(0), text);
    let underlined = |p: &crate::text::Problem| text[p.span.start as usize..p.span.end as usize].to_string();
    problems.iter().map(|p| (underlined(p), p.message.clone(), p.help.clone().unwrap_or_default())).collect()
}

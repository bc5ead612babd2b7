//! Whether two texts are one plan.

use super::read;
use super::syntax::{Phrase, Plan};
use crate::text::FileId;

/// Whether two plans say the same, whatever they look like: the same items with the same phrases in
/// the same order, and as many lines that can't be read.
pub fn says_the_same(one: &str, other: &str) -> bool {
    said(&read(FileId(0), one)) == said(&read(FileId(0), other))
}

/// All that a plan says, without places.
fn said(plan: &Plan) -> String {
    let mut text = format!("{} problems, {} unread\n", plan.problems.len(), plan.unread.len());
    for item in &plan.items {
        let head: Vec<_> = item.head.iter().map(|t| (t.kind, &t.text)).collect();
        text += &format!("{:?} {head:?} {:?}\n", item.keyword, item.label.as_ref().map(|t| &t.text));
        for line in &item.lines {
            text += &format!("  {}\n", said_phrases(&line.phrases));
        }
    }
    text
}

fn said_phrases(of: &[Phrase]) -> String {
    let one = |p: &Phrase| {
        let tokens: Vec<_> = p.tokens.iter().map(|t| (t.kind, &t.text)).collect();
        format!("{tokens:?} owns {:?}", p.owned.as_deref().map(said_phrases))
    };
    of.iter().map(one).collect::<Vec<_>>().join("; ")
}

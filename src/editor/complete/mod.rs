//! What may be written at a place.
//!
//! A plan's words come from the vocabulary's phrase patterns, so that a fact of a rule file is offered like any
//! other; what only code reads comes from the manual. Names come from the plan as it was understood last.

mod context;
mod expect;
mod manual;
mod names;
mod offer;
mod phrase;
mod rules;

pub use rules::of_rules;

use super::place::{Encoding, Text};
use crate::Rules;
use crate::plan::syntax::Keyword;
use crate::shop::{Shop, kind_of};
use context::{Context, Part, context};
use gen_lsp_types::{CompletionItem, CompletionItemKind};
use offer::Offer;
use std::collections::HashSet;

/// What is asked, and what is known.
pub struct Ask<'a> {
    /// The rules in force, whose words a plan may use.
    pub rules: &'a Rules,
    /// The plan as it was understood last.
    pub shop: Option<&'a Shop>,
    /// The text as it stands.
    pub text: &'a Text,
    /// Where.
    pub byte: usize,
    /// How the editor counts.
    pub encoding: Encoding,
    /// Whether the editor can lead from blank to blank.
    pub has_snippets: bool,
}

/// What a plan may say here; nothing in a comment or in quotes.
pub fn of_plan(ask: &Ask<'_>) -> Vec<CompletionItem> {
    let Some(Context { typed, part }) = context(ask.text, ask.byte) else { return Vec::new() };
    let offers = match &part {
        Part::Keyword => Keyword::ALL.iter().map(|k| keyword(*k)).collect(),
        Part::Head { keyword, words } => names::in_head(ask, *keyword, words),
        Part::List { words } => names::in_list(ask, words),
        Part::Phrase { keyword, head, owner, words } => phrase::offers(ask, *keyword, head, owner, words),
    };
    items(ask, typed, offers)
}

fn keyword(keyword: Keyword) -> Offer {
    let doc = kind_of(keyword).map_or("", |kind| kind.doc());
    Offer::word(keyword.text(), doc, CompletionItemKind::Keyword)
}

/// Each offer once, the first that is listed under its words.
fn items(ask: &Ask<'_>, typed: &str, offers: Vec<Offer>) -> Vec<CompletionItem> {
    let mut seen = HashSet::new();
    let new = offers.into_iter().filter(|o| seen.insert(o.label.clone()));
    new.collect::<Vec<_>>().into_iter().filter_map(|o| o.item(ask, typed)).collect()
}

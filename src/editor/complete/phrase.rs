//! Phrases: those that the vocabulary has for an item, and what may come behind the words that are there.

use super::expect::{Want, forms, is_number, units, wants, wire_words};
use super::manual::ROWS;
use super::offer::Offer;
use super::{Ask, names};
use crate::plan::syntax::Keyword;
use crate::shop::{How, ItemRef, Shop, hosted_kinds, kind_of};
use crate::words::{Kind, Kinds, Pattern, PhraseValue, Piece, Type, Word, patterns};
use gen_lsp_types::CompletionItemKind;

/// What may be said behind these words of an item.
pub fn offers(ask: &Ask<'_>, keyword: Keyword, head: &[&str], owner: &[&str], words: &[&str]) -> Vec<Offer> {
    let is_stretch = owner.first() == Some(&"stretch");
    let owner = if is_stretch { &[] } else { owner };
    let mut all: Vec<&str> = owner.iter().chain(words).copied().collect();
    if all.first() == Some(&"assume") {
        all.remove(0);
    }
    let kinds = if is_stretch { vec![Kind::Run] } else { kinds(ask, keyword, head) };
    let mut offers = Vec::new();
    for kind in &kinds {
        let item = ask.shop.and_then(|s| Some((s, item(s, *kind, head)?)));
        for kind in std::iter::once(kind).chain(hosted_kinds(*kind)) {
            for word in ask.rules.code.vocabulary.words().iter().filter(|w| w.kinds.has(*kind)) {
                of_word(ask, word, &all, item, &mut offers);
            }
        }
    }
    if !is_stretch {
        of_manual(ask, keyword, &kinds, &all, &mut offers);
    }
    offers
}

/// The kinds whose phrases stand here: those of the items that a record names, of the group of a claim.
fn kinds(ask: &Ask<'_>, keyword: Keyword, head: &[&str]) -> Vec<Kind> {
    match keyword {
        Keyword::Seen | Keyword::Measured => {
            let named = head.iter().filter_map(|name| Some(ask.shop?.named(name)?.kind));
            let mut kinds: Vec<Kind> = named.collect();
            kinds.sort_unstable();
            kinds.dedup();
            kinds
        }
        Keyword::Every => {
            let group = head.iter().take_while(|w| **w != "but").find_map(|w| match *w {
                "cable" | "raceway" => Some(Kind::Run),
                name => Kind::named(name),
            });
            group.into_iter().collect()
        }
        Keyword::Assume => vec![Kind::Shop],
        Keyword::Pulled => vec![Kind::Pulled],
        other => kind_of(other).into_iter().collect(),
    }
}

/// The item that the head names, to see what was said of it already.
fn item(shop: &Shop, kind: Kind, head: &[&str]) -> Option<ItemRef> {
    match kind {
        Kind::Shop => Some(Shop::SHOP),
        _ => head.first().and_then(|name| shop.named(name)).filter(|i| i.kind == kind),
    }
}

fn of_word(ask: &Ask<'_>, word: &Word, words: &[&str], item: Option<(&Shop, ItemRef)>, offers: &mut Vec<Offer>) {
    let vocabulary = &ask.rules.code.vocabulary;
    let is_said = item.is_some_and(|(shop, item)| shop.source(item, word.name).how != How::Unsaid);
    let rank = if is_said { 6 } else { 4 };
    for pattern in patterns(word, vocabulary) {
        let (negation, behind) = match words.split_first() {
            Some((&("no" | "not"), behind)) if is_deniable(&pattern) => (true, behind),
            _ => (false, words),
        };
        for want in wants(&pattern.pieces, behind, word.ty, vocabulary) {
            match want {
                Want::Pieces(pieces) if words.is_empty() => {
                    let whole = Offer::pieces(pieces, word.ty, vocabulary, &word.doc);
                    if let Some(denied) = whole.as_ref().and_then(|o| denial(ask, word, &pattern, o)) {
                        offers.push(denied.ranked(rank + 1));
                    }
                    offers.extend(whole.map(|o| o.ranked(rank)));
                }
                Want::Pieces(pieces) if !negation || !behind.is_empty() || is_deniable(&pattern) => {
                    rest(ask, word, behind, pieces, offers);
                }
                Want::Pieces(_) => {}
                Want::Unit(scale, rest) => {
                    for unit in units(scale) {
                        let shown = crate::report::shape(rest, word.ty, vocabulary);
                        let text = if shown.is_empty() { unit.to_string() } else { format!("{unit} {shown}") };
                        let is_all = rest.iter().all(|p| matches!(p, Piece::Literal(_)));
                        let offer = Offer::word(text, &word.doc, CompletionItemKind::Unit);
                        offers.push(if is_all { offer } else { Offer { plain: format!("{unit} "), ..offer } });
                    }
                }
                Want::Value(id, begun) => {
                    let all = vocabulary.choice(id).into_iter().flat_map(forms);
                    let more = all.filter_map(|form| form.strip_prefix(begun.as_str()));
                    offers.extend(more.map(|m| Offer::word(m, &word.doc, CompletionItemKind::EnumMember)));
                }
                Want::Wire { is_number: true } => {
                    offers.extend(["AWG", "kcmil"].map(|u| Offer::word(u, &word.doc, CompletionItemKind::Unit)));
                }
                Want::Wire { .. } => {
                    let kind = CompletionItemKind::EnumMember;
                    offers.extend(wire_words(vocabulary).map(|w| Offer::word(w, &word.doc, kind)));
                }
            }
        }
    }
}

/// What stands next in a pattern that was begun.
fn rest(ask: &Ask<'_>, word: &Word, words: &[&str], pieces: &[Piece], offers: &mut Vec<Offer>) {
    let vocabulary = &ask.rules.code.vocabulary;
    match (pieces.first(), word.ty) {
        (Some(Piece::Choice), Type::Choice(id) | Type::Choices(id)) => {
            let all = vocabulary.choice(id).into_iter().flat_map(forms);
            offers.extend(all.map(|form| Offer::word(form, &word.doc, CompletionItemKind::EnumMember)));
        }
        (Some(Piece::Name | Piece::Names), Type::Item(kinds) | Type::List(kinds)) => {
            offers.extend(names::of(ask, kinds));
        }
        (Some(Piece::Name | Piece::Names), Type::Name) => {}
        // A name that only stands in the phrase of a word of another type.
        (Some(Piece::Name | Piece::Names), _) => offers.extend(names::of(ask, names::behind(words))),
        (Some(_), _) => offers.extend(Offer::pieces(pieces, word.ty, vocabulary, &word.doc)),
        (None, _) => {}
    }
}

fn is_deniable(pattern: &Pattern) -> bool {
    pattern.value == Some(PhraseValue::YesNo(true)) || pattern.value.is_none()
}

/// `no GFCI`, `not accessible`: what is a feature can be denied.
fn denial(ask: &Ask<'_>, word: &Word, pattern: &Pattern, whole: &Offer) -> Option<Offer> {
    if word.ty != Type::YesNo || pattern.value != Some(PhraseValue::YesNo(true)) || whole.snippet.is_some() {
        return None;
    }
    let is_adjective = ask.rules.code.vocabulary.text(word.name).starts_with("is-");
    let no = if is_adjective { "not" } else { "no" };
    Some(Offer::word(format!("{no} {}", whole.label), format!("not so: {}", word.doc), CompletionItemKind::Property))
}

/// The manual's phrases that no pattern has: as they stand there, or what is left of them.
fn of_manual(ask: &Ask<'_>, keyword: Keyword, kinds: &[Kind], words: &[&str], offers: &mut Vec<Offer>) {
    let vocabulary = &ask.rules.code.vocabulary;
    let is_pattern = |phrase: &[&str]| {
        let hosts = kinds.iter().flat_map(|k| std::iter::once(k).chain(hosted_kinds(*k)));
        let kinds = hosts.fold(Kinds::default(), |all, k| all.and(Kinds::of(*k)));
        let own = vocabulary.words().iter().filter(|w| !w.kinds.common(kinds).is_empty());
        // The first word is enough: a pattern that begins so offers the rest itself.
        own.flat_map(|w| patterns(w, vocabulary)).any(|p| match (p.pieces.first(), phrase.first()) {
            (Some(Piece::Literal(literal)), Some(first)) => literal == first,
            _ => false,
        })
    };
    for row in ROWS.iter().filter(|r| r.is_of(keyword)) {
        for phrase in &row.phrases {
            let all: Vec<&str> = phrase.split_whitespace().collect();
            let begun = all.iter().zip(words).take_while(|(a, b)| a == b || (is_number(a) && is_number(b))).count();
            if begun < words.len() || begun >= all.len() || (words.is_empty() && is_pattern(&all)) {
                continue;
            }
            let left = all.get(begun..).unwrap_or_default().join(" ");
            offers.push(Offer::word(left, row.says, CompletionItemKind::Property).ranked(7));
        }
    }
}

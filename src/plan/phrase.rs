//! What can be said of a phrase or a head by its form alone, before anybody knows what it means.

use super::grammar::Fault;
use super::near::{Context, settle};
use super::syntax::{Keyword, Phrase, Token, TokenKind};
use super::wording as table;
use crate::text::{Problem, Span};

/// The phrases of a line in the trade's words. Those that are refused are in `faults` instead.
pub(super) fn phrases(
    keyword: Keyword,
    owner: Option<&str>,
    phrases: Vec<Phrase>,
    faults: &mut Vec<Fault>,
) -> Vec<Phrase> {
    let mut kept = Vec::with_capacity(phrases.len());
    for phrase in phrases {
        let span = phrase.span;
        match read(keyword, owner, phrase, faults) {
            Ok(phrase) => kept.push(phrase),
            Err(problem) => faults.push(Fault { problem, unread: span, in_head: false }),
        }
    }
    lists_last(kept, faults)
}

/// A list owns the rest of its line. One that comes of an owner's word, as `empty` is `holds nothing`, may stand
/// anywhere and goes behind the rest, unless another list stands there or lines hang on what does.
fn lists_last(phrases: Vec<Phrase>, faults: &mut Vec<Fault>) -> Vec<Phrase> {
    if !phrases.iter().any(|p| is_list(&p.tokens)) {
        return phrases;
    }
    let (mut lists, mut kept): (Vec<_>, Vec<_>) = phrases.into_iter().partition(|p| is_list(&p.tokens));
    let is_open = kept.last().is_some_and(|p| p.owned.is_some()) && !lists.is_empty();
    let last = if is_open { None } else { lists.pop() };
    for list in lists {
        let problem = table::second_list(list.span);
        faults.push(Fault { problem, unread: list.span, in_head: false });
    }
    kept.extend(last);
    kept
}

fn read(keyword: Keyword, owner: Option<&str>, phrase: Phrase, faults: &mut Vec<Fault>) -> Result<Phrase, Problem> {
    let Phrase { mut tokens, owned, span } = phrase;
    let is_list = is_list(&tokens);
    if let Some(first) = tokens.first_mut() {
        uncapitalize(first);
    }
    tokens = settle(if is_list { Context::List } else { Context::Phrase(keyword, owner) }, tokens)?;
    if is_list {
        list(&mut tokens)?;
        return Ok(Phrase { tokens, owned: None, span });
    }
    let Some(inner) = owned else {
        deny(&mut tokens);
        return Ok(Phrase { tokens, owned: None, span });
    };
    let own_word = tokens.first().map(|t| t.text.clone()).unwrap_or_default();
    let mut inner = phrases(keyword, Some(&own_word), inner, faults);
    let text = tokens.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
    let is_owner = table::OWNERS.iter().any(|o| text == *o || text.strip_prefix(o).is_some_and(|r| r.starts_with(' ')));
    // Names of a list behind the colon would part the phrase where their commas stand.
    let is_whole = |p: &Phrase| p.owned.is_none() && !p.tokens.iter().any(|t| t.kind == TokenKind::Comma);
    let is_bare = inner.len() == 1 && inner.iter().all(is_whole);
    let is_none = is_bare && inner.iter().all(|p| p.tokens.len() == 1 && p.tokens.iter().all(|t| t.is("none")));
    if is_none || (is_bare && !is_owner) {
        tokens.extend(inner.pop().map(|p| p.tokens).unwrap_or_default());
        // Without the colon it may be another near miss.
        tokens = settle(Context::Phrase(keyword, owner), tokens)?;
        if self::is_list(&tokens) {
            list(&mut tokens)?;
        }
        deny(&mut tokens);
        return Ok(Phrase { tokens, owned: None, span });
    }
    if !is_owner && !inner.is_empty() {
        let at = tokens.iter().map(|t| t.span).reduce(Span::to).unwrap_or(span);
        return Err(table::no_colon(at, &text));
    }
    Ok(Phrase { tokens, owned: Some(inner), span })
}

/// `main none` says `no main`.
fn deny(tokens: &mut Vec<Token>) {
    let is_denial = tokens.len() > 1
        && tokens.last().is_some_and(|t| t.is("none"))
        && tokens.iter().all(|t| t.kind == TokenKind::Word)
        && !tokens.first().is_some_and(|t| t.is("no"));
    if is_denial && let Some(none) = tokens.pop() {
        tokens.insert(0, Token { text: "no".into(), ..none });
    }
}

/// Whether these tokens begin with `feeds`, `holds` or `by way of`.
fn is_list(tokens: &[Token]) -> bool {
    let word =
        |i: usize, w: &str| tokens.get(i).is_some_and(|t| t.kind == TokenKind::Word && t.text.eq_ignore_ascii_case(w));
    word(0, "feeds") || word(0, "holds") || (word(0, "by") && word(1, "way") && word(2, "of"))
}

/// Words that may stand beside a name in a list.
const LIST_WORDS: &[&str] =
    &["then", "through", "and", "half", "of", "splice", "to", "or", "by", "way", "feeds", "holds"];

fn list(tokens: &mut Vec<Token>) -> Result<(), Problem> {
    // A comma first or last parts nothing.
    tokens.pop_if(|t| t.kind == TokenKind::Comma);
    let names = if tokens.first().is_some_and(|t| t.is("by")) { 3 } else { 1 };
    if tokens.get(names).is_some_and(|t| t.kind == TokenKind::Comma) {
        tokens.remove(names);
    }
    let opener = tokens.first().map(|t| t.text.clone()).unwrap_or_default();
    if let Some(number) = tokens.iter().find(|t| !matches!(t.kind, TokenKind::Word | TokenKind::Comma)) {
        return Err(table::number_in_list(number, &opener));
    }
    if tokens.len() <= names {
        return Err(table::empty_list(tokens, &opener));
    }
    match side_by_side(tokens, LIST_WORDS) {
        Some((first, second)) => Err(table::names_side_by_side(first, second, opener == "feeds")),
        None => Ok(()),
    }
}

fn side_by_side<'t>(tokens: &'t [Token], joining: &[&str]) -> Option<(&'t Token, &'t Token)> {
    let is_name = |t: &Token| t.kind == TokenKind::Word && !joining.contains(&t.text.as_str());
    tokens.windows(2).find_map(|two| match two {
        [a, b] if is_name(a) && is_name(b) => Some((a, b)),
        _ => None,
    })
}

/// A phone writes `Breaker 20 A` where `breaker 20 A` was meant; a tag is not all letters.
fn uncapitalize(token: &mut Token) {
    let rest = token.text.strip_prefix(|c: char| c.is_ascii_uppercase());
    let is_capitalized = rest.is_some_and(|r| r.len() > 1 && r.bytes().all(|b| b.is_ascii_lowercase() || b == b'-'));
    if token.kind == TokenKind::Word && is_capitalized {
        token.text.make_ascii_lowercase();
    }
}

/// Words that join names in a head.
const HEAD_WORDS: &[&str] = &["from", "to", "by", "way", "of", "and", "or"];

/// Words that no item may be called by. `shop`, `house` and `utility` are known names.
const RESERVED: &[&str] = &[
    "and", "or", "then", "through", "from", "to", "of", "half", "nothing", "none", "no", "not", "unknown", "unless",
    "said", "about", "over", "under", "at",
];

/// The names and joining words behind an item's first word, in the trade's words.
pub(super) fn head(keyword: Keyword, tokens: Vec<Token>) -> Result<Vec<Token>, Problem> {
    let mut tokens = settle(Context::Head(keyword), tokens)?;
    if is_free(keyword) {
        return Ok(tokens);
    }
    if !has_ends(keyword) {
        for token in tokens.iter_mut().filter(|t| t.is("and")) {
            *token = Token { kind: TokenKind::Comma, text: ",".into(), span: token.span };
        }
        drop_idle_commas(&mut tokens);
    }
    let is_name = |t: &&Token| !HEAD_WORDS.contains(&t.text.as_str());
    let words = || tokens.iter().filter(|t| t.kind == TokenKind::Word).filter(is_name);
    if let Some(stranger) = tokens.iter().find(|t| !matches!(t.kind, TokenKind::Word | TokenKind::Comma)) {
        return Err(table::no_colon_in_head(stranger, keyword));
    }
    if let Some(word) = words().find(|t| t.text.starts_with(|c: char| c.is_ascii_digit())) {
        return Err(table::no_colon_in_head(word, keyword));
    }
    let is_end = |t: &Token| has_ends(keyword) && (t.is("unknown") || t.is("shop"));
    let is_taken =
        |t: &&Token| Keyword::of(&t.text).is_some_and(|k| k != Keyword::Shop) || RESERVED.contains(&t.text.as_str());
    if let Some(word) = words().find(|t| is_taken(t) && !is_end(t)) {
        return Err(table::reserved(word));
    }
    if let Some((first, second)) = side_by_side(&tokens, HEAD_WORDS) {
        return Err(match has_ends(keyword) {
            true => table::names_side_by_side(first, second, false),
            false => table::no_colon_in_head(second, keyword),
        });
    }
    Ok(tokens)
}

/// A comma first, last, or twice in a row parts nothing.
pub(super) fn drop_idle_commas(tokens: &mut Vec<Token>) {
    let is_comma = |t: &Token| t.kind == TokenKind::Comma;
    tokens.dedup_by(|b, a| is_comma(a) && is_comma(b));
    tokens.pop_if(|t| is_comma(t));
    if tokens.first().is_some_and(is_comma) {
        tokens.remove(0);
    }
}

/// Items whose head is more than names: a day, a kind, a question.
fn is_free(keyword: Keyword) -> bool {
    use Keyword::*;
    matches!(keyword, Every | Seen | Measured | Tested | Inspected | Answer | Assume | Note | Work)
}

/// Items that go from somewhere to somewhere.
fn has_ends(keyword: Keyword) -> bool {
    matches!(keyword, Keyword::Feeder | Keyword::Run | Keyword::Circuit | Keyword::Pulled)
}

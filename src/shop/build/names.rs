//! Names: who is meant, and what to say where nobody is.

use super::Builder;
use crate::plan::syntax::{Keyword, Token, TokenKind};
use crate::shop::{Head, ItemRef, Shop};
use crate::text::{Problem, nearest};
use crate::words::{Kind, Kinds};

/// The most items that one `R1 to R9` may name.
const LONGEST_RANGE: u32 = 1000;

/// A name in a list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Named {
    Item(ItemRef),
    /// `unknown`.
    Unknown,
    /// A name that nobody defines; reported.
    Undefined,
}

impl Builder {
    /// The item of a name; a problem where there is none.
    pub fn resolve(&mut self, token: &Token) -> Named {
        match token.text.as_str() {
            "unknown" => return Named::Unknown,
            "shop" => return Named::Item(Shop::SHOP),
            name @ ("house" | "utility") => return Named::Item(self.known_supply(name, token)),
            _ => {}
        }
        match self.shop.named(&token.text) {
            Some(item) => Named::Item(item),
            None => {
                self.undefined(token);
                Named::Undefined
            }
        }
    }

    /// `house` and `utility` are known names: a plan need not define them.
    fn known_supply(&mut self, name: &str, token: &Token) -> ItemRef {
        if let Some(item) = self.shop.named(name) {
            return item;
        }
        let head = Head { name: name.to_string(), place: token.span, ..Head::default() };
        let item = self.shop.add(Kind::Supply, head);
        self.shop.call(name, item);
        item
    }

    /// Reports a name that nobody defines.
    pub fn undefined(&mut self, token: &Token) {
        if self.rank > 0 && self.left_out.contains(&token.text) {
            return;
        }
        let is_first = self.undefined.insert(token.text.clone());
        let hint = if is_first && self.undefined.len() <= 50 {
            nearest(&token.text, self.shop.tags()).map(str::to_string)
        } else {
            None
        };
        let problem = Problem::error(token.span, format!("no item is called `{}`", token.text));
        let problem = match hint {
            Some(tag) => problem.help(format!("did you mean `{tag}`?")).instead(token.span, tag),
            None => problem.help("every name that is used needs an item of its own"),
        };
        self.shop.problems.push(problem);
    }

    /// The item of a name, where it is of one of these kinds; a problem where it is not.
    pub fn resolve_kind(&mut self, token: &Token, kinds: Kinds) -> Named {
        match self.resolve(token) {
            Named::Item(item) if !kinds.has(item.kind) => {
                let problem =
                    Problem::error(token.span, format!("`{}` can't stand here: its kind is {}", token.text, item.kind))
                        .help(format!("expected the name of a {kinds}"));
                self.shop.problems.push(problem);
                Named::Undefined
            }
            named => named,
        }
    }

    /// Every name of a list: `R1, R2`, `C2 and C3`.
    pub fn resolve_all(&mut self, tokens: &[&Token], kinds: Kinds) -> Vec<(Named, crate::text::Span)> {
        let names = tokens.iter().filter(|t| t.kind == TokenKind::Word && !t.is("and"));
        names.map(|t| (self.resolve_kind(t, kinds), t.span)).collect()
    }
}

/// The names of an item's head: `R1, R2`, `R1 to R9` where ranges are allowed. The rest of the
/// tokens comes back.
pub(super) fn head_names(head: &[Token], has_ends: bool) -> (Vec<Token>, &[Token], Vec<Problem>) {
    let mut names: Vec<Token> = Vec::new();
    let mut problems = Vec::new();
    let mut at = 0;
    while let Some(token) = head.get(at) {
        let before = at.checked_sub(1).and_then(|i| head.get(i));
        let is_joined = before.is_none_or(|b| b.kind == TokenKind::Comma || b.is("and"));
        match token {
            t if t.kind == TokenKind::Comma || (t.is("and") && !names.is_empty()) => {}
            t if t.is("to") && !has_ends && !names.is_empty() => {
                let (Some(first), Some(last)) = (names.pop(), head.get(at.saturating_add(1))) else { break };
                match range(&first, last) {
                    Some(all) => names.extend(all),
                    None => {
                        problems.push(
                            Problem::error(first.span.to(last.span), "these two names don't begin and end a range")
                                .help(format!(
                                    "`R1 to R9` names nine, {LONGEST_RANGE} at most; write other names one by one"
                                )),
                        );
                        names.push(first);
                    }
                }
                at = at.saturating_add(1);
            }
            t if is_joining(t) => break,
            t if t.kind == TokenKind::Word && is_joined => names.push(t.clone()),
            _ => break,
        }
        at = at.saturating_add(1);
    }
    (names, head.get(at..).unwrap_or(&[]), problems)
}

fn is_joining(token: &Token) -> bool {
    token.kind == TokenKind::Word && matches!(token.text.as_str(), "from" | "to" | "by" | "in" | "on" | "of")
}

/// `R1 to R9` as nine names.
fn range(first: &Token, last: &Token) -> Option<Vec<Token>> {
    let split = |text: &str| {
        let digits = text.bytes().rev().take_while(u8::is_ascii_digit).count();
        let (stem, number) = text.split_at(text.len().saturating_sub(digits));
        Some((stem.to_string(), number.parse::<u32>().ok()?, number.len()))
    };
    let (stem, low, width) = split(&first.text)?;
    let (other, high, _) = split(&last.text)?;
    if stem != other || high.checked_sub(low).is_none_or(|more| more >= LONGEST_RANGE) {
        return None;
    }
    let width =
        if first.text.ends_with(&format!("{low:0width$}")) && width > low.to_string().len() { width } else { 0 };
    let name = |n| Token { text: format!("{stem}{n:0width$}"), span: first.span.to(last.span), ..first.clone() };
    Some((low..=high).map(name).collect())
}

/// Whether a word may not be a name, because the language needs it.
pub(super) fn is_reserved(word: &str) -> bool {
    Keyword::of(word).is_some()
        || matches!(
            word,
            "unknown" | "nothing" | "none" | "no" | "not" | "and" | "or" | "then" | "through" | "from" | "to" | "half"
        )
}

//! From pest's pairs to [`syntax`](super::syntax). What pest knows ends here.

use super::syntax::{Phrase, Token, TokenKind};
use super::wording;
use crate::text::{FileId, Problem, Span};
use pest::Parser;
use pest::iterators::{Pair, Pairs};

/// How deep colons may nest: `footing: steel: …`. Nobody needs three.
const DEPTH: usize = 8;

#[derive(pest_derive::Parser)]
#[grammar = "../grammar/plan.pest"]
struct PlanParser;

/// Where a line's text stands.
#[derive(Clone, Copy)]
pub(super) struct At {
    pub file: FileId,
    /// The byte of the file that the line's text begins at.
    pub start: usize,
}

impl At {
    pub fn span(self, start: usize, end: usize) -> Span {
        Span::new(self.file, self.start + start, self.start + end)
    }

    fn of(self, pair: &Pair<'_, Rule>) -> Span {
        self.span(pair.as_span().start(), pair.as_span().end())
    }
}

/// A line taken apart. Phrases that hold something unreadable are in `faults` instead.
#[derive(Default)]
pub(super) struct Parts {
    pub head: Vec<Token>,
    /// Whether a colon ends the head.
    pub has_colon: bool,
    pub phrases: Vec<Phrase>,
    /// From the first phrase to the last, readable or not.
    pub phrases_span: Option<Span>,
    /// The first byte behind the last that is no comment and no blank.
    pub end: usize,
    /// Where the comment begins, if there is one.
    pub comment: Option<usize>,
    pub faults: Vec<Fault>,
}

/// Something that can't be read: the problem, and what goes unread with it.
pub(super) struct Fault {
    pub problem: Problem,
    pub unread: Span,
    pub in_head: bool,
}

/// Takes a line at the left edge apart.
pub(super) fn item_line(at: At, line: &str) -> Result<Parts, Problem> {
    parse(at, line, Rule::item_line)
}

/// Takes a line apart that begins with a word and goes on with phrases.
pub(super) fn assumption(at: At, line: &str) -> Result<Parts, Problem> {
    parse(at, line, Rule::assumption)
}

/// Takes an indented line apart.
pub(super) fn added_line(at: At, line: &str) -> Result<Parts, Problem> {
    parse(at, line, Rule::added_line)
}

fn parse(at: At, line: &str, rule: Rule) -> Result<Parts, Problem> {
    let unreadable = || Problem::error(at.span(0, line.len()), "this line can't be read");
    // The grammar takes any text; only a limit of the parser itself can stop it.
    let root = PlanParser::parse(rule, line).map_err(|_| unreadable())?.next().ok_or_else(unreadable)?;
    let mut parts = Parts { end: line.trim_end_matches(is_blank).len(), ..Parts::default() };
    for pair in root.into_inner() {
        match pair.as_rule() {
            Rule::head | Rule::assume => parts.read_head(at, pair.into_inner()),
            Rule::colon => parts.has_colon = true,
            Rule::phrases => parts.read_phrases(at, pair.into_inner()),
            Rule::comment => {
                let start = pair.as_span().start();
                parts.comment = Some(start);
                parts.end = line.get(..start).unwrap_or("").trim_end_matches(is_blank).len();
            }
            _ => {}
        }
    }
    Ok(parts)
}

/// What the grammar takes for a blank: the tab, and blanks of any width.
pub(super) fn is_blank(c: char) -> bool {
    c == '\t' || (c.is_whitespace() && !c.is_control() && !matches!(c, '\u{2028}' | '\u{2029}'))
}

/// Phrases behind one colon, being gathered.
#[derive(Default)]
struct Level {
    phrases: Vec<Phrase>,
    /// Whether the last phrase was refused; what a colon behind it owns is then unread too.
    lost: Option<Span>,
    /// Whether a comma or nothing stands before: a colon here has no phrase to belong to.
    is_fresh: bool,
}

impl Parts {
    fn read_head(&mut self, at: At, pairs: Pairs<'_, Rule>) {
        for pair in pairs {
            let span = at.of(&pair);
            match tokens(at, pair, &mut self.head) {
                Ok(()) => {}
                Err(problem) => self.faults.push(Fault { problem, unread: span, in_head: true }),
            }
        }
    }

    fn read_phrases(&mut self, at: At, pairs: Pairs<'_, Rule>) {
        let mut levels = vec![Level { is_fresh: true, ..Level::default() }];
        for pair in pairs {
            let span = at.of(&pair);
            self.phrases_span = Some(self.phrases_span.map_or(span, |s| s.to(span)));
            let depth = levels.len();
            let Some(level) = levels.last_mut() else { return };
            match pair.as_rule() {
                Rule::comma => level.is_fresh = true,
                Rule::colon if level.is_fresh => {
                    let problem = Problem::error(span, "nothing stands before this colon")
                        .help("a colon belongs to the word before it: `clear: 36 in deep, 30 in wide`");
                    self.faults.push(Fault { problem, unread: span, in_head: false });
                }
                Rule::colon if depth > DEPTH => {
                    let problem = Problem::error(span, "too many colons inside one another")
                        .help("a colon owns the rest of its line; write the other phrases on lines of their own");
                    self.faults.push(Fault { problem, unread: span, in_head: false });
                    level.is_fresh = true;
                }
                Rule::colon => levels.push(Level { is_fresh: true, ..Level::default() }),
                _ => {
                    level.is_fresh = false;
                    let mut read = Vec::new();
                    let fault = pair.into_inner().find_map(|p| tokens(at, p, &mut read).err());
                    level.lost = fault.is_some().then_some(span);
                    match fault {
                        Some(problem) => self.faults.push(Fault { problem, unread: span, in_head: false }),
                        None if read.is_empty() => {}
                        None => level.phrases.push(Phrase { tokens: read, owned: None, span }),
                    }
                }
            }
        }
        while let Some(level) = levels.pop() {
            match levels.last_mut() {
                Some(owner) => self.close(owner, level),
                None => self.phrases = level.phrases,
            }
        }
    }

    /// Gives the phrases behind a colon to the phrase before it.
    fn close(&mut self, owner: &mut Level, level: Level) {
        let span = level.phrases.last().map(|p| p.span);
        match (owner.lost, owner.phrases.last_mut()) {
            (Some(lost), _) => {
                let unread = span.map_or(lost, |s| lost.to(s));
                let known = self.faults.iter_mut().find(|f| f.unread == lost);
                if let Some(fault) = known {
                    fault.unread = unread;
                }
            }
            (None, Some(phrase)) => {
                if let Some(span) = span {
                    phrase.span = phrase.span.to(span);
                }
                phrase.owned = Some(level.phrases);
            }
            (None, None) => {}
        }
    }
}

/// The tokens of one pair: one as a rule, two for `14'`, several for a phrase's opener.
fn tokens(at: At, pair: Pair<'_, Rule>, to: &mut Vec<Token>) -> Result<(), Problem> {
    let span = at.of(&pair);
    let text = pair.as_str();
    let kind = match pair.as_rule() {
        Rule::day => TokenKind::Day,
        Rule::number | Rule::number_part | Rule::thousands => {
            let digits: String = text.chars().filter(|c| *c != ',').map(|c| if c == '−' { '-' } else { c }).collect();
            let text = if digits.starts_with('.') { format!("0{digits}") } else { digits };
            to.push(Token { kind: TokenKind::Number, text, span });
            return Ok(());
        }
        Rule::foot_mark => {
            to.push(Token { kind: TokenKind::Word, text: "ft".into(), span });
            return Ok(());
        }
        Rule::inch_mark => {
            to.push(Token { kind: TokenKind::Word, text: "in".into(), span });
            return Ok(());
        }
        Rule::comma => {
            // A comma twice in a row parts nothing.
            if to.last().is_none_or(|t| t.kind != TokenKind::Comma) {
                to.push(Token { kind: TokenKind::Comma, text: ",".into(), span });
            }
            return Ok(());
        }
        Rule::quoted => {
            let inner = text.strip_prefix(['"', '“']).and_then(|t| t.strip_suffix(['"', '”'])).unwrap_or(text);
            to.push(Token { kind: TokenKind::Quoted, text: inner.to_string(), span });
            return Ok(());
        }
        Rule::word | Rule::gauge | Rule::by | Rule::way | Rule::of | Rule::feeds | Rule::holds => TokenKind::Word,
        Rule::opener | Rule::by_way_of | Rule::measure => {
            return pair.into_inner().try_for_each(|p| tokens(at, p, to));
        }
        Rule::colon => return Ok(()),
        Rule::open_quote => {
            return Err(Problem::error(span, "this text in quotes does not end on its line").help("close it with `\"`"));
        }
        _ => return Err(wording::stray(text, span)),
    };
    to.push(Token { kind, text: text.trim_end_matches('.').to_string(), span });
    Ok(())
}

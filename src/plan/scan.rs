//! A quick way through plain lines.
//!
//! Nearly all lines of a plan are ASCII words, whole and decimal numbers, commas and colons. They are taken
//! apart here, in a fifth of the grammar's time; a line with anything else in it is left to the grammar,
//! whole. What this gives is what the grammar gives, byte for byte, which the tests beside the grammar prove.

use super::gather::Gathered;
use super::grammar::{At, Parts};
use super::syntax::{Token, TokenKind};
use crate::text::Span;

/// A line at the left edge (`is_item`) or an indented one, taken apart; none where the grammar has to look at it.
pub(super) fn line(at: At, line: &str, is_item: bool) -> Option<Parts> {
    let mut scan = Scan { at, line, next: 0 };
    let mut parts = Parts::default();
    if is_item {
        scan.head(&mut parts)?;
    }
    if parts.has_colon || !is_item {
        scan.phrases(&mut parts)?;
    }
    parts.comment = (scan.next < line.len()).then_some(scan.next);
    parts.end_in(line);
    Some(parts)
}

struct Scan<'l> {
    at: At,
    line: &'l str,
    next: usize,
}

impl Scan<'_> {
    fn byte(&self, at: usize) -> Option<u8> {
        self.line.as_bytes().get(at).copied()
    }

    /// The byte behind blanks, not taken. Of what a `#` means, only a comment is known here.
    fn peek(&mut self) -> Option<Option<u8>> {
        while matches!(self.byte(self.next), Some(b' ' | b'\t')) {
            self.next += 1;
        }
        let byte = self.byte(self.next);
        let is_gauge = byte == Some(b'#') && self.byte(self.next + 1).is_some_and(|b| b.is_ascii_digit());
        (!is_gauge).then_some(byte)
    }

    /// A mark of one byte.
    fn mark(&mut self) -> Span {
        self.next += 1;
        self.at.span(self.next - 1, self.next)
    }

    fn head(&mut self, parts: &mut Parts) -> Option<()> {
        loop {
            match self.peek()? {
                None | Some(b'#') => return Some(()),
                Some(b',') => self.comma(&mut parts.head),
                Some(b':') => {
                    self.mark();
                    parts.has_colon = true;
                    return Some(());
                }
                Some(_) => self.part(&mut parts.head)?,
            }
        }
    }

    fn phrases(&mut self, parts: &mut Parts) -> Option<()> {
        let mut gathered = Gathered::new(parts);
        loop {
            match self.peek()? {
                None | Some(b'#') => break,
                Some(b',') => gathered.comma(self.mark()),
                Some(b':') => gathered.colon(self.mark()),
                Some(_) => {
                    let mut tokens = Vec::new();
                    let span = self.phrase(&mut tokens)?;
                    gathered.phrase(span, Ok(tokens));
                }
            }
        }
        gathered.finish();
        Some(())
    }

    fn phrase(&mut self, tokens: &mut Vec<Token>) -> Option<Span> {
        let start = self.next;
        self.part(tokens)?;
        let first = self.line.get(start..self.next)?;
        let bare = first.trim_end_matches('.');
        let is_list = ["feeds", "holds"].iter().any(|opener| bare.eq_ignore_ascii_case(opener));
        if is_list && first.ends_with('.') || bare.eq_ignore_ascii_case("by") {
            return None;
        }
        let mut end = self.next;
        loop {
            match self.peek()? {
                None | Some(b'#') => break,
                Some(b',' | b':') if !is_list => break,
                Some(b',') => self.comma(tokens),
                Some(b':') => _ = self.mark(),
                Some(_) => self.part(tokens)?,
            }
            end = self.next;
        }
        Some(self.at.span(start, end))
    }

    /// A comma twice in a row parts nothing.
    fn comma(&mut self, tokens: &mut Vec<Token>) {
        let span = self.mark();
        if tokens.last().is_none_or(|t| t.kind != TokenKind::Comma) {
            tokens.push(Token { kind: TokenKind::Comma, text: ",".into(), span });
        }
    }

    /// A word, a number or text in quotes.
    fn part(&mut self, tokens: &mut Vec<Token>) -> Option<()> {
        let start = self.next;
        let (kind, text) = match self.byte(start)? {
            b'%' => {
                self.next += 1;
                (TokenKind::Word, "%")
            }
            b'"' => {
                let inner = self.line.get(start + 1..)?.split_once('"')?.0;
                if inner.contains('\t') {
                    return None;
                }
                self.next += inner.len() + 2;
                (TokenKind::Quoted, inner)
            }
            byte if byte.is_ascii_alphanumeric() => {
                self.run();
                let run = self.line.get(start..self.next)?;
                let kind = if byte.is_ascii_digit() { self.kind_of(run)? } else { TokenKind::Word };
                if kind == TokenKind::Word && self.byte(self.next) == Some(b'.') {
                    self.next += 1;
                    if !matches!(self.byte(self.next), None | Some(b' ' | b'\t' | b',' | b':')) {
                        return None;
                    }
                }
                (kind, run)
            }
            _ => return None,
        };
        // Whatever may join on to it, or be half a quote or an inch mark, is the grammar's.
        if !matches!(self.byte(self.next), None | Some(b' ' | b'\t' | b',' | b':' | b'#' | b'%')) {
            return None;
        }
        tokens.push(Token { kind, text: text.to_string(), span: self.at.span(start, self.next) });
        Some(())
    }

    /// Letters and digits, and what stands between two of them.
    fn run(&mut self) {
        let mut at = self.next;
        while let Some(byte) = self.byte(at) {
            at += 1;
            match byte {
                _ if byte.is_ascii_alphanumeric() => self.next = at,
                b'-' | b'/' | b'.' | b'_' | b'\'' | b'+' | b'\\' => {}
                _ => return,
            }
        }
    }

    /// What letters and digits are that begin with a digit; none where it takes the grammar to say.
    fn kind_of(&self, run: &str) -> Option<TokenKind> {
        let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        if is_digits(run) {
            let is_thousands =
                self.byte(self.next) == Some(b',') && self.byte(self.next + 1).is_some_and(|b| b.is_ascii_digit());
            return (!is_thousands).then_some(TokenKind::Number);
        }
        if run.contains('\'') {
            return None;
        }
        if run.bytes().any(|b| b.is_ascii_alphabetic()) {
            return Some(TokenKind::Word);
        }
        if is_day(run) {
            return Some(TokenKind::Day);
        }
        let is_mixed = |(whole, rest)| is_digits(whole) && is_fraction(rest);
        if is_fraction(run) || run.split_once('-').is_some_and(is_mixed) {
            return Some(TokenKind::Number);
        }
        match run.split_once('/') {
            // No fraction has an even numerator over nine, nor more than two digits in it.
            Some((number, below)) if is_digits(number) && is_digits(below) => {
                let is_even = number.len() == 2 && number.bytes().last().is_some_and(|b| b % 2 == 0);
                (is_even || number.len() > 2).then_some(TokenKind::Word)
            }
            Some(_) => None,
            None => {
                let (whole, part) = run.split_once('.')?;
                (is_digits(whole) && is_digits(part)).then_some(TokenKind::Number)
            }
        }
    }
}

/// The fractions of a common tape measure; rarer ones are the grammar's.
fn is_fraction(run: &str) -> bool {
    let parts = run.split_once('/');
    let odd = |most: &[&str]| parts.is_some_and(|(above, _)| most.contains(&above));
    match parts.map(|(_, below)| below) {
        Some("2") => odd(&["1"]),
        Some("4") => odd(&["1", "3"]),
        Some("8") => odd(&["1", "3", "5", "7"]),
        Some("16") => odd(&["1", "3", "5", "7", "9", "11", "13", "15"]),
        _ => false,
    }
}

/// Whether it looks like a day: `2027-04-10`.
fn is_day(run: &str) -> bool {
    let is_at = |(at, byte): (usize, u8)| if matches!(at, 4 | 7) { byte == b'-' } else { byte.is_ascii_digit() };
    run.len() == 10 && run.bytes().enumerate().all(is_at)
}

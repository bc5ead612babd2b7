//! One clause through the grammar, and what is said where it doesn't fit. pest stays in here.

use super::Reader;
use super::expected::{self, Misfit};
use crate::text::{Span, Spanned, nearest};
use pest::Parser;
use pest::error::{ErrorVariant, InputLocation};
use pest::iterators::{Pair, Pairs};
use std::ops::Range;

#[derive(pest_derive::Parser)]
#[grammar = "grammar/rule.pest"]
pub(super) struct Grammar;

/// Deepest nesting of an expression. Rules that people can read stay below ten.
pub(super) const MAX_DEPTH: usize = 64;

/// Words that an expression follows without a bracket, and how many of them one clause may have.
const HOLDERS: [&str; 9] = ["if", "else", "any", "all", "sum", "least", "largest", "count", "rank"];
const MAX_HOLDERS: usize = 2 * MAX_DEPTH;

/// Longest clause, in bytes. The longest of the built-in pack has a tenth of it.
const MAX_CLAUSE: usize = 32 * 1024;

/// A part of a clause as the grammar found it, with its place in the file.
#[derive(Clone, Debug)]
pub(super) struct Found<'a> {
    pair: Pair<'a, Rule>,
    base: usize,
}

impl<'a> Found<'a> {
    /// The rule of the grammar that it fits.
    pub fn rule(&self) -> Rule {
        self.pair.as_rule()
    }

    /// Its text.
    pub fn text(&self) -> &'a str {
        self.pair.as_str().trim_end()
    }

    /// Its text with the blanks at its end.
    pub fn text_as_written(&self) -> &'a str {
        self.pair.as_str()
    }

    /// Its place, without the blanks that the grammar takes in at its end.
    pub fn range(&self) -> Range<usize> {
        let start = self.base + self.pair.as_span().start();
        start..start + self.text().len()
    }

    /// Its place, blanks at its end included.
    pub fn range_as_written(&self) -> Range<usize> {
        let span = self.pair.as_span();
        self.base + span.start()..self.base + span.end()
    }

    /// Its parts.
    pub fn children(&self) -> Children<'a> {
        Children { pairs: self.pair.clone().into_inner(), base: self.base }
    }
}

/// The parts of a [`Found`], one after the other, without the marks between them.
#[derive(Clone, Debug)]
pub(super) struct Children<'a> {
    pairs: Pairs<'a, Rule>,
    base: usize,
}

impl<'a> Children<'a> {
    /// The next part, if it is what is asked for.
    pub fn maybe(&mut self, rule: Rule) -> Option<Found<'a>> {
        let mut ahead = self.clone();
        let found = ahead.next().filter(|found| found.rule() == rule)?;
        *self = ahead;
        Some(found)
    }

    /// Passes over the next part if it is what is asked for, and says whether it was.
    pub fn has(&mut self, rule: Rule) -> bool {
        self.maybe(rule).is_some()
    }
}

impl<'a> Iterator for Children<'a> {
    type Item = Found<'a>;

    fn next(&mut self) -> Option<Found<'a>> {
        loop {
            let pair = self.pairs.next()?;
            if !matches!(
                pair.as_rule(),
                Rule::EOI | Rule::comma | Rule::colon | Rule::open | Rule::close | Rule::brace | Rule::dot
            ) {
                return Some(Found { pair, base: self.base });
            }
        }
    }
}

impl<'a> Reader<'a> {
    /// Reads a stretch of the file: what fits a rule of the grammar is made into what it means. Nothing
    /// comes back without a problem said, and no part of it is passed over: a condition lost here in
    /// silence would be a demand that nobody makes.
    pub(super) fn read<T>(
        &mut self,
        rule: Rule,
        range: Range<usize>,
        make: impl FnOnce(&mut Self, &mut Children<'a>) -> Option<T>,
    ) -> Option<T> {
        let mut parts = self.matched(rule, range.clone())?;
        let before = self.problems.len();
        let made = make(self, &mut parts);
        let is_whole = made.is_some() && parts.next().is_none();
        if !is_whole && !self.errors_since(before) {
            self.error(
                range,
                "this could not be taken in",
                "a fault of this program and not of the file: please report it",
            );
        }
        made.filter(|_| is_whole)
    }

    /// What fits a rule of the grammar; a misfit becomes a problem.
    fn matched(&mut self, rule: Rule, range: Range<usize>) -> Option<Children<'a>> {
        let text: &'a str = self.text.get(range.clone())?;
        if text.len() > MAX_CLAUSE {
            let line = range.start..range.start + text.find('\n').unwrap_or(text.len());
            self.error(line, "this clause is too long", "split it into named parts or a `define` of its own");
            return None;
        }
        if let Some(place) = too_deep(text) {
            self.report_depth(range.start + place.start..range.start + place.end);
            return None;
        }
        match Grammar::parse(rule, text) {
            Ok(mut pairs) => Some(Children { pairs: pairs.next()?.into_inner(), base: range.start }),
            Err(error) => {
                self.misfit(range, &error);
                None
            }
        }
    }

    /// Whether a stretch begins with what a rule of the grammar describes.
    pub(super) fn fits(&self, rule: Rule, range: Range<usize>) -> bool {
        self.text.get(range).is_some_and(|text| too_deep(text).is_none() && Grammar::parse(rule, text).is_ok())
    }

    /// A part's text and place.
    pub(super) fn name(&self, found: &Found<'a>) -> Spanned<String> {
        self.spanned(found.range())
    }

    /// A part's place.
    pub(super) fn place(&self, found: &Found<'a>) -> Span {
        self.span(found.range())
    }

    /// Says that things stand too deep in one another.
    pub(super) fn report_depth(&mut self, range: Range<usize>) {
        let message = format!("this expression is too deep: at most {MAX_DEPTH} stand in one another");
        self.error(range, message, "give a part of it a name with `define` or `term`");
    }

    fn misfit(&mut self, range: Range<usize>, error: &pest::error::Error<Rule>) {
        let (InputLocation::Pos(within) | InputLocation::Span((within, _))) = error.location;
        let ErrorVariant::ParsingError { positives, .. } = &error.variant else {
            return self.report_depth(range);
        };
        let (at, ahead) = self.past_blanks(range.start + within, range.end);
        let wanted = expected::list(positives);
        let before = self.text.get(..at).unwrap_or("");
        if ahead.is_empty() {
            let before = before.trim_end();
            let last = last_token(before);
            let place = before.len() - last.len()..before.len();
            return self.error(place, format!("something is missing after `{last}`"), format!("expected {wanted}"));
        }
        let token = first_token(ahead);
        let mut help = format!("expected {wanted}");
        if let Some(word) = nearest(token, expected::words(positives)) {
            help = format!("{help}; perhaps `{word}` is meant");
        }
        if let Some(habit) = expected::habit(&Misfit { before, token, ahead }, positives) {
            help = format!("{help}; {habit}");
        }
        self.error(at..at + token.len(), format!("`{token}` does not fit here"), help);
    }

    /// The first place from `at` on that holds neither a blank nor a comment, and the text from there.
    fn past_blanks(&self, mut at: usize, end: usize) -> (usize, &'a str) {
        loop {
            let ahead: &'a str = self.text.get(at..end).unwrap_or("");
            let trimmed = ahead.trim_start();
            at += ahead.len() - trimmed.len();
            if !trimmed.starts_with('#') {
                return (at, trimmed);
            }
            at += trimmed.find('\n').unwrap_or(trimmed.len());
        }
    }
}

/// Where brackets, or words that hold an expression, go too deep. Looked at before the grammar is
/// asked, so that no nesting reaches the stack. Words are counted, whether they nest or not.
fn too_deep(text: &str) -> Option<Range<usize>> {
    let mut depth = 0usize;
    let mut holders = 0usize;
    let mut word = 0;
    for (i, b) in text.bytes().enumerate() {
        if b.is_ascii_alphanumeric() || b == b'-' {
            continue;
        }
        holders += usize::from(text.get(word..i).is_some_and(|word| HOLDERS.contains(&word)));
        if holders > MAX_HOLDERS {
            return Some(word..i);
        }
        word = i + 1;
        match b {
            b'(' | b'{' => depth += 1,
            b')' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > MAX_DEPTH {
            return Some(i..i + 1);
        }
    }
    None
}

/// The word or the mark that a text begins with; a text in quotes whole.
fn first_token(text: &str) -> &str {
    let Some(first) = text.chars().next() else { return "" };
    let one = first.len_utf8();
    let end = if first == '"' {
        text.get(1..).and_then(|t| t.find(['"', '\n'])).map_or(text.len(), |i| i + 2)
    } else if first.is_ascii_digit() {
        text.find(|c| !is_word(c) && !matches!(c, '.' | '/')).unwrap_or(text.len())
    } else if is_word(first) {
        text.find(|c| !is_word(c)).unwrap_or(text.len())
    } else if ["==", "!=", "<>", "&&", "||", ">=", "<="].iter().any(|mark| text.starts_with(mark)) {
        2
    } else {
        one
    };
    text.get(..end).unwrap_or(text).trim_end()
}

/// The word or the mark that a text ends with.
fn last_token(text: &str) -> &str {
    let Some(last) = text.chars().next_back() else { return "" };
    if !is_word(last) {
        return text.get(text.len() - last.len_utf8()..).unwrap_or(text);
    }
    text.rsplit(|c| !is_word(c)).next().unwrap_or(text)
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '-' | '_')
}

//! Which lines belong together, told by indentation alone.

use super::Reader;
use crate::text::{Problem, Span, Spanned};
use std::ops::Range;

/// A line with something on it, its comment and the space around it cut off.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    /// Where the line itself begins.
    pub origin: usize,
    /// The first byte of its text.
    pub start: usize,
    /// One past the last byte of its text.
    pub end: usize,
}

impl Line {
    /// How far it stands from the left edge, in bytes.
    pub fn indent(&self) -> usize {
        self.start.saturating_sub(self.origin)
    }
}

/// A keyword, what follows it, and the lines that stand deeper below it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clause<'a> {
    /// Its first word, or `=`.
    pub keyword: &'a str,
    /// Where the keyword stands.
    pub span: Span,
    /// What follows the keyword on its line.
    pub head: Line,
    /// The lines below.
    pub rest: &'a [Line],
}

impl Clause<'_> {
    /// From behind the keyword to the end of its last line.
    pub fn all(&self) -> Range<usize> {
        self.head.start..self.rest.last().map_or(self.head.end, |line| line.end)
    }

    /// What follows the keyword on its own line.
    pub fn first(&self) -> Range<usize> {
        self.head.start..self.head.end
    }

    /// From the keyword to the end of its last line.
    pub fn whole(&self) -> Span {
        Span::new(self.span.file, self.span.start as usize, self.all().end)
    }

    /// Each line's text: the first, unless only the keyword stands on it, and those below. Never
    /// none, so that a clause without content is looked at and found wanting.
    pub fn each_line(&self) -> impl Iterator<Item = Range<usize>> {
        let head = Some(&self.head).filter(|head| head.start < head.end || self.rest.is_empty());
        head.into_iter().chain(self.rest).map(|line| line.start..line.end)
    }
}

/// The lines of a file that hold something.
pub(super) fn lines(text: &str, from: usize) -> Vec<Line> {
    let mut found = Vec::new();
    let mut origin = from;
    for raw in text.get(from..).unwrap_or("").split_inclusive('\n') {
        let content = uncommented(raw);
        let indent = content.len() - content.trim_start().len();
        let trimmed = content.trim();
        if !trimmed.is_empty() {
            found.push(Line { origin, start: origin + indent, end: origin + indent + trimmed.len() });
        }
        origin += raw.len();
    }
    found
}

/// The line up to its comment; `#` in quotes begins none.
fn uncommented(line: &str) -> &str {
    let mut is_quoted = false;
    for (i, b) in line.bytes().enumerate() {
        match b {
            b'"' => is_quoted = !is_quoted,
            b'#' if !is_quoted => return line.get(..i).unwrap_or(line),
            _ => {}
        }
    }
    line
}

impl<'a> Reader<'a> {
    /// Groups lines into clauses: a line that stands deeper than the first one goes on with the
    /// clause above it.
    pub(super) fn clauses<'l>(&mut self, lines: &'l [Line]) -> Vec<Clause<'l>>
    where
        'a: 'l,
    {
        let Some(margin) = lines.first().map(Line::indent) else { return Vec::new() };
        if let Some(left) = lines.iter().find(|line| line.indent() < margin) {
            let help = "give it the same indentation as the clauses that it belongs beside";
            self.error(left.start..left.end, "this line stands left of the lines above it", help);
        }
        let mut clauses = Vec::new();
        let mut rest = lines;
        while let Some((first, below)) = rest.split_first() {
            let deeper = below.iter().take_while(|line| line.indent() > margin).count();
            let (own, next) = below.split_at_checked(deeper).unwrap_or((below, &[]));
            clauses.push(self.clause(*first, own));
            rest = next;
        }
        clauses
    }

    /// The clause of a line and those below it.
    pub(super) fn clause<'l>(&self, line: Line, rest: &'l [Line]) -> Clause<'l>
    where
        'a: 'l,
    {
        let text: &'a str = self.text.get(line.start..line.end).unwrap_or("");
        let length = if text.starts_with('=') { 1 } else { text.find(char::is_whitespace).unwrap_or(text.len()) };
        let keyword = text.get(..length).unwrap_or(text);
        let behind = text.get(length..).unwrap_or("");
        let start = line.end - behind.trim_start().len();
        Clause {
            keyword,
            span: self.span(line.start..line.start + length),
            head: Line { origin: line.origin, start, end: line.end },
            rest,
        }
    }

    /// Cuts a clause where a further part begins on a line of its own: at a name, a title and a colon.
    pub(super) fn parts(&self, clause: &Clause, begins: super::Rule) -> Vec<Range<usize>> {
        let mut parts: Vec<Range<usize>> = Vec::new();
        let mut open = 0i32;
        for line in clause.each_line() {
            let text = self.text.get(line.clone()).unwrap_or("");
            match parts.last_mut() {
                Some(last) if open > 0 || !(text.contains(':') && self.fits(begins, line.clone())) => {
                    last.end = line.end;
                }
                _ => {
                    open = 0;
                    parts.push(line.clone());
                }
            }
            open += text.bytes().map(|b| i32::from(b == b'(') - i32::from(b == b')')).sum::<i32>();
        }
        parts
    }

    /// A stretch of this file.
    pub(super) fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, range.start, range.end)
    }

    /// A piece of this file and its place.
    pub(super) fn spanned(&self, range: Range<usize>) -> Spanned<String> {
        let node = self.text.get(range.clone()).unwrap_or("").to_string();
        Spanned { node, span: self.span(range) }
    }

    /// Adds a problem of a stretch of this file.
    pub(super) fn error(&mut self, range: Range<usize>, message: impl Into<String>, help: impl Into<String>) {
        self.problems.push(Problem::error(self.span(range), message).help(help));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_blank_lines_hold_nothing() {
        let text = "# head\nrule a \"b # c\" # d\n\n  why x\r\n";
        let found: Vec<_> = lines(text, 0).iter().map(|l| (l.indent(), &text[l.start..l.end])).collect();
        assert_eq!(found, [(0, "rule a \"b # c\""), (2, "why x")]);
    }
}

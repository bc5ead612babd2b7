use super::grammar::{At, is_blank};
use super::read::{parts, read};
use super::syntax::{Item, Keyword, Phrase, Plan, Token, TokenKind};
use crate::text::{FileId, Problem, Severity};
use std::collections::HashMap;

/// A plan in its one canonical form: the trade's spellings, two blanks of indentation, one blank
/// between words, comments kept. Lines stay lines, and their order stays.
///
/// Tidying twice changes nothing more, and the tidied plan says the same. A plan with lines that
/// can't be read is not touched: its problems are given instead.
pub fn tidy(text: &str) -> Result<String, Vec<Problem>> {
    let plan = read(FileId(0), text);
    if plan.problems.iter().any(|p| p.severity == Severity::Error) {
        return Err(plan.problems);
    }
    let pages = Pages::of(text);
    let written = written(&plan, &pages);
    let mut tidied = String::with_capacity(text.len());
    let mut is_blank_due = false;
    let mut comments: Vec<&str> = Vec::new();
    for (number, line) in pages.lines.iter().enumerate() {
        let comment = comment(line);
        let own = written.get(&number);
        if own.is_none() && comment.is_none() {
            is_blank_due |= !tidied.is_empty() || !comments.is_empty();
            flush(&mut comments, 0, &mut tidied);
            continue;
        }
        if is_blank_due && comments.is_empty() {
            tidied.push('\n');
            is_blank_due = false;
        }
        match (own, comment) {
            // A comment line goes with what follows.
            (None, _) => comments.push(line),
            (Some((depth, words)), comment) => {
                flush(&mut comments, *depth, &mut tidied);
                tidied.push_str(&"  ".repeat(*depth));
                tidied.push_str(words);
                if let Some(comment) = comment {
                    tidied.push_str("  ");
                    tidied.push_str(&apart(comment));
                }
                tidied.push('\n');
            }
        }
    }
    flush(&mut comments, 0, &mut tidied);
    Ok(tidied)
}

/// Comment lines, as deep as the line that they stand above, unless they stand at the left edge.
fn flush(comments: &mut Vec<&str>, depth: usize, to: &mut String) {
    for line in comments.drain(..) {
        let bare = line.trim_matches(is_blank);
        let is_indented = line.len() > line.trim_start_matches(is_blank).len();
        to.push_str(&"  ".repeat(if is_indented { depth.max(1) } else { 0 }));
        to.push_str(bare);
        to.push('\n');
    }
}

/// A comment that no longer reads as the gauge of a wire, `#12`, where it stands behind a phrase.
fn apart(comment: &str) -> String {
    match comment.strip_prefix('#') {
        Some(rest) if rest.starts_with(|c: char| c.is_ascii_digit()) => format!("# {rest}"),
        _ => comment.to_string(),
    }
}

/// The text's lines, and where each begins.
struct Pages<'t> {
    lines: Vec<&'t str>,
    starts: Vec<usize>,
}

impl<'t> Pages<'t> {
    fn of(text: &'t str) -> Pages<'t> {
        let mut pages = Pages { lines: Vec::new(), starts: Vec::new() };
        let mut start = 0;
        for line in text.split_inclusive('\n') {
            let said = if start == 0 { line.strip_prefix('\u{FEFF}').unwrap_or(line) } else { line };
            pages.starts.push(start);
            pages.lines.push(said.trim_end_matches(['\n', '\r']));
            start += line.len();
        }
        pages
    }

    /// The line that a byte is in.
    fn line_of(&self, byte: u32) -> usize {
        self.starts.partition_point(|start| *start <= byte as usize).saturating_sub(1)
    }
}

/// The comment of a line, without blanks behind.
fn comment(line: &str) -> Option<&str> {
    let bare = line.trim_start_matches(is_blank);
    if bare.starts_with('#') {
        return Some(bare.trim_end_matches(is_blank));
    }
    let start = parts(At { file: FileId(0), start: 0 }, bare, bare.len() == line.len()).ok()?.comment?;
    bare.get(start..).map(|comment| comment.trim_end_matches(is_blank))
}

/// For each line that says something: how deep it stands, and its canonical words.
type Written = HashMap<usize, (usize, String)>;

fn written(plan: &Plan, pages: &Pages<'_>) -> Written {
    let mut written = Written::new();
    for item in &plan.items {
        let own = pages.line_of(item.span.start);
        let mut text = head(item);
        let mut lines = item.lines.iter().peekable();
        if let Some(line) = lines.next_if(|l| pages.line_of(l.span.start) == own) {
            let phrases = phrases(&line.phrases, own, 1, pages, &mut written);
            if !phrases.is_empty() {
                text.push_str(if item.keyword == Keyword::Assume { " " } else { ": " });
                text.push_str(&phrases);
            }
        }
        written.insert(own, (0, text));
        for line in lines {
            let own = pages.line_of(line.span.start);
            let text = phrases(&line.phrases, own, 2, pages, &mut written);
            written.insert(own, (1, text));
        }
    }
    written
}

/// `circuit C1 "north bench" from P1`.
fn head(item: &Item) -> String {
    let at = match item.keyword {
        Keyword::Run => item.head.iter().position(|t| t.is("from")),
        Keyword::Feeder | Keyword::Circuit => item.head.iter().position(|t| t.is("from") || t.is("to") || t.is("by")),
        _ => None,
    };
    let mut tokens = item.head.clone();
    if let Some(label) = &item.label {
        tokens.insert(at.unwrap_or(tokens.len()).min(tokens.len()), label.clone());
    }
    let mut text = item.keyword.text().to_string();
    if !tokens.is_empty() {
        text.push(' ');
        text.push_str(&words(&tokens));
    }
    text
}

fn words(tokens: &[Token]) -> String {
    let mut text = String::new();
    for token in tokens {
        if !text.is_empty() && token.kind != TokenKind::Comma {
            text.push(' ');
        }
        match token.kind {
            TokenKind::Quoted => text.extend(["\"", &token.text, "\""]),
            _ => text.push_str(&token.text),
        }
    }
    text
}

/// Phrases of one line. Those that a colon owns and that stand on lines of their own are written there.
fn phrases(phrases: &[Phrase], own: usize, depth: usize, pages: &Pages<'_>, written: &mut Written) -> String {
    let mut texts = Vec::with_capacity(phrases.len());
    for phrase in phrases {
        let mut text = words(&phrase.tokens);
        if let Some(owned) = &phrase.owned {
            text.push(':');
            let behind = owned.iter().take_while(|p| pages.line_of(p.span.start) == own).count();
            let (behind, below) = owned.split_at(behind);
            if !behind.is_empty() {
                text.push(' ');
                text.push_str(&self::phrases(behind, own, depth, pages, written));
            }
            for line in below.chunk_by(|a, b| pages.line_of(a.span.start) == pages.line_of(b.span.start)) {
                let own = line.first().map_or(own, |p| pages.line_of(p.span.start));
                let text = self::phrases(line, own, depth + 1, pages, written);
                written.insert(own, (depth, text));
            }
        }
        texts.push(text);
    }
    texts.join(", ")
}

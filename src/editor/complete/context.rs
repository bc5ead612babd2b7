//! What is being written where the cursor stands: found from the lines themselves, since what is half typed
//! can't be read.

use super::super::place::Text;
use super::super::word;
use crate::plan::syntax::Keyword;

/// What is being written.
#[derive(Debug, PartialEq)]
pub struct Context<'t> {
    /// The word that the cursor stands in or behind, so far.
    pub typed: &'t str,
    /// Where it stands.
    pub part: Part<'t>,
}

/// A part of an item.
#[derive(Debug, PartialEq)]
pub enum Part<'t> {
    /// The word that begins an item.
    Keyword,
    /// Names and joining words behind it.
    Head { keyword: Keyword, words: Vec<&'t str> },
    /// A phrase: the words before the colons that own it, and its own words so far.
    Phrase { keyword: Keyword, head: Vec<&'t str>, owner: Vec<&'t str>, words: Vec<&'t str> },
    /// A list that owns the rest of its line: its words so far, `feeds` and the like first.
    List { words: Vec<&'t str> },
}

/// What is being written at a byte; none in a comment, in quotes, or below what is no item.
pub fn context(text: &Text, byte: usize) -> Option<Context<'_>> {
    let number = text.line_of(byte);
    let before = text.as_str().get(text.line_start(number)..byte)?;
    if word::aside(before) != (false, false) {
        return None;
    }
    let typed = before.rsplit(|c: char| c.is_whitespace() || matches!(c, ',' | ':' | '"')).next().unwrap_or("");
    let done = before.get(..before.len() - typed.len())?;
    let part = match indent(before) {
        0 if done.is_empty() => Part::Keyword,
        0 => on_head(done)?,
        own => below(text, number, own, done)?,
    };
    Some(Context { typed, part })
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start().len()
}

/// The parts of a head line: its first word, the words behind it, and what stands behind its colon.
struct HeadLine<'t> {
    keyword: Keyword,
    words: Vec<&'t str>,
    phrases: Option<&'t str>,
}

fn head_line(line: &str) -> Option<HeadLine<'_>> {
    let first = line.split(|c: char| c.is_whitespace() || c == ':').next()?;
    let keyword = Keyword::of(&first.to_lowercase())?;
    let rest = line.get(first.len()..)?;
    if keyword == Keyword::Assume {
        return Some(HeadLine { keyword, words: Vec::new(), phrases: Some(rest) });
    }
    let colon = marks(rest).find(|(_, c)| *c == ':').map(|(i, _)| i);
    let head = rest.get(..colon.unwrap_or(rest.len()))?;
    Some(HeadLine { keyword, words: words(head), phrases: colon.and_then(|i| rest.get(i + 1..)) })
}

fn on_head(done: &str) -> Option<Part<'_>> {
    let HeadLine { keyword, words, phrases } = head_line(done)?;
    Some(match phrases {
        None => Part::Head { keyword, words },
        Some(text) => phrase(keyword, words, Vec::new(), text),
    })
}

/// An indented line: its item stands above, and perhaps words that end in a colon and own it.
fn below<'t>(text: &'t Text, number: usize, own: usize, done: &'t str) -> Option<Part<'t>> {
    let mut least = own;
    let mut owners: Vec<Vec<&str>> = Vec::new();
    for above in (0..number).rev() {
        let line = code(text.line(above));
        if line.trim().is_empty() || indent(line) >= least {
            continue;
        }
        least = indent(line);
        if least > 0 {
            if line.ends_with(':') {
                owners.push(segment(line).0);
            }
            continue;
        }
        let HeadLine { keyword, words, phrases } = head_line(line)?;
        if line.ends_with(':')
            && let Some(text) = phrases
        {
            owners.push(segment(text).0);
        }
        let owner = owners.into_iter().rev().flatten().collect();
        return Some(phrase(keyword, words, owner, done));
    }
    None
}

fn phrase<'t>(keyword: Keyword, head: Vec<&'t str>, mut owner: Vec<&'t str>, text: &'t str) -> Part<'t> {
    let (owners, last) = segment(text);
    owner.extend(owners);
    let words = words(last);
    if is_list(&words) { Part::List { words } } else { Part::Phrase { keyword, head, owner, words } }
}

/// The words before the colons of a line, and what stands behind the last comma or colon.
fn segment(text: &str) -> (Vec<&str>, &str) {
    let (mut owner, mut start) = (Vec::new(), 0);
    for (at, mark) in marks(text) {
        let piece = text.get(start..at).unwrap_or("");
        match mark {
            ',' if is_list(&words(piece)) => continue,
            ':' => owner.extend(words(piece)),
            _ => {}
        }
        start = at + 1;
    }
    (owner, text.get(start..).unwrap_or(""))
}

fn is_list(words: &[&str]) -> bool {
    matches!(words, ["feeds" | "holds", ..] | ["by", "way", "of", ..])
}

/// Commas and colons outside of quotes.
fn marks(text: &str) -> impl Iterator<Item = (usize, char)> {
    let mut is_quoted = false;
    text.char_indices().filter(move |(_, c)| {
        is_quoted ^= matches!(c, '"' | '“' | '”');
        !is_quoted && matches!(c, ',' | ':')
    })
}

/// Words outside of quotes; a comma is one too.
fn words(text: &str) -> Vec<&str> {
    let mut all = Vec::new();
    for unquoted in text.split(['"', '“', '”']).step_by(2) {
        for word in unquoted.split_whitespace() {
            let bare = word.trim_end_matches(',');
            all.extend((!bare.is_empty()).then_some(bare));
            all.extend((bare.len() < word.len()).then_some(","));
        }
    }
    all
}

/// A line without its comment and the blanks before that.
fn code(line: &str) -> &str {
    let comment = line.char_indices().find(|(i, c)| *c == '#' && word::aside(line.get(..i + 1).unwrap_or("")).0);
    line.get(..comment.map_or(line.len(), |(i, _)| i)).unwrap_or("").trim_end()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Option<(String, String)> {
        let byte = text.find('|').unwrap();
        let text = Text::new(text.replace('|', ""));
        context(&text, byte).map(|c| (c.typed.to_string(), format!("{:?}", c.part)))
    }

    fn part(text: &str) -> String {
        at(text).map(|(_, part)| part).unwrap_or_default()
    }

    #[test]
    fn heads() {
        assert_eq!(at("box B1\npan|"), Some(("pan".into(), "Keyword".into())));
        assert_eq!(part("run P1 to |"), r#"Head { keyword: Run, words: ["P1", "to"] }"#);
        assert_eq!(part("circuit C1 \"a: b, c\" from |"), r#"Head { keyword: Circuit, words: ["C1", "from"] }"#);
        assert_eq!(at("panle P1: |"), None);
        assert_eq!(at("panel P1 \"by the |"), None);
        assert_eq!(at("panel P1  # by the |"), None);
    }

    #[test]
    fn phrases() {
        let of = |text: &str| part(text).split_once("owner: ").map(|(_, rest)| rest.to_string()).unwrap_or_default();
        assert_eq!(of("panel P1: bus 100 A, main |"), r#"[], words: ["main"] }"#);
        assert_eq!(of("panel P1\n  bus |100 A"), r#"[], words: ["bus"] }"#);
        assert_eq!(of("panel P1:\n  # a comment: with a colon:\n\n  bus |"), r#"[], words: ["bus"] }"#);
        assert_eq!(of("panel P1\n  clear: 36 in deep, 30 |"), r#"["clear"], words: ["30"] }"#);
        assert_eq!(
            of("feeder F1\n  stretch 12 ft:  # so far:\n    1 in EMT\n    under |"),
            r#"["stretch", "12", "ft"], words: ["under"] }"#
        );
        assert_eq!(of("assume breaker |"), r#"[], words: ["breaker"] }"#);
        assert_eq!(at("\n  bus |"), None, "no item stands above");
    }

    #[test]
    fn lists_own_their_commas() {
        let wanted = r#"List { words: ["feeds", "R1", "then", "R2", ","] }"#;
        assert_eq!(part("circuit C1: breaker 20 A, feeds R1 then R2, |"), wanted);
        assert_eq!(
            at("circuit C1\n  feeds R1 then north-|"),
            Some(("north-".into(), r#"List { words: ["feeds", "R1", "then"] }"#.into()))
        );
    }
}

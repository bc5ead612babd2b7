//! Matching what people type against [`near_misses`](super::near_misses), and reading or refusing it.

use super::by_word::{Anchored, ByWord};
use super::glued::{gauges, is_digits, is_size, part_glued};
use super::near_misses::{self as table, Row, Then, Where};
use super::syntax::{Keyword, Token, TokenKind};
use super::wording;
use crate::text::{Problem, Span};
use std::sync::OnceLock;

/// Where a run of tokens stands.
#[derive(Clone, Copy)]
pub(super) enum Context<'a> {
    /// A whole line at the left edge, its first word included.
    Edge,
    /// Behind an item's first word.
    Head(Keyword),
    /// Behind `feeds`, `holds`, `by way of`, opener included.
    List,
    /// A phrase of an item, perhaps behind the colon of a phrase that begins with this word.
    Phrase(Keyword, Option<&'a str>),
}

/// Gives an owner's spellings with one meaning the trade's, or refuses those with two.
pub(super) fn settle(context: Context<'_>, tokens: Vec<Token>) -> Result<Vec<Token>, Problem> {
    let mut tokens = if matches!(context, Context::List) { tokens } else { part_glued(tokens) };
    for token in &tokens {
        if token.kind == TokenKind::Day && crate::quantity::day(&token.text).is_none() {
            return Err(wording::no_such_day(token));
        }
    }
    // Each reading may open the way for another (`100 amp` to `100 A`, then `100 A service`).
    // A table row never undoes another, which a test checks; the bound is for the day one does.
    let mut found = find(context, &tokens);
    for _ in 0..32 {
        let Some(reading) = found.reading else { break };
        reading.rewrite(&mut tokens);
        found = find(context, &tokens);
    }
    match found.refusal {
        Some(found) => Err(found.refusal(&tokens)),
        None => match tokens.windows(2).find_map(|two| match two {
            [number, unit] if unit.kind == TokenKind::Word && matches!(unit.text.as_str(), "mm2" | "mm²") => {
                Some(number)
            }
            _ => None,
        }) {
            Some(number) => Err(wording::metric_wire(number, &gauges(&number.text))),
            None => Ok(tokens),
        },
    }
}

/// A row with its pattern taken apart.
struct Compiled {
    place: &'static Where,
    row: &'static Row,
    pieces: Vec<Piece>,
    at_start: bool,
    at_end: bool,
}

#[derive(Clone, Copy, PartialEq)]
enum Piece {
    /// One of these words, parted by `|`, whatever their case.
    Words(&'static str),
    /// `N`: a number.
    Number,
    /// `W`: a word.
    Word,
    /// `G`: `#4`.
    Gauge,
    /// `C`: `5-20`, a configuration without its last letter.
    Configuration,
    /// `P`: `5-20P`.
    Plug,
    /// `R`: `5-20R`.
    Receptacle,
    /// `K`: `12-2`.
    HyphenedCable,
    /// `M`: `12/2`.
    Cable,
    /// `S`: `2-2-2-4`.
    Sizes,
    /// `T`: `R1`.
    Tag,
    /// `X`: `P1-B1`.
    TwoTags,
    /// `D`: `5/2/27`.
    SlashDate,
}

struct Table {
    rows: Vec<Compiled>,
    by_word: ByWord,
    /// Rows without a fixed word, by what they begin with: a number, any word, a word with a digit or `#` in it.
    numbers: Vec<usize>,
    any: Vec<usize>,
    marked: Vec<usize>,
}

fn compiled() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        let (mut rows, mut words) = (Vec::new(), Vec::new());
        let (mut numbers, mut any, mut marked) = (Vec::new(), Vec::new(), Vec::new());
        for (place, group) in table::groups() {
            for row in *group {
                let compiled = compile(place, row);
                let index = rows.len();
                let is_fixed = |piece: &Piece| matches!(piece, Piece::Words(_));
                match compiled.pieces.iter().enumerate().find(|(_, piece)| is_fixed(piece)) {
                    Some((anchor, Piece::Words(all))) => {
                        words.extend(all.split('|').map(|word| Anchored::new(word, index as u16, anchor as u16)));
                    }
                    _ => match compiled.pieces.first() {
                        Some(Piece::Number) => numbers.push(index),
                        Some(Piece::Word) => any.push(index),
                        _ => marked.push(index),
                    },
                }
                rows.push(compiled);
            }
        }
        Table { rows, by_word: ByWord::new(words), numbers, any, marked }
    })
}

impl Table {
    /// Rows without a fixed word that may begin with this token.
    fn free(&self, token: &Token) -> impl Iterator<Item = usize> {
        let is_word = token.kind == TokenKind::Word;
        let is_marked = is_word && token.text.bytes().any(|b| b.is_ascii_digit() || b == b'#');
        let lists = [(token.kind == TokenKind::Number, &self.numbers), (is_word, &self.any), (is_marked, &self.marked)];
        lists.into_iter().filter(|(may_begin, _)| *may_begin).flat_map(|(_, list)| list.iter().copied())
    }
}

fn compile(place: &'static Where, row: &'static Row) -> Compiled {
    let (typed, at_start) = row.typed.strip_prefix('^').map_or((row.typed, false), |t| (t, true));
    let (typed, at_end) = typed.strip_suffix('$').map_or((typed, false), |t| (t, true));
    let pieces = typed.split(' ').map(|piece| match piece {
        "N" => Piece::Number,
        "W" => Piece::Word,
        "G" => Piece::Gauge,
        "C" => Piece::Configuration,
        "P" => Piece::Plug,
        "R" => Piece::Receptacle,
        "K" => Piece::HyphenedCable,
        "M" => Piece::Cable,
        "S" => Piece::Sizes,
        "T" => Piece::Tag,
        "X" => Piece::TwoTags,
        "D" => Piece::SlashDate,
        words => Piece::Words(words),
    });
    Compiled { place, row, pieces: pieces.collect(), at_start, at_end }
}

/// A row that matches tokens `start..end`.
struct Found {
    index: usize,
    row: &'static Compiled,
    start: usize,
    end: usize,
}

/// The first row that gives tokens another reading, and the first that refuses them.
#[derive(Default)]
struct First {
    reading: Option<Found>,
    refusal: Option<Found>,
}

fn find(context: Context<'_>, tokens: &[Token]) -> First {
    let table = compiled();
    let mut first = First::default();
    for (i, token) in tokens.iter().enumerate() {
        let anchored = table.by_word.of(&token.text).map(|word| (usize::from(word.index), usize::from(word.anchor)));
        for (index, anchor) in anchored.chain(table.free(token).map(|row| (row, 0))) {
            let (Some(start), Some(row)) = (i.checked_sub(anchor), table.rows.get(index)) else { continue };
            let best = if row.reads() { &mut first.reading } else { &mut first.refusal };
            if best.as_ref().is_some_and(|best| best.index <= index) || !row.may_stand(context, start) {
                continue;
            }
            if row.matches(tokens, start) {
                let found = Found { index, row, start, end: start + row.pieces.len() };
                if !row.reads() || !found.changes_nothing(tokens) {
                    *best = Some(found);
                }
            }
        }
    }
    first
}

impl Compiled {
    fn reads(&self) -> bool {
        matches!(self.row.then, Then::Read(_) | Then::Case)
    }

    fn may_stand(&self, context: Context<'_>, start: usize) -> bool {
        let is_in = || match (self.place, context) {
            (Where::Edge, Context::Edge) => true,
            (Where::Head(keywords), Context::Head(k)) => keywords.contains(&k),
            (Where::List, Context::List) => true,
            (Where::Anywhere, Context::Phrase(..)) => true,
            (Where::In(keywords), Context::Phrase(k, None)) => keywords.contains(&k),
            (Where::Under(word), Context::Phrase(_, Some(owner))) => *word == owner,
            _ => false,
        };
        (!self.at_start || start == 0) && is_in()
    }

    fn matches(&self, tokens: &[Token], start: usize) -> bool {
        let end = start + self.pieces.len();
        let Some(matched) = tokens.get(start..end) else { return false };
        (!self.at_end || end == tokens.len())
            && self.pieces.iter().zip(matched).all(|(piece, token)| piece.matches(token))
            && (!matches!(self.row.then, Then::Case) || !is_name_next(tokens, start))
    }
}

/// Whether a name stands here: `plugs into ac` names a machine, whatever `AC` means elsewhere.
fn is_name_next(tokens: &[Token], start: usize) -> bool {
    let Some(before) = start.checked_sub(1).and_then(|i| tokens.get(i)) else { return false };
    let is_unit = before.is("in")
        && start.checked_sub(2).and_then(|i| tokens.get(i)).is_some_and(|t| t.kind == TokenKind::Number);
    !is_unit && table::BEFORE_NAMES.contains(&before.text.as_str())
}

impl Piece {
    fn matches(self, token: &Token) -> bool {
        let text = token.text.as_str();
        let is_word = token.kind == TokenKind::Word;
        match self {
            Piece::Words(words) => token.kind != TokenKind::Quoted && is_one_of(words, text),
            Piece::Number => token.kind == TokenKind::Number,
            Piece::Word => is_word,
            Piece::Gauge => is_word && text.starts_with('#'),
            Piece::Configuration => is_word && is_configuration(text),
            Piece::Plug => is_word && text.strip_suffix(['P', 'p']).is_some_and(is_configuration),
            Piece::Receptacle => is_word && text.strip_suffix(['R', 'r']).is_some_and(is_configuration),
            Piece::HyphenedCable => is_word && pair(text, '-').is_some_and(|(a, b)| a.len() <= 2 && b.len() == 1),
            Piece::Cable => is_word && pair(text, '/').is_some_and(|(a, b)| a.len() <= 2 && b.len() == 1 && b != "0"),
            Piece::Sizes => is_word && text.split('-').count() > 2 && text.split('-').all(is_size),
            Piece::Tag => is_word && is_tag(text),
            Piece::TwoTags => is_word && text.split_once('-').is_some_and(|(a, b)| is_tag(a) && is_tag(b)),
            Piece::SlashDate => is_word && text.split('/').count() == 3 && text.split('/').all(is_digits),
        }
    }

    fn is_blank(self) -> bool {
        !matches!(self, Piece::Words(_))
    }
}

/// Whether a text is one of some words, whatever its case. Asked for every word of a plan some dozen times.
fn is_one_of(words: &str, text: &str) -> bool {
    let is_one = |text: &str| words.as_bytes().split(|b| *b == b'|').any(|w| w.eq_ignore_ascii_case(text.as_bytes()));
    is_one(text) || (!text.is_ascii() && is_one(&text.to_lowercase()))
}

fn pair(text: &str, by: char) -> Option<(&str, &str)> {
    text.split_once(by).filter(|(a, b)| is_digits(a) && is_digits(b))
}

fn is_configuration(text: &str) -> bool {
    let plain = text.strip_prefix(['L', 'l']).unwrap_or(text);
    pair(plain, '-').is_some_and(|(a, b)| a.len() <= 2 && b.len() == 2)
}

fn is_tag(text: &str) -> bool {
    text.strip_prefix(|c: char| c.is_ascii_uppercase()).is_some_and(|rest| is_digits(rest) && rest.len() <= 3)
}

impl Found {
    /// The tokens that stand for what was typed.
    fn reading(&self, tokens: &[Token]) -> Vec<Token> {
        let matched = tokens.get(self.start..self.end).unwrap_or(&[]);
        let span_of = |tokens: &mut dyn Iterator<Item = &Token>| tokens.map(|t| t.span).reduce(Span::to);
        let fixed = span_of(&mut matched.iter().zip(&self.row.pieces).filter(|(_, p)| !p.is_blank()).map(|(t, _)| t));
        let whole = span_of(&mut matched.iter()).unwrap_or_default();
        let span = fixed.unwrap_or(whole);
        match self.row.row.then {
            Then::Case => matched.iter().map(|t| Token { text: table::canonical(&t.text), ..t.clone() }).collect(),
            Then::Read(template) => template
                .split_whitespace()
                .map(|piece| self.piece(piece, matched).unwrap_or_else(|| made(piece, span)))
                .collect(),
            _ => matched.to_vec(),
        }
    }

    /// `{1}` or `{1}R` of a template.
    fn piece(&self, piece: &str, matched: &[Token]) -> Option<Token> {
        let (number, rest) = piece.strip_prefix('{')?.split_once('}')?;
        let token = self.blank(number.parse().ok()?, matched)?;
        let text = token.text.trim_start_matches('#');
        Some(match (rest, is_digits(text)) {
            ("", true) => Token { kind: TokenKind::Number, text: text.to_string(), span: token.span },
            _ => Token { text: format!("{text}{rest}"), ..token.clone() },
        })
    }

    /// The token that filled a blank, from 1; 0 is the first fixed word that had a choice, or the first.
    fn blank<'t>(&self, number: usize, matched: &'t [Token]) -> Option<&'t Token> {
        let pieces = || self.row.pieces.iter().zip(matched);
        let has_choice = |piece: &Piece| matches!(piece, Piece::Words(words) if words.contains('|'));
        match number.checked_sub(1) {
            Some(n) => pieces().filter(|(p, _)| p.is_blank()).nth(n),
            None => pieces().find(|(p, _)| has_choice(p)).or_else(|| pieces().find(|(p, _)| !p.is_blank())),
        }
        .map(|(_, token)| token)
    }

    fn changes_nothing(&self, tokens: &[Token]) -> bool {
        let reading = self.reading(tokens);
        let matched = tokens.get(self.start..self.end).unwrap_or(&[]);
        reading.len() == matched.len() && reading.iter().zip(matched).all(|(a, b)| a.text == b.text && a.kind == b.kind)
    }

    fn rewrite(&self, tokens: &mut Vec<Token>) {
        let reading = self.reading(tokens);
        tokens.splice(self.start..self.end, reading);
    }

    fn refusal(&self, tokens: &[Token]) -> Problem {
        let matched = tokens.get(self.start..self.end).unwrap_or(&[]);
        let typed: Vec<&str> = matched.iter().map(|t| t.text.as_str()).collect();
        let span = matched.iter().map(|t| t.span).reduce(Span::to).unwrap_or_default();
        let fill = |help: &str| {
            (0..4).fold(help.to_string(), |help, n| match self.blank(n, matched) {
                Some(token) => help.replace(&format!("{{{n}}}"), token.text.trim_start_matches('#')),
                None => help,
            })
        };
        table::refusal(&self.row.row.then, &typed.join(" "), span, &fill)
    }
}

fn made(text: &str, span: Span) -> Token {
    let kind = match text {
        "," => TokenKind::Comma,
        _ if is_digits(text) => TokenKind::Number,
        _ => TokenKind::Word,
    };
    Token { kind, text: text.to_string(), span }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::FileId;

    fn token(text: &str) -> Token {
        let kind = if is_digits(text) { TokenKind::Number } else { TokenKind::Word };
        Token { kind, text: text.to_string(), span: Span::new(FileId(0), 0, 1) }
    }

    /// What a row is about, each of its words in every spelling once.
    fn typed(row: &Compiled) -> Vec<Vec<Token>> {
        let spellings = |piece: &Piece| match piece {
            Piece::Words(words) => words.split('|').collect::<Vec<_>>(),
            Piece::Number => vec!["7"],
            Piece::Word => vec!["word"],
            Piece::Gauge => vec!["#4"],
            Piece::Configuration => vec!["5-20"],
            Piece::Plug => vec!["5-20P"],
            Piece::Receptacle => vec!["5-20r"],
            Piece::HyphenedCable => vec!["12-2"],
            Piece::Cable => vec!["12/2"],
            Piece::Sizes => vec!["2-2-2-4"],
            Piece::Tag => vec!["R1"],
            Piece::TwoTags => vec!["P1-B1"],
            Piece::SlashDate => vec!["5/2/27"],
        };
        let most = row.pieces.iter().map(|p| spellings(p).len()).max().unwrap_or(0);
        let at = |piece: &Piece, n: usize| {
            let all = spellings(piece);
            token(all[n.min(all.len() - 1)])
        };
        (0..most).map(|n| row.pieces.iter().map(|p| at(p, n)).collect()).collect()
    }

    fn context(place: &'static Where) -> Context<'static> {
        match place {
            Where::Edge => Context::Edge,
            Where::Head(keywords) => Context::Head(keywords[0]),
            Where::List => Context::List,
            Where::In(keywords) => Context::Phrase(keywords[0], None),
            Where::Under(word) => Context::Phrase(Keyword::Feeder, Some(word)),
            Where::Anywhere => Context::Phrase(Keyword::Note, None),
        }
    }

    /// No row stands in another's shadow: what it is about comes to it, once the readings that come
    /// before are made. (A canonical spelling among the words of a row changes nothing and is no find.)
    #[test]
    fn every_row_can_be_met() {
        let mut wrong = Vec::new();
        for row in &compiled().rows {
            let met = typed(row).into_iter().any(|mut tokens| {
                let context = context(row.place);
                for _ in 0..8 {
                    match find(context, &tokens).reading {
                        Some(found) if std::ptr::eq(found.row, row) => return true,
                        Some(found) => found.rewrite(&mut tokens),
                        None => break,
                    }
                }
                find(context, &tokens).refusal.is_some_and(|found| std::ptr::eq(found.row, row))
            });
            if !met {
                wrong.push(row.row.typed);
            }
        }
        assert!(wrong.is_empty(), "in the shadow of others: {wrong:#?}");
    }

    /// Reading ends: what a row reads is read again as it stands.
    #[test]
    fn readings_settle() {
        for row in &compiled().rows {
            for mut tokens in typed(row) {
                let context = context(row.place);
                let mut steps = 0;
                while let Some(found) = find(context, &tokens).reading {
                    found.rewrite(&mut tokens);
                    steps += 1;
                    assert!(steps < 8, "`{}` never settles: {tokens:?}", row.row.typed);
                }
            }
        }
    }
}

//! The phrases of a vocabulary, found by the word that they begin with.

#![expect(clippy::arithmetic_side_effects, reason = "places among the words of a line, whose length is limited")]

use super::amounts::{Amount, NoUnit, amount};
use crate::hash::{Short, ShortMap};
use crate::plan::syntax::{Token, TokenKind};
use crate::quantity::{Scale, number};
use crate::shop::Value;
use crate::text::Span;
use crate::words::{
    ChoiceId, KINDS, Kind, Kinds, NameId, Pattern, PhraseValue, Piece, Type, Vocabulary, alternatives, is_blank,
    pattern,
};
use std::fmt;
use std::hash::{BuildHasher, BuildHasherDefault};
use std::ops::Range;
use std::sync::{Arc, OnceLock};

/// Every phrase, findable. A plan meets a tenth of them, so each is taken apart when it is first met.
pub struct Index {
    pub(super) vocabulary: Arc<Vocabulary>,
    entries: Vec<Entry>,
    /// Phrases that begin with a word: its hash and the phrase, in order.
    by_first: Vec<(u64, u32)>,
    /// For each kind, phrases that begin with a blank.
    blank_first: Vec<Vec<u32>>,
    /// For each choice, what a plan may write, once somebody asked.
    forms: Vec<OnceLock<ShortMap<String, u64>>>,
}

struct Entry {
    /// The word's place in the vocabulary, and which of its phrases this is.
    word: usize,
    alternative: usize,
    kinds: Kinds,
    name: NameId,
    ty: Type,
    is_part: bool,
    /// None where it can't be understood.
    read: OnceLock<Option<Read>>,
}

/// A phrase taken apart.
struct Read {
    pieces: Vec<Piece>,
    value: Option<Value>,
}

/// A word that a phrase states.
#[derive(Clone, Debug)]
pub(super) struct Match {
    pub name: NameId,
    pub ty: Type,
    pub state: Stated,
    pub is_guess: bool,
}

/// What it states: a value, or tokens that stand for items or a wire.
#[derive(Clone, Debug)]
pub(super) enum Stated {
    Value(Value),
    Names(Range<usize>),
    Wire(Range<usize>),
}

impl fmt::Debug for Index {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} phrases", self.entries.len())
    }
}

impl Index {
    /// The phrases of a vocabulary.
    pub fn new(vocabulary: Arc<Vocabulary>) -> Index {
        let (mut entries, mut by_first, mut blank_first) = (Vec::new(), Vec::new(), vec![Vec::new(); KINDS]);
        for (place, word) in vocabulary.words().iter().enumerate() {
            for (alternative, text) in alternatives(&word.phrase).enumerate() {
                let entry = entries.len() as u32;
                match text.split_whitespace().next() {
                    Some(first) if !is_blank(first) => by_first.push((hash(first), entry)),
                    _ => word.kinds.iter().for_each(|kind| {
                        blank_first
                            .get_mut(kind as usize)
                            .into_iter()
                            .for_each(|of_kind: &mut Vec<u32>| of_kind.push(entry));
                    }),
                }
                entries.push(Entry {
                    word: place,
                    alternative,
                    kinds: word.kinds,
                    name: word.name,
                    ty: word.ty,
                    is_part: word.is_part,
                    read: OnceLock::new(),
                });
            }
        }
        by_first.sort_unstable();
        let forms = vocabulary.choices().iter().map(|_| OnceLock::new()).collect();
        Index { vocabulary, entries, by_first, blank_first, forms }
    }

    fn read_entry<'i>(&'i self, entry: &'i Entry) -> Option<&'i Read> {
        let read = || {
            let word = self.vocabulary.words().get(entry.word)?;
            let text = alternatives(&word.phrase).nth(entry.alternative)?;
            let Pattern { pieces, value } = pattern(text, word, &self.vocabulary)?;
            Some(Read { pieces, value: value.map(|v| constant(&v, word.ty)) })
        };
        entry.read.get_or_init(read).as_ref()
    }

    fn entries(&self, places: impl Iterator<Item = u32>, kind: Kind) -> impl Iterator<Item = (&Entry, &Read)> {
        let of_kind = move |place| self.entries.get(place as usize).filter(|entry: &&Entry| entry.kinds.has(kind));
        places.filter_map(of_kind).filter_map(|entry| Some((entry, self.read_entry(entry)?)))
    }

    /// Phrases of a kind that begin with this word.
    fn named<'i>(&'i self, kind: Kind, first: &'i str) -> impl Iterator<Item = (&'i Entry, &'i Read)> {
        let wanted = hash(first);
        let from = self.by_first.partition_point(|(hash, _)| *hash < wanted);
        let alike = self.by_first.get(from..).unwrap_or(&[]).iter().take_while(move |(hash, _)| *hash == wanted);
        let begins =
            move |(_, read): &(&Entry, &Read)| matches!(read.pieces.first(), Some(Piece::Literal(w)) if w == first);
        self.entries(alike.map(|(_, place)| *place), kind).filter(begins)
    }

    /// Phrases of a kind that begin with a blank.
    fn blank(&self, kind: Kind) -> impl Iterator<Item = (&Entry, &Read)> {
        self.entries(self.blank_first.get(kind as usize).into_iter().flatten().copied(), kind)
    }

    /// Every phrase of a kind, those that begin with a word before the others.
    fn all(&self, kind: Kind) -> impl Iterator<Item = (&Entry, &Read)> {
        self.entries(self.by_first.iter().map(|(_, place)| *place), kind).chain(self.blank(kind))
    }

    fn forms(&self, id: ChoiceId) -> Option<&ShortMap<String, u64>> {
        let read = || {
            let choice = self.vocabulary.choice(id);
            choice.into_iter().flat_map(|c| c.forms().filter_map(|f| Some((f.to_string(), c.bits(f)?)))).collect()
        };
        self.forms.get(id.0 as usize).map(|forms| forms.get_or_init(read))
    }

    /// Every word of a kind that these tokens state, all of them taken. `no …`, `not …`, `… not …`
    /// and `… none` deny what stands without them.
    pub(super) fn read(&self, kind: Kind, tokens: &[&Token], no_unit: &mut Option<NoUnit>) -> Vec<Match> {
        let found = self.direct(kind, tokens, no_unit);
        if !found.is_empty() {
            return found;
        }
        let denial = tokens.iter().position(|t| t.is("no") || t.is("not") || t.is("none"));
        let Some(at) = denial else { return found };
        let rest: Vec<&Token> = tokens.iter().enumerate().filter(|(i, _)| *i != at).map(|(_, t)| *t).collect();
        let mut denied: Vec<Match> =
            self.direct(kind, &rest, &mut None).into_iter().filter_map(|m| self.deny(m)).collect();
        denied.extend(self.absent(kind, &rest));
        denied
    }

    fn candidates<'i>(&'i self, kind: Kind, tokens: &'i [&Token]) -> impl Iterator<Item = (&'i Entry, &'i Read)> {
        tokens.first().into_iter().flat_map(move |t| self.named(kind, &t.text)).chain(self.blank(kind))
    }

    fn direct(&self, kind: Kind, tokens: &[&Token], no_unit: &mut Option<NoUnit>) -> Vec<Match> {
        let mut found = Vec::new();
        let mut attempt = Attempt { tokens, no_unit, first: Vec::new() };
        for (entry, read) in self.candidates(kind, tokens) {
            let mut bound = Bound::default();
            if self.fits(entry, &read.pieces, &mut attempt, 0, &mut bound) {
                let state = match read.value {
                    Some(value) => Stated::Value(value),
                    None => match bound.state {
                        Some(state) => state,
                        None => continue,
                    },
                };
                found.push(Match { name: entry.name, ty: entry.ty, state, is_guess: bound.is_guess });
            }
        }
        found
    }

    fn deny(&self, m: Match) -> Option<Match> {
        match m.state {
            Stated::Value(Value::YesNo(yes)) => Some(Match { state: Stated::Value(Value::YesNo(!yes)), ..m }),
            _ => None,
        }
    }

    /// Parts whose phrase begins with exactly these words: `no horsepower`, `no overload`.
    fn absent(&self, kind: Kind, tokens: &[&Token]) -> Option<Match> {
        let (entry, _) = self.candidates(kind, tokens).find(|(e, read)| {
            let words: Vec<&str> = read
                .pieces
                .iter()
                .map_while(|p| if let Piece::Literal(w) = p { Some(w.as_str()) } else { None })
                .collect();
            e.is_part && !words.is_empty() && words.iter().eq(tokens.iter().map(|t| &t.text))
        })?;
        Some(Match { name: entry.name, ty: entry.ty, state: Stated::Value(Value::Absent), is_guess: false })
    }

    fn fits(&self, entry: &Entry, pieces: &[Piece], attempt: &mut Attempt<'_>, at: usize, bound: &mut Bound) -> bool {
        let tokens = attempt.tokens;
        let Some((piece, rest)) = pieces.split_first() else { return at == tokens.len() };
        match piece {
            Piece::Literal(word) => {
                tokens.get(at).is_some_and(|t| t.text == *word) && self.fits(entry, rest, attempt, at + 1, bound)
            }
            Piece::Amount(scale) => attempt.amount(at, *scale).is_some_and(|a| {
                bound.state = Some(Stated::Value(a.value));
                bound.is_guess = a.is_guess;
                self.fits(entry, rest, attempt, a.next, bound)
            }),
            Piece::AnyAmount => {
                amount(tokens, at, None, &mut None).is_some_and(|a| self.fits(entry, rest, attempt, a.next, bound))
            }
            Piece::Choice => {
                let (Type::Choice(id) | Type::Choices(id)) = entry.ty else { return false };
                let is_list = matches!(entry.ty, Type::Choices(_));
                self.choices(id, tokens, at, is_list).into_iter().any(|(bits, next)| {
                    bound.state = Some(Stated::Value(Value::Choice(bits)));
                    self.fits(entry, rest, attempt, next, bound)
                })
            }
            Piece::Name => {
                tokens.get(at).is_some_and(|t| t.kind == TokenKind::Word) && {
                    let next = if entry.ty == Type::Name && rest.is_empty() { tokens.len() } else { at + 1 };
                    bound.state = Some(Stated::Names(at..next));
                    self.fits(entry, rest, attempt, next, bound)
                }
            }
            Piece::Names => {
                at < tokens.len() && {
                    bound.state = Some(Stated::Names(at..tokens.len()));
                    rest.is_empty()
                }
            }
            Piece::Wire => {
                at < tokens.len() && rest.is_empty() && {
                    bound.state = Some(Stated::Wire(at..tokens.len()));
                    self.wire_text(tokens, at).next == tokens.len()
                }
            }
        }
    }

    /// Readings of choice values from a token on, the longest first: `wood`, `LFMC or LFNC`.
    pub(super) fn choices(&self, id: ChoiceId, tokens: &[&Token], at: usize, is_list: bool) -> Vec<(u64, usize)> {
        let mut readings = Vec::new();
        for (bits, next) in self.values(id, tokens, at) {
            let joined = tokens.get(next).is_some_and(|t| t.is("or") || (is_list && t.is("and")));
            if joined {
                readings.extend(self.choices(id, tokens, next + 1, is_list).into_iter().map(|(b, n)| (b | bits, n)));
            }
            readings.push((bits, next));
        }
        readings
    }

    fn values(&self, id: ChoiceId, tokens: &[&Token], at: usize) -> Vec<(u64, usize)> {
        let mut found = Vec::new();
        let mut text = String::new();
        let forms = self.forms(id);
        for (i, token) in tokens.iter().enumerate().skip(at).take(5) {
            if !matches!(token.kind, TokenKind::Word | TokenKind::Number) {
                break;
            }
            if !text.is_empty() {
                text.push('-');
            }
            text.push_str(&token.text);
            if let Some(bits) = forms.and_then(|f| f.get(&text)) {
                found.push((*bits, i + 1));
            }
        }
        found.reverse();
        found
    }

    /// The one value that all these tokens are.
    pub(super) fn choice(&self, id: ChoiceId, tokens: &[&Token]) -> Option<u64> {
        self.choices(id, tokens, 0, false).into_iter().find(|(_, next)| *next == tokens.len()).map(|(bits, _)| bits)
    }

    /// What one word may stand for.
    pub(super) fn form(&self, id: ChoiceId, text: &str) -> Option<u64> {
        self.forms(id)?.get(text).copied()
    }

    /// What a plan may write for a choice.
    pub(super) fn known(&self, id: ChoiceId) -> impl Iterator<Item = &str> {
        self.forms(id).into_iter().flat_map(ShortMap::keys).map(String::as_str)
    }

    /// How the phrases look that begin with this one's first word: `under lawn`, `breaker 20 A`.
    pub(super) fn shapes(&self, kind: Kind, tokens: &[&Token]) -> Vec<String> {
        let first = tokens.first().map_or("", |t| t.text.as_str());
        let mut shapes: Vec<String> = self.named(kind, first).flat_map(|(e, read)| self.shape(e, read)).collect();
        shapes.sort();
        shapes.dedup();
        shapes
    }

    /// A phrase of a kind that ends with this word, as it looks.
    pub(super) fn ending(&self, kind: Kind, last: &str) -> Option<String> {
        let ends =
            |(_, read): &(&Entry, &Read)| matches!(read.pieces.last(), Some(Piece::Literal(word)) if word == last);
        let (entry, read) = self.all(kind).filter(ends).min_by_key(|(e, _)| (e.name, e.alternative))?;
        self.shape(entry, read).into_iter().next()
    }

    /// The shortest phrases of a kind that hold all these words, as they look.
    pub(super) fn holding(&self, kind: Kind, words: &[&str]) -> Vec<String> {
        let holds = |shape: &String| words.iter().all(|word| shape.split(' ').any(|w| w == *word));
        let mut shapes: Vec<String> = self.all(kind).flat_map(|(e, read)| self.shape(e, read)).filter(holds).collect();
        let length = |shape: &String| shape.split(' ').count();
        let least = shapes.iter().map(length).min();
        shapes.retain(|shape| Some(length(shape)) == least);
        shapes.sort();
        shapes.dedup();
        shapes
    }

    /// A phrase with an example in each blank, one for each value of a choice.
    fn shape(&self, entry: &Entry, read: &Read) -> Vec<String> {
        let mut shapes = vec![String::new()];
        for piece in &read.pieces {
            let words: Vec<&str> = match piece {
                Piece::Literal(word) => vec![word],
                Piece::Amount(scale) => vec![sample(*scale)],
                Piece::AnyAmount => vec!["20"],
                Piece::Name => vec!["NAME"],
                Piece::Names => vec!["NAMES"],
                Piece::Wire => vec!["6 AWG Cu"],
                Piece::Choice => match entry.ty {
                    Type::Choice(id) | Type::Choices(id) => self.known(id).collect(),
                    _ => Vec::new(),
                },
            };
            shapes = shapes
                .iter()
                .flat_map(|s| words.iter().map(move |w| if s.is_empty() { w.to_string() } else { format!("{s} {w}") }))
                .collect();
        }
        shapes
    }

    /// Words that phrases of a kind begin with, each once, for hints.
    pub(super) fn firsts(&self, kind: Kind) -> Vec<&str> {
        let firsts = self.all(kind).flat_map(|(entry, read)| match (read.pieces.first(), entry.ty) {
            (Some(Piece::Literal(word)), _) => vec![word.as_str()],
            (Some(Piece::Choice), Type::Choice(id) | Type::Choices(id)) => self.known(id).collect(),
            _ => Vec::new(),
        });
        let mut firsts: Vec<&str> = firsts.collect();
        firsts.sort_unstable();
        firsts.dedup();
        firsts
    }

    /// Words that a phrase beginning so might have stated.
    pub(super) fn names_behind<'i>(&'i self, kind: Kind, first: &'i str) -> impl Iterator<Item = NameId> {
        self.named(kind, first).map(|(entry, _)| entry.name)
    }

    /// Whether some phrase of the kind begins with this word.
    pub(super) fn begins(&self, kind: Kind, first: &str) -> bool {
        self.named(kind, first).next().is_some()
    }
}

fn hash(word: &str) -> u64 {
    BuildHasherDefault::<Short>::default().hash_one(word)
}

/// An amount as it might stand in a phrase.
fn sample(scale: Scale) -> &'static str {
    use crate::quantity::Dimension as D;
    match scale {
        Scale::NUMBER => "2",
        Scale::Ratio(D::LENGTH) => "36 in",
        Scale::Ratio(D::CURRENT) => "20 A",
        Scale::Ratio(D::VOLTAGE) => "240 V",
        Scale::Ratio(D::POWER) => "80 W",
        Scale::Ratio(D::VOLUME) => "18 in3",
        Scale::Ratio(D::AREA) => "1800 ft2",
        Scale::Ratio(D::RESISTANCE) => "25 ohm",
        Scale::Ratio(D::ANGLE) => "90 deg",
        Scale::Ratio(D::HORSEPOWER) => "5 hp",
        Scale::Ratio(D::TORQUE) => "35 in-lb",
        Scale::Ratio(_) => "AMOUNT",
        Scale::Temperature => "104 F",
        Scale::Date => "2027-04-10",
        Scale::Edition => "NEC 2023",
        Scale::WireSize => "12 AWG",
        Scale::TradeSize => "3/4 in",
    }
}

/// Some tokens that many phrases are held against.
struct Attempt<'t> {
    tokens: &'t [&'t Token],
    no_unit: &'t mut Option<NoUnit>,
    /// What they begin with, by scale: a dozen phrases ask for each.
    first: Vec<(Scale, Option<Amount>)>,
}

impl Attempt<'_> {
    fn amount(&mut self, at: usize, scale: Scale) -> Option<Amount> {
        let known = self.first.iter().find(|(known, _)| at == 0 && *known == scale);
        if let Some((_, amount)) = known {
            return *amount;
        }
        let amount = amount(self.tokens, at, Some(scale), self.no_unit);
        if at == 0 {
            self.first.push((scale, amount));
        }
        amount
    }
}

#[derive(Default)]
struct Bound {
    state: Option<Stated>,
    is_guess: bool,
}

fn constant(value: &PhraseValue, ty: Type) -> Value {
    match (value, ty) {
        (PhraseValue::YesNo(yes), _) => Value::YesNo(*yes),
        (PhraseValue::Absent, _) => Value::Absent,
        (PhraseValue::Choice(place), _) => Value::choice(*place),
        (PhraseValue::Amount(text), Type::Quantity(scale)) => written(text, scale),
        (PhraseValue::Amount(_), _) => Value::Unknown,
    }
}

/// An amount behind `=`, read like one in a plan: `0 in`, `at least 1`.
fn written(text: &str, scale: Scale) -> Value {
    let token = |word: &str| {
        let kind = if number(word).is_some() { TokenKind::Number } else { TokenKind::Word };
        Token { kind, text: word.to_string(), span: Span::default() }
    };
    let tokens: Vec<Token> = text.split_whitespace().map(token).collect();
    let tokens: Vec<&Token> = tokens.iter().collect();
    amount(&tokens, 0, Some(scale), &mut None).filter(|a| a.next == tokens.len()).map_or(Value::Unknown, |a| a.value)
}

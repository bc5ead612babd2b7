use super::{Ordinary, Type, Vocabulary, Word};
use crate::quantity::Scale;

/// One way to state a fact in a plan, out of a word's `phrase`.
///
/// The notation, the same in [`super::core`] and behind `phrase` in a rule file: alternatives are
/// parted by ` / `; each is words and blanks, then perhaps `= VALUE`. Blanks: `AMOUNT` (a number
/// with a unit of the word's type, loose forms too), `CHOICE` (a value of its choice), `NAME`
/// (an item), `NAMES` (items), `WIRE` (a size, metal and insulation). `= VALUE` is `yes`, `no`,
/// `none` (absent), a value of the choice, or an amount: `AMOUNT out / flush = 0 in`.
/// A yes/no phrase without it means yes, and `no …` or `not …` before it means no. `AMOUNT` in a
/// phrase of a word that is no quantity stands for an amount that another word takes:
/// `AMOUNT square = square`.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Its words and blanks, in order.
    pub pieces: Vec<Piece>,
    /// What it states, where the blanks don't.
    pub value: Option<PhraseValue>,
}

/// A word or a blank of a [`Pattern`].
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// This word, as it stands.
    Literal(String),
    /// An amount on this scale.
    Amount(Scale),
    /// An amount on any scale, which another word takes.
    AnyAmount,
    /// A value of the word's choice.
    Choice,
    /// The name of an item.
    Name,
    /// Names of items.
    Names,
    /// A wire.
    Wire,
}

/// What a pattern without a blank states.
#[derive(Clone, Debug, PartialEq)]
pub enum PhraseValue {
    /// Yes or no.
    YesNo(bool),
    /// The thing is absent.
    Absent,
    /// A value of the choice.
    Choice(u8),
    /// An amount, as written, to be read like one in a plan.
    Amount(String),
}

/// The patterns of a word. An alternative that can't be understood is left out; `rules check`
/// and a test over the core table compare the counts.
pub fn patterns(word: &Word, vocabulary: &Vocabulary) -> Vec<Pattern> {
    alternatives(&word.phrase).filter_map(|text| pattern(text, word, vocabulary)).collect()
}

/// The alternatives of a phrase, as written.
pub fn alternatives(phrase: &str) -> impl Iterator<Item = &str> {
    phrase.split(" / ").filter(|text| !text.trim().is_empty())
}

/// Whether a word of a phrase is a blank.
pub fn is_blank(word: &str) -> bool {
    matches!(word, "AMOUNT" | "CHOICE" | "NAME" | "NAMES" | "WIRE")
}

/// One alternative of a word's phrase; none where it can't be understood.
pub fn pattern(text: &str, word: &Word, vocabulary: &Vocabulary) -> Option<Pattern> {
    let (words, value) = match text.split_once(" = ") {
        Some((words, value)) => (words, Some(value.trim())),
        None => (text, None),
    };
    let pieces: Vec<Piece> = words
        .split_whitespace()
        .map(|w| match (w, word.ty) {
            ("AMOUNT", Type::Quantity(scale)) => Some(Piece::Amount(scale)),
            ("AMOUNT", _) => Some(Piece::AnyAmount),
            ("CHOICE", Type::Choice(_) | Type::Choices(_)) => Some(Piece::Choice),
            ("CHOICE", _) => None,
            ("NAME", _) => Some(Piece::Name),
            ("NAMES", _) => Some(Piece::Names),
            ("WIRE", _) => Some(Piece::Wire),
            (w, _) => Some(Piece::Literal(w.to_string())),
        })
        .collect::<Option<_>>()?;
    let has_blank = pieces.iter().any(|p| !matches!(p, Piece::Literal(_) | Piece::AnyAmount));
    let value = match (value, word.ty) {
        (Some("none"), _) if word.is_part => Some(PhraseValue::Absent),
        (Some("yes"), Type::YesNo) => Some(PhraseValue::YesNo(true)),
        (Some("no"), Type::YesNo) => Some(PhraseValue::YesNo(false)),
        (None, Type::YesNo) => Some(PhraseValue::YesNo(true)),
        (Some(v), Type::Choice(id) | Type::Choices(id)) => {
            Some(PhraseValue::Choice(vocabulary.choice(id).and_then(|c| c.value(v))?))
        }
        (Some(v), Type::Quantity(_)) => Some(PhraseValue::Amount(v.to_string())),
        (Some(_), _) => return None,
        (None, _) if has_blank => None,
        (None, Type::Choice(id) | Type::Choices(id)) => {
            // The phrase is the value's own name: `detached`, `steel frame` for `steel` is written out.
            let name = words.trim().replace(' ', "-");
            Some(PhraseValue::Choice(
                vocabulary.choice(id).and_then(|c| c.value(words.trim()).or_else(|| c.value(&name)))?,
            ))
        }
        (None, _) => return None,
    };
    (!pieces.is_empty()).then_some(Pattern { pieces, value })
}

impl Ordinary {
    /// As printed: `no`, `yes`, a value, `none`.
    pub fn text(self, ty: Type, vocabulary: &Vocabulary) -> String {
        match (self, ty) {
            (Ordinary::Yes, _) => "yes".into(),
            (Ordinary::No, _) => "no".into(),
            (Ordinary::Absent, _) => "none".into(),
            (Ordinary::Value(v), Type::Choice(id)) => vocabulary.choice_text(id, v).into(),
            (Ordinary::Value(_), _) => String::new(),
        }
    }
}

//! What owners type, and what it is read as or what they are asked. All the wording stands in these tables.
//!
//! A spelling with one meaning is read as the trade's, and `tidy` rewrites it. One with two, or
//! with a piece missing, is refused with what to write or the question that settles it. Where the
//! trade has one word and the owner another for the same thing, that is one meaning; where his
//! word leaves out which thing he has (`flex`, `plug`), it is two.
//!
//! In `typed`, `|` parts other words for the same place, whatever their case; `^` and `$` are the
//! start and end of the phrase. Capitals are blanks: `N` a number, `W` a word, `G` `#4`, `C` `5-20`,
//! `P` `5-20P`, `R` `5-20R`, `K` `12-2`, `M` `12/2`, `S` `2-2-2-4`, `T` a tag such as `R1`, `X` `P1-B1`, `D` `5/2/27`.
//! `{1}` is what filled the first blank, `{0}` the first fixed word that had a choice, or the first. Of two rows that match, the upper holds.

mod anywhere;
mod items;
mod names;

use super::syntax::Keyword;
use crate::text::{Problem, Span};
use Then::{Amount, Case, Read, TwoMeanings, Write};

/// Rows of one place.
type Group = (Where, &'static [Row]);

/// Every near miss; of two rows that match, the upper holds.
pub(super) fn groups() -> impl Iterator<Item = &'static Group> {
    [names::ROWS, items::ROWS, anywhere::ROWS].into_iter().flatten()
}

/// One near miss.
pub(super) struct Row {
    pub typed: &'static str,
    pub then: Then,
}

/// What becomes of it.
pub(super) enum Then {
    /// It is read as this.
    Read(&'static str),
    /// It is read as its spelling in [`CASE`].
    Case,
    /// It has two meanings: the question.
    TwoMeanings(&'static str),
    /// A number lacks its unit: what to write.
    Amount(&'static str),
    /// The plan language has another word or place for it: what to write.
    Write(&'static str),
}

/// Where it is typed.
pub(super) enum Where {
    /// At the left edge, first word included.
    Edge,
    /// Behind the first word of these items.
    Head(&'static [Keyword]),
    /// In a phrase of these items.
    In(&'static [Keyword]),
    /// Behind the colon of a phrase that begins with this word.
    Under(&'static str),
    /// Behind `feeds`, `holds`, `by way of`.
    List,
    /// In any phrase.
    Anywhere,
}

/// A refusal in words.
pub(super) fn refusal(then: &Then, typed: &str, span: Span, fill: &dyn Fn(&str) -> String) -> Problem {
    match then {
        TwoMeanings(help) => Problem::error(span, format!("`{typed}` can mean two things")).help(fill(help)),
        Amount(help) => Problem::error(span, format!("`{typed}` lacks a unit")).help(fill(help)),
        Write(help) => Problem::error(span, format!("`{typed}` is not how a plan says it")).help(fill(help)),
        Read(_) | Case => Problem::error(span, format!("`{typed}` can't be read")),
    }
}

const fn read(typed: &'static str, as_typed: &'static str) -> Row {
    Row { typed, then: Read(as_typed) }
}
const fn two(typed: &'static str, question: &'static str) -> Row {
    Row { typed, then: TwoMeanings(question) }
}
const fn amount(typed: &'static str, help: &'static str) -> Row {
    Row { typed, then: Amount(help) }
}
const fn write(typed: &'static str, help: &'static str) -> Row {
    Row { typed, then: Write(help) }
}

/// Which of the two numbers is the month, nobody can tell.
const DAY: &str = "write year, month and day: `2027-05-02`";

/// Units that owners glue to their number.
pub(super) const GLUED_UNITS: &[&str] = &[
    "a", "amp", "amps", "ka", "ma", "v", "volt", "volts", "kv", "w", "watt", "watts", "kw", "va", "kva", "hp", "in",
    "in2", "in3", "in²", "in³", "ft", "ft2", "ft²", "yd", "mm", "mm2", "mm²", "cm", "m", "awg", "ga", "kcmil", "mcm",
    "f", "c", "°f", "°c", "ohm", "ohms", "megohm", "lb", "in-lb", "deg", "x", "×",
];

/// Words behind which a name stands, so that no spelling is corrected there.
pub(super) const BEFORE_NAMES: &[&str] =
    &["to", "into", "from", "of", "below", "beside", "with", "at", "for", "and", "or", "within", "by", "in", "through"];

/// Trade words whose capitals matter.
const CASE: &[&str] = &[
    "GFCI", "AFCI", "WR", "TR", "LED", "NEC", "AWG", "Cu", "Al", "EMT", "RMC", "IMC", "PVC", "PVC-40", "PVC-80",
    "HDPE", "ENT", "FMC", "LFMC", "LFNC", "NM", "NM-B", "UF-B", "SER", "SEU", "MC", "AC", "URD", "USE-2", "THHN",
    "THWN", "THWN-2", "XHHW", "XHHW-2", "RHW", "RHW-2", "TW", "THW", "THW-2",
];

/// A word of [`CASE`] as the trade writes it.
pub(super) fn canonical(text: &str) -> String {
    // 5-20r and l6-30r are configurations.
    if text.starts_with(|c: char| c.is_ascii_digit()) || text.contains('-') && text.ends_with('r') {
        return text.to_uppercase();
    }
    CASE.iter().find(|c| c.eq_ignore_ascii_case(text)).map_or_else(|| text.to_string(), |c| c.to_string())
}

//! What a phrase pattern expects behind the words that are there.

use crate::quantity::{Dimension, Scale, UNITS};
use crate::words::{Choice, ChoiceId, Piece, Type, Vocabulary, choice};

/// What may come next.
#[derive(Clone, Debug, PartialEq)]
pub enum Want<'p> {
    /// These words and blanks.
    Pieces(&'p [Piece]),
    /// The unit of an amount, then these.
    Unit(Scale, &'p [Piece]),
    /// More words of a value that begins so: `arc-` for `arc welder`.
    Value(ChoiceId, String),
    /// More of a wire: a unit behind a number, else metal and insulation.
    Wire { is_number: bool },
}

/// The most words that one value of a choice has.
const LONGEST_VALUE: usize = 5;

/// Everything that a pattern expects behind some words; nothing where they don't fit, or are all of it.
pub fn wants<'p>(pieces: &'p [Piece], words: &[&str], ty: Type, vocabulary: &Vocabulary) -> Vec<Want<'p>> {
    let mut found = Vec::new();
    expect(pieces, words, ty, vocabulary, &mut found);
    found
}

fn expect<'p>(pieces: &'p [Piece], words: &[&str], ty: Type, of: &Vocabulary, found: &mut Vec<Want<'p>>) {
    let Some((piece, rest)) = pieces.split_first() else { return };
    let Some((first, behind)) = words.split_first() else { return found.push(Want::Pieces(pieces)) };
    match piece {
        Piece::Literal(literal) if literal == first => expect(rest, behind, ty, of, found),
        Piece::Literal(_) => {}
        Piece::Amount(Scale::Edition) if *first == "NEC" => {
            if let Some((_, behind)) = behind.split_first() {
                expect(rest, behind, ty, of, found);
            }
        }
        Piece::Amount(scale) => amount(pieces, rest, Some(*scale), words, ty, of, found),
        Piece::AnyAmount => amount(pieces, rest, None, words, ty, of, found),
        Piece::Choice => value(pieces, rest, words, ty, of, found),
        Piece::Name => expect(rest, behind, ty, of, found),
        Piece::Names if words.last() == Some(&"and") => found.push(Want::Pieces(pieces)),
        Piece::Names => {}
        Piece::Wire => {
            let is_number = words.last().is_some_and(|w| is_number(w));
            let is_sized = words.iter().any(|w| matches!(*w, "AWG" | "kcmil"));
            if is_number || is_sized {
                found.push(Want::Wire { is_number });
            }
        }
    }
}

/// An amount, loose ones too: `at least 18 in`, `18 in to 20 in`.
fn amount<'p>(
    pieces: &'p [Piece],
    rest: &'p [Piece],
    scale: Option<Scale>,
    words: &[&str],
    ty: Type,
    of: &Vocabulary,
    found: &mut Vec<Want<'p>>,
) {
    let words = match words {
        ["at", "least" | "most", words @ ..] | ["over" | "under" | "about", words @ ..] => words,
        words => words,
    };
    let Some((_, behind)) = words.split_first().filter(|(number, _)| is_number(number)) else { return };
    let has_unit = scale.is_some_and(|s| s != Scale::NUMBER && s != Scale::Date);
    match behind.split_first() {
        None if has_unit => found.extend(scale.map(|scale| Want::Unit(scale, rest))),
        Some((unit, behind)) if has_unit || (scale.is_none() && is_unit(unit, None)) => {
            if is_unit(unit, scale) {
                match behind.split_first() {
                    Some((&("to" | "or"), more)) => expect(pieces, more, ty, of, found),
                    _ => expect(rest, behind, ty, of, found),
                }
            }
        }
        _ => expect(rest, behind, ty, of, found),
    }
}

fn value<'p>(
    pieces: &'p [Piece],
    rest: &'p [Piece],
    words: &[&str],
    ty: Type,
    of: &Vocabulary,
    found: &mut Vec<Want<'p>>,
) {
    let (Type::Choice(id) | Type::Choices(id)) = ty else { return };
    let Some(choice) = of.choice(id) else { return };
    for count in 1..=words.len().min(LONGEST_VALUE) {
        let Some((own, behind)) = words.split_at_checked(count) else { return };
        let joined = own.join("-");
        if choice.bits(&joined).is_some() {
            match behind.split_first() {
                Some((&"or", more)) => expect(pieces, more, ty, of, found),
                _ => expect(rest, behind, ty, of, found),
            }
        }
        let more = format!("{joined}-");
        if behind.is_empty() && forms(choice).any(|f| f.starts_with(&more)) {
            found.push(Want::Value(id, more));
        }
    }
}

/// The words of a choice that a plan is offered: its values and the generic words. A metal is written short.
pub fn forms(of: &Choice) -> impl Iterator<Item = &str> {
    let is_metal = of.name == "metal";
    let short = of.spellings.iter().map(|(s, _)| s.as_str()).filter(move |_| is_metal);
    let values = of.values.iter().map(String::as_str).filter(move |_| !is_metal);
    short.chain(values).chain(of.groups.iter().map(|(g, _)| g.as_str()))
}

/// The words that may stand in a wire behind its size.
pub fn wire_words(of: &Vocabulary) -> impl Iterator<Item = &str> {
    [choice::METAL, choice::INSULATION].into_iter().filter_map(|id| of.choice(id)).flat_map(forms)
}

/// The units of a scale that people write, the usual one first.
pub fn units(scale: Scale) -> Vec<&'static str> {
    match scale {
        Scale::WireSize => vec!["AWG", "kcmil"],
        Scale::TradeSize => vec!["in"],
        Scale::Ratio(Dimension::NUMBER) => vec!["%"],
        _ => UNITS.iter().filter(|u| u.scale == scale && !u.name.contains(' ')).map(|u| u.name).collect(),
    }
}

fn is_unit(word: &str, scale: Option<Scale>) -> bool {
    match scale {
        Some(scale) => units(scale).contains(&word),
        None => UNITS.iter().any(|u| u.name == word),
    }
}

/// Whether a word is a number as plans write them: `18`, `2-1/8`, `120/240`.
pub fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit() || c == '-')
        && word.chars().all(|c| c.is_ascii_digit() || "-/.".contains(c))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Kind, patterns};

    /// What every pattern of a kind expects behind some words, in short.
    fn wanted(kind: Kind, text: &str) -> Vec<String> {
        let vocabulary = Vocabulary::core();
        let words: Vec<&str> = text.split_whitespace().collect();
        let mut all = Vec::new();
        for word in vocabulary.words().iter().filter(|w| w.kinds.has(kind)) {
            for pattern in patterns(word, &vocabulary) {
                for want in wants(&pattern.pieces, &words, word.ty, &vocabulary) {
                    all.push(match want {
                        Want::Pieces([Piece::Literal(word), ..]) => word.clone(),
                        Want::Pieces([piece, ..]) => format!("{piece:?}"),
                        Want::Unit(scale, rest) => format!("{} then {}", units(scale).join("|"), rest.len()),
                        other => format!("{other:?}"),
                    });
                }
            }
        }
        all.sort();
        all.dedup();
        all
    }

    #[test]
    fn words_values_units_and_wires() {
        assert!(wanted(Kind::Panel, "neutral").contains(&"isolated".to_string()));
        assert!(wanted(Kind::Run, "under").contains(&"Choice".to_string()));
        assert!(wanted(Kind::Run, "buried").iter().any(|w| w.starts_with("Amount")));
        assert!(wanted(Kind::Run, "buried 20").iter().any(|w| w.starts_with("in|ft")));
        assert!(wanted(Kind::Run, "buried 20 in or").iter().any(|w| w.starts_with("Amount")));
        assert_eq!(wanted(Kind::Run, "buried at least 20 in"), Vec::<String>::new(), "nothing is missing");
        assert!(wanted(Kind::Circuit, "wire 12").iter().any(|w| w.contains("is_number: true")));
        assert!(wanted(Kind::Circuit, "wire 2 x 12 AWG").iter().any(|w| w.contains("is_number: false")));
        assert!(wanted(Kind::Equipment, "arc").iter().any(|w| w.starts_with("Value")));
        assert_eq!(wanted(Kind::Run, "quite"), Vec::<String>::new());
    }

    #[test]
    fn numbers() {
        for (text, wanted) in
            [("18", true), ("2-1/8", true), ("-10", true), ("4x", false), ("R1", false), ("5-20R", false)]
        {
            assert_eq!(is_number(text), wanted, "{text}");
        }
    }
}

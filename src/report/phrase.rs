use crate::quantity::{Dimension, Scale};
use crate::words::{Kind, Kinds, NameId, PhraseValue, Piece, Type, Vocabulary, patterns};

/// More ways to say one thing than this are not shown.
const WAYS_SHOWN: usize = 2;
/// More values than this are not written out.
const VALUES_SHOWN: usize = 6;

/// Phrases that state a fact, as a plan writes them, blanks filled with what goes there:
/// `torqued` and `not torqued`, `buried N in|ft`, `in front bench|goods|steps`. Empty where no phrase
/// of its own states it.
pub fn phrases(vocabulary: &Vocabulary, kind: Kind, name: NameId) -> Vec<String> {
    let Some(word) = vocabulary.word(kind, name) else { return Vec::new() };
    let all = patterns(word, vocabulary);
    let mut phrases: Vec<String> = all.iter().map(|p| shape(&p.pieces, word.ty, vocabulary)).collect();
    if word.ty == Type::YesNo {
        let first_yes =
            all.iter().zip(&phrases).find(|(p, _)| p.value == Some(PhraseValue::YesNo(true))).map(|(_, t)| t);
        let first_no =
            all.iter().zip(&phrases).find(|(p, _)| p.value == Some(PhraseValue::YesNo(false))).map(|(_, t)| t);
        let denial = |yes: &String| {
            let is_adjective = vocabulary.text(name).starts_with("is-");
            format!("{} {yes}", if is_adjective { "not" } else { "no" })
        };
        let no = first_no.cloned().or_else(|| first_yes.map(denial));
        return first_yes.cloned().into_iter().chain(no).collect();
    }
    phrases.dedup();
    phrases.truncate(WAYS_SHOWN);
    match word.ty {
        Type::List(kinds) if phrases.is_empty() => closing(kinds),
        _ => phrases,
    }
}

/// A phrase, or the rest of one, with its blanks as words in capitals: `buried N in|ft`.
pub fn shape(pieces: &[Piece], ty: Type, vocabulary: &Vocabulary) -> String {
    let pieces: Vec<String> = pieces.iter().map(|piece| blank(piece, ty, vocabulary)).collect();
    // Of a length that is "in earth" the inch would be read twice.
    pieces.join(" ").replace("N in|ft in ", "N ft in ")
}

/// What says that the plan names all there are: where it is drawn, or once for the shop.
fn closing(kinds: Kinds) -> Vec<String> {
    const DRAWN: Kinds = Kinds::of(Kind::Run).and(Kinds::of(Kind::Box)).and(Kinds::of(Kind::Conductor));
    let drawn = (!kinds.common(DRAWN).is_empty()).then(|| "all drawn".to_string());
    let listed = kinds.iter().filter(|k| !DRAWN.has(*k)).take(2).map(|k| format!("all {} listed", k.plural()));
    drawn.into_iter().chain(listed).collect()
}

fn blank(piece: &Piece, ty: Type, vocabulary: &Vocabulary) -> String {
    match (piece, ty) {
        (Piece::Literal(word), _) => word.clone(),
        (Piece::Amount(scale), _) => amount(*scale),
        (Piece::Choice, Type::Choice(id) | Type::Choices(id)) => match vocabulary.choice(id) {
            Some(choice) if choice.values.len() <= VALUES_SHOWN => choice.values.join("|"),
            Some(choice) => format!("{}|…", choice.values.get(..VALUES_SHOWN).unwrap_or_default().join("|")),
            None => "WORD".into(),
        },
        (Piece::Choice, _) => "WORD".into(),
        (Piece::Name, _) => "NAME".into(),
        (Piece::Names, _) => "NAMES".into(),
        (Piece::AnyAmount, _) => "AMOUNT".into(),
        (Piece::Wire, _) => "N AWG Cu TYPE".into(),
    }
}

/// A blank for an amount: `N in|ft`, `YEAR-MONTH-DAY`.
fn amount(scale: Scale) -> String {
    match scale {
        Scale::Date => "YEAR-MONTH-DAY".into(),
        Scale::Edition => "NEC YEAR".into(),
        Scale::WireSize => "N AWG".into(),
        Scale::Temperature => "N F|C".into(),
        // A way is paced off in feet, a cover measured in inches; either unit is read.
        Scale::Ratio(Dimension::LENGTH) => "N in|ft".into(),
        other => match other.shown_unit().0 {
            "" => "N".into(),
            unit => format!("N {unit}"),
        },
    }
}

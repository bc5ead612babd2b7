//! The table of core words. Facts that only one rule wants are declared in rule files instead.

use super::{Kind, Kinds, NameId, Origin, Type, Word};
use crate::quantity::{Dimension, Scale};
use Origin::{Derived, Either, Stated};

macro_rules! kinds {
    ($($kind:ident)*) => { Kinds(0)$(.and(Kinds::of(Kind::$kind)))* };
}

mod building;
mod choices;
mod devices;
mod numbers;
mod power;
mod questions;
mod ways;

pub(super) use choices::choices;
pub(super) use name::NAMES;
pub use numbers::{choice, name};

const LENGTH: Type = Type::Quantity(Scale::Ratio(Dimension::LENGTH));
const AREA: Type = Type::Quantity(Scale::Ratio(Dimension::AREA));
const VOLUME: Type = Type::Quantity(Scale::Ratio(Dimension::VOLUME));
const CURRENT: Type = Type::Quantity(Scale::Ratio(Dimension::CURRENT));
const VOLTAGE: Type = Type::Quantity(Scale::Ratio(Dimension::VOLTAGE));
const POWER: Type = Type::Quantity(Scale::Ratio(Dimension::POWER));
const RESISTANCE: Type = Type::Quantity(Scale::Ratio(Dimension::RESISTANCE));
const NUMBER: Type = Type::Quantity(Scale::NUMBER);
const ANGLE: Type = Type::Quantity(Scale::Ratio(Dimension::ANGLE));
const HORSEPOWER: Type = Type::Quantity(Scale::Ratio(Dimension::HORSEPOWER));
const TEMPERATURE: Type = Type::Quantity(Scale::Temperature);
const DATE: Type = Type::Quantity(Scale::Date);
const EDITION: Type = Type::Quantity(Scale::Edition);
const WIRE_SIZE: Type = Type::Quantity(Scale::WireSize);
const TRADE_SIZE: Type = Type::Quantity(Scale::TradeSize);

/// Kinds, name, whether it may be absent, type, origin, one sentence, phrase in the notation of
/// [`super::patterns`]. An empty phrase of a stated word says that code reads it: see the test below.
type Row = (Kinds, NameId, bool, Type, Origin, &'static str, &'static str);

pub(super) fn words() -> impl Iterator<Item = Word> {
    [building::WORDS, power::WORDS, ways::WORDS, devices::WORDS].into_iter().flatten().map(
        |(kinds, name, is_part, ty, origin, doc, phrase)| Word {
            kinds: *kinds,
            name: *name,
            ty: *ty,
            is_part: *is_part,
            origin: *origin,
            doc: doc.to_string(),
            phrase: phrase.to_string(),
            ordinary: None,
            question: questions::question(*kinds, *name),
        },
    )
}

#[cfg(test)]
mod tests {
    use super::super::{Kind, Origin, Vocabulary, patterns};

    /// Stated words without a phrase of their own: how the plan says them.
    const SHAPED: &[(Kind, &str, &str)] = &[
        (Kind::Shop, "bays", "2 vehicle bays"),
        (Kind::Shop, "electrodes", "the electrode items"),
        (Kind::Shop, "tests", "tested shop"),
        (Kind::Shop, "inspections", "the inspected items"),
        (Kind::Shop, "pipes", "the pipe items, and water pipe, gas pipe in shop"),
        (Kind::Test, "type", "tested R1: GFCI trips"),
        (Kind::Test, "is-good", "tested R1: GFCI trips"),
        (Kind::Feeder, "far-panel", "to P1 in the head"),
        (Kind::Feeder, "supply", "from house in the head"),
        (Kind::Feeder, "breaker", "each has one"),
        (Kind::Feeder, "equipment-ground-type", "what equipment ground says"),
        (Kind::Feeder, "near-end", "from X in the head"),
        (Kind::Feeder, "far-end", "to Y in the head"),
        (Kind::Feeder, "panel", "from P1 in the head"),
        (Kind::Feeder, "has-open-stretches", "stretch unknown"),
        (Kind::Feeder, "pulled", "pulled F1"),
        (Kind::Feeder, "trade-size", "1 in PVC-40"),
        (Kind::Feeder, "cable", "cable UF-B in PVC-80"),
        (Kind::Circuit, "panel", "from P1 in the head"),
        (Kind::Breaker, "second-space", "spaces 1 and 3"),
        (Kind::Disconnect, "equipment", "in sight of M1"),
        (Kind::Panel, "main", "main 60 A, no main"),
        (Kind::Electrode, "diameter", "5/8 in x 8 ft"),
        (Kind::Electrode, "wire", "concrete-encased 20 ft of 4 AWG bare Cu"),
        (Kind::Electrode, "count", "2 rods"),
        (Kind::ElectrodeConductor, "electrodes", "the electrode item that it stands in"),
        (Kind::ElectrodeConductor, "insulation", "wire 6 AWG Cu THWN-2"),
        (Kind::ElectrodeConductor, "lands-in", "wire 6 AWG Cu to P1"),
        (Kind::Box, "cable-count", "cables 3 x 12/2 NM-B"),
        (Kind::Box, "cable-conductors", "cables 3 x 12/2 NM-B"),
        (Kind::Box, "wire", "cables 3 x 12/2 NM-B"),
        (Kind::Box, "equipment-ground", "cables 3 x 12/2 NM-B"),
        (Kind::Entry, "loops", "topology says it"),
        (Kind::Entry, "is-fixture-wire", "topology says it"),
        (Kind::Run, "boxes", "run B1 to B2"),
        (Kind::Run, "panels", "run P1 to B1"),
        (Kind::Run, "devices", "run B1 to R1"),
        (Kind::Run, "area", "in loft"),
        (Kind::Run, "pulled", "pulled B1 to B2"),
        (Kind::Pulled, "is-out-of-cable", "out of NM-B"),
        (Kind::Wire, "count", "wire 3 x 4 AWG"),
        (Kind::Receptacle, "bay", "in bay 2"),
        (Kind::Receptacle, "tests", "tested R1"),
        (Kind::Receptacle, "is-for-one", "for M1 only"),
        (Kind::Receptacle, "area", "in loft"),
        (Kind::Receptacle, "box", "holds R1 of the box"),
        (Kind::Light, "door", "for D1"),
        (Kind::Equipment, "receptacle", "plugs into R1"),
        (Kind::Equipment, "receptacles", "plugs into R1 and R2"),
        (Kind::Equipment, "wire", "cord 12 AWG 25 ft"),
    ];

    /// Nobody can state a word that has neither a phrase nor code that reads it.
    #[test]
    fn every_stated_word_can_be_said() {
        let vocabulary = Vocabulary::core();
        let is_listed = |word: &super::super::Word| {
            let name = vocabulary.text(word.name);
            SHAPED.iter().any(|(kind, shaped, how)| word.kinds.has(*kind) && *shaped == name && !how.is_empty())
        };
        for word in vocabulary.words() {
            let is_stated = matches!(word.origin, Origin::Stated | Origin::Either);
            let name = vocabulary.text(word.name);
            assert_eq!(is_stated && word.phrase.is_empty(), is_listed(word), "{} {name}", word.kinds);
        }
    }

    /// A phrase that the notation can't read would be lost without a sound.
    #[test]
    fn every_phrase_is_a_pattern() {
        let vocabulary = Vocabulary::core();
        for word in vocabulary.words() {
            let written = word.phrase.split(" / ").filter(|p| !p.trim().is_empty()).count();
            let name = vocabulary.text(word.name);
            assert_eq!(patterns(word, &vocabulary).len(), written, "{} {name}: `{}`", word.kinds, word.phrase);
        }
    }

    /// Each group names values of its choice, and a choice has room for a bit set.
    #[test]
    fn groups_stand_for_several_values() {
        for choice in Vocabulary::core().choices() {
            assert!(choice.values.len() <= 64, "{}", choice.name);
            for (word, bits) in &choice.groups {
                assert!(bits.count_ones() > 1, "{word} of {}", choice.name);
                assert!(choice.value(word).is_none(), "{word} of {} is a value already", choice.name);
            }
        }
    }
}

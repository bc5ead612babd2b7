//! The plan reader and the core vocabulary agree: no phrase that the vocabulary reads is refused or
//! rewritten on its way there.

#![allow(clippy::unwrap_used, clippy::panic)] // A test fails by panicking.

use ringout::plan::{self, syntax::Keyword};
use ringout::quantity::{Dimension, Scale};
use ringout::text::FileId;
use ringout::words::{Kind, Piece, Type, Vocabulary, Word, patterns};

/// Where a fact of a kind is written: parts of a circuit stand in its lines.
fn item(kind: Kind) -> Option<&'static str> {
    Some(match kind {
        Kind::Shop | Kind::Permit => "shop",
        Kind::Area => "area A1",
        Kind::Door => "door D1",
        Kind::Pipe => "pipe W1",
        Kind::Supply => "supply house",
        Kind::Feeder => "feeder F1 from house to P1",
        Kind::Circuit | Kind::Breaker => "circuit C1",
        Kind::Disconnect => "disconnect D1",
        Kind::Panel => "panel P1",
        Kind::Electrode | Kind::ElectrodeConductor => "electrode E1",
        Kind::Box => "box B1",
        Kind::Run => "run P1 to B1",
        Kind::Pulled => "pulled P1 to B1",
        Kind::Receptacle => "receptacle R1",
        Kind::Switch => "switch S1",
        Kind::Light => "light L1",
        Kind::Device => "device G1",
        Kind::Equipment => "equipment M1",
        Kind::Cord => "cord K1",
        Kind::Test => "tested R1",
        Kind::Inspection => "inspected R1",
        Kind::Bay | Kind::Entry | Kind::Conductor | Kind::Wire => return None,
    })
}

/// Samples that no plan means: owners' words that the samples happen to make, and absence of what a
/// phrase only speaks of where it is there.
const ANSWERED: &[&str] =
    &["ev charger", "three way lighting supply", "3 wire", "in none", "service none", "out of none"];

/// One wire of a color is what a color says by itself.
const COLORS: &[&str] = &["black", "red", "blue", "brown", "orange", "yellow", "white", "gray", "green", "bare"];

fn amount(scale: Scale) -> &'static str {
    let dimension = match scale {
        Scale::Temperature => return "104 F",
        Scale::Date => return "2027-05-02",
        Scale::Edition => return "NEC 2023",
        Scale::WireSize => return "6 AWG",
        Scale::TradeSize => return "3/4 in",
        Scale::Ratio(dimension) => dimension,
    };
    let samples = [
        (Dimension::NUMBER, "3"),
        (Dimension::LENGTH, "at least 2-1/8 in"),
        (Dimension::AREA, "720 ft2"),
        (Dimension::VOLUME, "18 in3"),
        (Dimension::VOLTAGE, "240 V"),
        (Dimension::CURRENT, "20 A"),
        (Dimension::POWER, "80 W"),
        (Dimension::HORSEPOWER, "1-1/2 hp"),
        (Dimension::RESISTANCE, "25 ohm"),
        (Dimension::ANGLE, "90 deg"),
        (Dimension::TORQUE, "36 in-lb"),
        (Dimension::TIME, "15 min"),
    ];
    samples.iter().find(|(d, _)| *d == dimension).map(|(_, text)| *text).unwrap_or_else(|| panic!("{}", scale.name()))
}

fn samples(word: &Word, vocabulary: &Vocabulary) -> Vec<String> {
    let choices: Vec<String> = match word.ty {
        Type::Choice(id) | Type::Choices(id) => vocabulary.choice(id).map(|c| c.values.clone()).unwrap_or_default(),
        _ => vec![String::new()],
    };
    let sample = |pieces: &[Piece], choice: &str| {
        let text = pieces.iter().map(|piece| match piece {
            Piece::Literal(word) => word.clone(),
            // A bare count has a noun behind it; where it has none, a share stands for it.
            Piece::Amount(Scale::Ratio(Dimension::NUMBER)) if pieces.len() == 1 => "60 %".into(),
            Piece::Amount(scale) => amount(*scale).into(),
            Piece::Choice => choice.replace('-', " ").replace("single pole", "single-pole"),
            Piece::Wire => "6 AWG Cu THWN-2".into(),
            _ => "X1".into(),
        });
        text.collect::<Vec<_>>().join(" ")
    };
    patterns(word, vocabulary)
        .iter()
        .flat_map(|p| match p.pieces.contains(&Piece::Choice) {
            true => choices.iter().map(|c| sample(&p.pieces, c)).collect(),
            false => vec![sample(&p.pieces, "")],
        })
        .collect()
}

#[test]
fn every_phrase_of_the_vocabulary_comes_through() {
    let vocabulary = Vocabulary::core();
    let mut wrong = Vec::new();
    let mut count = 0;
    for word in vocabulary.words() {
        let places: Vec<&str> = word.kinds.iter().filter_map(item).collect();
        for (item, sample) in places.iter().flat_map(|i| samples(word, &vocabulary).into_iter().map(move |s| (i, s))) {
            if Keyword::of(sample.split(' ').next().unwrap_or_default()).is_some() {
                continue;
            }
            count += 1;
            let plan = plan::read(FileId(0), &format!("{item}\n  {sample}\n"));
            let tokens = plan.items.iter().flat_map(|i| &i.lines).flat_map(|l| &l.phrases).flat_map(|p| &p.tokens);
            let said = tokens.map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
            let wanted = match sample.strip_suffix(" none") {
                Some(thing) if word.phrase.contains(&format!("no {thing}")) => format!("no {thing}"),
                _ if item.starts_with("pulled") && COLORS.contains(&sample.as_str()) => format!("1 x {sample}"),
                _ => match sample.as_str() {
                    "wire copper" => "wire Cu".into(),
                    "wire aluminum" => "wire Al".into(),
                    _ => sample.replace("copper clad aluminum", "CCA"),
                },
            };
            if (!plan.problems.is_empty() || said != wanted) && !ANSWERED.contains(&sample.as_str()) {
                wrong.push(format!(
                    "{item}: `{sample}` came out as `{said}` {:?}",
                    plan.problems.first().map(|p| &p.help)
                ));
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(count > 500, "only {count} phrases: has the vocabulary lost its phrases?");
}

/// The same of the phrases that rule files declare with `fact`.
#[test]
fn every_phrase_of_a_declared_fact_comes_through() {
    let mut wrong = Vec::new();
    let mut count = 0;
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/rules")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "rule") {
            continue;
        }
        let (pack, _) = ringout::law::read(FileId(0), &std::fs::read_to_string(&path).unwrap());
        for fact in &pack.facts {
            let sample_amount = fact.ty.words.first().and_then(|t| Scale::named(t)).map(amount).unwrap_or("3");
            for phrase in fact.phrase.split(" / ") {
                let phrase = phrase.split(" = ").next().unwrap_or(phrase);
                let sample = phrase.replace("AMOUNT", sample_amount).replace("NAMES", "X1").replace("NAME", "X1");
                if sample.contains("CHOICE") || sample.contains("WIRE") || sample.is_empty() {
                    continue;
                }
                let kinds = fact.word.kinds.iter().filter_map(|k| Kind::named(&k.node));
                for item in kinds.filter_map(item) {
                    count += 1;
                    let plan = plan::read(FileId(0), &format!("{item}\n  {sample}\n"));
                    let phrases = plan.items.iter().flat_map(|i| &i.lines).flat_map(|l| &l.phrases);
                    let said = phrases.flat_map(|p| &p.tokens).map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
                    if !plan.problems.is_empty() || said != sample {
                        wrong.push(format!("{item}: `{sample}` came out as `{said}` {:?}", plan.problems));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(count > 100, "only {count} phrases");
}

//! Cables: what is printed on the jacket, and the equipment ground that it says or leaves open.

#![expect(clippy::arithmetic_side_effects, reason = "places among the words of a line, whose length is limited")]

use super::Builder;
use super::amounts::amount;
use super::phrases::Tokens;
use super::state::Said;
use crate::plan::syntax::TokenKind;
use crate::quantity::{Rational, Scale, wire_size};
use crate::shop::{How, ItemRef, Range, Value};
use crate::words::{Kind, NameId, choice, name};

/// A cable as written: `12/2 NM-B`, `2-2-2-4 Al SER`, `8 AWG NM without ground`.
#[derive(Clone, Debug, Default)]
pub(super) struct CableText {
    pub size: Option<(Rational, Rational)>,
    /// Insulated wires.
    pub count: Option<(Rational, Rational)>,
    pub neutral: Option<Rational>,
    pub ground: Option<Rational>,
    pub metal: u64,
    pub kind: u64,
    pub insulation: u64,
    /// Said with or without a ground wire.
    pub has_ground: Option<bool>,
    /// A jacket name of today, which is printed on cable with a ground wire.
    pub is_printed_with_ground: bool,
}

impl Builder {
    /// Reads a cable that takes all these tokens; alternatives behind `or` are read as one cable known in part.
    pub fn cable_text(&self, tokens: Tokens) -> Option<CableText> {
        let mut whole: Option<CableText> = None;
        for part in tokens.split(|t| t.is("or")) {
            let cable = self.one_cable(part)?;
            whole = Some(match whole {
                None => cable,
                Some(first) => CableText {
                    size: hull(first.size, cable.size),
                    count: hull(first.count, cable.count),
                    neutral: same(first.neutral, &cable, cable.neutral),
                    ground: same(first.ground, &cable, cable.ground),
                    metal: first.metal | cable.metal,
                    kind: first.kind | cable.kind,
                    insulation: if first.insulation == cable.insulation { first.insulation } else { 0 },
                    has_ground: first.has_ground.or(cable.has_ground),
                    is_printed_with_ground: first.is_printed_with_ground && cable.is_printed_with_ground,
                },
            });
        }
        whole
    }

    fn one_cable(&self, tokens: Tokens) -> Option<CableText> {
        let mut cable = CableText::default();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let word = |i: usize, text: &str| tokens.get(i).is_some_and(|t| t.is(text));
            if (word(at, "with") || word(at, "without")) && word(at + 1, "ground") {
                cable.has_ground = Some(word(at, "with"));
                at += 2;
            } else if token.is("unknown") {
                at += 1;
            } else if let Some(size) = amount(tokens, at, Some(Scale::WireSize), &mut None) {
                let Value::Number(n) = size.value else { return None };
                cable.size = Some((n, n));
                at = size.next;
            } else if let Some((gauge, count)) = gauge_and_count(&token.text) {
                cable.size = Some((gauge, gauge));
                cable.count = Some((count, count));
                at += 1;
            } else if let Some(sizes) = assembly(&token.text) {
                cable.take_assembly(&sizes);
                at += 1;
            } else if let Some((bits, next)) = self.index.choices(choice::METAL, tokens, at, false).first() {
                cable.metal = *bits;
                at = *next;
            } else if let Some((bits, next)) = self.index.choices(choice::METHOD, tokens, at, false).first() {
                cable.kind |= *bits;
                let printed = tokens.get(at).map_or("", |t| t.text.as_str());
                cable.is_printed_with_ground = matches!(printed, "NM-B" | "UF-B");
                let inside = match printed {
                    "NM-B" => "NM-inside",
                    "UF-B" => "UF-inside",
                    _ => "",
                };
                cable.insulation = self.index.form(choice::INSULATION, inside).unwrap_or(0);
                at = *next;
            } else {
                return None;
            }
        }
        Some(cable)
    }

    /// States a cable of a feeder, circuit, run or box: its wires, kind and ground wire.
    /// `kind_word` is the word that takes the kind.
    pub fn state_cable(&mut self, item: ItemRef, cable: &CableText, kind_word: Option<NameId>, said: Said) {
        if let Some(word) = kind_word {
            let bits = if cable.kind == 0 { self.bits(choice::METHOD, &["cable"]) } else { cable.kind };
            self.state(item, word, Value::Choice(bits), said);
        }
        if let Some(wire) = self.wire_of(item, name::WIRE, "wire", said) {
            let number = |pair: (Rational, Rational)| match pair.0 == pair.1 {
                true => Value::Number(pair.0),
                false => Value::Range(Range::between(pair.0, pair.1)),
            };
            for (word, value) in [(name::SIZE, cable.size.map(number)), (name::COUNT, cable.count.map(number))] {
                if let Some(value) = value {
                    self.state(wire, word, value, said);
                }
            }
            for (word, bits) in [(name::METAL, cable.metal), (name::INSULATION, cable.insulation)] {
                if bits != 0 {
                    self.state(wire, word, Value::Choice(bits), said);
                }
            }
            self.shop.head_mut(wire).place = said.place;
        }
        if let Some(size) = cable.neutral
            && matches!(item.kind, Kind::Feeder | Kind::Circuit)
            && let Some(neutral) = self.wire_of(item, name::NEUTRAL_WIRE, "neutral", said)
        {
            self.state(neutral, name::SIZE, Value::Number(size), said);
            if cable.metal != 0 {
                self.state(neutral, name::METAL, Value::Choice(cable.metal), said);
            }
        }
        self.cable_ground(item, cable, said);
    }

    fn cable_ground(&mut self, item: ItemRef, cable: &CableText, said: Said) {
        let is_line = matches!(item.kind, Kind::Feeder | Kind::Circuit);
        let said = match cable.has_ground {
            Some(false) => {
                self.state(item, name::EQUIPMENT_GROUND, Value::Absent, said);
                return;
            }
            Some(true) => said,
            None if cable.is_printed_with_ground || cable.ground.is_some() => said.guess_if(true),
            None => return,
        };
        // A guess says nothing beside what is known already.
        if said.how == How::Assumed && self.shop.source(item, name::EQUIPMENT_GROUND).how != How::Unsaid {
            return;
        }
        let Some(wire) = self.wire_of(item, name::EQUIPMENT_GROUND, "equipment ground", said) else { return };
        // Up to 10 AWG the bare wire of such a cable is as large as the others: how it is made, from memory, so a guess.
        let own = cable.size.filter(|(a, b)| a == b).map(|(a, _)| a);
        let like_the_others = own.filter(|size| wire_size("10").is_some_and(|ten| *size <= Rational::whole(ten)));
        if let Some(size) = cable.ground.or(like_the_others) {
            self.state(wire, name::SIZE, Value::Number(size), said.guess_if(true));
        }
        if cable.metal != 0 {
            self.state(wire, name::METAL, Value::Choice(cable.metal), said.guess_if(true));
        }
        if is_line {
            let carried = self.bits(choice::EQUIPMENT_GROUND_TYPE, &["wire"]);
            self.state(item, name::EQUIPMENT_GROUND_TYPE, Value::Choice(carried), said);
        }
    }

    /// `cable …`, `cord …` and `extension cord` of a feeder, circuit or run, perhaps in a raceway.
    pub fn cable_phrase(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, said: Said) -> bool {
        let is_cable = tokens.first().is_some_and(|t| t.is("cable"));
        let is_cord = tokens.first().is_some_and(|t| t.is("cord") || t.is("extension"));
        if !is_cable && !is_cord {
            return false;
        }
        let split = (1..tokens.len()).find(|i| {
            tokens.get(*i).is_some_and(|t| t.is("in"))
                && tokens.get(i - 1).is_some_and(|before| before.kind != TokenKind::Number)
        });
        let (text, raceway) = match split {
            Some(at) => (tokens.get(..at).unwrap_or(&[]), tokens.get(at + 1..)),
            None => (tokens, None),
        };
        let cable = match is_cable {
            true => self.cable_text(text.get(1..).unwrap_or(&[])),
            false => self.cable_text(text),
        };
        let Some(cable) = cable else { return false };
        let raceway = match raceway {
            None => None,
            Some(tokens) => match self.method_text(tokens) {
                Some(found) => Some(found),
                None => return false,
            },
        };
        let has_word = matches!(kind, Kind::Run | Kind::Feeder | Kind::Circuit);
        for item in refs {
            match &raceway {
                Some(raceway) if has_word => {
                    self.state_cable(*item, &cable, Some(name::CABLE), said);
                    self.state_method(*item, raceway, said);
                }
                _ => self.state_cable(*item, &cable, Some(name::METHOD), said),
            }
        }
        true
    }
}

impl CableText {
    /// Sizes one by one, in the maker's order: hots, neutral, and the ground wire last where there are four.
    fn take_assembly(&mut self, sizes: &[Rational]) {
        let Some(first) = sizes.first() else { return };
        self.size = Some((*first, *first));
        let insulated = if sizes.len() >= 4 { sizes.len().saturating_sub(1) } else { sizes.len() };
        let count = Rational::whole(insulated as i64);
        self.count = Some((count, count));
        self.neutral = sizes.get(2).copied();
        if sizes.len() >= 4 {
            self.ground = sizes.last().copied();
        }
    }
}

/// A size that both alternatives give, or the one that gives sizes at all.
fn same(first: Option<Rational>, other: &CableText, second: Option<Rational>) -> Option<Rational> {
    if other.size.is_none() { first } else { first.filter(|n| Some(*n) == second) }
}

fn hull(a: Option<(Rational, Rational)>, b: Option<(Rational, Rational)>) -> Option<(Rational, Rational)> {
    match (a, b) {
        (Some(a), Some(b)) => Some((a.0.min(b.0), a.1.max(b.1))),
        // `10 AWG AC or MC`: the size is said once.
        (a, b) => a.or(b),
    }
}

/// `12/2`: gauge and number of insulated wires.
fn gauge_and_count(text: &str) -> Option<(Rational, Rational)> {
    let (gauge, count) = text.rsplit_once('/')?;
    let count: i64 = count.parse().ok().filter(|n| (1..=9).contains(n))?;
    Some((Rational::whole(wire_size(gauge)?), Rational::whole(count)))
}

/// `2-2-2-4`: the size of each wire.
fn assembly(text: &str) -> Option<Vec<Rational>> {
    let sizes: Option<Vec<Rational>> = text.split('-').map(|s| wire_size(s).map(Rational::whole)).collect();
    sizes.filter(|s| s.len() >= 3)
}

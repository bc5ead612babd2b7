//! Feeders and circuits: breaker, ties, spaces, neutral, and the way that they are told to go.

use super::Builder;
use super::amounts::amount;
use super::names::Named;
use super::phrases::Tokens;
use super::state::Said;
use crate::plan::syntax::{Token, TokenKind};
use crate::quantity::{Rational, Scale};
use crate::shop::{Head, ItemRef, List, Value};
use crate::text::Problem;
use crate::words::{Kind, Kinds, choice, name};

const CIRCUITS: Kinds = Kinds::of(Kind::Circuit);

impl Builder {
    /// What is said of a feeder or circuit beside the vocabulary's phrases.
    pub fn line_phrase(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, said: Said) -> bool {
        let words: Vec<&str> = tokens.iter().map(|t| t.text.as_str()).collect();
        let is_circuit = kind == Kind::Circuit;
        match words.as_slice() {
            ["feeds", ..] if is_circuit => self.feeds(refs, tokens, said),
            ["wire", ..] => self.wire_phrase(refs, tokens, said),
            ["neutral", ..] => self.neutral(refs, kind, tokens, said),
            ["own", "neutral"] if is_circuit => {
                refs.iter().for_each(|circuit| self.own_neutral(*circuit, said));
                true
            }
            ["equipment", "ground", ..] => self.equipment_ground(refs, kind, tokens, said),
            ["no", "equipment", "ground"] => self.no_equipment_ground(refs, kind, said),
            ["stretch", ..] => self.stretch(refs, kind, tokens, &[], said),
            ["by", "way", "of", ..] => {
                self.by_way_of(refs, tokens.get(3..).unwrap_or(&[]));
                true
            }
            ["common", "trip", "with", ..] if is_circuit => {
                self.common_trip(refs, tokens.get(3..).unwrap_or(&[]), said);
                true
            }
            ["tied", "to", ..] if is_circuit => {
                self.tied(refs, tokens.get(2..).unwrap_or(&[]), true, said);
                true
            }
            ["not", "tied", "to", ..] if is_circuit => {
                self.tied(refs, tokens.get(3..).unwrap_or(&[]), false, said);
                true
            }
            ["not", "tied"] if is_circuit => {
                self.tied(refs, &[], false, said);
                true
            }
            ["plain"] => {
                self.plain(refs, said);
                true
            }
            ["space" | "spaces", ..] => self.spaces(refs, tokens, said),
            ["trench", ..] if !is_circuit => self.stage_of(refs, tokens, said),
            _ => {
                self.cable_phrase(refs, kind, tokens, said)
                    || self.raceway_phrase(refs, tokens, said)
                    || self.other_metal(refs, &words, said)
            }
        }
    }

    fn common_trip(&mut self, refs: &[ItemRef], partners: Tokens, said: Said) {
        let partners = self.resolve_all(partners, CIRCUITS);
        let is_known = partners.iter().all(|(n, _)| matches!(n, Named::Item(_)));
        let count = partners.len().saturating_add(1);
        for circuit in refs {
            if let Value::Item(breaker) = self.shop.value(*circuit, name::BREAKER) {
                if is_known {
                    let poles = Value::Number(Rational::whole(count as i64));
                    self.state(breaker, name::POLES, poles, said);
                }
                self.state(breaker, name::IS_COMMON_TRIP, Value::YesNo(true), said);
            }
        }
    }

    fn tied(&mut self, refs: &[ItemRef], partners: Tokens, is_tied: bool, said: Said) {
        let partners = self.resolve_all(partners, CIRCUITS);
        for circuit in refs {
            if let Value::Item(breaker) = self.shop.value(*circuit, name::BREAKER) {
                self.state(breaker, name::HAS_HANDLE_TIE, Value::YesNo(is_tied), said);
                if !is_tied {
                    self.state(breaker, name::IS_COMMON_TRIP, Value::YesNo(false), said);
                }
            }
            if is_tied {
                let sure = partners.iter().filter_map(|(n, _)| if let Named::Item(i) = n { Some(*i) } else { None });
                let sure: Vec<ItemRef> = sure.collect();
                let list = self.shop.add_list(List { sure, ..List::default() });
                self.state(*circuit, name::TIED_TO, Value::List(list), said);
            }
        }
    }

    /// `plain`: none of the features that a breaker can have, but those that are named.
    fn plain(&mut self, refs: &[ItemRef], said: Said) {
        for line in refs {
            if let Value::Item(breaker) = self.shop.value(*line, name::BREAKER) {
                self.plain_item(breaker, &[name::HAS_GFCI, name::HAS_AFCI], said);
            }
        }
    }

    /// Denies each of these features, where the item does not claim it.
    pub fn plain_item(&mut self, item: ItemRef, features: &[crate::words::NameId], said: Said) {
        self.plain.push((item, features.to_vec(), said, self.rank));
    }

    /// `space 9`, `spaces 1 and 3`: the lowest two spaces of the breaker.
    pub fn spaces(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let numbers: Vec<i64> = tokens.iter().filter_map(|t| t.text.parse().ok()).collect();
        let is_sound = tokens.iter().skip(1).all(|t| t.is("and") || t.is("to") || t.kind == TokenKind::Number);
        if numbers.is_empty() || !is_sound {
            return false;
        }
        for item in refs {
            let breaker = match item.kind {
                Kind::Panel => self.main_of(*item, said),
                _ => match self.shop.value(*item, name::BREAKER) {
                    Value::Item(breaker) => Some(breaker),
                    _ => None,
                },
            };
            let Some(breaker) = breaker else { continue };
            // `space 1, space 3` names both as `spaces 1 and 3` does.
            let mut all = numbers.clone();
            for word in [name::SPACE, name::SECOND_SPACE] {
                if let Value::Number(n) = self.shop.value(breaker, word) {
                    all.push(n.floor());
                }
            }
            all.sort_unstable();
            all.dedup();
            if self.rank > 0 && all.len() > numbers.len() {
                continue;
            }
            let source = crate::shop::Source { how: said.how, place: said.place, claim: said.claim, day: said.day };
            for (word, n) in [name::SPACE, name::SECOND_SPACE].into_iter().zip(&all) {
                self.shop.set(breaker, word, Value::Number(Rational::whole(*n)), source);
            }
            if item.kind == Kind::Circuit
                && let Some(own) = numbers.first()
                && self.shop.value(*item, name::SPACE) == Value::Unknown
            {
                self.state(*item, name::SPACE, Value::Number(Rational::whole(*own)), said);
            }
        }
        true
    }

    /// `trench open`: the work of that stage can still be seen.
    fn stage_of(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let [stage, state] = tokens else { return false };
        let Some(bits) = self.index.form(choice::STAGE, &stage.text) else { return false };
        let is_open = match state.text.as_str() {
            "open" => true,
            "covered" => false,
            _ => return false,
        };
        for item in refs {
            let inspection = self.inspection(Some(*item), said);
            self.state(inspection, name::STAGE, Value::Choice(bits), said);
            self.state(inspection, name::IS_OPEN, Value::YesNo(is_open), said);
        }
        true
    }

    /// An inspection of an item, made anew.
    pub fn inspection(&mut self, of: Option<ItemRef>, said: Said) -> ItemRef {
        let name = match of {
            Some(item) => format!("inspection of {}", self.shop.head(item).name),
            None => "inspection".to_string(),
        };
        self.shop.add(Kind::Inspection, Head { name, label: None, place: said.place, of })
    }

    /// `other metal between buildings: water pipe, bonded at both ends`; `no other metal between buildings`.
    fn other_metal(&mut self, refs: &[ItemRef], words: &[&str], said: Said) -> bool {
        let rest = match words {
            ["no", "other", "metal", "between", "buildings"] => {
                self.state_each(refs, name::HAS_OTHER_METAL_PATH, Value::YesNo(false), said);
                return true;
            }
            ["other", "metal", "between", "buildings", rest @ ..] => rest,
            _ => return false,
        };
        match rest {
            ["unknown"] => {}
            ["none"] => self.state_each(refs, name::HAS_OTHER_METAL_PATH, Value::YesNo(false), said),
            ["bonded", "at", "both", "ends"] => {
                self.state_each(refs, name::IS_OTHER_PATH_BONDED, Value::YesNo(true), said);
            }
            ["not", "bonded", ..] => {
                self.state_each(refs, name::IS_OTHER_PATH_BONDED, Value::YesNo(false), said);
            }
            [] | ["water", "pipe"] | ["gas", "pipe"] | ["raceway"] | ["cable", "shield"] | ["steel"] | ["fence"] => {
                self.state_each(refs, name::HAS_OTHER_METAL_PATH, Value::YesNo(true), said);
            }
            _ => return false,
        }
        true
    }

    /// `neutral shared with C2 and C3`.
    pub fn share_neutral(&mut self, circuit: ItemRef, partners: Tokens, said: Said) {
        if !self.may_list(circuit, super::Listed::Neutrals) {
            return;
        }
        for (named, place) in self.resolve_all(partners, CIRCUITS) {
            match named {
                Named::Item(partner) => self.neutral_pairs.push((circuit, partner, place)),
                Named::Unknown | Named::Undefined => {
                    self.opened.insert((circuit, super::Listed::Neutrals));
                }
            }
        }
        self.neutral_said.insert(circuit, (said, true));
    }

    /// `neutral own`: shared with nobody.
    pub fn own_neutral(&mut self, circuit: ItemRef, said: Said) {
        if !self.may_list(circuit, super::Listed::Neutrals) {
            return;
        }
        if let Some((other, true)) = self.neutral_said.get(&circuit).copied() {
            let problem = Problem::error(said.place, "this neutral is said to be shared and to be its own")
                .help("keep the one that is right")
                .also(other.place, "said here too, and different");
            self.shop.problems.push(problem);
            self.opened.insert((circuit, super::Listed::Neutrals));
            return;
        }
        self.neutral_said.insert(circuit, (said, false));
        self.state(circuit, name::HAS_NEUTRAL, Value::YesNo(true), said);
    }

    /// Who shares a neutral with whom; saying it on one side is enough.
    pub fn settle_neutrals(&mut self) {
        let mut partners: std::collections::HashMap<ItemRef, Vec<ItemRef>> = std::collections::HashMap::new();
        for (a, b, place) in std::mem::take(&mut self.neutral_pairs) {
            for (one, other) in [(a, b), (b, a)] {
                let list = partners.entry(one).or_default();
                if one != other && !list.contains(&other) {
                    list.push(other);
                }
                let said = Said::planned(place);
                match self.neutral_said.get(&one).copied() {
                    Some((own, false)) => {
                        let problem = Problem::error(place, "this neutral is said to be shared and to be its own")
                            .help("keep the one that is right")
                            .also(own.place, "said to be its own here");
                        self.shop.problems.push(problem);
                        self.opened.insert((one, super::Listed::Neutrals));
                    }
                    Some(_) => {}
                    None => {
                        self.neutral_said.insert(one, (said, true));
                    }
                }
            }
        }
        let mut said: Vec<(ItemRef, Said)> = self.neutral_said.iter().map(|(c, (said, _))| (*c, *said)).collect();
        said.sort_by_key(|(circuit, _)| *circuit);
        for (circuit, said) in said {
            let mut sure = partners.remove(&circuit).unwrap_or_default();
            sure.sort_unstable();
            let is_open = self.opened.contains(&(circuit, super::Listed::Neutrals));
            let list = self.shop.add_list(List { sure, is_open, ..List::default() });
            self.state(circuit, name::NEUTRAL_PARTNERS, Value::List(list), said);
        }
    }

    /// How many of something, as in `2 rods`; the token behind.
    pub fn count(&self, tokens: &[&Token]) -> Option<(Value, usize)> {
        amount(tokens, 0, Some(Scale::NUMBER), &mut None).map(|a| (a.value, a.next))
    }
}

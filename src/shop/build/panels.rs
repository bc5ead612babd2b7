//! Supplies and panels: volts of the system, the main.

use super::Builder;
use super::amounts::amount;
use super::phrases::Tokens;
use super::state::Said;
use crate::plan::syntax::{Item, Phrase};
use crate::quantity::{Dimension, Scale};
use crate::shop::{ItemRef, Value};
use crate::words::{Kind, choice, name};

impl Builder {
    /// What is said of a supply beside the vocabulary's phrases.
    pub fn supply_phrase(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let systems: &[&str] = match tokens {
            [volts, unit] if unit.is("V") => match volts.text.as_str() {
                "120/240" | "240/120" => &["120/240"],
                "240" => &["240", "120/240"],
                "120" => &["120"],
                "208Y/120" | "120/208" => &["208Y/120"],
                _ => return false,
            },
            [phases] if phases.is("1-phase") => {
                // Both facts follow from the one word.
                let bits = self.bits(choice::SYSTEM, &["120/240", "120", "240"]);
                self.state_each(refs, name::SYSTEM, Value::Choice(bits), said);
                return false;
            }
            _ => return false,
        };
        let bits = self.bits(choice::SYSTEM, systems);
        self.state_each(refs, name::SYSTEM, Value::Choice(bits), said);
        true
    }

    /// What is said of a panel beside the vocabulary's phrases.
    pub fn panel_phrase(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let words: Vec<&str> = tokens.iter().map(|t| t.text.as_str()).collect();
        match words.as_slice() {
            ["no", "main"] | ["main", "none"] => self.state_each(refs, name::MAIN, Value::Absent, said),
            ["main-lug"] => self.main_lugs.extend(refs.iter().map(|panel| (*panel, said))),
            ["main", "unknown"] => {}
            ["main"] => {
                for panel in refs {
                    self.main_of(*panel, said);
                }
            }
            ["main", ..] => {
                let amps = amount(tokens, 1, Some(Scale::Ratio(Dimension::CURRENT)), &mut None);
                let Some(amps) = amps.filter(|a| a.next == tokens.len()) else { return false };
                for panel in refs {
                    if let Some(main) = self.main_of(*panel, said) {
                        self.state(main, name::AMPS, amps.value, said.guess_if(amps.is_guess));
                        self.shop.head_mut(main).place = said.place;
                    }
                }
            }
            ["built", "in"] => {
                for panel in refs {
                    if let Some(main) = self.main_of(*panel, said) {
                        self.state(main, name::IS_BACK_FED, Value::YesNo(false), said);
                    }
                }
            }
            ["space" | "spaces", ..] => return self.spaces(refs, tokens, said),
            // Which breaker is meant: the feeder's at its other end, or the panel's own?
            ["breaker" | "fuse", ..] => {
                self.misread(refs, Kind::Panel, tokens, said.place, None);
            }
            _ => return false,
        }
        true
    }

    /// Makes the main of a panel that speaks of one, so that its phrases may stand in any order.
    pub fn expect_main(&mut self, item: &Item, refs: &[ItemRef]) {
        if refs.first().is_none_or(|r| r.kind != Kind::Panel) {
            return;
        }
        let speaks = |p: &&Phrase| match p.tokens.as_slice() {
            [main, rest @ ..] if main.is("main") => {
                !rest.iter().any(|t| t.is("none") || t.is("unknown") || t.is("marked"))
            }
            // Only a main has poles, so `main unknown, 2-pole` speaks of one whose rating nobody knows.
            [first, ..] => first.is("back-fed") || first.text.ends_with("-pole"),
            [] => false,
        };
        if let Some(phrase) = item.lines.iter().flat_map(|l| &l.phrases).find(speaks) {
            for panel in refs {
                self.main_of(*panel, Said::planned(phrase.span));
            }
        }
    }

    /// The main breaker of a panel, made where something is said of it. None where it is said to be absent.
    pub fn main_of(&mut self, panel: ItemRef, said: Said) -> Option<ItemRef> {
        match self.shop.value(panel, name::MAIN) {
            Value::Item(main) => Some(main),
            Value::Absent if self.rank > 0 => None,
            _ => {
                let main = self.sub_item(panel, Kind::Breaker, "main");
                self.shop.head_mut(main).place = said.place;
                self.state(panel, name::MAIN, Value::Item(main), said);
                (self.shop.value(panel, name::MAIN) == Value::Item(main)).then_some(main)
            }
        }
    }

    /// Lugs in place of a main, unless the panel has a back-fed one all the same.
    pub fn settle_mains(&mut self) {
        for (panel, said) in std::mem::take(&mut self.main_lugs) {
            if self.shop.value(panel, name::MAIN) == Value::Unknown
                && self.shop.source(panel, name::MAIN).how == crate::shop::How::Unsaid
            {
                self.state(panel, name::MAIN, Value::Absent, said);
            }
        }
    }
}

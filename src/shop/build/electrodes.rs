//! Electrodes: how many, of what, and the conductor that goes to them.

use super::amounts::amount;
use super::names::Named;
use super::phrases::Tokens;
use super::state::Said;
use super::{Builder, ends};
use crate::plan::syntax::{Item, Token};
use crate::quantity::{Dimension, Scale};
use crate::shop::{Head, How, ItemRef, List, Value};
use crate::text::Problem;
use crate::words::{Kind, choice, name};

const LENGTH: Option<Scale> = Some(Scale::Ratio(Dimension::LENGTH));
/// The most rods of one line; more are a slip of the pen.
const MOST_RODS: i64 = 50;

impl Builder {
    /// `electrode E1: 2 rods` is two electrodes, each with all facts of the line, and one conductor.
    pub fn declare_rods(&mut self, named: Vec<ItemRef>, item: &Item) -> Vec<ItemRef> {
        let phrases = item.lines.iter().flat_map(|l| &l.phrases);
        let counted = phrases.clone().find_map(|p| {
            let tokens: Vec<&Token> = p.tokens.iter().filter(|t| !t.is("assume")).collect();
            let (value, next) = self.count(&tokens)?;
            tokens.get(next).filter(|t| t.is("rod") || t.is("rods"))?;
            Some((value, p.span))
        });
        let mut least = 1;
        if let Some((value, place)) = counted {
            let said = Said::planned(place);
            self.electrodes_said.get_or_insert(said);
            match value {
                Value::Number(n) => least = n.floor(),
                Value::Range(r) => {
                    least = r
                        .low
                        .map_or(1, |low| if r.low_is_open { low.floor().saturating_add(1) } else { low.ceiling() });
                    self.electrodes_open = true;
                }
                _ => {}
            }
        } else {
            let bare = phrases.clone().any(|p| p.tokens.iter().any(|t| t.is("rod") || t.is("rods")));
            let is_named = phrases.clone().any(|p| !p.tokens.first().is_some_and(|t| t.is("note")));
            // `rod` alone leaves the count open, an electrode of which nothing is said too.
            self.electrodes_open |= bare || !is_named;
            self.electrodes_said.get_or_insert(Said::planned(item.span));
        }
        if least > MOST_RODS {
            let place = counted.map_or(item.span, |(_, place)| place);
            let problem = Problem::error(place, format!("one line names {MOST_RODS} rods at most"))
                .help(format!("the other {} are not counted; is the number right?", least.saturating_sub(MOST_RODS)));
            self.shop.problems.push(problem);
            self.electrodes_open = true;
        }
        let least = least.clamp(1, MOST_RODS);
        let mut all = Vec::new();
        for first in named {
            let tag = self.shop.head(first).name.clone();
            let known: Vec<ItemRef> = (1..=least)
                .filter_map(|n| if n == 1 { Some(first) } else { self.shop.named(&format!("{tag}-{n}")) })
                .collect();
            let start = all.len();
            all.extend(known.iter().copied());
            for n in (1..=least).skip(known.len()) {
                let head = Head { name: format!("rod {n} of {tag}"), place: item.span, label: None, of: None };
                let rod = self.shop.add(Kind::Electrode, head);
                self.shop.call(&format!("{tag}-{n}"), rod);
                self.electrode_wires.insert(rod, first);
                all.push(rod);
            }
            if let Some(rods) = all.get(start..).filter(|r| r.len() > 1) {
                self.rods.insert(first, rods.to_vec());
            }
        }
        all
    }

    /// The conductor to an electrode: one for all of a line.
    pub fn conductor_of(&mut self, electrode: ItemRef) -> Option<ItemRef> {
        let first = self.electrode_wires.get(&electrode).copied().filter(|r| r.kind == Kind::Electrode);
        let first = first.unwrap_or(electrode);
        if let Some(wire) = self.electrode_wires.get(&first).copied() {
            return Some(wire);
        }
        let wire = self.sub_item(first, Kind::ElectrodeConductor, "wire");
        self.electrode_wires.insert(first, wire);
        Some(wire)
    }

    /// What is said of electrodes beside the vocabulary's phrases.
    pub fn electrode_phrase(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let words: Vec<&str> = tokens.iter().map(|t| t.text.as_str()).collect();
        match words.as_slice() {
            ["wire", ..] => return self.electrode_wire(refs, tokens, said),
            ["no", "wire"] => {
                self.state_each(refs, name::IS_CONNECTED, Value::YesNo(false), said);
                return true;
            }
            ["concrete-encased", ..] => return self.encased(refs, tokens, said),
            ["rod"] | ["rods"] => return self.electrode_type(refs, "rod", said),
            ["metal", "water", "pipe"] | ["water", "pipe"] => return self.electrode_type(refs, "water-pipe", said),
            ["ring"] => return self.electrode_type(refs, "ring", said),
            ["plate"] => return self.electrode_type(refs, "plate", said),
            ["pipe"] => return self.electrode_type(refs, "pipe", said),
            ["building", "steel"] => return self.electrode_type(refs, "in-ground-steel", said),
            _ => {}
        }
        if let Some((value, next)) = self.count(tokens)
            && tokens.get(next).is_some_and(|t| t.is("rod") || t.is("rods"))
            && next.saturating_add(1) == tokens.len()
        {
            self.state_each(refs, name::COUNT, value, said);
            return self.electrode_type(refs, "rod", said);
        }
        // `5/8 in x 8 ft`: diameter and length.
        if let Some(diameter) = amount(tokens, 0, LENGTH, &mut None)
            && tokens.get(diameter.next).is_some_and(|t| t.is("x"))
            && let Some(length) = amount(tokens, diameter.next.saturating_add(1), LENGTH, &mut None)
            && length.next == tokens.len()
        {
            self.state_each(refs, name::DIAMETER, diameter.value, said);
            self.state_each(refs, name::LENGTH, length.value, said);
            return true;
        }
        false
    }

    fn electrode_type(&mut self, refs: &[ItemRef], kind: &str, said: Said) -> bool {
        let bits = self.bits(choice::ELECTRODE_TYPE, &[kind]);
        self.state_each(refs, name::TYPE, Value::Choice(bits), said);
        true
    }

    /// `concrete-encased rebar`, `concrete-encased 20 ft of 4 AWG bare Cu`.
    fn encased(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let rest = tokens.get(1..).unwrap_or(&[]);
        let mut at = 0;
        if rest.first().is_some_and(|t| t.is("rebar") || t.is("steel")) {
            at = 1;
            self.state_each(refs, name::WIRE, Value::Absent, said);
        } else if let Some(length) = amount(rest, 0, LENGTH, &mut None) {
            self.state_each(refs, name::LENGTH, length.value, said.guess_if(length.is_guess));
            at = length.next;
            if rest.get(at).is_some_and(|t| t.is("of")) {
                let text = self.wire_text(rest, at.saturating_add(1));
                at = text.next;
                for electrode in refs {
                    if let Some(wire) = self.wire_of(*electrode, name::WIRE, "copper", said) {
                        self.state_wire(wire, &text, said);
                    }
                }
            }
        }
        at == rest.len() && self.electrode_type(refs, "footing", said)
    }

    /// `wire 6 AWG Cu to P1`, `wire to P1`.
    fn electrode_wire(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let text = self.wire_text(tokens, 1);
        let to = match tokens.get(text.next..) {
            Some([]) => None,
            Some([to, end]) if to.is("to") => Some(*end),
            _ => return false,
        };
        if tokens.len() < 2 {
            return false;
        }
        if to.is_some_and(|t| matches!(t.text.as_str(), "neutral" | "ground" | "enclosure")) {
            return false;
        }
        let end = match to.map(|end| self.resolve_kind(end, ends::ENDS)) {
            Some(Named::Item(item)) => Some(item),
            _ => None,
        };
        self.state_each(refs, name::IS_CONNECTED, Value::YesNo(true), said);
        let mut wires: Vec<ItemRef> = refs.iter().filter_map(|e| self.conductor_of(*e)).collect();
        wires.dedup();
        for wire in wires {
            self.state_wire(wire, &text, said);
            self.shop.head_mut(wire).place = said.place;
            if let Some(end) = end {
                self.state(wire, name::LANDS_IN, Value::Item(end), said);
            }
        }
        true
    }

    /// Lists of electrodes: at the building, and on each conductor.
    pub fn settle_electrodes(&mut self) {
        let mut on_wire: std::collections::BTreeMap<ItemRef, Vec<ItemRef>> = Default::default();
        let all: Vec<ItemRef> = self.shop.items(Kind::Electrode).collect();
        for electrode in &all {
            let is_apart = self.shop.value(*electrode, name::IS_CONNECTED) == Value::YesNo(false);
            if let Some(wire) = self.conductor_of(*electrode).filter(|_| !is_apart) {
                on_wire.entry(wire).or_default().push(*electrode);
            }
        }
        for (wire, sure) in on_wire {
            let said = Said::planned(self.shop.head(wire).place);
            let list = self.shop.add_list(List { sure, is_open: self.electrodes_open, ..List::default() });
            self.state(wire, name::ELECTRODES, Value::List(list), said);
        }
        let denied = self.shop.source(crate::shop::Shop::SHOP, name::ELECTRODES);
        if !matches!(denied.how, How::Unsaid | How::Unread) {
            if let Some(first) = all.first() {
                let problem = Problem::error(self.shop.head(*first).place, "the plan says that there is no electrode")
                    .help("keep the one that is right")
                    .also(denied.place, "said here");
                self.shop.problems.push(problem);
                let source = crate::shop::Source { how: How::Conflict, ..denied };
                self.shop.set(crate::shop::Shop::SHOP, name::ELECTRODES, Value::Unknown, source);
            }
            return;
        }
        let said = self.electrodes_said.unwrap_or(Said::planned(self.shop.head(crate::shop::Shop::SHOP).place));
        if !all.is_empty() {
            let is_listed = self.shop.listed.contains_key(&Kind::Electrode);
            let is_open = (self.electrodes_open || denied.how == How::Unread) && !is_listed;
            let list = self.shop.add_list(List { sure: all, is_open, ..List::default() });
            self.state(crate::shop::Shop::SHOP, name::ELECTRODES, Value::List(list), said);
        } else if let Some(source) = self.shop.listed.get(&Kind::Electrode).copied() {
            let list = self.shop.add_list(List::default());
            self.shop.set(crate::shop::Shop::SHOP, name::ELECTRODES, Value::List(list), source);
        }
    }
}

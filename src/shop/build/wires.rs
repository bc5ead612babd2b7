//! Single wires: size, metal, insulation, color, and the wire that carries fault current.

use super::Builder;
use super::amounts::amount;
use super::index::Index;
use super::phrases::Tokens;
use super::state::Said;
use crate::plan::syntax::TokenKind;
use crate::quantity::{Dimension, Scale};
use crate::shop::{ItemRef, List, Value};
use crate::words::{Kind, NameId, choice, name};

/// A wire as written: `3 x 4 AWG Cu THWN-2 black`. What isn't written is unknown.
#[derive(Clone, Debug, Default)]
pub(super) struct WireText {
    pub count: Option<Value>,
    pub size: Option<Value>,
    pub metal: Option<u64>,
    pub insulation: Option<u64>,
    pub color: Option<u64>,
    pub is_guess: bool,
    /// Tokens behind the last that belongs to the wire.
    pub next: usize,
}

impl Index {
    /// Reads a wire from a token on, as far as it goes.
    pub(super) fn wire_text(&self, tokens: Tokens, at: usize) -> WireText {
        let mut wire = WireText { next: at, ..WireText::default() };
        while let Some(token) = tokens.get(wire.next) {
            let at = wire.next;
            if wire.count.is_none()
                && let Some(n) = amount(tokens, at, Some(Scale::NUMBER), &mut None)
                && tokens.get(n.next).is_some_and(|t| t.is("x"))
            {
                wire.count = Some(n.value);
                wire.next = n.next.saturating_add(1);
            } else if wire.size.is_none()
                && let Some(size) = amount(tokens, at, Some(Scale::WireSize), &mut None)
            {
                wire.size = Some(size.value);
                wire.is_guess = size.is_guess;
                wire.next = size.next;
            } else if token.is("unknown") {
                wire.next = at.saturating_add(1);
            } else if wire.metal.is_none()
                && let Some((bits, next)) = self.choices(choice::METAL, tokens, at, false).first()
            {
                (wire.metal, wire.next) = (Some(*bits), *next);
            } else if wire.insulation.is_none()
                && let Some((bits, next)) = self.choices(choice::INSULATION, tokens, at, false).first()
            {
                (wire.insulation, wire.next) = (Some(*bits), *next);
            } else if wire.color.is_none()
                && let Some((bits, next)) = self.choices(choice::COLOR, tokens, at, false).first()
            {
                (wire.color, wire.next) = (Some(*bits), *next);
            } else {
                break;
            }
        }
        wire
    }
}

impl Builder {
    /// Reads a wire from a token on, as far as it goes.
    pub(super) fn wire_text(&self, tokens: Tokens, at: usize) -> WireText {
        self.index.wire_text(tokens, at)
    }

    /// States what is written of a wire.
    pub fn state_wire(&mut self, wire: ItemRef, text: &WireText, said: Said) {
        let said = said.guess_if(text.is_guess);
        let choices = [(name::METAL, text.metal), (name::INSULATION, text.insulation)];
        if let Some(size) = text.size {
            self.state(wire, name::SIZE, size, said);
        }
        if let Some(count) = text.count
            && wire.kind == Kind::Wire
        {
            self.state(wire, name::COUNT, count, said);
        }
        for (word, bits) in choices {
            if let Some(bits) = bits {
                self.state(wire, word, Value::Choice(bits), said);
            }
        }
        let head = self.shop.head_mut(wire);
        if head.of.is_some() && self.rank == 0 {
            head.place = said.place;
        }
    }

    /// The wire that an item has as a part, made where it is new.
    pub fn wire_of(&mut self, item: ItemRef, word: NameId, what: &str, said: Said) -> Option<ItemRef> {
        match self.shop.value(item, word) {
            Value::Item(wire) => {
                // Said again, perhaps more surely than before.
                self.state(item, word, Value::Item(wire), said);
                Some(wire)
            }
            Value::Unknown => {
                let wire = self.sub_item(item, Kind::Wire, what);
                self.shop.head_mut(wire).place = said.place;
                self.state(item, word, Value::Item(wire), said);
                Some(wire)
            }
            // Said to be absent: saying it again as present is a conflict.
            _ => {
                let wire = self.sub_item(item, Kind::Wire, what);
                self.state(item, word, Value::Item(wire), said);
                (self.shop.value(item, word) == Value::Item(wire)).then_some(wire)
            }
        }
    }

    /// A wire in a phrase of the vocabulary: `bonded with 6 AWG Cu`.
    pub fn wire_part(&mut self, item: ItemRef, word: NameId, tokens: Tokens, said: Said) -> bool {
        let text = self.wire_text(tokens, 0);
        if text.next != tokens.len() {
            return false;
        }
        let what = self.shop.vocabulary.text(word).to_string();
        if let Some(wire) = self.wire_of(item, word, &what, said) {
            self.state_wire(wire, &text, said);
        }
        true
    }

    /// `wire 3 x 4 AWG Cu THWN-2`, `wire for 100 A`, `wire upsized` of a feeder, circuit or run.
    pub fn wire_phrase(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        let current = Some(Scale::Ratio(Dimension::CURRENT));
        if tokens.get(1).is_some_and(|t| t.is("for"))
            && let Some(amps) = amount(tokens, 2, current, &mut None).filter(|a| a.next == tokens.len())
        {
            for item in refs {
                if let Some(wire) = self.wire_of(*item, name::WIRE, "wire", said) {
                    self.state(wire, name::AMPACITY_SAID, amps.value, said.guess_if(amps.is_guess));
                }
            }
            return true;
        }
        let text = self.wire_text(tokens, 1);
        if text.next != tokens.len() || tokens.len() < 2 {
            return false;
        }
        for item in refs {
            if let Some(wire) = self.wire_of(*item, name::WIRE, "wire", said) {
                self.state_wire(wire, &text, said);
            }
        }
        true
    }

    /// `neutral bare`, `neutral 8 AWG`, `neutral own`, `neutral shared with C2 and C3`.
    pub fn neutral(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, said: Said) -> bool {
        match tokens.get(1..) {
            Some([word]) if word.is("unknown") => {
                // Not its own by custom, then: any other circuit may share it.
                if kind == Kind::Circuit {
                    let id = self.shop.add_list(List { is_open: true, ..List::default() });
                    self.state_each(refs, name::NEUTRAL_PARTNERS, Value::List(id), said);
                }
                true
            }
            Some([word]) if word.is("own") && kind == Kind::Circuit => {
                for circuit in refs {
                    self.own_neutral(*circuit, said);
                }
                true
            }
            Some([a, b, partners @ ..]) if a.is("shared") && b.is("with") && kind == Kind::Circuit => {
                for circuit in refs {
                    self.share_neutral(*circuit, partners, said);
                }
                self.state_each(refs, name::HAS_NEUTRAL, Value::YesNo(true), said);
                true
            }
            Some(rest) if !rest.is_empty() => {
                let text = self.wire_text(tokens, 1);
                if text.next != tokens.len() {
                    return false;
                }
                for item in refs {
                    if let Some(wire) = self.wire_of(*item, name::NEUTRAL_WIRE, "neutral", said) {
                        self.state_wire(wire, &text, said);
                    }
                }
                self.state_each(refs, name::HAS_NEUTRAL, Value::YesNo(true), said);
                true
            }
            _ => false,
        }
    }

    /// `equipment ground 10 AWG Cu`, `equipment ground by raceway`, `in cable`, and the wrong ways.
    pub fn equipment_ground(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, said: Said) -> bool {
        let rest = tokens.get(2..).unwrap_or(&[]);
        let by: Vec<&str> = rest.iter().map(|t| t.text.as_str()).collect();
        let way = match by.as_slice() {
            [] | ["by", "wire"] => "wire",
            ["unknown"] => return true,
            ["in", "cable"] => "in-cable",
            ["by", "raceway"] => "raceway",
            ["by", "electrode"] => "electrode",
            ["by", "water", "pipe"] => "water-pipe",
            ["by", "steel", "frame"] => "steel-frame",
            ["none"] => return self.no_equipment_ground(refs, kind, said),
            _ => {
                let text = self.wire_text(tokens, 2);
                if text.next != tokens.len() {
                    return false;
                }
                for item in refs {
                    if let Some(wire) = self.wire_of(*item, name::EQUIPMENT_GROUND, "equipment ground", said) {
                        self.state_wire(wire, &text, said);
                    }
                }
                self.ground_way(refs, kind, "wire", "wire", said);
                return true;
            }
        };
        match way {
            "wire" | "in-cable" => {
                for item in refs {
                    self.wire_of(*item, name::EQUIPMENT_GROUND, "equipment ground", said);
                }
                self.ground_way(refs, kind, "wire", way, said);
            }
            _ => {
                self.state_each(refs, name::EQUIPMENT_GROUND, Value::Absent, said);
                self.ground_way(refs, kind, if way == "raceway" { "raceway" } else { "none" }, way, said);
            }
        }
        true
    }

    /// `no equipment ground` denies the raceway too.
    pub fn no_equipment_ground(&mut self, refs: &[ItemRef], kind: Kind, said: Said) -> bool {
        self.state_each(refs, name::EQUIPMENT_GROUND, Value::Absent, said);
        self.ground_way(refs, kind, "none", "none", said);
        true
    }

    fn ground_way(&mut self, refs: &[ItemRef], kind: Kind, carried: &str, by: &str, said: Said) {
        if kind == Kind::Run {
            return;
        }
        let carried = self.bits(choice::EQUIPMENT_GROUND_TYPE, &[carried]);
        let by = self.bits(choice::GROUND_BY, &[by]);
        for item in refs {
            // A cable brings its wire by being named; then `in cable` says no more than that.
            self.state(*item, name::EQUIPMENT_GROUND_TYPE, Value::Choice(carried), said);
            self.state(*item, name::GROUND_BY, Value::Choice(by), said);
        }
    }

    /// Whether these tokens are one word of a wire at least; for messages and `pulled`.
    pub fn begins_wire(&self, tokens: Tokens) -> bool {
        self.wire_text(tokens, 0).next > 0 && tokens.first().is_some_and(|t| t.kind != TokenKind::Quoted)
    }
}

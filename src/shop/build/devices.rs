//! Boxes and what hangs on them: contents, what a receptacle is for, what a machine plugs into.

use super::names::Named;
use super::phrases::Tokens;
use super::state::Said;
use super::{Builder, Listed};
use crate::plan::syntax::{Token, TokenKind};
use crate::quantity::{Dimension, Scale};
use crate::shop::{ItemRef, List, Note, Value};
use crate::words::{Kind, Kinds, choice, name};

/// What a box may hold.
const HELD: Kinds = Kinds::of(Kind::Receptacle)
    .and(Kinds::of(Kind::Switch))
    .and(Kinds::of(Kind::Light))
    .and(Kinds::of(Kind::Device))
    .and(Kinds::of(Kind::Equipment));

/// What a box holds, as far as it was read.
pub(super) struct Held {
    devices: Vec<ItemRef>,
    said: Said,
    is_open: bool,
}

impl Builder {
    /// What is said of a box beside the vocabulary's phrases.
    pub fn box_phrase(&mut self, refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        match tokens {
            [first, rest @ ..] if first.is("holds") && !rest.is_empty() => {
                self.holds(refs, rest, said);
                true
            }
            [first, rest @ ..] if first.is("cables") => self.cables(refs, rest, said),
            _ => false,
        }
    }

    /// `holds R1, R2`, `holds nothing`, `holds splice of F1`.
    fn holds(&mut self, refs: &[ItemRef], names: Tokens, said: Said) {
        let mut is_open = false;
        let (mut held, mut splices): (Vec<ItemRef>, Vec<ItemRef>) = (Vec::new(), Vec::new());
        let mut is_splice = false;
        for token in names.iter().filter(|t| t.kind == TokenKind::Word) {
            match token.text.as_str() {
                "and" | "of" | "nothing" | "none" => {}
                "splice" | "splices" => is_splice = true,
                _ if is_splice => {
                    let lines = Kinds::of(Kind::Feeder).and(Kinds::of(Kind::Circuit)).and(Kinds::of(Kind::Run));
                    match self.resolve_kind(token, lines) {
                        Named::Item(item) => splices.push(item),
                        Named::Unknown | Named::Undefined => is_open = true,
                    }
                }
                _ => match self.resolve_kind(token, HELD) {
                    Named::Item(item) => held.push(item),
                    Named::Unknown | Named::Undefined => is_open = true,
                },
            }
        }
        for item in refs {
            if !self.may_list(*item, Listed::Holds) {
                continue;
            }
            is_open |= self.opened.contains(&(*item, Listed::Holds));
            let all = self.held.entry(*item).or_insert(Held { devices: Vec::new(), said, is_open: false });
            all.devices.extend(held.iter().copied());
            all.is_open |= is_open;
            for device in &held {
                self.state(*device, name::BOX, Value::Item(*item), said);
            }
            if !splices.is_empty() {
                let list = self.shop.add_list(List { sure: splices.clone(), is_open, ..List::default() });
                self.state(*item, name::SPLICES, Value::List(list), said);
            }
        }
    }

    /// The contents of boxes as lists, once every `holds` line was read.
    pub fn settle_boxes(&mut self) {
        let mut held: Vec<(ItemRef, Held)> = std::mem::take(&mut self.held).into_iter().collect();
        held.sort_by_key(|(item, _)| *item);
        for (item, Held { devices: sure, said, is_open }) in held {
            let is_open = is_open || self.opened.contains(&(item, Listed::Holds));
            let list = self.shop.add_list(List { sure, is_open, ..List::default() });
            self.state(item, name::DEVICES, Value::List(list), said);
        }
    }

    /// `cables 3 x 12/2 NM with ground`.
    fn cables(&mut self, refs: &[ItemRef], rest: Tokens, said: Said) -> bool {
        let counted = self.count(rest).filter(|(_, next)| rest.get(*next).is_some_and(|t| t.is("x")));
        let at = counted.map_or(0, |(_, next)| next.saturating_add(1));
        let Some(cable) = self.cable_text(rest.get(at..).unwrap_or(&[])) else { return false };
        for item in refs {
            if let Some((count, _)) = counted {
                self.state(*item, name::CABLE_COUNT, count, said);
            }
            if let Some((low, high)) = cable.count
                && low == high
            {
                self.state(*item, name::CABLE_CONDUCTORS, Value::Number(low), said);
            }
            self.state_cable(*item, &cable, None, said);
        }
        true
    }

    /// What is said of receptacles, switches, lights, devices, machines, disconnects and cords beside
    /// the vocabulary's phrases.
    pub fn device_phrase(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, said: Said) -> bool {
        let words: Vec<&str> = tokens.iter().map(|t| t.text.as_str()).collect();
        match (kind, words.as_slice()) {
            (Kind::Receptacle, ["plain"]) => {
                let features = [
                    name::HAS_GFCI,
                    name::HAS_AFCI,
                    name::IS_WEATHER_RESISTANT,
                    name::IS_TAMPER_RESISTANT,
                    name::IS_EXTRA_DUTY,
                ];
                refs.iter().for_each(|item| self.plain_item(*item, &features, said));
                true
            }
            (Kind::Device, ["plain"]) => {
                let features = [name::HAS_GFCI, name::HAS_AFCI];
                refs.iter().for_each(|item| self.plain_item(*item, &features, said));
                true
            }
            (_, ["marked", ..]) if tokens.get(1).is_some_and(|t| t.kind == TokenKind::Quoted) => {
                let text = tokens.get(1).map_or("", |t| t.text.as_str());
                for item in refs {
                    let text = format!("marked \"{text}\"");
                    self.shop.notes.push(Note { item: Some(*item), text, place: said.place });
                    if self.shop.vocabulary.word(kind, name::IS_MARKED).is_some() {
                        self.state(*item, name::IS_MARKED, Value::YesNo(true), said);
                    }
                }
                true
            }
            (Kind::Receptacle | Kind::Light | Kind::Disconnect, ["for", ..]) => {
                self.meant_for(refs, kind, tokens, said)
            }
            (Kind::Light | Kind::Equipment, ["plugs", "into", ..]) => {
                self.plugs_into(refs, tokens.get(2..).unwrap_or(&[]), said);
                true
            }
            (Kind::Equipment, ["plug", plug]) => self.plug(refs, plug, said),
            (Kind::Equipment, ["cord", ..]) => self.machine_cord(refs, tokens.get(1..).unwrap_or(&[]), said),
            (Kind::Equipment, ["maker", "wire", ..]) => self.wire_text(tokens, 2).next > 2,
            (Kind::Disconnect, ["in", "sight", "of", ..]) => {
                self.in_sight_of(refs, tokens.get(3..).unwrap_or(&[]), true, said);
                true
            }
            (Kind::Disconnect, ["not", "in", "sight", "of", ..]) => {
                self.in_sight_of(refs, tokens.get(4..).unwrap_or(&[]), false, said);
                true
            }
            _ => false,
        }
    }

    /// `for door opener`, `for M1 only`.
    fn meant_for(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, said: Said) -> bool {
        let (what, is_only) = match tokens {
            [_, inner @ .., only] if only.is("only") => (inner, true),
            [_, inner @ ..] => (inner, false),
            [] => return false,
        };
        if what.is_empty() {
            return false;
        }
        let read = match kind {
            Kind::Receptacle => match self.index.choice(choice::SERVES, what) {
                Some(bits) => {
                    self.state_each(refs, name::SERVES, Value::Choice(bits), said);
                    true
                }
                None => self.named_purpose(refs, kind, what, said),
            },
            _ => self.named_purpose(refs, kind, what, said),
        };
        if read && is_only && kind == Kind::Receptacle {
            self.state_each(refs, name::IS_FOR_ONE, Value::YesNo(true), said);
        }
        read
    }

    fn named_purpose(&mut self, refs: &[ItemRef], kind: Kind, what: Tokens, said: Said) -> bool {
        let what = match what {
            [door, rest @ ..] if door.is("door") && !rest.is_empty() => rest,
            what => what,
        };
        let [token] = what else { return false };
        let (kinds, word) = match kind {
            Kind::Light => (Kinds::of(Kind::Door), name::DOOR),
            Kind::Disconnect => (Kinds::of(Kind::Equipment), name::EQUIPMENT),
            _ => (Kinds::of(Kind::Equipment).and(Kinds::of(Kind::Light)), name::MEANT_FOR),
        };
        let item = match self.shop.named(&token.text) {
            Some(_) => self.resolve_kind(token, kinds),
            None => return false,
        };
        if let Named::Item(item) = item {
            let value = match kind {
                Kind::Disconnect => Value::List(self.shop.add_list(List { sure: vec![item], ..List::default() })),
                _ => Value::Item(item),
            };
            self.state_each(refs, word, value, said);
        }
        true
    }

    /// `plugs into R7 and R8`.
    fn plugs_into(&mut self, refs: &[ItemRef], names: Tokens, said: Said) {
        let mut sure = Vec::new();
        let mut is_open = false;
        for (named, _) in self.resolve_all(names, Kinds::of(Kind::Receptacle)) {
            match named {
                Named::Item(item) => sure.push(item),
                Named::Unknown | Named::Undefined => is_open = true,
            }
        }
        let plug = self.bits(choice::CONNECTION, &["cord-and-plug"]);
        self.state_each(refs, name::CONNECTION, Value::Choice(plug), said);
        // One that plugs into several has no single receptacle; the list says which.
        if let ([only], false) = (sure.as_slice(), is_open) {
            self.state_each(refs, name::RECEPTACLE, Value::Item(*only), said);
        }
        let list = self.shop.add_list(List { sure, is_open, ..List::default() });
        self.state_each(refs, name::RECEPTACLES, Value::List(list), said);
    }

    /// `plug 6-50P`: the receptacle that it is made for. `plug 50 A` stands in the vocabulary.
    fn plug(&mut self, refs: &[ItemRef], text: &str, said: Said) -> bool {
        let made_for = text.strip_suffix('P').map(|stem| format!("{stem}R"));
        let Some(bits) = made_for.and_then(|r| self.index.form(choice::CONFIGURATION, &r)) else { return false };
        self.state_each(refs, name::PLUG, Value::Choice(bits), said);
        let plug = self.bits(choice::CONNECTION, &["cord-and-plug"]);
        self.state_each(refs, name::CONNECTION, Value::Choice(plug), said);
        true
    }

    /// `cord 12 AWG 25 ft` of a machine.
    fn machine_cord(&mut self, refs: &[ItemRef], rest: Tokens, said: Said) -> bool {
        let wire = self.wire_text(rest, 0);
        let mut at = wire.next;
        if let Some((_, next)) = self.index.choices(choice::METHOD, rest, at, false).first() {
            at = *next;
        }
        let length = super::amounts::amount(rest, at, Some(Scale::Ratio(Dimension::LENGTH)), &mut None);
        let end = length.map_or(at, |l| l.next);
        if end != rest.len() || rest.is_empty() {
            return false;
        }
        for item in refs {
            if wire.size.is_some()
                && let Some(part) = self.wire_of(*item, name::WIRE, "cord", said)
            {
                self.state_wire(part, &wire, said);
            }
            if let Some(length) = length {
                self.state(*item, name::CORD_LENGTH, length.value, said.guess_if(length.is_guess));
            }
        }
        true
    }

    /// `in sight of AIR`, `not in sight of AIR`: what it turns off, and whether it is seen from there.
    fn in_sight_of(&mut self, refs: &[ItemRef], names: Tokens, is_seen: bool, said: Said) {
        self.state_each(refs, name::IS_IN_SIGHT, Value::YesNo(is_seen), said);
        let machines: Vec<ItemRef> = self
            .resolve_all(names, HELD.and(Kinds::of(Kind::Panel)).and(Kinds::of(Kind::Feeder)))
            .into_iter()
            .filter_map(|(named, _)| if let Named::Item(item) = named { Some(item) } else { None })
            .filter(|item| item.kind == Kind::Equipment)
            .collect();
        if !machines.is_empty() {
            let list = self.shop.add_list(List { sure: machines, ..List::default() });
            self.state_each(refs, name::EQUIPMENT, Value::List(list), said);
        }
    }

    /// The words of a phrase as one text; for notes.
    pub fn text_of(tokens: &[&Token]) -> String {
        tokens.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ")
    }
}

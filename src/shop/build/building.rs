//! The shop, its permit and its areas.

use super::Builder;
use super::amounts::amount;
use super::phrases::Tokens;
use super::state::Said;
use crate::plan::syntax::{Keyword, Token, TokenKind};
use crate::quantity::{Dimension, Rational, Scale};
use crate::shop::{Head, How, ItemRef, List, Shop, Source, Value};
use crate::text::Spanned;
use crate::words::{Kind, Kinds, choice, name};

impl Builder {
    /// What is said of the shop or of the work beside the vocabulary's phrases.
    pub fn shop_phrase(&mut self, kind: Kind, tokens: Tokens, said: Said) -> bool {
        let words: Vec<&str> = tokens.iter().map(|t| t.text.as_str()).collect();
        match words.as_slice() {
            ["amended", "by", ..] => {
                let file = tokens.get(2..).unwrap_or(&[]);
                let Some(first) = file.first() else { return false };
                let node = file.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
                self.shop.layers.push(Spanned { node, span: first.span });
            }
            ["planned"] => {
                self.state(Shop::PERMIT, name::IS_ISSUED, Value::YesNo(false), said);
            }
            _ if kind == Kind::Permit => return false,
            ["all", ..] => return self.all_of_shop(tokens, said),
            ["indoors", "and", "dry", "unless", "said"] => {
                let place = self.bits(choice::PLACE, &["indoors"]);
                self.wait_for_places(place, said);
            }
            ["use", ..] => return self.uses(tokens.get(1..).unwrap_or(&[]), said),
            ["no", ..] if self.none_of(&words, said) => {}
            ["steel", "frame", rest @ ..] => return self.frame_bond(rest, tokens, said),
            ["water" | "gas", "pipe", ..] => return self.pipe(&words, tokens, said),
            ["no", "water" | "gas", "pipe"] | ["no", "other", "metal", "pipe"] | ["no", "other", "pipe"] => {
                self.no_pipe(&words, said);
            }
            [.., "vehicle", "bay" | "bays"] => return self.vehicle_bays(tokens, said),
            [.., "at", "grade"] if words.contains(&"door") => self.shop_door(said),
            ["lit", "by", ..] => return self.door_light(tokens, said),
            _ => return self.floor(tokens, said),
        }
        true
    }

    /// Areas of the shop that no item names: the shop itself, and a second use of it.
    pub fn own_areas(&self) -> Vec<ItemRef> {
        let own: Vec<ItemRef> =
            self.shop.items(Kind::Area).filter(|a| self.own_area_names.contains(&self.shop.head(*a).name)).collect();
        if own.is_empty() { self.shop.items(Kind::Area).collect() } else { own }
    }

    /// `use garage and workshop` is one area for each use; `use garage or workshop` is one.
    fn uses(&mut self, tokens: Tokens, said: Said) -> bool {
        let index = self.index.clone();
        let parts: Vec<&[&Token]> = tokens.split(|t| t.is("and")).collect();
        let mut read = Vec::new();
        for part in &parts {
            if let [word] = part
                && word.is("business")
            {
                self.state(Shop::SHOP, name::IS_BUSINESS, Value::YesNo(true), said);
                continue;
            }
            match index.choice(choice::AREA_USE, part) {
                Some(bits) => read.push((*part, bits)),
                None => return false,
            }
        }
        for (i, (part, bits)) in read.iter().enumerate() {
            let is_dwelling = part.first().is_some_and(|t| t.is("dwelling"));
            if is_dwelling {
                self.state(Shop::SHOP, name::HAS_DWELLING_UNIT, Value::YesNo(true), said);
            }
            let area = match i {
                0 => ItemRef { kind: Kind::Area, index: 0 },
                _ => match self.shop.named(&super::items::use_tag(part)) {
                    Some(area) if area.kind == Kind::Area => area,
                    _ => continue,
                },
            };
            self.state(area, name::USE, Value::Choice(*bits), said);
        }
        true
    }

    /// `24 ft x 30 ft`.
    fn floor(&mut self, tokens: Tokens, said: Said) -> bool {
        let length = Some(Scale::Ratio(Dimension::LENGTH));
        let Some(width) = amount(tokens, 0, length, &mut None) else { return false };
        if !tokens.get(width.next).is_some_and(|t| t.is("x")) {
            return false;
        }
        let Some(depth) = amount(tokens, width.next.saturating_add(1), length, &mut None) else { return false };
        if depth.next != tokens.len() {
            return false;
        }
        if let (Value::Number(a), Value::Number(b)) = (width.value, depth.value)
            && let Some(area) = a.times(b)
        {
            self.state(
                Shop::SHOP,
                name::FLOOR_AREA,
                Value::Number(area),
                said.guess_if(width.is_guess || depth.is_guess),
            );
        }
        true
    }

    /// `no panel`, `no electrode`, `no receptacle`: known and empty.
    fn none_of(&mut self, words: &[&str], said: Said) -> bool {
        let ["no", what] = words else { return false };
        let Some(kind) = kind_listed(what) else { return false };
        self.listed(kind, said);
        self.denied.push((kind, said.place));
        if kind == Kind::Electrode {
            let list = self.shop.add_list(List::default());
            self.state(Shop::SHOP, name::ELECTRODES, Value::List(list), said);
        }
        true
    }

    /// The plan names every item of a kind.
    fn listed(&mut self, kind: Kind, said: Said) {
        let source = Source { how: said.how, place: said.place, claim: said.claim, day: said.day };
        self.shop.listed.entry(kind).or_insert(source);
    }

    /// `all receptacles and lights listed`, `all work new`, `all wire Cu`, `all terminals 75 C`.
    fn all_of_shop(&mut self, tokens: Tokens, said: Said) -> bool {
        let rest = tokens.get(1..).unwrap_or(&[]);
        if let [kinds @ .., last] = rest
            && last.is("listed")
        {
            let kinds: Vec<&&Token> = kinds.iter().filter(|t| !t.is("and") && t.kind == TokenKind::Word).collect();
            let mut known = Vec::new();
            for kind in kinds {
                match kind.text.as_str() {
                    "items" => known.extend(LISTABLE),
                    word => match kind_listed(word) {
                        Some(kind) => known.push(kind),
                        None => return false,
                    },
                }
            }
            known.into_iter().for_each(|kind| self.listed(kind, said));
            return true;
        }
        let rest = match rest {
            [inner @ .., a, b] if a.is("unless") && b.is("said") => inner,
            rest => rest,
        };
        self.wait_for_all(rest, said)
    }

    /// `steel frame bonded to P1 and P2`, `not bonded`; other words of the frame are the vocabulary's.
    fn frame_bond(&mut self, rest: &[&str], tokens: Tokens, said: Said) -> bool {
        match rest {
            ["not", "bonded"] => self.state(Shop::SHOP, name::FRAME_BOND, Value::Absent, said),
            ["bonded"] => {
                self.wire_of(Shop::SHOP, name::FRAME_BOND, "frame bond", said);
            }
            ["bonded", "to", ..] => {
                let behind = tokens.get(4..).unwrap_or(&[]);
                let with = behind.iter().position(|t| t.is("with")).unwrap_or(behind.len());
                let (names, wire) = behind.split_at(with);
                self.resolve_all(names, super::ends::ENDS.and(Kinds::of(Kind::Electrode)));
                match wire {
                    [] => {
                        self.wire_of(Shop::SHOP, name::FRAME_BOND, "frame bond", said);
                    }
                    [_, wire @ ..] if self.wire_part(Shop::SHOP, name::FRAME_BOND, wire, said) => {}
                    _ => return false,
                }
            }
            ["bonded", "with", ..] => {
                return self.wire_part(Shop::SHOP, name::FRAME_BOND, tokens.get(4..).unwrap_or(&[]), said);
            }
            _ => return false,
        }
        let steel = self.bits(choice::FRAME, &["steel"]);
        self.state(Shop::SHOP, name::FRAME, Value::Choice(steel), said);
        true
    }

    /// `water pipe: metal`, `water pipe: 12 ft in earth`, `gas pipe: none`.
    fn pipe(&mut self, words: &[&str], tokens: Tokens, said: Said) -> bool {
        let Some((what, rest)) = words.first().zip(words.get(2..)) else { return false };
        if rest == ["none"] {
            self.no_pipe(&["no", what, "pipe"], said);
            return true;
        }
        let pipe = self.pipe_of(what, said);
        if rest.is_empty() || rest == ["unknown"] {
            return true;
        }
        let behind = tokens.get(2..).unwrap_or(&[]);
        let index = self.index.clone();
        let found = index.read(Kind::Pipe, behind, &mut None);
        self.apply(&[pipe], &found, behind, said);
        !found.is_empty() || self.is_unasked(Kind::Pipe, behind)
    }

    fn pipe_of(&mut self, carries: &str, said: Said) -> ItemRef {
        let tag = format!("{carries} pipe");
        if let Some(pipe) = self.shop.items(Kind::Pipe).find(|p| self.shop.head(*p).name == tag) {
            return pipe;
        }
        let pipe = self.shop.add(Kind::Pipe, Head { name: tag, place: said.place, ..Head::default() });
        let bits = self.bits(choice::CARRIES, &[carries]);
        self.state(pipe, name::CARRIES, Value::Choice(bits), said);
        self.pipes_said.insert(carries.to_string());
        pipe
    }

    fn no_pipe(&mut self, words: &[&str], said: Said) {
        let what = words.get(1).copied().unwrap_or("");
        self.pipes_said.insert(what.to_string());
        self.pipes_place.get_or_insert(said);
    }

    /// Pipes are all named when water, gas and other metal ones were each spoken of.
    pub fn settle_pipes(&mut self) {
        let all: Vec<ItemRef> = self.shop.items(Kind::Pipe).collect();
        let is_closed = self.shop.listed.contains_key(&Kind::Pipe)
            || ["water", "gas", "other"].iter().all(|what| self.pipes_said.contains(*what));
        let place = self.pipes_place.map(|s| s.place).or_else(|| all.first().map(|p| self.shop.head(*p).place));
        if all.is_empty() && !is_closed {
            return;
        }
        let said = Said::planned(place.unwrap_or(self.shop.head(Shop::SHOP).place));
        let list = self.shop.add_list(List { sure: all, is_open: !is_closed, ..List::default() });
        self.state(Shop::SHOP, name::PIPES, Value::List(list), said);
    }

    /// `2 vehicle bays`, `no vehicle bays`.
    fn vehicle_bays(&mut self, tokens: Tokens, said: Said) -> bool {
        let count = match tokens.first() {
            Some(t) if t.is("no") && tokens.len() == 3 => Some((Value::Number(Rational::ZERO), 1)),
            _ => self.count(tokens),
        };
        let Some((count, next)) = count else { return false };
        if next.saturating_add(2) != tokens.len() || self.shop.source(Shop::SHOP, name::BAYS).how != How::Unsaid {
            return next.saturating_add(2) == tokens.len();
        }
        let (least, is_open) = match count {
            Value::Number(n) => (n.floor(), false),
            Value::Range(r) => (r.low.map_or(0, Rational::ceiling), true),
            _ => (0, true),
        };
        let bays = (1..=least.clamp(0, 50)).map(|n| {
            let bay = self.shop.add(Kind::Bay, Head { name: n.to_string(), place: said.place, ..Head::default() });
            self.shop.call(&format!("bay-{n}"), bay);
            bay
        });
        let sure = bays.collect();
        let list = self.shop.add_list(List { sure, is_open, ..List::default() });
        self.state(Shop::SHOP, name::BAYS, Value::List(list), said);
        true
    }

    /// `1 walk door at grade` in `shop`.
    fn shop_door(&mut self, said: Said) {
        let door = self.add(Kind::Door, self.shop.count(Kind::Door).saturating_add(1).to_string(), None, said.place);
        let person = self.bits(choice::DOOR_TYPE, &["person"]);
        self.state(door, name::TYPE, Value::Choice(person), said);
        self.state(door, name::IS_AT_GRADE, Value::YesNo(true), said);
        self.shop_door = Some(door);
    }

    /// `lit by L3` behind the shop's door.
    fn door_light(&mut self, tokens: Tokens, said: Said) -> bool {
        let Some(door) = self.shop_door else { return false };
        for (named, _) in self.resolve_all(tokens.get(2..).unwrap_or(&[]), Kinds::of(Kind::Light)) {
            if let super::names::Named::Item(light) = named {
                self.state(light, name::DOOR, Value::Item(door), said);
            }
        }
        true
    }

    /// What is said of an area beside the vocabulary's phrases.
    pub fn area_phrase(&mut self, _refs: &[ItemRef], tokens: Tokens, said: Said) -> bool {
        match tokens {
            [has, vehicle, bay] if has.is("has") && vehicle.is("vehicle") && bay.is("bay") => {
                if self.shop.source(Shop::SHOP, name::BAYS).how == How::Unsaid {
                    let head = Head { name: "1".into(), place: said.place, ..Head::default() };
                    let bay = self.shop.add(Kind::Bay, head);
                    let list = self.shop.add_list(List { sure: vec![bay], is_open: true, ..List::default() });
                    self.state(Shop::SHOP, name::BAYS, Value::List(list), said);
                }
                true
            }
            _ => false,
        }
    }
}

const LISTABLE: [Kind; 14] = [
    Kind::Area,
    Kind::Supply,
    Kind::Feeder,
    Kind::Panel,
    Kind::Disconnect,
    Kind::Electrode,
    Kind::Box,
    Kind::Run,
    Kind::Circuit,
    Kind::Receptacle,
    Kind::Switch,
    Kind::Light,
    Kind::Device,
    Kind::Equipment,
];

/// The kind that a word of a plan names, one or several: `boxes`, `box`.
pub(super) fn kind_listed(word: &str) -> Option<Kind> {
    let kinds = LISTABLE.into_iter().chain([Kind::Door, Kind::Pipe, Kind::Cord, Kind::Inspection]);
    kinds
        .into_iter()
        .find(|k| k.name() == word || k.plural() == word || Keyword::of(word).is_some_and(|w| w.text() == k.name()))
}

//! Where a thing is: weather, building, area, vehicle bay.

use super::Builder;
use super::names::Named;
use super::phrases::Tokens;
use super::state::Said;
use crate::plan::syntax::TokenKind;
use crate::shop::{Head, ItemRef, Value};
use crate::words::{ChoiceId, Kind, choice, name};

/// Phrases of the weather and what each leaves open. `indoors` alone is dry and `outdoors` alone is
/// in the weather, unless another phrase of the item says more: see [`Builder::settle_places`].
const PLACES: &[(&str, &[&str])] = &[
    ("indoors", INSIDE),
    ("inside", INSIDE),
    ("on inside wall", INSIDE),
    ("on ceiling", INSIDE),
    ("in wall", INSIDE),
    ("in attic", INSIDE),
    ("outdoors", OUTSIDE),
    ("on outside wall", OUTSIDE),
    ("outdoors under roof", &["outdoors-under-roof"]),
    ("dry location", &["indoors"]),
    ("damp location", &["indoors-damp", "outdoors-under-roof"]),
    ("wet location", &["washed-down", "outdoors", "buried", "in-slab"]),
    ("washed down", &["washed-down"]),
    ("overhead", &["overhead"]),
    ("buried", &["buried"]),
    ("in slab", &["in-slab"]),
];
const INSIDE: &[&str] = &["indoors", "indoors-damp", "washed-down"];
const OUTSIDE: &[&str] = &["outdoors", "outdoors-under-roof", "buried", "in-slab", "overhead"];

impl Builder {
    /// Reads a phrase of place. What implies a place beside its own fact (`buried 20 in`) says so too.
    pub fn place(&mut self, refs: &[ItemRef], kind: Kind, tokens: Tokens, said: Said) -> bool {
        let has = |word| self.shop.vocabulary.word(kind, word).is_some();
        let (has_place, has_area) = (has(name::PLACE), has(name::AREA));
        let text = tokens.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
        if has_place && let Some(bits) = self.weather(&text) {
            self.state_each(refs, name::PLACE, Value::Choice(bits), said);
            if text != "in attic" {
                return true;
            }
        }
        if has_place
            && kind == Kind::Run
            && tokens.first().is_some_and(|t| t.is("buried"))
            && let Some(bits) = self.weather("buried")
        {
            self.state_each(refs, name::PLACE, Value::Choice(bits), said);
            return false;
        }
        match tokens {
            [joint, rest @ ..] if joint.is("in") && kind == Kind::Receptacle && self.bay(refs, rest, said) => true,
            [joint, room] if joint.is("in") && has_area && room.kind == TokenKind::Word => self.room(refs, room, said),
            _ => false,
        }
    }

    /// States one value of many.
    pub fn state_each(&mut self, refs: &[ItemRef], word: crate::words::NameId, value: Value, said: Said) {
        for item in refs {
            self.state(*item, word, value, said);
        }
    }

    fn weather(&self, text: &str) -> Option<u64> {
        let (_, values) = PLACES.iter().find(|(phrase, _)| *phrase == text)?;
        Some(self.bits(choice::PLACE, values))
    }

    /// Values of a choice as a bit set.
    pub fn bits(&self, id: ChoiceId, values: &[&str]) -> u64 {
        values.iter().filter_map(|v| self.index.form(id, v)).fold(0, |all, bits| all | bits)
    }

    /// `in garage`: an area that the plan names, or the one with that use; else an area of its own.
    fn room(&mut self, refs: &[ItemRef], room: &crate::plan::syntax::Token, said: Said) -> bool {
        if matches!(room.text.as_str(), "house" | "shop" | "other") {
            return false;
        }
        let area = match self.shop.named(&room.text) {
            Some(item) if item.kind == Kind::Area => item,
            Some(_) => return false,
            None => match self.index.form(choice::AREA_USE, &room.text) {
                Some(use_bits) => self.area_of_use(&room.text, use_bits, said),
                None => return matches!(self.resolve(room), Named::Item(_) | Named::Undefined),
            },
        };
        self.state_each(refs, name::AREA, Value::Item(area), said);
        true
    }

    fn area_of_use(&mut self, room: &str, bits: u64, said: Said) -> ItemRef {
        if let Some(area) = self.area_of.get(&bits) {
            return *area;
        }
        let known = self.shop.items(Kind::Area).find(|a| self.shop.value(*a, name::USE) == Value::Choice(bits));
        let area = known.unwrap_or_else(|| {
            let head = Head { name: room.to_string(), place: said.place, ..Head::default() };
            let area = self.shop.add(Kind::Area, head);
            self.shop.call(room, area);
            self.state(area, name::USE, Value::Choice(bits), said);
            area
        });
        self.area_of.insert(bits, area);
        area
    }

    /// `in vehicle bay`, `in bay 2`.
    fn bay(&mut self, refs: &[ItemRef], rest: Tokens, said: Said) -> bool {
        let bays = self.shop.count(Kind::Bay) as u32;
        let index = match rest {
            [a, b] if a.is("vehicle") && b.is("bay") && bays == 1 => 0,
            [a, b] if a.is("vehicle") && b.is("bay") => {
                self.vehicle_place(refs, said);
                return true;
            }
            [a, n] if a.is("bay") => match n.text.parse::<u32>() {
                Ok(n) if n <= bays => match n.checked_sub(1) {
                    Some(index) => index,
                    None => return false,
                },
                _ => return false,
            },
            _ => return false,
        };
        let bay = ItemRef { kind: Kind::Bay, index };
        self.state_each(refs, name::BAY, Value::Item(bay), said);
        self.vehicle_place(refs, said);
        true
    }

    /// A vehicle bay is in the garage, where the plan has one.
    fn vehicle_place(&mut self, refs: &[ItemRef], said: Said) {
        if let Some(garage) = self.index.form(choice::AREA_USE, "garage") {
            let area = self.area_of_use("garage", garage, said);
            self.state_each(refs, name::AREA, Value::Item(area), said);
        }
    }

    /// `indoors` with nothing said of water is dry; `outdoors` with nothing said of a roof is in the weather.
    pub fn settle_places(&mut self) {
        let settled: Vec<(u64, u64)> = [(INSIDE, "indoors"), (OUTSIDE, "outdoors")]
            .into_iter()
            .map(|(all, one)| (self.bits(choice::PLACE, all), self.bits(choice::PLACE, &[one])))
            .collect();
        for kind in Kind::ALL {
            if self.shop.vocabulary.word(kind, name::PLACE).is_none() {
                continue;
            }
            for item in self.shop.items(kind) {
                // A phrase that was not understood might have said more of the place.
                if !self.misread.contains(&item)
                    && let Value::Choice(bits) = self.shop.value(item, name::PLACE)
                    && let Some((_, one)) = settled.iter().find(|(all, _)| *all == bits)
                {
                    let source = self.shop.source(item, name::PLACE);
                    self.shop.set(item, name::PLACE, Value::Choice(*one), source);
                }
            }
        }
    }
}

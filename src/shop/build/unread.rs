//! A bad line never helps: what it might have said is unread, and a verdict that needs it names the line.

use super::amounts::is_loose;
use super::items::kind_of;
use super::phrases::hosted_kinds;
use super::{Builder, Listed};
use crate::plan::syntax::Plan;
use crate::shop::{How, ItemRef, Shop, Source, Value};
use crate::text::Span;
use crate::words::{Kind, NameId, Origin, name};

/// Words that begin phrases which code reads.
pub(super) const SHAPED: &[(Kind, &[&str])] = &[
    (
        Kind::Circuit,
        &[
            "feeds",
            "wire",
            "cable",
            "neutral",
            "equipment",
            "stretch",
            "by",
            "common",
            "tied",
            "space",
            "spaces",
            "plain",
        ],
    ),
    (Kind::Feeder, &["wire", "cable", "neutral", "equipment", "stretch", "by", "other", "tapped", "plain", "trench"]),
    (Kind::Run, &["wire", "cable", "cord", "extension", "equipment", "stretch", "shares", "raceway"]),
    (Kind::Panel, &["main", "main-lug", "spaces", "built"]),
    (Kind::Electrode, &["wire", "concrete-encased", "rod", "rods", "ring", "plate"]),
    (Kind::Box, &["holds", "cables"]),
    (Kind::Receptacle, &["for", "plain", "marked"]),
    (Kind::Light, &["plugs", "for"]),
    (Kind::Equipment, &["plugs", "plug", "cord", "maker"]),
    (Kind::Disconnect, &["in", "for", "marked"]),
    (Kind::Shop, &["use", "all", "amended", "steel", "water", "gas", "no"]),
];
/// Whether code reads phrases of this kind that begin so.
pub(super) fn is_shaped(kind: Kind, first: &str) -> bool {
    SHAPED.iter().any(|(k, words)| *k == kind && words.contains(&first))
}

impl Builder {
    /// Marks the facts that a phrase beginning so might have stated. Where the word is nobody's, any
    /// fact of the item may have been meant.
    pub fn unread_phrase(&mut self, item: ItemRef, first: &str, place: Span) {
        self.misread.insert(item);
        let index = self.index.clone();
        let kinds = std::iter::once(item.kind).chain(hosted_kinds(item.kind).iter().copied());
        let mut is_known = false;
        for kind in kinds {
            let names: Vec<NameId> = index.names_behind(kind, first).collect();
            is_known |= !names.is_empty();
            for part in self.parts_of_kind(item, kind) {
                names.iter().for_each(|name| self.unread_fact(part, *name, place));
            }
        }
        if is_shaped(item.kind, first) {
            self.unread_shaped(item, first, place);
        } else if !is_known || is_loose(first) || first == "no" || first == "not" {
            self.unread_item(item, place);
        }
    }

    fn unread_shaped(&mut self, item: ItemRef, first: &str, place: Span) {
        match first {
            "feeds" => self.open(item, Listed::Feeds),
            "holds" => self.open(item, Listed::Holds),
            "stretch" => self.open(item, Listed::Stretches),
            "neutral" => {
                self.open(item, Listed::Neutrals);
                self.unread_fact(item, name::HAS_NEUTRAL, place);
            }
            "wire" | "cable" | "equipment" => {
                for word in [name::WIRE, name::EQUIPMENT_GROUND, name::NEUTRAL_WIRE] {
                    if let Value::Item(wire) = self.shop.value(item, word) {
                        self.unread_words(wire, place);
                    }
                    self.unread_fact(item, word, place);
                }
                for word in [name::METHOD, name::EQUIPMENT_GROUND_TYPE, name::GROUND_BY] {
                    self.unread_fact(item, word, place);
                }
            }
            _ => self.unread_item(item, place),
        }
    }

    /// Any fact of the item may have been meant: all that are unknown are unread, all lists are open.
    fn unread_item(&mut self, item: ItemRef, place: Span) {
        self.misread.insert(item);
        if self.shop.vocabulary.word(item.kind, name::AREA).is_some() {
            self.strange.push(place);
        }
        self.unread_words(item, place);
        let word_parts = [name::BREAKER, name::WIRE, name::EQUIPMENT_GROUND, name::NEUTRAL_WIRE, name::MAIN];
        for word in word_parts {
            if self.shop.vocabulary.word(item.kind, word).is_some()
                && let Value::Item(part) = self.shop.value(item, word)
            {
                self.unread_words(part, place);
            }
        }
        let lists: &[Listed] = match item.kind {
            Kind::Circuit => &[Listed::Feeds, Listed::Stretches, Listed::Neutrals],
            Kind::Feeder | Kind::Run => &[Listed::Stretches],
            Kind::Box => &[Listed::Holds],
            _ => &[],
        };
        lists.iter().for_each(|list| self.open(item, *list));
        if item.kind == Kind::Electrode {
            self.electrodes_open = true;
        }
    }

    fn unread_words(&mut self, item: ItemRef, place: Span) {
        let vocabulary = self.shop.vocabulary.clone();
        let stated = |origin| matches!(origin, Origin::Stated | Origin::Either | Origin::Fact);
        for word in vocabulary.words().iter().filter(|w| w.kinds.has(item.kind) && stated(w.origin)) {
            self.unread_fact(item, word.name, place);
        }
    }

    /// Marks one fact as unread, where it is unknown.
    pub fn unread_fact(&mut self, item: ItemRef, name: NameId, place: Span) {
        if self.shop.vocabulary.word(item.kind, name).is_some()
            && self.shop.source(item, name).how == How::Unsaid
            && self.shop.value(item, name) == Value::Unknown
        {
            let source = Source { how: How::Unread, place, claim: None, day: None };
            self.shop.set(item, name, Value::Unknown, source);
        }
    }

    /// A fact that was stated and can't be what it says: it counts as unread.
    pub fn lose(&mut self, item: ItemRef, name: NameId, place: Span) {
        if self.shop.vocabulary.word(item.kind, name).is_some() {
            let source = Source { how: How::Unread, place, claim: None, day: None };
            self.shop.set(item, name, Value::Unknown, source);
        }
    }

    fn open(&mut self, item: ItemRef, list: Listed) {
        self.opened.insert((item, list));
        if list == Listed::Feeds
            && let Some(feeds) = self.shop.feeds.get_mut(item.index as usize)
        {
            feeds.is_open = true;
        }
    }

    fn parts_of_kind(&mut self, item: ItemRef, kind: Kind) -> Vec<ItemRef> {
        if item.kind == kind {
            return vec![item];
        }
        match (item.kind, kind) {
            (Kind::Shop, Kind::Permit) => vec![Shop::PERMIT],
            (Kind::Shop, Kind::Area) => self.own_areas(),
            (Kind::Electrode, Kind::ElectrodeConductor) => self.conductor_of(item).into_iter().collect(),
            (Kind::Panel, Kind::Breaker) => match self.shop.value(item, name::MAIN) {
                Value::Item(main) => vec![main],
                _ => {
                    let place = self.shop.head(item).place;
                    self.unread_fact(item, name::MAIN, place);
                    Vec::new()
                }
            },
            _ => match self.shop.value(item, name::BREAKER) {
                Value::Item(breaker) => vec![breaker],
                _ => Vec::new(),
            },
        }
    }

    /// Lines that the reader gave up: what they might have said is unread.
    pub fn mark_unread(&mut self, plan: &Plan, declared: &[Vec<ItemRef>]) {
        for unread in &plan.unread {
            let owner = unread.item.and_then(|i| Some((plan.items.get(i)?, declared.get(i)?)));
            match owner {
                Some((item, refs)) if kind_of(item.keyword).is_some() => {
                    for of in refs {
                        self.unread_item(*of, unread.span);
                        if *of == Shop::SHOP {
                            self.unread_item(Shop::PERMIT, unread.span);
                            self.own_areas().into_iter().for_each(|area| self.unread_item(area, unread.span));
                        }
                    }
                }
                // A record of something: it might have been about anything, but a record only adds.
                Some(_) => {}
                // A whole item: the plan names more than could be read, so nothing is listed in full.
                None => self.unlisted.push(unread.span),
            }
        }
    }

    /// An item that could not be read may be of any kind.
    pub fn settle_listed(&mut self) {
        let Some(place) = self.unlisted.first().copied() else { return };
        self.shop.listed.clear();
        self.electrodes_open = true;
        for panel in self.shop.items(Kind::Panel).chain(self.shop.items(Kind::Box)) {
            let source = Source { how: How::Unread, place, claim: None, day: None };
            if self.shop.value(panel, name::IS_ALL_DRAWN) == Value::YesNo(true) {
                self.shop.set(panel, name::IS_ALL_DRAWN, Value::Unknown, source);
            }
        }
    }
}

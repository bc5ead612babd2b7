//! What one item has from another, and the lists that close once every line was read.

use super::state::{Said, unsay};
use super::{Builder, Listed};
use crate::law::syntax::Missing;
use crate::shop::{How, ItemRef, List, Source, Value};
use crate::text::Problem;
use crate::words::{Kind, Origin, choice, kind_of_closing, name};

const HUNG: [Kind; 5] = [Kind::Receptacle, Kind::Switch, Kind::Light, Kind::Device, Kind::Equipment];

impl Builder {
    /// Settles what waits until every line was read.
    pub fn finish(&mut self) {
        self.check_circles();
        self.settle_plain();
        self.inherit_from_boxes();
        self.settle_claims();
        self.inherit_from_boxes();
        self.settle_places();
        self.settle_listed();
        self.settle_mains();
        self.settle_neutrals();
        self.settle_boxes();
        self.settle_electrodes();
        self.settle_pipes();
        self.settle_inspections();
        self.boxes_of_runs();
        self.only_panel();
        self.only_area();
        self.settle_spaces();
        self.settle_switches();
        self.settle_stretches();
        self.settle_cables();
        self.settle_supports();
        self.settle_units();
        self.settle_volumes();
        self.settle_permit();
        self.settle_edition();
        self.settle_heat();
        self.check_denied();
    }

    /// `plain` denies what nobody claimed.
    fn settle_plain(&mut self) {
        for (item, features, said, rank) in std::mem::take(&mut self.plain) {
            self.rank = rank;
            for word in features {
                if self.shop.vocabulary.word(item.kind, word).is_some() {
                    self.state(item, word, Value::YesNo(false), Said { yields: true, ..said });
                }
            }
        }
        self.rank = 0;
    }

    /// A device is where its box is; both said and different is a conflict.
    fn inherit_from_boxes(&mut self) {
        for kind in HUNG {
            for device in self.shop.items(kind) {
                let Value::Item(of) = self.shop.value(device, name::BOX) else { continue };
                for word in [name::PLACE, name::AREA, name::BUILDING] {
                    let value = self.shop.value(of, word);
                    if value == Value::Unknown || self.shop.vocabulary.word(kind, word).is_none() {
                        continue;
                    }
                    let source = self.shop.source(of, word);
                    let said = Said {
                        how: source.how,
                        place: source.place,
                        claim: source.claim,
                        day: source.day,
                        // What only a claim says of the box yields to what the device says.
                        yields: source.claim.is_some(),
                    };
                    // Of an example and its given lines the stronger one says where both are.
                    self.rank = self.rank_of(of, word);
                    self.state(device, word, value, said);
                }
            }
        }
        self.rank = 0;
    }

    /// A device as the end of a run means its box; one whose box is not named, a box that isn't either.
    fn boxes_of_runs(&mut self) {
        for run in self.shop.items(Kind::Run) {
            let Some(ends) = self.shop.ends.get(run.index as usize).map(|e| e.ends.clone()) else { continue };
            let Value::List(id) = self.shop.value(run, name::BOXES) else { continue };
            let mut list = self.shop.list(id).clone();
            let before = list.clone();
            for end in ends.into_iter().flatten() {
                match end.kind {
                    Kind::Receptacle | Kind::Switch | Kind::Light | Kind::Device => {
                        match self.shop.value(end, name::BOX) {
                            Value::Item(of) if !list.sure.contains(&of) => list.sure.push(of),
                            Value::Item(_) => {}
                            _ => list.is_open = true,
                        }
                    }
                    Kind::Shop | Kind::Area => list.is_open = true,
                    _ => {}
                }
            }
            if list != before {
                let source = self.shop.source(run, name::BOXES);
                let id = self.shop.add_list(list);
                self.shop.set(run, name::BOXES, Value::List(id), source);
            }
        }
    }

    /// With one panel a circuit that doesn't say where it starts, starts there.
    fn only_panel(&mut self) {
        let mut panels = self.shop.items(Kind::Panel);
        let (Some(panel), None) = (panels.next(), panels.next()) else { return };
        for circuit in self.shop.items(Kind::Circuit) {
            if self.shop.source(circuit, name::NEAR_END).how == How::Unsaid && !self.starts_open(circuit) {
                let said = Said::planned(self.shop.head(circuit).place);
                self.state(circuit, name::PANEL, Value::Item(panel), said);
                self.state(circuit, name::NEAR_END, Value::Item(panel), said);
            }
        }
    }

    /// `from unknown`, or from a name that nobody defines.
    fn starts_open(&self, circuit: ItemRef) -> bool {
        self.opened.contains(&(circuit, Listed::Ends))
    }

    /// In a shop of one area everything is in it.
    fn only_area(&mut self) {
        let house = self.bits(choice::BUILDING, &["house", "other"]);
        let outside = |b: &Builder, item: ItemRef| matches!(b.shop.value(item, name::BUILDING), Value::Choice(bits) if bits & !house == 0);
        let areas: Vec<ItemRef> = self.shop.items(Kind::Area).filter(|a| !outside(self, *a)).collect();
        let [area] = areas.as_slice() else { return };
        // A line that could not be read may have named another.
        let unread = self.strange.iter().copied().chain(self.unlisted.first().copied()).next();
        for kind in Kind::ALL {
            if self.shop.vocabulary.word(kind, name::AREA).is_none() || kind == Kind::Run {
                continue;
            }
            for item in self.shop.items(kind) {
                if self.shop.source(item, name::AREA).how == How::Unsaid && !outside(self, item) {
                    if let Some(place) = unread {
                        self.unread_fact(item, name::AREA, place);
                        continue;
                    }
                    let place = self.shop.head(item).place;
                    let source = Source { how: How::Derived, place, claim: None, day: None };
                    self.shop.set(item, name::AREA, Value::Item(*area), source);
                }
            }
        }
    }

    /// The lowest space of a breaker is not known where a phrase of one of its circuits is not.
    fn settle_spaces(&mut self) {
        let misread: Vec<ItemRef> = self.misread.iter().copied().filter(|i| i.kind == Kind::Circuit).collect();
        for circuit in misread {
            let Value::Item(breaker) = self.shop.value(circuit, name::BREAKER) else { continue };
            for word in [name::SPACE, name::SECOND_SPACE] {
                let place = self.shop.head(circuit).place;
                let source = Source { how: How::Unread, place, claim: None, day: None };
                self.shop.set(breaker, word, Value::Unknown, source);
            }
        }
    }

    /// A timer or sensor that says nothing of its poles is of that kind.
    fn settle_switches(&mut self) {
        let pairs: Vec<(u64, u64)> = [
            ("dimmer", "dimmer"),
            ("timer", "timer"),
            ("photocell", "photocell"),
            ("occupancy", "occupancy"),
            ("remote", "remote"),
            ("door", "door-operated"),
        ]
        .into_iter()
        .map(|(control, kind)| (self.bits(choice::CONTROL, &[control]), self.bits(choice::SWITCH_TYPE, &[kind])))
        .collect();
        for switch in self.shop.items(Kind::Switch) {
            let source = self.shop.source(switch, name::CONTROL);
            if self.shop.source(switch, name::TYPE).how == How::Unsaid
                && let Value::Choice(control) = self.shop.value(switch, name::CONTROL)
                && let Some((_, kind)) = pairs.iter().find(|(c, _)| *c == control)
            {
                self.shop.set(switch, name::TYPE, Value::Choice(*kind), source);
            }
        }
    }

    /// Stretches are complete as soon as one is named, unless one says `unknown` or could not be read.
    fn settle_stretches(&mut self) {
        let mut parents: Vec<ItemRef> = self.stretches.keys().copied().collect();
        parents.extend(self.opened.iter().filter(|(_, l)| *l == Listed::Stretches).map(|(i, _)| *i));
        parents.sort_unstable();
        parents.dedup();
        for parent in parents {
            let is_open = self.opened.contains(&(parent, Listed::Stretches));
            let said = Said::planned(self.shop.head(parent).place);
            self.state(parent, name::HAS_OPEN_STRETCHES, Value::YesNo(is_open), said);
        }
    }

    /// `stretch: cable` is the cable that its feeder or circuit names: of what either may be, what both are.
    /// Where that names single wires and no cable, none lies in a raceway of it.
    fn settle_cables(&mut self) {
        let none = self.bits(choice::METHOD, &["none"]);
        let raceways = self.bits(choice::METHOD, &["raceway"]);
        for run in self.shop.items(Kind::Run) {
            let Some(line) = self.shop.head(run).of else { continue };
            let has_wires = matches!(self.shop.value(line, name::WIRE), Value::Item(_));
            let Value::Choice(named) = self.shop.value(line, name::METHOD) else {
                let is_raceway =
                    matches!(self.shop.value(run, name::METHOD), Value::Choice(bits) if bits & !raceways == 0);
                if has_wires && is_raceway && self.shop.source(run, name::CABLE).how == How::Unsaid {
                    let source = self.shop.source(line, name::WIRE);
                    self.shop.set(run, name::CABLE, Value::Choice(none), source);
                }
                continue;
            };
            for word in [name::METHOD, name::CABLE] {
                let Value::Choice(said) = self.shop.value(run, word) else { continue };
                let both = said & named;
                if both != 0 && both != said {
                    let source = self.shop.source(line, name::METHOD);
                    self.shop.set(run, word, Value::Choice(both), source);
                }
            }
        }
    }

    /// A run with a distance between its supports is fastened, and what is stapled or strapped hangs on
    /// no other raceway.
    fn settle_supports(&mut self) {
        for run in self.shop.items(Kind::Run) {
            let spaced = [name::IS_STRAPPED, name::SUPPORT_SPACING, name::BOX_SUPPORT];
            let Some(word) = spaced.into_iter().find(|w| self.shop.value(run, *w) != Value::Unknown) else { continue };
            let source = self.shop.source(run, word);
            if word != name::IS_STRAPPED {
                self.shop.set(run, name::IS_STRAPPED, Value::YesNo(true), source);
            }
            let is_strapped = self.shop.value(run, name::IS_STRAPPED) == Value::YesNo(true);
            if is_strapped && self.shop.source(run, name::IS_TIED_TO_RACEWAY).how == How::Unsaid {
                self.shop.set(run, name::IS_TIED_TO_RACEWAY, Value::YesNo(false), source);
            }
        }
    }

    /// A trade size and a marked volume exclude each other, so that one settles the other.
    fn settle_volumes(&mut self) {
        for item in self.shop.items(Kind::Box) {
            let sized = self.shop.value(item, name::WIDTH) != Value::Unknown
                && self.shop.value(item, name::DEPTH) != Value::Unknown;
            if sized
                && self.shop.value(item, name::MARKED_VOLUME) == Value::Unknown
                && self.shop.source(item, name::MARKED_VOLUME).how == How::Unsaid
            {
                let source = self.shop.source(item, name::DEPTH);
                self.shop.set(item, name::MARKED_VOLUME, Value::Absent, source);
            }
        }
    }

    /// `4 lights, 40 W each`.
    fn settle_units(&mut self) {
        for machine in self.shop.items(Kind::Equipment) {
            if let (Value::Number(count), Value::Number(watts)) =
                (self.shop.value(machine, name::UNITS), self.shop.value(machine, name::UNIT_WATTS))
                && let Some(all) = count.times(watts)
                && self.shop.value(machine, name::WATTS) == Value::Unknown
            {
                let source = self.shop.source(machine, name::UNIT_WATTS);
                self.shop.set(machine, name::WATTS, Value::Number(all), source);
            }
        }
    }

    fn settle_inspections(&mut self) {
        let sure: Vec<ItemRef> = self.shop.items(Kind::Inspection).collect();
        let first = sure.first().map(|i| self.shop.head(*i).place);
        let listed = self.shop.listed.get(&Kind::Inspection).map(|s| s.place);
        if let Some(place) = first.or(listed) {
            let list = self.shop.add_list(List { sure, is_open: listed.is_none(), ..List::default() });
            self.state(crate::shop::Shop::SHOP, name::INSPECTIONS, Value::List(list), Said::planned(place));
        }
    }

    /// A permit with a date is issued, unless it is only planned.
    fn settle_permit(&mut self) {
        let permit = crate::shop::Shop::PERMIT;
        let date = self.shop.source(permit, name::DATE);
        if date.how != How::Unsaid && self.shop.source(permit, name::IS_ISSUED).how == How::Unsaid {
            self.shop.set(permit, name::IS_ISSUED, Value::YesNo(true), date);
        }
    }

    /// Every edition is tried where none is named; whether one is, is a fact of its own, and never no.
    fn settle_edition(&mut self) {
        let permit = crate::shop::Shop::PERMIT;
        let edition = self.shop.source(permit, name::EDITION);
        if edition.how != How::Unsaid && self.shop.value(permit, name::EDITION) != Value::Unknown {
            self.shop.set(permit, name::IS_EDITION_NAMED, Value::YesNo(true), edition);
        }
    }

    /// The hottest air of the shop is that of each of its areas that doesn't say its own.
    fn settle_heat(&mut self) {
        let source = self.shop.source(crate::shop::Shop::SHOP, name::HOTTEST);
        let value = self.shop.value(crate::shop::Shop::SHOP, name::HOTTEST);
        let house = self.bits(choice::BUILDING, &["house", "other"]);
        for area in self.shop.items(Kind::Area) {
            let is_apart = matches!(self.shop.value(area, name::BUILDING), Value::Choice(bits) if bits & !house == 0);
            if !is_apart && self.shop.source(area, name::HOTTEST).how == How::Unsaid {
                self.shop.set(area, name::HOTTEST, value, source);
            }
        }
    }

    /// `no panel` beside a panel is a conflict; the list is open then.
    fn check_denied(&mut self) {
        for (kind, place) in std::mem::take(&mut self.denied) {
            let Some(item) = self.shop.items(kind).next() else { continue };
            if kind == Kind::Electrode {
                continue;
            }
            let problem = Problem::error(place, format!("the plan says that there is no {kind}, and names one"))
                .help("keep the one that is right")
                .also(self.shop.head(item).place, format!("a {kind} is named here"));
            self.shop.problems.push(problem);
            self.shop.listed.remove(&kind);
        }
    }

    /// Takes stated facts away, as an example's `unsaid` asks.
    pub fn unsay(&mut self, unsaid: &[Missing]) {
        let vocabulary = self.shop.vocabulary.clone();
        for missing in unsaid {
            if let Some(kind) = kind_of_closing(&missing.word.node) {
                self.shop.listed.remove(&kind);
                continue;
            }
            let names = unsaid_words(&missing.word.node);
            let item = missing.item.as_ref().map(|tag| self.shop.named(&tag.node));
            if let Some(None) = item {
                let tag = missing.item.as_ref().map_or("", |t| t.node.as_str());
                let place = missing.item.as_ref().map_or(missing.word.span, |t| t.span);
                self.shop.problems.push(Problem::error(place, format!("no item is called `{tag}`")));
                continue;
            }
            for word in names {
                let Some(name) = vocabulary.name(word) else { continue };
                let is_stated = |kind: Kind| {
                    vocabulary.word(kind, name).is_some_and(|w| !matches!(w.origin, Origin::Derived | Origin::Law))
                };
                for kind in Kind::ALL.into_iter().filter(|k| is_stated(*k)) {
                    for target in self.shop.items(kind) {
                        if item.flatten().is_none_or(|of| self.is_of(target, of)) {
                            unsay(&mut self.shop, target, name);
                        }
                    }
                }
            }
        }
    }

    /// Whether a fact of an item is one of the named item: its own, or one of a part of it.
    fn is_of(&self, target: ItemRef, of: ItemRef) -> bool {
        let is_part = target == of || self.shop.head(target).of == Some(of);
        is_part || [name::BREAKER, name::MAIN].iter().any(|word| self.shop.value(of, *word) == Value::Item(target))
    }
}

/// The words that `unsaid` means: a word itself, or what owners call it.
fn unsaid_words(word: &str) -> Vec<&str> {
    match word {
        "terminals" => vec!["terminal-marking"],
        "code" => vec!["edition"],
        "main" => vec!["main"],
        word => vec![word],
    }
}

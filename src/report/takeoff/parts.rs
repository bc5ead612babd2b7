//! Boxes, plates, devices, breakers, panels, electrodes and what is written on them.

use super::{Counter, Group};
use crate::shop::{ItemRef, Value};
use crate::words::{Kind, NameId, name};

impl Counter<'_> {
    pub(super) fn boxes(&mut self) {
        for place in self.bought(Kind::Box) {
            let called = self.name(place);
            let size = self.box_size(place);
            let item = size.clone().unwrap_or_else(|| "box, size not said".into());
            self.tally.one(Group::Box, &item, "as drawn", called);
            if size.is_none() {
                self.tally.ask(Group::Box, &item, self.teller.ask(place, name::WIDTH), false);
            }
            self.plate(place, size.as_deref());
        }
    }

    /// `4 in square, 2-1/8 in deep`, `1-gang, 22.5 in3, plastic`.
    fn box_size(&self, place: ItemRef) -> Option<String> {
        let known = |word: NameId| self.teller.known(place, word).filter(|t| t != "none");
        let mut parts = Vec::new();
        match (known(name::WIDTH), known(name::SHAPE), known(name::GANGS)) {
            (Some(width), Some(shape), _) => parts.push(format!("{width} {shape}")),
            (_, _, Some(gangs)) => parts.push(format!("{gangs}-gang")),
            (None, Some(shape), None) => parts.push(shape),
            _ => {}
        }
        if self.teller.is(place, name::IS_WEATHERPROOF) {
            parts.push("weatherproof".into());
        }
        parts.extend(known(name::DEPTH).map(|depth| format!("{depth} deep")));
        parts.extend(known(name::MARKED_VOLUME));
        match self.shop().value(place, name::IS_METAL) {
            Value::YesNo(true) => parts.push("metal".into()),
            Value::YesNo(false) => parts.push("plastic".into()),
            _ => {}
        }
        (!parts.is_empty()).then(|| parts.join(", "))
    }

    /// The cover over what a box holds. A light is its own.
    fn plate(&mut self, place: ItemRef, size: Option<&str>) {
        let called = self.name(place);
        let devices = self.teller.members(place, name::DEVICES);
        let frame = size.unwrap_or("box");
        if devices.sure.iter().any(|d| d.kind == Kind::Light) {
            return;
        }
        if devices.sure.is_empty() {
            let item = format!("blank cover for {frame}");
            self.tally.one(Group::Plate, &item, "one for each box that holds no device", called);
            if devices.is_open {
                self.tally.ask(Group::Plate, &item, self.teller.ask(place, name::DEVICES), false);
            }
            return;
        }
        let cover = devices.sure.iter().find_map(|d| match d.kind {
            Kind::Receptacle => {
                self.teller.known(*d, name::COVER).map(|c| (c, self.teller.is(*d, name::IS_EXTRA_DUTY)))
            }
            _ => None,
        });
        let held: Vec<String> = devices.sure.iter().map(|d| self.opening(*d)).collect();
        let openings = alike(&held);
        let item = match cover {
            Some((cover, true)) => format!("{cover} cover, extra-duty, for {openings}"),
            Some((cover, false)) if cover != "plate" => format!("{cover} cover for {openings}"),
            _ => format!("cover for {frame}: {openings}"),
        };
        self.tally.one(Group::Plate, &item, "one for each box with devices", called);
    }

    /// The opening that a device needs in its plate.
    fn opening(&self, device: ItemRef) -> String {
        match device.kind {
            Kind::Switch => "switch".into(),
            Kind::Receptacle => {
                match (self.teller.is(device, name::HAS_GFCI), self.shop().value(device, name::IS_DUPLEX)) {
                    (true, _) => "GFCI receptacle".to_string(),
                    (_, Value::YesNo(true)) => "duplex receptacle".to_string(),
                    _ => match self.teller.known(device, name::CONFIGURATION) {
                        Some(pattern) => format!("receptacle {pattern}"),
                        None => "receptacle".to_string(),
                    },
                }
            }
            kind => kind.name().to_string(),
        }
    }

    pub(super) fn devices(&mut self) {
        for item in self.bought(Kind::Receptacle) {
            let known = self.teller.known(item, name::CONFIGURATION);
            let mut parts = vec![format!("receptacle {}", known.as_deref().unwrap_or("of a pattern not said"))];
            parts.extend(self.flag(item, name::IS_DUPLEX, "duplex", "single"));
            parts.extend(self.flag(item, name::HAS_GFCI, "GFCI", ""));
            parts.extend(self.flag(item, name::HAS_AFCI, "AFCI", ""));
            parts.extend(self.flag(item, name::IS_TAMPER_RESISTANT, "TR", ""));
            parts.extend(self.flag(item, name::IS_WEATHER_RESISTANT, "WR", ""));
            let text = parts.join(", ");
            self.tally.one(Group::Device, &text, "as drawn", self.name(item));
            if known.is_none() {
                self.tally.ask(Group::Device, &text, self.teller.ask(item, name::CONFIGURATION), false);
            }
        }
        let rows: [(Kind, &str, &[NameId], NameId); 3] = [
            (Kind::Switch, "switch", &[name::TYPE, name::AMPS], name::TYPE),
            (Kind::Light, "light", &[name::LAMP, name::WATTS, name::MARKING], name::WATTS),
            (Kind::Device, "device", &[name::TYPE, name::AMPS], name::TYPE),
        ];
        for (kind, noun, words, needed) in rows {
            for item in self.bought(kind) {
                self.told(Group::Device, item, noun, words, needed);
            }
        }
        for item in self.bought(Kind::Disconnect) {
            let words = [name::TYPE, name::POLES, name::AMPS, name::HORSEPOWER, name::ENCLOSURE];
            self.told(Group::Device, item, "disconnect", &words, name::AMPS);
            self.tally.one(
                Group::Label,
                "label of what a disconnect turns off",
                "one for each disconnect",
                self.name(item),
            );
        }
    }

    fn flag(&self, item: ItemRef, word: NameId, yes: &str, no: &str) -> Option<String> {
        let text = match self.shop().value(item, word) {
            Value::YesNo(true) => yes,
            Value::YesNo(false) => no,
            _ => "",
        };
        (!text.is_empty()).then(|| text.to_string())
    }

    /// A thing by the facts that tell it apart; `needed` is asked where it is not known.
    fn told(&mut self, group: Group, item: ItemRef, noun: &str, words: &[NameId], needed: NameId) {
        let mut parts = vec![noun.to_string()];
        for word in words {
            let Some(text) = self.teller.known(item, *word).filter(|t| t != "none") else { continue };
            parts.push(match *word {
                name::POLES => format!("{text}-pole"),
                // A plate gives watts; the two are one scale here.
                name::WATTS => text.replace(" VA", " W"),
                _ => text,
            });
        }
        let text = parts.join(", ");
        self.tally.one(group, &text, "as drawn", self.name(item));
        if self.teller.known(item, needed).is_none() {
            self.tally.ask(group, &text, self.teller.ask(item, needed), false);
        }
    }

    /// Each breaker once, whatever hangs on it, and what belongs to a panel.
    pub(super) fn breakers(&mut self) {
        let shop = self.shop();
        let mut seen = std::collections::HashSet::new();
        let lines: Vec<ItemRef> = shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)).collect();
        for line in lines {
            if self.teller.is(line, name::IS_EXISTING) {
                continue;
            }
            match shop.value(line, name::BREAKER) {
                Value::Item(breaker) => {
                    let is_far = line.kind == Kind::Feeder && !matches!(shop.value(line, name::PANEL), Value::Item(_));
                    let note = if is_far { "where the feeder starts" } else { "" };
                    if seen.insert(breaker) {
                        self.breaker(breaker, note, self.name(line));
                    }
                }
                Value::Absent => {}
                _ => {
                    self.tally.one(
                        Group::Breaker,
                        "breaker of a rating not said",
                        "one for each line",
                        self.name(line),
                    );
                    let ask = self.teller.ask(line, name::BREAKER);
                    self.tally.ask(Group::Breaker, "breaker of a rating not said", ask, false);
                }
            }
        }
        for panel in self.bought(Kind::Panel) {
            let called = self.name(panel);
            if let Value::Item(main) = shop.value(panel, name::MAIN) {
                let note = if self.teller.is(main, name::IS_BACK_FED) { "main, back-fed" } else { "main" };
                self.breaker(main, note, called);
                self.tally.one(Group::Label, "label of what a main turns off", "one for each main", called);
            }
            let mut parts = vec!["panelboard".to_string()];
            parts.extend(self.teller.known(panel, name::BUS_AMPS).map(|amps| format!("{amps} bus")));
            parts.extend(self.teller.known(panel, name::SPACES).map(|n| format!("{n} spaces")));
            let text = parts.join(", ");
            self.tally.one(Group::Panel, &text, "as drawn", called);
            for word in [name::BUS_AMPS, name::SPACES, name::MAIN] {
                if shop.value(panel, word) == Value::Unknown {
                    self.tally.ask(Group::Panel, &text, self.teller.ask(panel, word), false);
                }
            }
            if self.teller.is(panel, name::HAS_GROUND_BAR) {
                self.tally.one(Group::Panel, "equipment grounding bar", "as drawn", called);
            }
            self.tally.one(Group::Label, "panel directory", "one for each panel (`ringout directory`)", called);
        }
    }

    fn breaker(&mut self, breaker: ItemRef, note: &str, of: &str) {
        let amps = self.teller.known(breaker, name::AMPS);
        let mut parts = vec![amps.clone().unwrap_or_else(|| "rating not said".into())];
        parts.extend(self.teller.known(breaker, name::POLES).map(|poles| format!("{poles}-pole")));
        parts.extend(self.flag(breaker, name::HAS_GFCI, "GFCI", ""));
        parts.extend(self.flag(breaker, name::HAS_AFCI, "AFCI", ""));
        parts.extend((!note.is_empty()).then(|| note.to_string()));
        let text = parts.join(", ");
        self.tally.one(Group::Breaker, &text, "each breaker once", of);
        if amps.is_none() {
            self.tally.ask(Group::Breaker, &text, self.teller.ask(breaker, name::AMPS), false);
        }
        if self.teller.known(breaker, name::POLES).is_none() {
            self.tally.ask(Group::Breaker, &text, self.teller.ask(breaker, name::POLES), false);
        }
    }

    pub(super) fn electrodes(&mut self) {
        let shop = self.shop();
        for electrode in shop.items(Kind::Electrode).filter(|e| !self.teller.is(*e, name::IS_EXISTING)) {
            let called = self.name(electrode);
            if self.teller.known(electrode, name::TYPE).as_deref() != Some("rod") {
                continue;
            }
            let size = self.teller.known(electrode, name::DIAMETER).zip(self.teller.known(electrode, name::LENGTH));
            let text = match &size {
                Some((across, long)) => format!("rod, {across} x {long}"),
                None => "rod, size not said".to_string(),
            };
            self.tally.one(Group::Electrode, &text, "as drawn", called);
            if size.is_none() {
                self.tally.ask(Group::Electrode, &text, self.teller.ask(electrode, name::LENGTH), false);
            }
            self.tally.one(Group::Electrode, "rod clamp, listed for burial", "one for each rod", called);
        }
        for wire in shop.items(Kind::ElectrodeConductor) {
            let size = self.teller.known(wire, name::SIZE);
            let metal = self.teller.known(wire, name::METAL).map(|metal| format!(" {metal}")).unwrap_or_default();
            let text = format!("{}{metal} electrode wire, one length", size.as_deref().unwrap_or("size not said,"));
            let called = self.name(wire);
            let how = "the way from the panel to the electrode, which no phrase of the plan tells";
            self.tally.add(Group::Electrode, &text, super::Buy::Feet(None), how, None, called);
            let head = shop.head(wire);
            let ask = crate::report::Missing {
                fact: format!("way of the {}", shop.called(wire)),
                ask: "how long is the way of the electrode wire, from where it lands past each electrode? Measure it"
                    .into(),
                place: self.teller.place(head.place, wire),
            };
            self.tally.ask(Group::Electrode, &text, ask, true);
            if size.is_none() {
                self.tally.ask(Group::Electrode, &text, self.teller.ask(wire, name::SIZE), true);
            }
        }
    }
}

/// `2 switches`, `duplex receptacle`, `GFCI receptacle and switch`.
fn alike(held: &[String]) -> String {
    let mut counts: Vec<(&str, usize)> = Vec::new();
    for one in held {
        match counts.iter_mut().find(|(known, _)| known == one) {
            Some((_, count)) => *count = count.saturating_add(1),
            None => counts.push((one, 1)),
        }
    }
    let words: Vec<String> =
        counts.into_iter().map(|(what, n)| if n == 1 { what.to_string() } else { format!("{n} x {what}") }).collect();
    words.join(" and ")
}

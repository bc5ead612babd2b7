//! Wire, cable, raceway and what joins and holds it.

use super::{Buy, Counter, Group};
use crate::quantity::{Dimension, Rational, Scale};
use crate::report::loose::Bounds;
use crate::report::wires::{PullRow, WireSheets};
use crate::shop::{ItemRef, Value};
use crate::wiring::Role;
use crate::words::{Kind, name};
use std::collections::HashMap;

impl Counter<'_> {
    /// Single conductors by size, kind and color; those of a cable come with it.
    pub(super) fn wires(&mut self, wires: &WireSheets) {
        let shop = self.shop();
        let allowance = self.figure("wire-allowance");
        let mut runs: HashMap<&str, ItemRef> = HashMap::new();
        let mut stretches: HashMap<&str, ItemRef> = HashMap::new();
        for run in shop.items(Kind::Run) {
            runs.entry(self.name(run)).or_insert(run);
            if let Some(of) = shop.head(run).of.filter(|of| matches!(of.kind, Kind::Feeder | Kind::Circuit)) {
                stretches.entry(self.name(of)).or_insert(run);
            }
        }
        for sheet in &wires.runs {
            let run = runs.get(sheet.run.as_str()).or_else(|| stretches.get(sheet.run.as_str())).copied();
            if run.is_some_and(|run| self.teller.is(run, name::IS_CABLE) || self.is_old(run)) {
                continue;
            }
            for row in &sheet.conductors {
                self.wire(run, &sheet.run, row, allowance);
            }
        }
    }

    fn wire(&mut self, run: Option<ItemRef>, called: &str, row: &PullRow, allowance: Option<Rational>) {
        let size = row.size.as_deref().unwrap_or("wire of a size not said,");
        let perhaps = if row.is_sure { "" } else { "(perhaps: a question is open)" };
        let words = format!("{size} {} {} {perhaps}", row.kind, row.color);
        let item = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let count = Rational::whole(row.count as i64);
        let amount = row.cut.and_then(|cut| cut.each(|end| end.times(count)));
        let how = "cut lengths, up to whole feet";
        self.tally.add(Group::Wire, &item, Buy::Feet(allowance), how, amount, called);
        let shop = self.shop();
        if row.size.is_none() {
            for circuit in row.circuits.iter().filter_map(|c| shop.named(c)) {
                let is_ground = row.role == Role::EquipmentGround;
                let ask = self.teller.ask(circuit, if is_ground { name::EQUIPMENT_GROUND } else { name::WIRE });
                self.tally.ask(Group::Wire, &item, ask, false);
            }
        }
        if row.cut.is_none() {
            let whole = run.and_then(|run| shop.head(run).of).filter(|_| run.is_some_and(|r| self.name(r) != called));
            if let Some(ask) = whole.or(run).map(|item| self.teller.ask(item, name::LENGTH)) {
                self.tally.ask(Group::Wire, &item, ask, true);
            }
        }
    }

    fn is_old(&self, run: ItemRef) -> bool {
        let of = self.shop().head(run).of;
        self.teller.is(run, name::IS_EXISTING) || of.is_some_and(|of| self.teller.is(of, name::IS_EXISTING))
    }

    /// Raceway and cable, run by run and stretch by stretch.
    pub(super) fn runs(&mut self) {
        let shop = self.shop();
        let mut has_pvc = false;
        let mut parts: HashMap<ItemRef, Vec<ItemRef>> = HashMap::new();
        for run in shop.items(Kind::Run) {
            if let Some(of) = shop.head(run).of {
                parts.entry(of).or_default().push(run);
            }
        }
        for run in shop.items(Kind::Run) {
            // A run that is told in stretches is its stretches.
            if parts.contains_key(&run) || self.is_old(run) {
                continue;
            }
            has_pvc |= self.run(run, shop.head(run).of.is_some());
        }
        for (line, stretches) in shop
            .items(Kind::Feeder)
            .chain(shop.items(Kind::Circuit))
            .chain(shop.items(Kind::Run))
            .filter_map(|line| parts.get(&line).map(|s| (line, s)))
        {
            if stretches.iter().all(|s| !self.is_old(*s)) {
                self.line_of_stretches(line, stretches);
            }
        }
        if has_pvc {
            self.tally.one(Group::Fitting, "PVC cement and primer, set", "common practice, no source", "");
        }
    }

    /// One run or stretch; whether it is of rigid plastic.
    fn run(&mut self, run: ItemRef, is_stretch: bool) -> bool {
        let shop = self.shop();
        let called = self.name(run);
        let length = self.teller.bounds(run, name::LENGTH);
        let size = self.teller.known(run, name::TRADE_SIZE).map(|size| format!("{size} ")).unwrap_or_default();
        let allowance = self.figure("raceway-allowance");
        let method = self.teller.known(run, name::METHOD).filter(|m| !m.contains(" or "));
        let Some(method) = method else {
            let item = "raceway or cable, kind not said";
            self.tally.add(Group::Raceway, item, Buy::Feet(allowance), "lengths, up to whole feet", length, called);
            let ask = self.teller.ask(run, name::METHOD);
            self.tally.ask(Group::Raceway, item, ask.clone(), length.is_none());
            let item = "connectors, couplings and straps of it";
            self.tally.add(Group::Fitting, item, Buy::Each, "they go by its kind, which is not said", None, called);
            self.tally.ask(Group::Fitting, item, ask, true);
            return false;
        };
        if self.teller.is(run, name::IS_CABLE) {
            self.cable(run, &method, length, allowance);
            return false;
        }
        let item = format!("{size}{method}");
        let stick = self.figure_of(run, "stick-length").filter(|length| *length > Rational::ZERO);
        let sticks = stick.is_some();
        let (buy, how) = match stick {
            Some(length) => {
                let length = Scale::Ratio(Dimension::LENGTH).show(length);
                (Buy::Sticks(allowance, stick), format!("in sticks of {length}, up to whole ones"))
            }
            None => (Buy::Feet(allowance), "lengths, up to whole feet".into()),
        };
        self.tally.add(Group::Raceway, &item, buy, &how, length, called);
        if length.is_none() {
            self.tally.ask(Group::Raceway, &item, self.teller.ask(run, name::LENGTH), true);
        }
        if size.is_empty() {
            self.tally.ask(Group::Raceway, &item, self.teller.ask(run, name::TRADE_SIZE), false);
        }
        let is_pvc = method.starts_with("PVC");
        // Both schedules of PVC take the same fittings.
        let family = if is_pvc { "PVC" } else { method.as_str() };
        if !is_stretch {
            let ends = shop.ends.get(run.index as usize).map_or(2, |e| e.ends.len() as i64);
            let what = if is_pvc { "terminal adapter with locknut and bushing" } else { "connector" };
            let item = format!("{size}{family} {what}");
            self.tally.add(
                Group::Fitting,
                &item,
                Buy::Each,
                "one for each end",
                Some(Bounds::exact(Rational::whole(ends))),
                called,
            );
        }
        if sticks {
            let item = format!("{size}{family} coupling");
            let joints =
                |length: Rational| Some(Rational::whole(length.over(stick?)?.ceiling().checked_sub(1)?.max(0)));
            let joints = length.and_then(|length| length.each(joints));
            self.tally.add(
                Group::Fitting,
                &item,
                Buy::Each,
                "one for each joint of sticks, run by run",
                joints,
                called,
            );
        }
        if is_pvc {
            self.elbows(run, &size);
        }
        if self.teller.is(run, name::HAS_EXPANSION_FITTING) {
            self.tally.one(Group::Fitting, &format!("{size}{family} expansion fitting"), "as stated", called);
        }
        self.straps(run, &format!("{size}{family} strap"));
        is_pvc
    }

    fn cable(&mut self, run: ItemRef, method: &str, length: Option<Bounds>, allowance: Option<Rational>) {
        let shop = self.shop();
        let called = self.name(run);
        let wire = match shop.value(run, name::WIRE) {
            Value::Item(wire) => Some(wire),
            _ => None,
        };
        let size = wire.and_then(|w| self.teller.known(w, name::SIZE));
        let count = wire.and_then(|w| self.teller.whole(w, name::COUNT));
        let item = match (size.as_deref().map(|s| s.trim_end_matches(" AWG")), count) {
            (Some(size), Some(count)) => format!("cable {size}/{count} {method}"),
            _ => format!("cable {method}, wires not said"),
        };
        let ends = shop.ends.get(run.index as usize).map_or(0, |e| e.ends.len() as i64);
        let tails = self.figure("box-tail").and_then(|tail| tail.times(Rational::whole(ends)));
        let amount = length.zip(tails).and_then(|(length, tails)| length.plus(Bounds::exact(tails)));
        let how = "lengths with what is left over at each end, up to whole feet";
        self.tally.add(Group::Cable, &item, Buy::Feet(allowance), how, amount, called);
        if length.is_none() {
            self.tally.ask(Group::Cable, &item, self.teller.ask(run, name::LENGTH), true);
        }
        if wire.is_none() {
            self.tally.ask(Group::Cable, &item, self.teller.ask(run, name::WIRE), false);
        }
        self.straps(run, &format!("{method} staple or strap"));
    }

    /// Straps as the pack counts them; none on what lies in earth or concrete.
    fn straps(&mut self, run: ItemRef, item: &str) {
        let place = self.teller.known(run, name::PLACE);
        if place.as_deref().is_some_and(|p| p == "buried" || p == "in-slab") {
            return;
        }
        let called = self.name(run);
        let word = self.teller.code.vocabulary.name("supports");
        let count = word.and_then(|word| self.teller.bounds(run, word));
        self.tally.add(Group::Fitting, item, Buy::Each, "the figure `supports`, run by run", count, called);
        if count.is_none() {
            let fact = if self.teller.bounds(run, name::LENGTH).is_none() { name::LENGTH } else { name::TRADE_SIZE };
            self.tally.ask(Group::Fitting, item, self.teller.ask(run, fact), true);
        }
    }

    /// Metal tube is bent by hand; rigid plastic takes an elbow for each bend.
    fn elbows(&mut self, run: ItemRef, size: &str) {
        let item = format!("{size}PVC elbow, 90 deg");
        let bends = self.teller.amount(run, name::BENDS);
        let quarter = bends.and_then(|b| b.over(Rational::whole(90)));
        match quarter {
            Some(count) if count.is_whole() => {
                self.tally.add(
                    Group::Fitting,
                    &item,
                    Buy::Each,
                    "bends of the stretches",
                    Some(Bounds::exact(count)),
                    self.name(run),
                );
            }
            Some(_) => {
                let item = format!("{size}PVC elbow, angle as the bend");
                self.tally.one(Group::Fitting, &item, "bends that are no quarter turn", self.name(run));
            }
            // A straight stretch seldom says that it has no bend.
            None => {
                self.tally.add(Group::Fitting, &item, Buy::Each, "bends of the stretches", None, self.name(run));
                self.tally.ask(Group::Fitting, &item, self.teller.ask(run, name::BENDS), true);
            }
        }
    }

    /// What a line of stretches needs beside each of them: its two ends, joints between, what the earth asks.
    fn line_of_stretches(&mut self, line: ItemRef, stretches: &[ItemRef]) {
        let called = self.name(line);
        // Fittings of a raceway whose kind is not said stand in its own line.
        let is_one_kind =
            |stretch: ItemRef| self.teller.known(stretch, name::METHOD).is_some_and(|m| !m.contains(" or "));
        let raceways: Vec<ItemRef> =
            stretches.iter().copied().filter(|s| self.teller.is(*s, name::IS_RACEWAY) && is_one_kind(*s)).collect();
        let family = |item: ItemRef| {
            let size = self.teller.known(item, name::TRADE_SIZE).map(|size| format!("{size} ")).unwrap_or_default();
            let method = self.teller.known(item, name::METHOD).unwrap_or_else(|| "raceway".into());
            let family = if method.starts_with("PVC") { "PVC".to_string() } else { method };
            format!("{size}{family}")
        };
        let families: Vec<String> = raceways.iter().map(|s| family(*s)).collect();
        if let (Some(first), Some(last), true) = (families.first(), families.last(), raceways.len() == stretches.len())
        {
            for end in [first, last] {
                let what = if end.ends_with("PVC") { "terminal adapter with locknut and bushing" } else { "connector" };
                self.tally.one(Group::Fitting, &format!("{end} {what}"), "one for each end", called);
            }
        }
        let joined = if raceways.len() == stretches.len() { families.as_slice() } else { &[] };
        for pair in joined.windows(2) {
            let item = match pair {
                [a, b] if a == b => format!("{a} coupling"),
                [a, b] => format!("{a} to {b} coupling"),
                _ => continue,
            };
            self.tally.one(Group::Fitting, &item, "one for each joint of sticks, run by run", called);
        }
        let buried: Vec<ItemRef> = stretches
            .iter()
            .copied()
            .filter(|s| self.teller.known(*s, name::PLACE).as_deref() == Some("buried"))
            .collect();
        for stretch in &buried {
            let length = self.teller.bounds(*stretch, name::LENGTH);
            let how = "length in the earth; advice";
            let one = Some(Rational::ONE);
            self.tally.add(Group::Fitting, "warning ribbon", Buy::Feet(one), how, length, called);
        }
        if buried.iter().any(|s| self.teller.is(*s, name::IS_RACEWAY)) {
            self.tally.one(Group::Fitting, "duct seal, lump", "raceway from the earth enters a building", called);
        }
    }
}

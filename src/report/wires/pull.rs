//! What to pull through each run.

use super::{PullRow, RunSheet, Writer, feet, rank};
use crate::quantity::{Rational, Scale};
use crate::report::loose::{self, Bounds};
use crate::report::teller::Teller;
use crate::shop::{ItemRef, Shop, Value};
use crate::wiring::{JointKind, Net, Role, RunWire};
use crate::words::{Kind, NameId, choice, name};

/// What is left over at the ends of a wire, as the pack says; none where it says nothing.
pub(super) struct Slack {
    panel: Option<Rational>,
    boxed: Option<Rational>,
    machine: Option<Rational>,
    passing: Option<Rational>,
}

impl Slack {
    pub(super) fn of(teller: &Teller<'_>) -> Slack {
        let ask = |word: &str| teller.amount(Shop::SHOP, teller.code.vocabulary.name(word)?);
        Slack {
            panel: ask("panel-tail"),
            boxed: ask("box-tail"),
            machine: ask("machine-tail"),
            passing: ask("passing-slack"),
        }
    }
}

impl Writer<'_> {
    pub(super) fn run(&self, run: ItemRef) -> Option<RunSheet> {
        let wires = self.checked.wiring.runs.get(run.index as usize)?;
        if wires.wires.is_empty() && !wires.is_open {
            return None;
        }
        let conductors = self.checked.shop.value(run, name::CONDUCTORS);
        let is_closed = matches!(conductors, Value::List(id) if !self.checked.shop.list(id).is_open);
        Some(RunSheet {
            run: self.name(run),
            place: self.checked.shop.head(run).place,
            ends: self.ends(run),
            what: self.what(run),
            current_carrying: if is_closed { self.carrying(run) } else { None },
            conductors: alike(wires.wires.iter().map(|wire| self.pull(run, wire))),
            is_open: wires.is_open,
        })
    }

    /// A feeder, or a circuit from the house, that is said in stretches: one pull through them all.
    pub(super) fn stretches(&self, line: ItemRef, first: ItemRef) -> Option<RunSheet> {
        let wires = self.checked.wiring.runs.get(first.index as usize)?;
        let tail = self.slack.panel.and_then(|tail| tail.times(Rational::whole(2)));
        let cut = loose::of(self.checked, line).zip(tail).and_then(|(length, tail)| length.plus(Bounds::exact(tail)));
        let what = format!("all its stretches, {}", self.length(line));
        let rows = wires.wires.iter().map(|wire| PullRow { cut, passes: Vec::new(), ..self.pull(first, wire) });
        (!wires.wires.is_empty()).then(|| RunSheet {
            run: self.name(line),
            place: self.checked.shop.head(line).place,
            ends: Vec::new(),
            what,
            current_carrying: None,
            conductors: alike(rows),
            is_open: wires.is_open,
        })
    }

    /// `Cu THWN-2`, as far as it is known.
    fn kind(&self, wire: ItemRef) -> String {
        let metal = match self.choice(wire, choice::METAL, name::METAL).as_deref() {
            Some("copper") => Some("Cu".to_string()),
            Some("aluminum") => Some("Al".to_string()),
            other => other.map(str::to_string),
        };
        let insulation = self.choice(wire, choice::INSULATION, name::INSULATION);
        metal.into_iter().chain(insulation).collect::<Vec<_>>().join(" ")
    }

    /// Counted by the pack's own definition, where it has one.
    fn carrying(&self, run: ItemRef) -> Option<i64> {
        let name = self.teller.code.vocabulary.name("current-carrying")?;
        self.teller.amount(run, name).map(Rational::floor)
    }

    fn ends(&self, run: ItemRef) -> Vec<String> {
        let ends = self.checked.shop.ends.get(run.index as usize).map(|e| e.ends.as_slice()).unwrap_or_default();
        ends.iter().map(|end| end.map_or("a place not named".to_string(), |item| self.name(item))).collect()
    }

    fn what(&self, run: ItemRef) -> String {
        let mut parts = Vec::new();
        let method = self.choice(run, choice::METHOD, name::METHOD);
        match (self.number(run, name::TRADE_SIZE, Scale::TradeSize), method) {
            (Some(size), Some(method)) => parts.push(format!("{size} {method}")),
            (None, Some(method)) => parts.push(method),
            (Some(size), None) => parts.push(size),
            (None, None) => parts.push("raceway or cable not said".into()),
        }
        parts.push(self.length(run));
        parts.join(", ")
    }

    /// `12 ft`, `8 to 12 ft`, `27 to 33 ft by eye`.
    fn length(&self, item: ItemRef) -> String {
        let by_eye = if self.checked.shop.by_eye.contains_key(&item) { " by eye" } else { "" };
        loose::of(self.checked, item).map_or("length not said".into(), |length| format!("{}{by_eye}", feet(length)))
    }

    fn number(&self, item: ItemRef, word: NameId, scale: Scale) -> Option<String> {
        match self.checked.shop.value(item, word) {
            Value::Number(n) => Some(scale.show(n)),
            _ => None,
        }
    }

    pub(super) fn color(&self, wire: &RunWire) -> String {
        self.checked.shop.vocabulary.choice_text(choice::COLOR, wire.color).to_string()
    }

    /// What to write on both ends of a wire, where another of its color lies in the run and may not take its place:
    /// `C2`, `C2 LOAD`. The two travelers of a set may be exchanged.
    pub(super) fn mark(&self, run: ItemRef, wire: &RunWire) -> Option<String> {
        let own = self.net(wire.net)?;
        let beside = self.checked.wiring.runs.get(run.index as usize)?;
        let others = beside.wires.iter().filter(|w| w.net != wire.net && w.color == wire.color);
        let is_its_pair = |net: &&Net| {
            net.role == Role::Traveler
                && own.role == Role::Traveler
                && (&net.circuits, &net.switches) == (&own.circuits, &own.switches)
        };
        let twins: Vec<&Net> = others.filter_map(|w| self.net(w.net)).filter(|net| !is_its_pair(net)).collect();
        let mut mark = self.names(&own.circuits);
        if twins.iter().any(|net| net.circuits == own.circuits) {
            mark.extend(self.names(&own.switches));
            mark.extend(own.is_behind().then(|| "LOAD".to_string()));
        }
        (!twins.is_empty() && !mark.is_empty()).then(|| mark.join(" "))
    }

    fn pull(&self, run: ItemRef, wire: &RunWire) -> PullRow {
        let net = self.net(wire.net);
        let circuits = match net {
            Some(net) => self.names(&net.circuits),
            None => self.checked.shop.head(wire.item).of.map(|of| self.name(of)).into_iter().collect(),
        };
        let (passes, cut) = self.cut(run, wire);
        PullRow {
            role: wire.role,
            circuits,
            control: net.map(|n| self.names(&n.switches)).unwrap_or_default(),
            count: 1,
            size: self.number(wire.item, name::SIZE, Scale::WireSize),
            kind: self.kind(wire.item),
            color: self.color(wire),
            mark: self.mark(run, wire),
            passes,
            cut,
            is_sure: wire.is_sure,
        }
    }

    /// The boxes through which a wire goes uncut, and its length with what is left over.
    fn cut(&self, run: ItemRef, wire: &RunWire) -> (Vec<String>, Option<Bounds>) {
        let mut passes = Vec::new();
        let mut cut = loose::of(self.checked, run);
        let places = self.boxes_of.get(&run).map(Vec::as_slice).unwrap_or_default();
        for wires in places.iter().filter_map(|p| self.checked.wiring.boxes.get(*p)) {
            let Some(joint) = wires.joints.iter().find(|j| j.net == wire.net && j.runs.contains(&run)) else {
                continue;
            };
            let is_through = joint.kind == JointKind::Unbroken;
            if is_through {
                passes.push(self.name(wires.item));
            }
            let left = match (is_through, wires.item.kind) {
                (true, _) => self.slack.passing,
                (false, Kind::Panel) => self.slack.panel,
                (false, Kind::Disconnect | Kind::Equipment) => self.slack.machine,
                (false, _) => self.slack.boxed,
            };
            cut = cut.zip(left).and_then(|(cut, left)| cut.plus(Bounds::exact(left)));
        }
        (passes, cut)
    }
}

/// Wires that are alike in one row, in the order of the list.
fn alike(wires: impl Iterator<Item = PullRow>) -> Vec<PullRow> {
    let mut rows: Vec<PullRow> = Vec::new();
    for wire in wires {
        match rows.iter_mut().find(|known| PullRow { count: wire.count, ..(*known).clone() } == wire) {
            Some(known) => known.count = known.count.saturating_add(1),
            None => rows.push(wire),
        }
    }
    rows.sort_by_key(|row| rank(row.role));
    rows
}

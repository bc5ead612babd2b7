//! What to pull through each run and what to join in each box.

pub mod json;
mod pulled;

use crate::law::{self, Told};
use crate::quantity::{Rational, Scale};
use crate::shop::{ItemRef, Shop, Value};
use crate::text::Span;
use crate::wiring::{End, Joint, JointKind, Load, Net, Role, RunWire, Screw, Table, simulate};
use crate::words::{Kind, choice, name};
use crate::{Checked, Rules};
use std::collections::{BTreeSet, HashMap};

/// Pull lists, joining lists and switching of a plan, or of one run or box.
#[derive(Clone, Debug, Default)]
pub struct WireSheets {
    /// Runs with wires, in the order of the plan.
    pub runs: Vec<RunSheet>,
    /// Boxes, panels and machines that wires come to, in the order of the plan.
    pub boxes: Vec<BoxSheet>,
    /// Switching, a table for circuits that hang together.
    pub switching: Vec<SwitchSheet>,
    /// Ways that only the owner can settle.
    pub asks: Vec<String>,
    /// What the wires that were really pulled come to, where some are lacking.
    pub pulled: Vec<String>,
    /// What can't be told, with the reason.
    pub missing: Vec<String>,
}

/// What to pull through one run.
#[derive(Clone, Debug)]
pub struct RunSheet {
    /// Its name: `P1 to B1`.
    pub run: String,
    /// Where it stands in the plan.
    pub place: Span,
    /// Its ends.
    pub ends: Vec<String>,
    /// What it is: `3/4 in EMT, 12 ft`.
    pub what: String,
    /// How many of the wires count for adjustment; none where that is not known.
    pub current_carrying: Option<i64>,
    /// Alike ones together.
    pub conductors: Vec<PullRow>,
    /// Whether more may lie there than the plan says.
    pub is_open: bool,
}

/// Conductors of one run that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct PullRow {
    /// What it is for, as JSON calls it.
    pub role: &'static str,
    /// Its circuits.
    pub circuits: Vec<String>,
    /// The switches that control it.
    pub control: Vec<String>,
    /// How many.
    pub count: usize,
    /// `12 AWG`; none where the plan doesn't say.
    pub size: Option<String>,
    /// `Cu THWN-2`, as far as it is known.
    pub kind: String,
    /// A color to pull.
    pub color: String,
    /// Boxes at an end of the run through which it goes on uncut.
    pub passes: Vec<String>,
    /// Its length with what is left over at its ends, in inches.
    pub cut: Option<Rational>,
    /// Whether it lies there whatever the open questions come to.
    pub is_sure: bool,
}

/// What to join in one box.
#[derive(Clone, Debug)]
pub struct BoxSheet {
    /// The box, panel or machine.
    pub name: String,
    /// `box B1`.
    pub called: String,
    /// Where it stands in the plan.
    pub place: Span,
    /// Its kind, for cautions.
    pub is_panel: bool,
    /// Circuits whose breakers must be off before it is opened.
    pub circuits: Vec<String>,
    /// Circuits whose equipment grounding conductor is the raceway itself.
    pub bonded_by_raceway: Vec<String>,
    /// How many wires come in by each run.
    pub entering: Vec<(String, usize)>,
    /// In the order in which they are made: bonding, neutrals, hots, switched hots, travelers.
    pub joints: Vec<JointRow>,
}

/// One joint.
#[derive(Clone, Debug)]
pub struct JointRow {
    /// `spliced`, `landed`, `unbroken`, `capped`; `unsaid` where raceway or cable is not said.
    pub kind: &'static str,
    /// What it is for.
    pub role: &'static str,
    /// Its circuits.
    pub circuits: Vec<String>,
    /// Wires and terminals: `white from P1`, `R1, silver screw`.
    pub ends: Vec<String>,
    /// One sentence that says what to do.
    pub text: String,
}

/// A table of positions.
#[derive(Clone, Debug)]
pub struct SwitchSheet {
    /// Switches, in the order of the plan.
    pub switches: Vec<String>,
    /// Loads, in the order of the plan.
    pub loads: Vec<String>,
    /// For each set of positions: a word for each switch, and the loads that are on.
    pub rows: Vec<(Vec<&'static str>, Vec<String>)>,
}

/// Everything, or what belongs to one run or box.
pub fn sheets(rules: &Rules, checked: &Checked, wanted: Option<&str>) -> WireSheets {
    let mut boxes_of: HashMap<ItemRef, Vec<usize>> = HashMap::new();
    for (place, wires) in checked.wiring.boxes.iter().enumerate() {
        let runs: BTreeSet<ItemRef> = wires.joints.iter().flat_map(|j| j.runs.iter().copied()).collect();
        runs.into_iter().for_each(|run| boxes_of.entry(run).or_default().push(place));
    }
    let writer = Writer { rules, checked, shop: &checked.shop, slack: Slack::of(rules, checked), boxes_of };
    let is_wanted = |name: &str| wanted.is_none_or(|w| w == name || w.replace('-', " to ") == name);
    let mut out = WireSheets::default();
    let mut first: HashMap<ItemRef, ItemRef> = HashMap::new();
    for run in checked.shop.items(Kind::Run) {
        if let Some(of) = checked.shop.head(run).of {
            first.entry(of).or_insert(run);
        }
    }
    for line in checked.shop.items(Kind::Feeder).chain(checked.shop.items(Kind::Circuit)) {
        if let Some(run) = first.get(&line).filter(|_| is_wanted(&checked.shop.head(line).name)) {
            out.runs.extend(writer.stretches(line, *run));
        }
    }
    for run in checked.shop.items(Kind::Run) {
        let head = checked.shop.head(run);
        // Stretches stand in the list of their line.
        let is_stretch = head.of.is_some_and(|of| matches!(of.kind, Kind::Feeder | Kind::Circuit));
        if !is_stretch && is_wanted(&head.name) {
            out.runs.extend(writer.run(run));
        }
    }
    let mut boxes: Vec<BoxSheet> = Vec::new();
    for wires in &checked.wiring.boxes {
        if is_wanted(&checked.shop.head(wires.item).name) {
            boxes.push(writer.in_box(wires.item, &wires.joints));
        }
    }
    boxes.sort_by_key(|b| b.place);
    out.boxes = boxes;
    let tables = simulate(&checked.shop, &checked.wiring);
    for table in tables.iter().filter(|t| t.rows.is_empty() && !t.switches.is_empty()) {
        let first = table.switches.first().map_or_else(String::new, |s| writer.name(s.item));
        let count = table.switches.len();
        out.missing.push(format!("{count} switches, {first} among them, act together: too many to try every position"));
    }
    let tables = tables.iter().filter(|t| !t.switches.is_empty()).map(|t| writer.table(t));
    out.switching = tables.filter(|t| wanted.is_none() || t.switches.iter().any(|s| is_wanted(s))).collect();
    out.asks = checked.wiring.asks.iter().map(|ask| writer.ask(ask)).collect();
    out.pulled = pulled::lacks(&checked.shop, &checked.wiring, is_wanted);
    for circuit in checked.shop.items(Kind::Circuit) {
        if checked.shop.feeds.get(circuit.index as usize).is_none_or(|f| f.is_open) && wanted.is_none() {
            out.missing.push(format!("{} may feed more than the plan names", checked.shop.called(circuit)));
        }
    }
    out
}

/// What is left over at the ends of a wire, as the pack says; none where it says nothing.
struct Slack {
    panel: Option<Rational>,
    boxed: Option<Rational>,
    machine: Option<Rational>,
    passing: Option<Rational>,
}

impl Slack {
    fn of(rules: &Rules, checked: &Checked) -> Slack {
        let ask = |word: &str| {
            let name = rules.code.vocabulary.name(word)?;
            match law::figure_of(&rules.code, &checked.shop, Shop::SHOP, name)? {
                Told::Figure(figure) => figure.value.map(|q| q.value),
                Told::Fact { value, .. } => value.map(|q| q.value),
            }
        };
        Slack {
            panel: ask("panel-tail"),
            boxed: ask("box-tail"),
            machine: ask("machine-tail"),
            passing: ask("passing-slack"),
        }
    }
}

struct Writer<'a> {
    rules: &'a Rules,
    checked: &'a Checked,
    shop: &'a Shop,
    slack: Slack,
    /// The boxes at the ends of each run: places in the wiring's boxes.
    boxes_of: HashMap<ItemRef, Vec<usize>>,
}

impl Writer<'_> {
    fn name(&self, item: ItemRef) -> String {
        self.shop.head(item).name.clone()
    }

    fn names(&self, items: &[ItemRef]) -> Vec<String> {
        items.iter().map(|i| self.name(*i)).collect()
    }

    fn net(&self, net: Option<u32>) -> Option<&Net> {
        net.and_then(|n| self.checked.wiring.nets.get(n as usize))
    }

    fn run(&self, run: ItemRef) -> Option<RunSheet> {
        let wires = self.checked.wiring.runs.get(run.index as usize)?;
        if wires.wires.is_empty() && !wires.is_open {
            return None;
        }
        let mut rows: Vec<PullRow> = Vec::new();
        for wire in &wires.wires {
            let row = self.pull(run, wire);
            match rows.iter_mut().find(|known| PullRow { count: row.count, ..(*known).clone() } == row) {
                Some(known) => known.count += 1,
                None => rows.push(row),
            }
        }
        rows.sort_by_key(|row| rank(row.role));
        let conductors = self.shop.value(run, name::CONDUCTORS);
        let is_closed = matches!(conductors, Value::List(id) if !self.shop.list(id).is_open);
        Some(RunSheet {
            run: self.name(run),
            place: self.shop.head(run).place,
            ends: self.ends(run),
            what: self.what(run),
            current_carrying: if is_closed { self.carrying(run) } else { None },
            conductors: rows,
            is_open: wires.is_open,
        })
    }

    /// A feeder, or a circuit from the house, that is said in stretches: one pull through them all.
    fn stretches(&self, line: ItemRef, first: ItemRef) -> Option<RunSheet> {
        let Value::List(id) = self.shop.value(first, name::CONDUCTORS) else { return None };
        let list = self.shop.list(id);
        let tail = self.slack.panel.and_then(|tail| tail.times(Rational::whole(2)));
        let length = self.length(line);
        let cut = length.zip(tail).and_then(|(length, tail)| length.plus(tail));
        let mut hots = 0usize;
        let mut rows: Vec<PullRow> = Vec::new();
        for (item, is_sure) in list.sure.iter().map(|c| (*c, true)).chain(list.possible.iter().map(|c| (*c, false))) {
            let role =
                self.choice(item, choice::ROLE, name::ROLE).unwrap_or_else(|| "wire of a purpose not said".into());
            let color = match role.as_str() {
                "hot" => {
                    hots += 1;
                    ["black", "red", "blue"].get((hots - 1) % 3).copied().unwrap_or("black")
                }
                "neutral" => "white",
                "equipment-ground" => "green",
                _ => "",
            };
            rows.push(PullRow {
                role: ROLES.iter().find(|r| **r == role).copied().unwrap_or("spare"),
                circuits: vec![self.name(line)],
                control: Vec::new(),
                count: 1,
                size: self.number(item, name::SIZE, Scale::WireSize),
                kind: self.kind(item),
                color: color.to_string(),
                passes: Vec::new(),
                cut,
                is_sure,
            });
        }
        rows.sort_by_key(|row| rank(row.role));
        let what = match length {
            Some(length) => format!("all its stretches, {}", feet(length)),
            None => "all its stretches, length not said".to_string(),
        };
        (!rows.is_empty()).then(|| RunSheet {
            run: self.name(line),
            place: self.shop.head(line).place,
            ends: Vec::new(),
            what,
            current_carrying: None,
            conductors: rows,
            is_open: list.is_open,
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
        let code = &self.rules.code;
        let name = code.vocabulary.name("current-carrying")?;
        match law::figure_of(code, self.shop, run, name)? {
            Told::Figure(figure) => figure.value.map(|q| q.value.floor()),
            Told::Fact { value, .. } => value.map(|q| q.value.floor()),
        }
    }

    fn ends(&self, run: ItemRef) -> Vec<String> {
        let ends = self.shop.ends.get(run.index as usize).map(|e| e.ends.as_slice()).unwrap_or_default();
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
        match self.length(run) {
            Some(length) => parts.push(feet(length)),
            None => parts.push("length not said".into()),
        }
        parts.join(", ")
    }

    fn length(&self, run: ItemRef) -> Option<Rational> {
        match self.shop.value(run, name::LENGTH) {
            Value::Number(n) => Some(n),
            _ => None,
        }
    }

    fn number(&self, item: ItemRef, word: crate::words::NameId, scale: Scale) -> Option<String> {
        match self.shop.value(item, word) {
            Value::Number(n) => Some(scale.show(n)),
            _ => None,
        }
    }

    fn choice(&self, item: ItemRef, id: crate::words::ChoiceId, word: crate::words::NameId) -> Option<String> {
        match self.shop.value(item, word) {
            Value::Choice(bits) if bits.count_ones() == 1 => {
                Some(self.shop.vocabulary.choice_text(id, bits.trailing_zeros() as u8).to_string())
            }
            _ => None,
        }
    }

    fn color(&self, wire: &RunWire) -> String {
        self.shop.vocabulary.choice_text(choice::COLOR, wire.color).to_string()
    }

    fn pull(&self, run: ItemRef, wire: &RunWire) -> PullRow {
        let net = self.net(wire.net);
        let circuits = match net {
            Some(net) => self.names(&net.circuits),
            None => self.shop.head(wire.item).of.map(|of| self.name(of)).into_iter().collect(),
        };
        let (passes, cut) = self.cut(run, wire);
        PullRow {
            role: role(wire.role),
            circuits,
            control: net.map(|n| self.names(&n.switches)).unwrap_or_default(),
            count: 1,
            size: self.number(wire.item, name::SIZE, Scale::WireSize),
            kind: self.kind(wire.item),
            color: self.color(wire),
            passes,
            cut,
            is_sure: wire.is_sure,
        }
    }

    /// The boxes through which a wire goes uncut, and its length with what is left over.
    fn cut(&self, run: ItemRef, wire: &RunWire) -> (Vec<String>, Option<Rational>) {
        let mut passes = Vec::new();
        let mut cut = self.length(run);
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
            cut = cut.zip(left).and_then(|(cut, left)| cut.plus(left));
        }
        (passes, cut)
    }

    fn in_box(&self, item: ItemRef, joints: &[Joint]) -> BoxSheet {
        let mut rows: Vec<JointRow> = joints.iter().map(|joint| self.joint(item, joint)).collect();
        rows.sort_by_key(|row| rank(row.role));
        let mut entering: Vec<(String, usize)> = Vec::new();
        for run in joints.iter().flat_map(|j| &j.runs) {
            let name = self.name(*run);
            match entering.iter_mut().find(|(known, _)| *known == name) {
                Some((_, count)) => *count += 1,
                None => entering.push((name, 1)),
            }
        }
        let lines: BTreeSet<ItemRef> =
            joints.iter().filter_map(|j| self.net(j.net)).flat_map(|n| n.circuits.iter().copied()).collect();
        let is_by_raceway = |line: &ItemRef| {
            let by = self.choice(*line, choice::EQUIPMENT_GROUND_TYPE, name::EQUIPMENT_GROUND_TYPE);
            by.as_deref() == Some("raceway")
        };
        let bonded_by_raceway = lines.iter().filter(|l| is_by_raceway(l)).map(|l| self.name(*l)).collect();
        let mut circuits: Vec<String> = rows.iter().flat_map(|r| r.circuits.iter().cloned()).collect();
        circuits.sort();
        circuits.dedup();
        BoxSheet {
            name: self.name(item),
            called: self.shop.called(item),
            place: self.shop.head(item).place,
            is_panel: item.kind == Kind::Panel,
            circuits,
            bonded_by_raceway,
            entering,
            joints: rows,
        }
    }

    fn joint(&self, item: ItemRef, joint: &Joint) -> JointRow {
        let net = self.net(joint.net);
        let role = net.map_or("equipment-ground", |n| role(n.role));
        let circuits = net.map(|n| self.names(&n.circuits)).unwrap_or_default();
        let wires: Vec<String> = joint.runs.iter().map(|run| self.wire_from(item, *run, joint.net)).collect();
        let screws: Vec<String> = joint.ends.iter().map(|end| self.screw(item, end)).collect();
        let what = match (net, circuits.is_empty()) {
            (Some(net), false) => format!("{} of {}", plain(net.role), circuits.join(" and ")),
            _ => "equipment grounding conductors".to_string(),
        };
        let capped = joint.ends.iter().any(|e| e.screw == Screw::Capped);
        let text = match joint.kind {
            JointKind::Unbroken => format!("{what}: {} are one wire that goes on uncut", wires.join(" and ")),
            JointKind::Unsaid => format!("{what}: {}; cut or not, once raceway or cable is said", wires.join(", ")),
            JointKind::Capped => format!("{what}: put {} under a cap, for later", wires.join(", ")),
            JointKind::Spliced | JointKind::Landed if net.is_none() && item.kind == Kind::Panel => {
                format!("{what}: {}, each to its own screw of the equipment ground bar", wires.join(", "))
            }
            JointKind::Spliced | JointKind::Landed if net.is_none() => match wires.as_slice() {
                [only] => format!("{what}: {only} to the green (grounding) screw"),
                _ => format!("{what}: join {}, with a tail to each device and to a box of metal", wires.join(", ")),
            },
            JointKind::Landed if screws.is_empty() => format!("{what}: {}", wires.join(", ")),
            JointKind::Landed => format!("{what}: {} to {}", wires.join(", "), screws.join(" and ")),
            JointKind::Spliced => {
                let tails = screws.iter().map(|s| match capped {
                    true => s.clone(),
                    false => format!("a tail to {s}"),
                });
                let all: Vec<String> = wires.iter().cloned().chain(tails).collect();
                format!("{what}: join {}", all.join(", "))
            }
        };
        let kind = match joint.kind {
            JointKind::Spliced => "spliced",
            JointKind::Landed => "landed",
            JointKind::Unbroken => "unbroken",
            JointKind::Capped => "capped",
            JointKind::Unsaid => "unsaid",
        };
        JointRow { kind, role, circuits, ends: wires.into_iter().chain(screws).collect(), text }
    }

    /// `the white from P1`.
    fn wire_from(&self, item: ItemRef, run: ItemRef, net: Option<u32>) -> String {
        let wires = self.checked.wiring.runs.get(run.index as usize);
        let is_it = |w: &&RunWire| match net {
            Some(_) => w.net == net,
            None => w.role == Role::EquipmentGround,
        };
        let color = wires.and_then(|w| w.wires.iter().find(is_it)).map(|w| self.color(w));
        let ends = self.shop.ends.get(run.index as usize).map(|e| e.ends.as_slice()).unwrap_or_default();
        let is_here =
            |end: ItemRef| end == item || matches!(self.shop.value(end, name::BOX), Value::Item(of) if of == item);
        let other = ends.iter().flatten().find(|end| !is_here(**end));
        let from = other.map_or_else(|| self.shop.called(run), |end| self.name(*end));
        format!("the {} from {from}", color.as_deref().unwrap_or("wire"))
    }

    fn screw(&self, item: ItemRef, end: &End) -> String {
        let at = if end.item == item { String::new() } else { format!("{}, ", self.name(end.item)) };
        let text = match end.screw {
            Screw::Source => "its breaker",
            Screw::Bar => "the neutral bar",
            Screw::Hot(0) => "hot (brass) screw",
            Screw::Hot(_) => "second hot screw",
            Screw::Neutral => "neutral (silver) screw",
            Screw::Line(0) => "line screw",
            Screw::Line(_) => "second line screw",
            Screw::Load(0) => "load screw",
            Screw::Load(_) => "second load screw",
            Screw::Common => "common (odd-colored) screw",
            Screw::In(0) | Screw::Out(0) => "a traveler screw",
            Screw::In(_) | Screw::Out(_) => "the other traveler screw of that pair",
            Screw::Behind(_) => "hot screw marked LOAD",
            Screw::BehindNeutral => "neutral screw marked LOAD",
            Screw::Capped => "a cap, for later",
        };
        format!("{at}{text}")
    }

    fn table(&self, table: &Table) -> SwitchSheet {
        let loads: Vec<String> = table.loads.iter().map(|load| self.load(load)).collect();
        let rows = table.rows.iter().map(|row| {
            let words = table.switches.iter().zip(&row.up).map(|(switch, up)| match (switch.has_on, *up) {
                (true, true) => "on",
                (true, false) => "off",
                (false, true) => "up",
                (false, false) => "down",
            });
            let on = loads.iter().zip(&row.on).filter(|(_, on)| **on).map(|(load, _)| load.clone());
            (words.collect(), on.collect())
        });
        let rows = rows.collect();
        SwitchSheet { switches: table.switches.iter().map(|s| self.name(s.item)).collect(), loads, rows }
    }

    fn load(&self, load: &Load) -> String {
        let name = self.name(load.item);
        match self.net(load.half) {
            None => name,
            Some(net) if net.switches.is_empty() => {
                format!("half of {name} on {}", self.names(&net.circuits).join(" and "))
            }
            Some(net) => format!("half of {name} through {}", self.names(&net.switches).join(" and ")),
        }
    }

    fn ask(&self, ask: &crate::wiring::Ask) -> String {
        let ways: Vec<String> = ask.ways.iter().map(|way| self.names(way).join(", ")).collect();
        format!(
            "Which way goes {} from {} to {}: {}? Say `by way of NAME` in the plan.",
            self.shop.called(ask.circuit),
            self.name(ask.from),
            self.name(ask.to),
            ways.join(", or ")
        )
    }
}

/// Feet and inches.
pub fn feet(inches: Rational) -> String {
    let whole = inches.over(Rational::whole(12)).map_or(0, Rational::floor);
    let rest = inches.minus(Rational::whole(whole * 12)).unwrap_or(Rational::ZERO);
    match (whole, rest == Rational::ZERO) {
        (0, _) => format!("{} in", rest.decimal(0)),
        (_, true) => format!("{whole} ft"),
        (_, false) => format!("{whole} ft {} in", rest.decimal(0)),
    }
}

/// Every role, as JSON calls it.
const ROLES: [&str; 7] = ["hot", "neutral", "equipment-ground", "switched-hot", "traveler", "signal", "spare"];

/// The order in which joints are made and wires are listed.
fn rank(role: &str) -> u8 {
    match role {
        "equipment-ground" => 0,
        "neutral" => 1,
        "hot" => 2,
        "switched-hot" => 3,
        "traveler" => 4,
        _ => 5,
    }
}

fn role(role: Role) -> &'static str {
    ROLES.get(role as usize).copied().unwrap_or("spare")
}

/// What a role is called in a sentence.
pub(super) fn plain(role: Role) -> &'static str {
    match role {
        Role::Hot => "hot",
        Role::Neutral => "neutral",
        Role::EquipmentGround => "equipment grounding conductor",
        Role::SwitchedHot => "switched hot",
        Role::Traveler => "traveler",
        Role::Signal => "signal wire",
        Role::Spare => "spare",
    }
}

//! The materials list: what the plan needs bought, counted from the drawing.
//!
//! Lengths and counts follow from the plan; what is added to them stands in the rule files. What
//! can't be counted is listed without a number, or as a least one, with the question that settles it.

pub mod json;
mod parts;
mod runs;
mod tally;

use super::Missing;
use super::loose::{Bounds, loosened, remark};
use super::teller::Teller;
use super::wires::{WireSheets, sheets};
use crate::quantity::Rational;
use crate::shop::{ItemRef, Shop, Value};
use crate::wiring::{Joint, JointKind};
use crate::words::{Kind, name};
use crate::{Checked, Rules};
use std::collections::HashSet;
use tally::{Buy, Tally};

/// What a line of the list is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Single conductors.
    Wire,
    /// Cable, cord.
    Cable,
    /// Pipe and tube.
    Raceway,
    /// What joins and holds it.
    Fitting,
    /// Boxes.
    Box,
    /// Covers and plates.
    Plate,
    /// Receptacles, switches, disconnects, lights.
    Device,
    /// Breakers.
    Breaker,
    /// Panels and their bars.
    Panel,
    /// Rods, clamps, their wire.
    Electrode,
    /// What is written on things.
    Label,
    /// Connectors and screws.
    Small,
}

impl Group {
    /// Its name in JSON and as a heading.
    pub fn name(self) -> &'static str {
        match self {
            Group::Wire => "wire",
            Group::Cable => "cable",
            Group::Raceway => "raceway",
            Group::Fitting => "fitting",
            Group::Box => "box",
            Group::Plate => "plate",
            Group::Device => "device",
            Group::Breaker => "breaker",
            Group::Panel => "panel",
            Group::Electrode => "electrode",
            Group::Label => "label",
            Group::Small => "small",
        }
    }
}

/// One thing to buy.
#[derive(Clone, Debug)]
pub struct Line {
    /// What kind of thing.
    pub group: Group,
    /// What it is: `12 AWG Cu THWN-2 black`.
    pub item: String,
    /// How many, rounded up; none where it can't be counted. The most, where lengths have two ends.
    pub quantity: Option<i64>,
    /// The least that it can come to, where lengths have two ends.
    pub least: Option<i64>,
    /// Whether it may be more.
    pub is_least: bool,
    /// `ft`, `stick`, `each`.
    pub unit: &'static str,
    /// How it was counted.
    pub how: String,
    /// What it is for: tags and runs.
    pub of: Vec<String>,
    /// What is open about it.
    pub asks: Vec<Missing>,
}

impl Line {
    /// How many, in words: `12`, `34 to 42`, `at least 12`; none where it can't be counted.
    pub fn told(&self) -> Option<String> {
        let told = match (self.least, self.quantity?) {
            (Some(least), _) if self.is_least => format!("at least {least}"),
            (Some(least), most) => format!("{least} to {most}"),
            (None, n) if self.is_least => format!("at least {n}"),
            (None, n) => n.to_string(),
        };
        Some(told)
    }
}

/// The materials list of a plan.
#[derive(Clone, Debug, Default)]
pub struct Takeoff {
    /// Group by group, in each as the plan has them.
    pub lines: Vec<Line>,
    /// What is open about the whole list.
    pub asks: Vec<Missing>,
    /// What is not on the list.
    pub remarks: Vec<String>,
}

/// Counts what the plan needs.
pub fn takeoff(rules: &Rules, checked: &Checked) -> Takeoff {
    let wires = sheets(rules, checked, None);
    let loose = loosened(rules, checked);
    let teller = Teller::new(rules, loose.as_ref().unwrap_or(checked));
    let mut counter = Counter { teller, tally: Tally::default(), asks: Vec::new(), remarks: Vec::new() };
    counter.wires(&wires);
    counter.runs();
    counter.boxes();
    counter.devices();
    counter.breakers();
    counter.electrodes();
    counter.small(&wires);
    counter.left_out(&wires);
    Takeoff { lines: counter.tally.lines(), asks: counter.asks, remarks: counter.remarks }
}

struct Counter<'a> {
    teller: Teller<'a>,
    tally: Tally,
    asks: Vec<Missing>,
    remarks: Vec<String>,
}

impl<'a> Counter<'a> {
    fn shop(&self) -> &'a Shop {
        self.teller.shop()
    }

    fn name(&self, item: ItemRef) -> &'a str {
        &self.teller.shop().head(item).name
    }

    /// A figure of the pack by its name, of the whole shop.
    fn figure(&self, word: &str) -> Option<Rational> {
        self.figure_of(Shop::SHOP, word)
    }

    /// A figure of the pack by its name; none in a pack that has none.
    fn figure_of(&self, item: ItemRef, word: &str) -> Option<Rational> {
        self.teller.amount(item, self.teller.code.vocabulary.name(word)?)
    }

    /// Items that are bought: those that the plan names and that were not there before.
    fn bought(&self, kind: Kind) -> Vec<ItemRef> {
        let shop = self.shop();
        let is_new = |item: &ItemRef| !self.teller.is(*item, name::IS_EXISTING);
        shop.items(kind).filter(|item| shop.named(self.name(*item)) == Some(*item)).filter(is_new).collect()
    }

    /// What the list leaves out, said once.
    fn left_out(&mut self, wires: &WireSheets) {
        let shop = self.shop();
        let pulled: Vec<&str> = shop
            .items(Kind::Run)
            .filter(|run| matches!(shop.value(*run, name::PULLED), Value::List(id) if !shop.list(id).sure.is_empty()))
            .map(|run| self.name(run))
            .collect();
        if !pulled.is_empty() {
            self.remarks.push(format!(
                "The plan says of {} what was pulled already; the list counts all wire, pulled or not.",
                pulled.join(", ")
            ));
        }
        self.remarks.extend(remark(&self.teller));
        if !wires.asks.is_empty() {
            self.remarks.push(format!("A way is open, so wire may be more or less: {}", wires.asks.join(" ")));
        }
        for text in &wires.missing {
            self.remarks.push(format!("May be more: {text}."));
        }
        let drawn: HashSet<&str> =
            wires.runs.iter().flat_map(|r| &r.conductors).flat_map(|c| &c.circuits).map(String::as_str).collect();
        let lines = shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)).map(|line| self.name(line));
        let lost: Vec<&str> = lines.filter(|name| !drawn.contains(name)).collect();
        if !lost.is_empty() {
            let lost = lost.join(", ");
            self.remarks.push(format!(
                "Wire and raceway of {lost} can't be counted: where do they run, and how far? No run or stretch of the \
                 plan says it."
            ));
        }
        let mut bare = Vec::new();
        for kind in [Kind::Receptacle, Kind::Switch, Kind::Light] {
            bare.extend(self.bought(kind).into_iter().filter(|d| shop.value(*d, name::BOX) == Value::Unknown));
        }
        if !bare.is_empty() {
            let names: Vec<&str> = bare.into_iter().map(|d| self.name(d)).collect();
            let names = names.join(", ");
            self.remarks
                .push(format!("Boxes and plates of {names} can't be counted: which box holds each? None is drawn."));
        }
        let has_cable = shop.items(Kind::Run).any(|run| self.teller.is(run, name::IS_CABLE));
        if has_cable {
            self.remarks.push("Clamps and connectors of cables are not counted: some boxes have them inside.".into());
        }
        self.remarks.push("Machines, tools and the supply's own parts are not counted.".into());
        let closed = [Kind::Circuit, Kind::Receptacle, Kind::Switch, Kind::Light];
        let open: Vec<&str> = closed.into_iter().filter(|k| !shop.listed.contains_key(k)).map(Kind::plural).collect();
        if !open.is_empty() {
            let all: Vec<String> = open.iter().map(|kind| format!("`all {kind} listed`")).collect();
            self.remarks.push(format!(
                "Only what the plan names is counted. It doesn't say that it names every one of its {}; if it does, \
                 write {} below `shop`.",
                open.join(", "),
                all.join(", ")
            ));
        }
    }

    fn has_unread(&self) -> bool {
        self.shop().problems.iter().any(|p| p.severity == crate::text::Severity::Error)
    }

    fn small(&mut self, wires: &WireSheets) {
        for place in &self.teller.checked.wiring.boxes {
            let is_made = |joint: &&Joint| {
                // A light's leads are joined to the wires that come to it; they have no screws.
                let has_leads = joint.ends.iter().any(|end| end.item.kind == Kind::Light);
                joint.net.is_some()
                    && (joint.kind == JointKind::Spliced || (joint.kind == JointKind::Landed && has_leads))
            };
            let made = place.joints.iter().filter(is_made).count();
            if place.item.kind == Kind::Box && made > 0 {
                let count = Some(Bounds::exact(Rational::whole(made as i64)));
                self.tally.add(
                    Group::Small,
                    "wire connector",
                    Buy::Each,
                    "one for each joint",
                    count,
                    self.name(place.item),
                );
            }
        }
        for place in &wires.boxes {
            let is_box = self.shop().named(&place.name).is_some_and(|item| item.kind == Kind::Box);
            if is_box && !place.bonded_by_raceway.is_empty() {
                let how = "one for each metal box whose equipment grounding conductor is the raceway";
                self.tally.one(Group::Small, "grounding screw, green", how, &place.name);
                let tail = self.figure("bonding-tail").map(Bounds::exact);
                let item = "green tail, Cu, as large as the circuit's wire";
                self.tally.add(Group::Small, item, Buy::Feet(Some(Rational::ONE)), how, tail, &place.name);
            }
        }
        if self.has_unread() {
            self.remarks.push("Some lines of the plan could not be read; what they say is not counted.".into());
        }
    }
}

//! What to pull through each run and what to join in each box.

mod joining;
pub mod json;
mod pull;
mod pulled;
mod switching;

use super::loose::{Bounds, loosened, remark};
use super::teller::Teller;
use crate::quantity::Rational;
use crate::shop::{ItemRef, Value};
use crate::text::Span;
use crate::wiring::{Net, Role, simulate};
use crate::words::{ChoiceId, Kind, NameId};
use crate::{Checked, Rules};
use pull::Slack;
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
    /// Lengths that are by eye, and how they were taken.
    pub by_eye: Option<String>,
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
    /// What it is for.
    pub role: Role,
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
    /// What to write on both its ends, where another wire of its color lies in the run.
    pub mark: Option<String>,
    /// Boxes at an end of the run through which it goes on uncut.
    pub passes: Vec<String>,
    /// Its length with what is left over at its ends, in inches; none where it is not known, with two ends where
    /// the plan gives bounds or a guess.
    pub cut: Option<Bounds>,
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
    pub role: Role,
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
    let loose = loosened(rules, checked);
    let checked = loose.as_ref().unwrap_or(checked);
    let mut boxes_of: HashMap<ItemRef, Vec<usize>> = HashMap::new();
    for (place, wires) in checked.wiring.boxes.iter().enumerate() {
        let runs: BTreeSet<ItemRef> = wires.joints.iter().flat_map(|j| j.runs.iter().copied()).collect();
        runs.into_iter().for_each(|run| boxes_of.entry(run).or_default().push(place));
    }
    let teller = Teller::new(rules, checked);
    let writer = Writer { slack: Slack::of(&teller), teller, checked, boxes_of };
    let is_wanted = |name: &str| wanted.is_none_or(|w| w == name || w.replace('-', " to ") == name);
    let mut out = WireSheets { by_eye: remark(&writer.teller), ..WireSheets::default() };
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
    let tables = tables.iter().filter(|t| !t.switches.is_empty() && !t.rows.is_empty()).map(|t| writer.table(t));
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

/// Puts wiring into words.
struct Writer<'a> {
    teller: Teller<'a>,
    checked: &'a Checked,
    slack: Slack,
    /// The boxes at the ends of each run: places in the wiring's boxes.
    boxes_of: HashMap<ItemRef, Vec<usize>>,
}

impl Writer<'_> {
    fn name(&self, item: ItemRef) -> String {
        self.checked.shop.head(item).name.clone()
    }

    fn names(&self, items: &[ItemRef]) -> Vec<String> {
        items.iter().map(|i| self.name(*i)).collect()
    }

    fn net(&self, net: Option<u32>) -> Option<&Net> {
        net.and_then(|n| self.checked.wiring.nets.get(n as usize))
    }

    /// The one value of a choice that is left.
    fn choice(&self, item: ItemRef, id: ChoiceId, word: NameId) -> Option<String> {
        match self.checked.shop.value(item, word) {
            Value::Choice(bits) if bits.count_ones() == 1 => {
                Some(self.checked.shop.vocabulary.choice_text(id, bits.trailing_zeros() as u8).to_string())
            }
            _ => None,
        }
    }
}

impl BoxSheet {
    /// What must be off before it is opened.
    pub fn caution(&self) -> String {
        match (self.is_panel, self.circuits.is_empty()) {
            (true, _) => {
                "Turn the feeder off at the house, lock it, and test dead here before the cover comes off: the panel's \
                          own breakers leave its lugs live."
                    .to_string()
            }
            (false, false) => format!(
                "Breaker of {} off and locked, and tested dead in this box, before the cover comes off.",
                self.circuits.join(", ")
            ),
            (false, true) => "Off, locked and tested dead before the cover comes off.".to_string(),
        }
    }

    /// How the box itself is bonded, where the raceway does it.
    pub fn bonding(&self) -> Option<String> {
        (!self.bonded_by_raceway.is_empty() && !self.is_panel).then(|| {
            format!(
                "The metal raceway is the equipment grounding conductor of {}: tighten its fittings, and bring a green tail \
                 from a screw in the metal box to each device.",
                self.bonded_by_raceway.join(", ")
            )
        })
    }

    /// `3 by P1 to D1, 3 by D1 to AIR`.
    pub fn comes_in(&self) -> String {
        if self.entering.is_empty() {
            return "nothing, by the plan".into();
        }
        self.entering.iter().map(|(run, count)| format!("{count} by {run}")).collect::<Vec<_>>().join(", ")
    }
}

impl PullRow {
    /// Its color, and what to write on its ends: `black, marked C2`.
    pub fn look(&self) -> String {
        let marked = self.mark.as_ref().map(|mark| format!(", marked {mark}")).unwrap_or_default();
        format!("{}{marked}", self.color)
    }

    /// Its role and what controls it: `traveler, S2 and S3`.
    pub fn what(&self) -> String {
        let role = match self.role {
            Role::EquipmentGround => "equipment ground",
            other => other.noun(),
        };
        match self.control.is_empty() {
            true => role.to_string(),
            false => format!("{role}, {}", self.control.join(" and ")),
        }
    }

    /// Where it goes on: `on through B1 uncut`; nothing where it ends.
    pub fn goes(&self) -> String {
        match self.passes.is_empty() {
            true => String::new(),
            false => format!("on through {} uncut", self.passes.join(" and ")),
        }
    }
}

/// Feet and inches; between two ends, whole feet.
pub fn feet(length: Bounds) -> String {
    let Bounds { least, most } = length;
    match (least.over(Rational::whole(12)), most.over(Rational::whole(12))) {
        _ if length.is_exact() => exact_feet(least),
        (Some(low), Some(high)) if low.floor() < high.ceiling() && high >= Rational::ONE => {
            format!("{} to {} ft", low.floor(), high.ceiling())
        }
        _ => format!("{} to {}", exact_feet(Rational::whole(least.floor())), exact_feet(most)),
    }
}

/// A part of an inch counts as a whole one: a wire that is cut too short is scrap.
fn exact_feet(inches: Rational) -> String {
    let inches = Rational::whole(inches.ceiling());
    let foot = Rational::whole(12);
    let whole = inches.over(foot).map_or(0, Rational::floor);
    let rest = Rational::whole(whole).times(foot).and_then(|feet| inches.minus(feet)).unwrap_or(Rational::ZERO);
    match (whole, rest == Rational::ZERO) {
        (0, _) => format!("{} in", rest.decimal(0)),
        (_, true) => format!("{whole} ft"),
        (_, false) => format!("{whole} ft {} in", rest.decimal(0)),
    }
}

/// The order in which joints are made and wires are listed.
fn rank(role: Role) -> u8 {
    match role {
        Role::EquipmentGround => 0,
        Role::Neutral => 1,
        Role::Hot => 2,
        Role::SwitchedHot => 3,
        Role::Traveler => 4,
        Role::Signal | Role::Spare => 5,
    }
}

//! What follows from the drawing: what hangs on what, ways, conductors in each run, joints in
//! each box.
//!
//! Two layers, kept apart. The electrical one follows from the `feeds` lines alone and needs no
//! box. The physical one follows from both: conductors are worked out run by run, never listed.
//! Nothing is guessed: what the plan leaves open is a possible member of a list, a bound of a
//! number, or a question.
//!
//! This room knows no section and no figure of a code. What counts as what (a live wire, a ground
//! path, a protected outlet) is said by terms in rule files, over the words derived here.

mod boxes;
mod building;
mod colors;
mod controls;
mod disconnects;
mod facts;
mod faults;
mod graph;
mod hang;
mod incoming;
pub mod joints;
mod lacking;
mod layer;
mod lists;
mod make;
mod nets;
mod neutrals;
mod panels;
mod pattern;
mod physical;
mod physics;
mod pulled;
mod readings;
mod remarks;
mod runs;
mod simulate;
mod spread;
mod starts;
mod supply;
mod tree;
mod trial;
mod ways;
mod wires;

#[cfg(test)]
mod tests;

pub use faults::{Fault, FaultKind, faults};
pub use lacking::{Case, Lacking, lacking};
pub use nets::{End, Net, Role, Screw};
pub use remarks::MOST_SPACES;
pub use simulate::{Load, Row, Switch, Table, simulate, simulate_built};

use crate::shop::{ItemRef, Shop};
use crate::text::Problem;

/// The wiring of a plan, worked out.
#[derive(Clone, Debug, Default)]
pub struct Wiring {
    /// Every conductor of every circuit and feeder, through all its runs.
    pub nets: Vec<Net>,
    /// What lies in each run, by the run's index.
    pub runs: Vec<RunWires>,
    /// What is joined in each box, panel or machine that a run comes to.
    pub boxes: Vec<BoxWires>,
    /// Ways that only the owner can settle.
    pub asks: Vec<Ask>,
}

/// The conductors of one run.
#[derive(Clone, Debug, Default)]
pub struct RunWires {
    /// In the order of circuits.
    pub wires: Vec<RunWire>,
    /// Whether more may lie there than the plan says.
    pub is_open: bool,
}

/// One conductor in one run.
#[derive(Clone, Debug)]
pub struct RunWire {
    /// The item of kind `conductor` that stands for it.
    pub item: ItemRef,
    /// Its net in [`Wiring::nets`]; none for an equipment grounding conductor or a spare.
    pub net: Option<u32>,
    /// What it is for.
    pub role: Role,
    /// Whether it lies there whatever the open questions come to.
    pub is_sure: bool,
    /// A color to pull: a value of the choice `color`. Only white and green are the code's; the rest is custom.
    pub color: u8,
}

/// What happens in one box.
#[derive(Clone, Debug)]
pub struct BoxWires {
    /// The box, panel or machine.
    pub item: ItemRef,
    /// One for each conductor that comes there.
    pub joints: Vec<Joint>,
}

/// What becomes of one conductor in one box.
#[derive(Clone, Debug)]
pub struct Joint {
    /// Its net in [`Wiring::nets`]; none for the equipment grounding conductors.
    pub net: Option<u32>,
    /// Runs by which it comes in.
    pub runs: Vec<ItemRef>,
    /// What it lands on.
    pub ends: Vec<End>,
    /// What becomes of it.
    pub kind: JointKind,
    /// How many of its wires stand there whatever the open questions come to: all, unless one is open.
    pub sure: usize,
}

/// What becomes of a conductor in a box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JointKind {
    /// Joined to further conductors or tails.
    Spliced,
    /// On one terminal.
    Landed,
    /// Passes without a cut.
    Unbroken,
    /// Left under a cap.
    Capped,
    /// Passes, but whether cut or not is not known, since raceway and cable are not.
    Unsaid,
}

/// A way that is not decided: two are as short, or lengths leave it open.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// The circuit or feeder.
    pub circuit: ItemRef,
    /// The stop that the way goes from.
    pub from: ItemRef,
    /// The stop that it goes to.
    pub to: ItemRef,
    /// The places on each way, both stops included.
    pub ways: Vec<Vec<ItemRef>>,
}

/// Derives every word of wiring and physics that the plan leaves to derive, and gives the wiring itself.
///
/// Stated facts stand. A question that only the owner can settle also becomes a warning of the shop,
/// at the circuit that it is about.
pub fn complete(shop: &mut Shop) -> Wiring {
    let hanging = hang::hang(shop);
    physics::write(shop, &hanging.patterns);
    let lines = supply::lines(shop, &hanging.needs);
    hang::write(shop, &hanging);
    let groups = neutrals::neutral_groups(shop);
    let boxes = graph::boxes(shop);
    let starts: Vec<ItemRef> = lines.circuits.iter().chain(&lines.feeders).filter_map(|l| l.start).collect();
    let graph = graph::Graph::new(shop, &boxes, &starts);
    let spread = spread::spread(shop, &graph, &hanging, &lines, &groups);
    lists::write(shop, &hanging, &boxes);
    panels::write(shop, &lines, &graph, &spread);
    let not_passed = spread.not_passed.clone();
    let wiring = physical::write(shop, &graph, &hanging, &lines, spread);
    pulled::write(shop);
    lacking::write(shop, &wiring);
    let asks = wiring.asks.iter().map(|a| remarks::question(shop, a));
    let remarks: Vec<Problem> = asks
        .chain(remarks::series(shop))
        .chain(remarks::not_passed(shop, &not_passed))
        .chain(remarks::many_spaces(shop))
        .collect();
    shop.problems.extend(remarks);
    wiring
}

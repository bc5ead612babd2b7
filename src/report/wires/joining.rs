//! What to join in each box.

use super::{BoxSheet, JointRow, Writer, rank};
use crate::shop::{ItemRef, Value};
use crate::wiring::{End, Joint, JointKind, Role, RunWire, Screw};
use crate::words::{Kind, choice, name};
use std::collections::BTreeSet;

impl Writer<'_> {
    pub(super) fn in_box(&self, item: ItemRef, joints: &[Joint]) -> BoxSheet {
        let mut rows: Vec<JointRow> = joints.iter().map(|joint| self.joint(item, joint)).collect();
        rows.sort_by_key(|row| rank(row.role));
        let mut entering: Vec<(String, usize)> = Vec::new();
        for run in joints.iter().flat_map(|j| &j.runs) {
            let name = self.name(*run);
            match entering.iter_mut().find(|(known, _)| *known == name) {
                Some((_, count)) => *count = count.saturating_add(1),
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
            called: self.checked.shop.called(item),
            place: self.checked.shop.head(item).place,
            is_panel: item.kind == Kind::Panel,
            circuits,
            bonded_by_raceway,
            entering,
            joints: rows,
        }
    }

    fn joint(&self, item: ItemRef, joint: &Joint) -> JointRow {
        let net = self.net(joint.net);
        let role = net.map_or(Role::EquipmentGround, |n| n.role);
        let circuits = net.map(|n| self.names(&n.circuits)).unwrap_or_default();
        let wires: Vec<String> = joint.runs.iter().map(|run| self.wire_from(item, *run, joint.net)).collect();
        let screws: Vec<String> = joint.ends.iter().map(|end| self.screw(item, end)).collect();
        let what = match (net, circuits.is_empty()) {
            (Some(net), false) => format!("{} of {}", net.role.noun(), circuits.join(" and ")),
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
        let wire = wires.and_then(|w| w.wires.iter().find(is_it));
        let color = wire.map(|w| match self.mark(run, w) {
            Some(mark) => format!("{} marked {mark}", self.color(w)),
            None => self.color(w),
        });
        let ends = self.checked.shop.ends.get(run.index as usize).map(|e| e.ends.as_slice()).unwrap_or_default();
        let is_here = |end: ItemRef| {
            end == item || matches!(self.checked.shop.value(end, name::BOX), Value::Item(of) if of == item)
        };
        let other = ends.iter().flatten().find(|end| !is_here(**end));
        let from = other.map_or_else(|| self.checked.shop.called(run), |end| self.name(*end));
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
}

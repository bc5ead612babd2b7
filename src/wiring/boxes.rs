//! What stands in each box, and what becomes of it there.

use super::facts::{Facts, number, yes_no};
use super::graph::Graph;
use super::nets::{Role, wire_of};
use super::physical::Writer;
use super::spread::Spread;
use super::wires::{ground_need, largest};
use super::{BoxWires, Joint, JointKind};
use crate::shop::{Head, ItemRef, List, Shop, Value};
use crate::text::Problem;
use crate::words::{Kind, name};

impl Writer {
    /// Entries of boxes, and joints of every place that runs come to.
    pub fn boxes(&self, shop: &mut Shop, graph: &Graph, spread: &Spread) -> Vec<BoxWires> {
        let mut joints: Vec<Vec<Joint>> = vec![Vec::new(); graph.nodes.len()];
        let runs = |edges: &[u32]| edges.iter().filter_map(|e| graph.edge(*e)).map(|e| e.run).collect::<Vec<_>>();
        for meeting in &spread.meetings {
            let Some(slot) = joints.get_mut(meeting.node as usize) else { continue };
            slot.push(Joint {
                net: Some(meeting.net),
                runs: runs(&meeting.edges),
                ends: meeting.ends.clone(),
                kind: meeting.how,
                sure: meeting.sure,
            });
        }
        let mut all = Vec::new();
        for (node, item) in graph.nodes.iter().enumerate() {
            let mut here = joints.get_mut(node).map(std::mem::take).unwrap_or_default();
            let at: Vec<ItemRef> =
                graph.at.get(node).into_iter().flatten().filter_map(|e| graph.edge(*e)).map(|e| e.run).collect();
            let ground = self.ground_joint(shop, &here, &at, spread);
            if item.kind == Kind::Box {
                self.entries(shop, *item, &here, ground.as_ref(), &at, spread);
            }
            here.extend(ground);
            all.push(BoxWires { item: *item, joints: here });
        }
        all
    }

    /// Equipment grounding conductors of a box: joined, or one that passes a box where nothing of
    /// its circuits ends.
    fn ground_joint(&self, shop: &Shop, here: &[Joint], at: &[ItemRef], spread: &Spread) -> Option<Joint> {
        let wire = |run: &ItemRef| {
            let wires = self.runs.get(run.index as usize)?;
            wires.wires.iter().find(|w| w.role == Role::EquipmentGround).map(|w| w.is_sure)
        };
        let mut runs: Vec<(ItemRef, bool)> = at.iter().filter_map(|r| wire(r).map(|sure| (*r, sure))).collect();
        runs.sort_by_key(|(_, sure)| !sure);
        if runs.is_empty() {
            return None;
        }
        let sure = runs.iter().filter(|(_, sure)| *sure).count();
        // Something of a circuit that ends here joins the equipment grounding conductor, if that is a wire.
        let mut ends_here = Some(false);
        for joint in here.iter().filter(|j| !j.ends.is_empty()) {
            let net = joint.net.and_then(|n| spread.nets.get(n as usize));
            // A neutral may be another circuit's too; what ends here has a hot of its own.
            for line in net.filter(|n| n.role != Role::Neutral).into_iter().flat_map(|n| &n.circuits) {
                match ground_need(shop, *line, self.bits.wire) {
                    Some(true) if joint.sure > 0 => ends_here = Some(true),
                    Some(false) => {}
                    _ => ends_here = ends_here.filter(|e| *e),
                }
            }
        }
        let is_raceway =
            runs.iter().map(|(r, _)| shop.yes(*r, name::IS_RACEWAY)).fold(Some(true), |a, b| match (a, b) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (Some(true), Some(true)) => Some(true),
                _ => None,
            });
        let passes = match (ends_here, is_raceway) {
            (Some(true), _) | (_, Some(false)) => Some(false),
            (Some(false), Some(true)) => Some(true),
            _ => None,
        };
        let (kind, sure) = match (runs.len(), sure, passes) {
            (2, 2, Some(true)) => (JointKind::Unbroken, 1),
            (2, sure, None) | (2, sure, Some(true)) => (JointKind::Unsaid, sure.min(1)),
            // With a third only perhaps there, the two may still pass.
            (_, 2, None | Some(true)) => (JointKind::Unsaid, 1),
            (_, sure, _) => (JointKind::Spliced, sure),
        };
        Some(Joint { net: None, runs: runs.into_iter().map(|(r, _)| r).collect(), ends: Vec::new(), kind, sure })
    }

    fn entries(
        &self,
        shop: &mut Shop,
        the_box: ItemRef,
        here: &[Joint],
        ground: Option<&Joint>,
        at: &[ItemRef],
        spread: &Spread,
    ) {
        let is_drawn = shop.yes(the_box, name::IS_ALL_DRAWN) == Some(true) || shop.is_listed(Kind::Run);
        let are_closed = at.iter().all(|r| self.runs.get(r.index as usize).is_some_and(|w| !w.is_open));
        let told = Told::of(shop, the_box, at);
        if told.as_ref().is_some_and(|t| !t.is_likely()) {
            let text = format!("{} is said to have more cables than any box holds", shop.called(the_box));
            let help = format!("{} cables or wires at most are counted; is the number right?", Told::MOST);
            let place = shop.source(the_box, name::CABLE_COUNT).place;
            shop.problems.push(Problem::error(place, text).help(help));
        }
        let told = told.filter(Told::is_likely);
        // Cables that are said and not told whole may bring any wire.
        let is_vague = told.is_none() && Told::are_more(shop, the_box, at);
        let is_open = is_vague || !(is_drawn && are_closed);
        let mut entries = List { is_open, ..List::default() };
        let mut has_neutral = Some(false);
        let box_name = shop.head(the_box).name.clone();
        for joint in here {
            let Some(net) = joint.net.and_then(|n| spread.nets.get(n as usize)) else { continue };
            if net.role == Role::Neutral && !joint.runs.is_empty() {
                has_neutral = if joint.sure > 0 { Some(true) } else { has_neutral.filter(|n| *n) };
            }
            for (i, run) in joint.runs.iter().enumerate() {
                if i > 0 && joint.kind == JointKind::Unbroken {
                    break;
                }
                let size = wire_of(shop, *run, net).size;
                let ending = match joint.kind {
                    JointKind::Unbroken => Some(false),
                    JointKind::Unsaid => None,
                    _ => Some(true),
                };
                let entry = self.entry(shop, the_box, &box_name, net.role, size, ending);
                if i < joint.sure { entries.sure.push(entry) } else { entries.possible.push(entry) }
            }
        }
        // Spares of a cable end under caps.
        for run in at {
            let spares = self.runs.get(run.index as usize).into_iter().flat_map(|w| &w.wires);
            let spares: Vec<(Value, bool)> =
                spares.filter(|w| w.role == Role::Spare).map(|w| (shop.value(w.item, name::SIZE), w.is_sure)).collect();
            for (size, is_sure) in spares {
                let entry = self.entry(shop, the_box, &box_name, Role::Spare, size, Some(true));
                if is_sure { entries.sure.push(entry) } else { entries.possible.push(entry) }
            }
        }
        // What comes in is told whole where the plan counts the cables and draws none of them.
        let is_told = told.as_ref().is_some_and(|_| at.is_empty());
        entries.is_open &= !is_told;
        for _ in 0..told.as_ref().map_or(0, |t| t.wires) {
            let size = shop.item(the_box, name::WIRE).map_or(Value::Unknown, |w| shop.value(w, name::SIZE));
            let entry = self.entry(shop, the_box, &box_name, Role::Spare, size, Some(true));
            entries.sure.push(entry);
        }
        let mut grounds = List { is_open: entries.is_open, ..List::default() };
        match told.as_ref().map(|t| (t.cables, t.ground)) {
            Some((cables, Some(ground))) => {
                for _ in 0..cables {
                    let size = shop.value(ground, name::SIZE);
                    let entry = self.entry(shop, the_box, &box_name, Role::EquipmentGround, size, Some(true));
                    grounds.sure.push(entry);
                }
            }
            Some((_, None)) if shop.value(the_box, name::EQUIPMENT_GROUND) != Value::Absent => grounds.is_open = true,
            _ => {}
        }
        for (i, run) in ground.map(|g| g.runs.as_slice()).unwrap_or(&[]).iter().enumerate() {
            let kind = ground.map_or(JointKind::Spliced, |g| g.kind);
            if i > 0 && kind == JointKind::Unbroken {
                break;
            }
            let wire = self
                .runs
                .get(run.index as usize)
                .and_then(|w| w.wires.iter().find(|w| w.role == Role::EquipmentGround));
            let Some(size) = wire.map(|w| shop.value(w.item, name::SIZE)) else { continue };
            let entry =
                self.entry(shop, the_box, &box_name, Role::EquipmentGround, size, Some(kind != JointKind::Unbroken));
            let is_sure = ground.is_some_and(|g| i < g.sure);
            if is_sure { grounds.sure.push(entry) } else { grounds.possible.push(entry) }
        }
        let has_neutral = has_neutral.filter(|n| *n || !is_open);
        shop.settle(the_box, name::HAS_NEUTRAL, yes_no(has_neutral));
        let largest = largest(shop, &[&entries, &grounds]);
        shop.settle(the_box, name::LARGEST_WIRE, largest);
        shop.settle_list(the_box, name::ENTRIES, entries);
        shop.settle_list(the_box, name::GROUND_ENTRIES, grounds);
    }

    fn entry(
        &self,
        shop: &mut Shop,
        the_box: ItemRef,
        text: &str,
        role: Role,
        size: Value,
        ending: Option<bool>,
    ) -> ItemRef {
        let place = shop.head(the_box).place;
        let head = Head { name: format!("wire of {text}"), label: None, place, of: Some(the_box) };
        let entry = shop.add(Kind::Entry, head);
        for (word, value) in [
            (name::ROLE, self.bits.role(role)),
            (name::SIZE, size),
            (name::IS_ENDING, yes_no(ending)),
            (name::LOOPS, number(1)),
            (name::IS_FIXTURE_WIRE, Value::YesNo(false)),
        ] {
            shop.settle(entry, word, value);
        }
        entry
    }
}

/// Cables that a plan counts at a box, beyond those that it draws: `cables 3 x 12/2 NM with ground`.
struct Told {
    cables: i64,
    wires: i64,
    /// The equipment grounding conductor in each.
    ground: Option<ItemRef>,
}

impl Told {
    /// More than a box can hold is a slip of the plan; then what enters it stays open.
    const MOST: i64 = 64;

    fn of(shop: &Shop, the_box: ItemRef, at: &[ItemRef]) -> Option<Told> {
        let drawn = i64::try_from(at.len()).ok()?;
        let cables = shop.whole(the_box, name::CABLE_COUNT)?.checked_sub(drawn).filter(|cables| *cables >= 0)?;
        let wires = shop.whole(the_box, name::CABLE_CONDUCTORS)?.saturating_mul(cables);
        Some(Told { cables, wires, ground: shop.item(the_box, name::EQUIPMENT_GROUND) })
    }

    fn is_likely(&self) -> bool {
        self.cables <= Told::MOST && (0..=Told::MOST).contains(&self.wires)
    }

    /// Whether the plan counts, or may count, more cables than it draws.
    fn are_more(shop: &Shop, the_box: ItemRef, at: &[ItemRef]) -> bool {
        let drawn = i64::try_from(at.len()).unwrap_or(i64::MAX);
        match shop.value(the_box, name::CABLE_COUNT) {
            Value::Number(count) => count.floor() > drawn,
            Value::Range(count) => count.high.is_none_or(|high| high.floor() > drawn),
            _ => false,
        }
    }
}

//! The map: boxes and the runs between them, from the panel to the right.
//!
//! Plans hold lengths and no places, so a length is text and not a distance. Each panel is the root of a tree,
//! nearest boxes first; what lies deeper than a sheet is wide becomes the root of a strip of its own, where its
//! mark says. A run that closes a ring is no branch of a tree: both boxes and a list say it.

use super::canvas::{Canvas, LEADING, Pen, Side, Step};
use super::facts::{BLANK, Facts};
use super::letters::{Look, wrap};
use super::sheets::{Heading, MARGIN, Sheets, WIDTH};
use super::symbols::Symbol;
use super::{Drawing, loads};
use crate::shop::{ItemRef, Shop, Value};
use crate::text::natural;
use crate::wiring::Role;
use crate::words::{Kind, name};
use std::collections::{BTreeMap, HashMap, VecDeque};

const NODE: f64 = 132.0;
/// From the left edge of one column to that of the next.
const PITCH: f64 = 274.0;
/// Between a node and the text of the run that goes on from it.
const GUTTER: f64 = 20.0;
const LABEL: f64 = PITCH - NODE - GUTTER - 8.0;
/// Lines of text that a run gets below its line.
const CARRIES: usize = 4;

/// A node's number.
type Node = usize;

/// Boxes and runs as a graph.
struct Graph {
    /// What each node is; none for an end that nobody named.
    items: Vec<Option<ItemRef>>,
    /// Runs from each node with what lies at their other end, in order of names.
    next: Vec<Vec<(ItemRef, Node)>>,
}

/// The same as trees.
struct Forest {
    /// The run to each node from its parent.
    children: Vec<Vec<(ItemRef, Node)>>,
    roots: Vec<Node>,
    /// Runs that close a ring, each with a number.
    rings: Vec<(ItemRef, Node, Node)>,
}

pub(super) fn draw(facts: &Facts<'_>) -> Vec<Drawing> {
    let graph = graph(facts);
    if graph.items.is_empty() {
        return Vec::new();
    }
    let forest = forest(facts, &graph);
    let mut sheets = Sheets::new();
    sheets.say(Symbol::Unknown, "an end not named");
    let mut map = Map { facts, graph: &graph, rings: HashMap::new(), marks: BTreeMap::new(), last_mark: 0, sheets };
    for (place, (_, a, b)) in forest.rings.iter().enumerate() {
        for node in [a, b] {
            map.rings.entry(*node).or_default().push(ring(place));
        }
    }
    map.strips(&forest);
    map.list_rings(&forest);
    let label = facts.shop().head(Shop::SHOP).label.clone().unwrap_or_default();
    let remark = "Not to scale: the plan holds lengths, no places. Below each line what the run carries, by circuit: H hot, \
                  SH switched hot, T traveler, N neutral, EGC equipment grounding conductor.";
    map.sheets.finish(&Heading { id: "map", title: "Map of boxes and runs", subject: &label, remark })
}

fn graph(facts: &Facts<'_>) -> Graph {
    let shop = facts.shop();
    let mut graph = Graph { items: Vec::new(), next: Vec::new() };
    let mut node_of: HashMap<ItemRef, Node> = HashMap::new();
    for run in shop.items(Kind::Run) {
        let is_stretch = shop.head(run).of.is_some_and(|of| matches!(of.kind, Kind::Feeder | Kind::Circuit));
        let Some(ends) = shop.ends.get(run.index as usize).filter(|e| !is_stretch && !e.ends.is_empty()) else {
            continue;
        };
        let mut nodes: Vec<Node> = Vec::new();
        for end in &ends.ends {
            let item = end.map(|item| facts.place(item));
            let known = item.and_then(|item| node_of.get(&item).copied());
            nodes.push(known.unwrap_or_else(|| {
                let node = graph.items.len();
                graph.items.push(item);
                graph.next.push(Vec::new());
                if let Some(item) = item {
                    node_of.insert(item, node);
                }
                node
            }));
        }
        let Some((first, rest)) = nodes.split_first() else { continue };
        for other in rest {
            for (from, to) in [(first, other), (other, first)] {
                if let Some(next) = graph.next.get_mut(*from) {
                    next.push((run, *to));
                }
            }
        }
    }
    let names: Vec<_> = graph.items.iter().map(|item| item.map(|i| natural(facts.name(i)))).collect();
    for next in &mut graph.next {
        next.sort_by_cached_key(|(run, node)| (names.get(*node).cloned().flatten(), *run));
    }
    graph
}

/// Nearest first, so that a box hangs on as few runs as can be; panels are roots before all else.
fn forest(facts: &Facts<'_>, graph: &Graph) -> Forest {
    let mut order: Vec<Node> = (0..graph.items.len()).collect();
    let rank = |node: &Node| {
        let item = graph.items.get(*node).copied().flatten();
        let kind = item.map_or(3, |i| match i.kind {
            Kind::Supply => 0,
            Kind::Panel => 1,
            _ => 2,
        });
        (kind, item.map(|i| natural(facts.name(i))))
    };
    order.sort_by_cached_key(rank);
    let mut forest = Forest { children: vec![Vec::new(); graph.items.len()], roots: Vec::new(), rings: Vec::new() };
    let mut is_met = vec![false; graph.items.len()];
    let mut used: std::collections::HashSet<(ItemRef, Node, Node)> = std::collections::HashSet::new();
    for root in order {
        if is_met.get(root).copied().unwrap_or(true) {
            continue;
        }
        forest.roots.push(root);
        let mut open = VecDeque::from([root]);
        if let Some(met) = is_met.get_mut(root) {
            *met = true;
        }
        while let Some(node) = open.pop_front() {
            for (run, to) in graph.next.get(node).into_iter().flatten() {
                let pair = (*run, node.min(*to), node.max(*to));
                if !used.insert(pair) {
                    continue;
                }
                match is_met.get_mut(*to) {
                    Some(met) if !*met => {
                        *met = true;
                        open.push_back(*to);
                        if let Some(children) = forest.children.get_mut(node) {
                            children.push((*run, *to));
                        }
                    }
                    _ => forest.rings.push((*run, node, *to)),
                }
            }
        }
    }
    forest
}

/// The number of a ring, from 1.
fn ring(place: usize) -> String {
    place.saturating_add(1).to_string()
}

struct Map<'a> {
    facts: &'a Facts<'a>,
    graph: &'a Graph,
    /// Numbers of the rings that each node closes.
    rings: HashMap<Node, Vec<String>>,
    /// The number of the strip that each cut node roots.
    marks: BTreeMap<Node, usize>,
    last_mark: usize,
    sheets: Sheets,
}

impl Map<'_> {
    /// Trees as strips of three columns.
    fn strips(&mut self, forest: &Forest) {
        for root in &forest.roots {
            let mut open = VecDeque::from([*root]);
            while let Some(root) = open.pop_front() {
                self.strip(forest, root, &mut open);
            }
        }
    }

    fn strip(&mut self, forest: &Forest, root: Node, open: &mut VecDeque<Node>) {
        let below = |node: Node| forest.children.get(node).map(Vec::as_slice).unwrap_or_default();
        let mark = self.marks.get(&root).copied();
        let is_panel = |node: Node| {
            self.graph.items.get(node).copied().flatten().is_some_and(|i| matches!(i.kind, Kind::Panel | Kind::Supply))
        };
        if mark.is_none() && !is_panel(root) {
            let text = "No run joins these to a panel";
            self.sheets.place(|on, y| on.lines(MARGIN, y + 14.0, Look::Strong, text, 400.0, 1) - 6.0);
        }
        let mut at = Place { root, is_again: false, root_line: None };
        if below(root).is_empty() {
            self.piece(&mut at, None);
        }
        for (run, child) in below(root) {
            let deeper = below(*child);
            for (_, node) in deeper.iter().filter(|(_, node)| !below(*node).is_empty()) {
                self.cut(*node, open);
            }
            let mut family = Family { run: *run, child: *child, is_again: false, line: None, grand: None };
            if deeper.is_empty() {
                self.piece(&mut at, Some(&mut family));
            }
            for grand in deeper {
                family.grand = Some(*grand);
                self.piece(&mut at, Some(&mut family));
            }
        }
        self.sheets.y += 8.0;
    }

    /// One row of a strip, on this sheet or, with its root and box drawn again, on the next.
    fn piece(&mut self, at: &mut Place, mut family: Option<&mut Family>) {
        for _ in 0..2 {
            let mut drawn = Canvas::default();
            let y = self.sheets.y;
            let below = self.row(&mut drawn, y, at, family.as_deref());
            if self.sheets.put_drawn(drawn, below) {
                let line = Some(y + LINE);
                let is_child_drawn = family.as_ref().is_some_and(|f| f.line.is_none());
                if at.root_line.is_none() || is_child_drawn {
                    at.root_line = line;
                }
                at.is_again = true;
                if let Some(family) = family {
                    family.is_again = true;
                    family.line = line;
                }
                return;
            }
            self.sheets.turn();
            at.root_line = None;
            if let Some(family) = family.as_deref_mut() {
                family.line = None;
            }
        }
    }

    /// The root and the box in the middle, each where it is not on this sheet yet, and the box on the right.
    fn row(&self, on: &mut Canvas, y: f64, at: &Place, family: Option<&Family>) -> f64 {
        let mark = |node: Node| self.marks.get(&node).copied();
        let mut below = y;
        if at.root_line.is_none() {
            below = below.max(self.node(on, MARGIN, y, at.root, mark(at.root), at.is_again));
        }
        let Some(family) = family else { return below + 12.0 };
        let middle = MARGIN + PITCH;
        if family.line.is_none() {
            below = below.max(self.run(on, MARGIN, y, at.root_line, family.run));
            below = below.max(self.node(on, middle, y, family.child, mark(family.child), family.is_again));
        }
        if let Some((run, node)) = family.grand {
            below = below.max(self.run(on, middle, y, family.line, run));
            below = below.max(self.node(on, middle + PITCH, y, node, mark(node), false));
        }
        below + 8.0
    }

    fn cut(&mut self, node: Node, open: &mut VecDeque<Node>) {
        self.last_mark = self.last_mark.saturating_add(1);
        self.marks.insert(node, self.last_mark);
        open.push_back(node);
    }

    /// A run with what it is above its line and what it carries below; gives where its text ends.
    fn run(&self, on: &mut Canvas, x: f64, y: f64, spine: Option<f64>, run: ItemRef) -> f64 {
        let line = y + LINE;
        let mut start = x + NODE;
        if let Some(from) = spine {
            start += 10.0;
            on.line(Pen::Line, start, from, &[Step::V(line)]);
        }
        on.line(Pen::Line, start, line, &[Step::H(x + PITCH)]);
        let left = x + NODE + GUTTER;
        let parts = self.facts.run(run);
        let bends = self.bends(run);
        let (first, rest) = parts.split_first().map_or((String::new(), String::new()), |(first, rest)| {
            (first.clone(), rest.iter().cloned().chain(bends).collect::<Vec<_>>().join(", "))
        });
        on.text(left, line - 19.0, Look::Plain, Side::Right, &first, LABEL);
        on.text(left, line - 6.0, Look::Plain, Side::Right, &rest, LABEL);
        let carries = self.carries(run);
        let text = if carries.is_empty() { "no wire".to_string() } else { carries.join("; ") };
        // A line for each circuit, or all in a row where they are too many for that.
        let each: Vec<&str> = match carries.len() <= CARRIES {
            true => text.split("; ").collect(),
            false => vec![&text],
        };
        let most = if each.len() > 1 { 1 } else { CARRIES };
        let mut below = line + 14.0;
        for text in each {
            below = on.lines(left, below, Look::Plain, text, LABEL, most);
        }
        on.tell(&format!("Run {}: {first}, {rest}; carries {text}.", self.facts.name(run)));
        below - LEADING + 4.0
    }

    fn bends(&self, run: ItemRef) -> Option<String> {
        let sum = self.facts.teller.whole(run, name::BENDS)?;
        match (sum % 90, sum / 90) {
            (0, 1) => Some("1 bend".into()),
            (0, count) => Some(format!("{count} bends")),
            _ => Some(format!("{sum} deg of bends")),
        }
    }

    /// `C1 2H 1EGC`, a text for each circuit or set of circuits.
    fn carries(&self, run: ItemRef) -> Vec<String> {
        let checked = self.facts.checked;
        let Some(wires) = checked.wiring.runs.get(run.index as usize) else { return Vec::new() };
        let mut of: Vec<(String, BTreeMap<(usize, Role), (usize, bool)>)> = Vec::new();
        for wire in &wires.wires {
            let net = wire.net.and_then(|n| checked.wiring.nets.get(n as usize));
            let circuits = match net {
                Some(net) => net.circuits.iter().map(|c| self.facts.name(*c)).collect::<Vec<_>>().join("+"),
                None => checked.shop.head(wire.item).of.map_or(String::new(), |of| self.facts.name(of).to_string()),
            };
            let place = of.iter().position(|(known, _)| *known == circuits);
            let place = place.unwrap_or_else(|| {
                of.push((circuits, BTreeMap::new()));
                of.len().saturating_sub(1)
            });
            if let Some((_, roles)) = of.get_mut(place) {
                let entry = roles.entry((rank(wire.role), wire.role)).or_insert((0, true));
                *entry = (entry.0.saturating_add(1), entry.1 && wire.is_sure);
            }
        }
        let short = |role: Role| match role {
            Role::Hot => "H",
            Role::SwitchedHot => "SH",
            Role::Traveler => "T",
            Role::Neutral => "N",
            Role::EquipmentGround => "EGC",
            Role::Signal => " signal",
            Role::Spare => " spare",
        };
        let mut texts: Vec<String> = of
            .iter()
            .map(|(circuits, roles)| {
                let roles = roles.iter().map(|((_, role), (count, is_sure))| {
                    format!("{count}{}{}", short(*role), if *is_sure { "" } else { "?" })
                });
                format!("{circuits} {}", roles.collect::<Vec<_>>().join(" ")).trim().to_string()
            })
            .collect();
        if wires.is_open {
            texts.push(format!("more {BLANK}"));
        }
        texts
    }

    /// A box, panel or machine; gives where it ends.
    fn node(&self, on: &mut Canvas, x: f64, y: f64, node: Node, mark: Option<usize>, is_again: bool) -> f64 {
        let top = y + 6.0;
        let Some(item) = self.graph.items.get(node).copied().flatten() else {
            on.symbol(Symbol::Unknown, x + 12.0, y + LINE);
            on.text(x + 26.0, y + LINE + 4.0, Look::Plain, Side::Right, BLANK, NODE - 30.0);
            return y + LINE + 12.0;
        };
        let facts = self.facts;
        let symbols = self.symbols(item);
        let about = if is_again { vec!["drawn before".into()] } else { self.about(item, node) };
        let indent = if symbols.is_empty() { 8.0 } else { 34.0 };
        let room = NODE - indent - 6.0;
        let name = wrap(facts.name(item), Look::Name, if mark.is_some() { room - 22.0 } else { room }, 1);
        let text: Vec<String> = about.iter().flat_map(|t| wrap(t, Look::Plain, room, 3)).collect();
        let lines = text.len() as f64;
        let height = (24.0 + lines * LEADING).max(2.0 * (LINE - 6.0)).max(14.0 + symbols.len() as f64 * 27.0);
        let outdoors = facts.is_outdoors(item);
        let is_panel = matches!(item.kind, Kind::Panel | Kind::Supply);
        on.rect(if outdoors { "outdoors" } else { "open" }, x, top, NODE, height);
        if outdoors {
            on.used.insert(Symbol::Outdoors);
        }
        if is_panel {
            on.used.insert(Symbol::Panel);
            on.rect("solid", x, top, NODE, 5.0);
        }
        for (place, symbol) in symbols.iter().enumerate() {
            on.symbol(*symbol, x + 18.0, top + 20.0 + place as f64 * 27.0);
        }
        on.text(x + indent, top + 18.0, Look::Name, Side::Right, &name.join(" "), room);
        if let Some(mark) = mark {
            on.used.insert(Symbol::Mark);
            on.circle("open", x + NODE - 13.0, top + 12.0, 9.0);
            on.text(x + NODE - 13.0, top + 16.0, Look::Strong, Side::Middle, &mark.to_string(), 22.0);
        }
        for (place, line) in text.iter().enumerate() {
            on.text(x + indent, top + 32.0 + place as f64 * LEADING, Look::Plain, Side::Right, line, room);
        }
        on.tell(&format!("{}: {}.", facts.shop().called(item), about.join(", ")));
        top + height + 4.0
    }

    /// A symbol for each kind of thing in it.
    fn symbols(&self, item: ItemRef) -> Vec<Symbol> {
        let facts = self.facts;
        if item.kind != Kind::Box {
            return match item.kind {
                Kind::Panel | Kind::Supply => Vec::new(),
                _ => vec![loads::symbol(facts, item)],
            };
        }
        let devices = facts.teller.members(item, name::DEVICES);
        let mut all: Vec<Symbol> = devices.sure.iter().map(|d| loads::symbol(facts, *d)).collect();
        all.sort();
        all.dedup();
        all.truncate(3);
        if all.is_empty() && !devices.is_open && devices.possible.is_empty() {
            all.push(Symbol::Junction);
        }
        all
    }

    fn about(&self, item: ItemRef, node: Node) -> Vec<String> {
        let facts = self.facts;
        let mut all: Vec<String> = Vec::new();
        if item.kind == Kind::Box {
            let devices = facts.teller.members(item, name::DEVICES);
            let names: Vec<&str> = devices.sure.iter().map(|d| facts.name(*d)).collect();
            all.push(match (names.is_empty(), devices.is_open || !devices.possible.is_empty()) {
                (false, false) => names.join(", "),
                (false, true) => format!("{}, {BLANK}", names.join(", ")),
                (true, true) => format!("holds {BLANK}"),
                (true, false) => "no device".into(),
            });
            let size = match (facts.known(item, name::WIDTH), facts.known(item, name::SHAPE)) {
                (Some(width), Some(shape)) => Some(format!("{width} {shape}")),
                (None, shape) => shape,
                (width, None) => width,
            };
            let volume = match facts.shop().value(item, name::MARKED_VOLUME) {
                Value::Absent => None,
                _ => facts.known(item, name::MARKED_VOLUME),
            };
            let depth = facts.known(item, name::DEPTH).map(|d| format!("{d} deep"));
            let size: Vec<String> = size.into_iter().chain(depth).chain(volume).collect();
            all.push(if size.is_empty() { format!("size {BLANK}") } else { size.join(", ") });
        } else {
            all.extend(facts.shop().head(item).label.clone());
            if item.kind == Kind::Panel
                && let Some(feeder) = facts.item(item, name::FEEDER)
            {
                all.push(format!("fed by {}", facts.name(feeder)));
            }
        }
        if facts.is_outdoors(item) {
            all.push("outdoors".into());
        }
        if let Some(rings) = self.rings.get(&node) {
            all.push(format!("ring {}", rings.join(", ")));
        }
        all
    }

    /// Runs that close a ring, in words.
    fn list_rings(&mut self, forest: &Forest) {
        for (place, (run, _, _)) in forest.rings.iter().enumerate() {
            let parts = self.facts.run(*run).join(", ");
            let carries = self.carries(*run);
            let text =
                format!("Ring {}: {}, {parts}; carries {}", ring(place), self.facts.name(*run), carries.join("; "));
            self.sheets.place(|on, y| {
                on.tell(&format!("{text}."));
                on.lines(MARGIN, y + 12.0, Look::Plain, &text, WIDTH - 2.0 * MARGIN, 2) - 8.0
            });
        }
    }
}

/// Live ones first, as they are counted on the spot.
fn rank(role: Role) -> usize {
    let order = [Role::Hot, Role::SwitchedHot, Role::Traveler, Role::Neutral, Role::EquipmentGround];
    order.iter().position(|r| *r == role).unwrap_or(order.len())
}

/// Where in a row its line goes.
const LINE: f64 = 32.0;

/// A strip under way.
struct Place {
    root: Node,
    /// Whether the root was drawn on a sheet before.
    is_again: bool,
    /// Where its last line leaves it on this sheet; none where it is not there yet.
    root_line: Option<f64>,
}

/// A box in the middle, and one of those on its right.
struct Family {
    run: ItemRef,
    child: Node,
    is_again: bool,
    line: Option<f64>,
    grand: Option<(ItemRef, Node)>,
}

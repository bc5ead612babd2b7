//! The map of boxes and runs: a tree from the panel, left to right. The plan holds lengths and no places, so length
//! is text, not distance.
//!
//! The first child of a box shares its row, the others go below; a run leaves its box to the right, goes down in the
//! gutter and along its own row, where its label stands. So no line crosses another and no label meets one. What does
//! not fit on a sheet goes on in a further strip, with its box drawn again, dashed.

use super::Drawing;
use super::canvas::{At, Canvas, Face, LINE};
use super::facts;
use crate::report::teller::Teller;
use crate::report::text::listed;
use crate::shop::ItemRef;
use crate::words::{Kind, name};
use crate::{Checked, Rules};
use std::collections::{BTreeMap, BTreeSet, HashMap, VecDeque};

const WIDTH: f64 = 960.0;
const HEIGHT: f64 = 600.0;
const TOP: f64 = 44.0;
const ROW: f64 = 78.0;
const ROWS: usize = 6;
const COLUMNS: usize = 4;
const PITCH: f64 = 240.0;
const BOX: (f64, f64) = (112.0, 66.0);
/// From a box's right side to the spine of its runs.
const GUTTER: f64 = 10.0;

/// A place of a strip's tree.
struct Node {
    item: ItemRef,
    /// The run that leads there, and the row and column of where it comes from.
    from: Option<(ItemRef, usize, usize)>,
    column: usize,
    row: usize,
    /// The strip in which its further runs stand.
    goes_on: Option<usize>,
}

/// A tree that hangs on one box.
struct Strip {
    nodes: Vec<Node>,
    rows: usize,
    /// The strip that it comes from; none for the first of a panel.
    from: Option<usize>,
    is_joined: bool,
}

/// The map, on as many sheets as it needs; none where the plan has no runs.
pub fn map(rules: &Rules, checked: &Checked) -> Vec<Drawing> {
    let teller = Teller::new(rules, checked);
    let graph = Graph::of(&teller);
    let strips = graph.strips();
    let mut pages: Vec<Page> = Vec::new();
    for (index, strip) in strips.iter().enumerate() {
        let mut first = 0;
        while first < strip.rows {
            let free = pages.last().map_or(0, |p| ROWS - p.rows);
            // A strip is parted only where a whole sheet would not hold it.
            let is_too_long = strip.rows - first > free;
            if free == 0 || free < ROWS && is_too_long && (strip.rows - first <= ROWS || free < 3) {
                pages.push(Page::default());
                continue;
            }
            let count = free.min(strip.rows - first);
            if let Some(page) = pages.last_mut() {
                page.pieces.push(Piece { strip: index, first, count, top: page.rows });
                page.rows += count;
            }
            first += count;
        }
    }
    let count = pages.len();
    let drawn = pages.iter().enumerate();
    drawn.map(|(i, page)| Writer { teller: &teller, graph: &graph, strips: &strips }.page(page, i + 1, count)).collect()
}

#[derive(Default)]
struct Page {
    pieces: Vec<Piece>,
    rows: usize,
}

/// Rows of a strip on a page.
struct Piece {
    strip: usize,
    first: usize,
    count: usize,
    top: usize,
}

/// Boxes, and the runs between them.
struct Graph {
    /// For each box its runs and where they lead, in counting order.
    runs: BTreeMap<ItemRef, Vec<(ItemRef, ItemRef)>>,
    /// Runs that close a ring, lettered; both their boxes say so.
    loops: BTreeMap<ItemRef, Vec<String>>,
    /// The tree: for each box the runs that lead away from the panel.
    children: HashMap<ItemRef, Vec<(ItemRef, ItemRef)>>,
    /// Where trees begin, and whether that is a panel.
    roots: Vec<(ItemRef, bool)>,
}

impl Graph {
    fn of(teller: &Teller<'_>) -> Graph {
        let shop = teller.shop();
        let mut graph =
            Graph { runs: BTreeMap::new(), loops: BTreeMap::new(), children: HashMap::new(), roots: Vec::new() };
        for run in shop.items(Kind::Run) {
            // Stretches of a feeder stand on the one-line diagram.
            let is_stretch = shop.head(run).of.is_some_and(|of| matches!(of.kind, Kind::Feeder | Kind::Circuit));
            let ends = shop.ends.get(run.index as usize).map_or(&[][..], |e| e.ends.as_slice());
            if let ([Some(a), Some(b)], false) = (ends, is_stretch)
                && a != b
            {
                graph.runs.entry(*a).or_default().push((run, *b));
                graph.runs.entry(*b).or_default().push((run, *a));
            }
        }
        let key = |item: ItemRef| facts::counted(&shop.head(item).name);
        for runs in graph.runs.values_mut() {
            runs.sort_by_key(|(run, far)| (key(*far), key(*run), *run));
        }
        let mut starts: Vec<ItemRef> = graph.runs.keys().copied().collect();
        starts.sort_by_key(|item| (item.kind != Kind::Panel, item.kind != Kind::Supply, key(*item), *item));
        let mut seen: BTreeSet<ItemRef> = BTreeSet::new();
        let mut used: BTreeSet<ItemRef> = BTreeSet::new();
        for start in starts {
            if !seen.insert(start) {
                continue;
            }
            graph.roots.push((start, matches!(start.kind, Kind::Panel | Kind::Supply)));
            let mut open = VecDeque::from([start]);
            while let Some(at) = open.pop_front() {
                for (run, far) in graph.runs.get(&at).cloned().unwrap_or_default() {
                    if seen.insert(far) {
                        used.insert(run);
                        graph.children.entry(at).or_default().push((run, far));
                        open.push_back(far);
                    } else if used.insert(run) {
                        graph.ring(teller, run, at, far);
                    }
                }
            }
        }
        graph
    }

    fn ring(&mut self, teller: &Teller<'_>, run: ItemRef, a: ItemRef, b: ItemRef) {
        let what = facts::run(teller, run);
        for (at, far) in [(a, b), (b, a)] {
            let text = format!("also to {}: {what}", teller.shop().head(far).name);
            self.loops.entry(at).or_default().push(text);
        }
    }

    fn strips(&self) -> Vec<Strip> {
        let mut strips = Vec::new();
        // Where each strip begins: at a root, or at a box that had no room.
        let mut open: VecDeque<(ItemRef, Option<usize>, bool)> =
            self.roots.iter().map(|(root, is_joined)| (*root, None, *is_joined)).collect();
        while let Some((root, from, is_joined)) = open.pop_front() {
            let number = strips.len();
            let mut strip = Strip { nodes: Vec::new(), rows: 0, from, is_joined };
            // What waits comes after all that waits already.
            let mut later = Vec::new();
            self.place(&mut strip, root, &mut later);
            for node in &mut strip.nodes {
                if later.contains(&node.item) {
                    node.goes_on = Some(number + open.len() + 1);
                    open.push_back((node.item, Some(number), true));
                }
            }
            strips.push(strip);
        }
        strips
    }

    /// Places a tree, without recursion: a chain of boxes may be long.
    fn place(&self, strip: &mut Strip, root: ItemRef, later: &mut Vec<ItemRef>) {
        let mut open = vec![(root, None, 0, true)];
        while let Some((item, from, column, is_first)) = open.pop() {
            let row = match (from, is_first) {
                (Some((_, row, _)), true) => row,
                _ => strip.rows,
            };
            strip.rows = strip.rows.max(row + 1);
            strip.nodes.push(Node { item, from, column, row, goes_on: None });
            let children = self.children.get(&item).map_or(&[][..], Vec::as_slice);
            if column + 1 == COLUMNS {
                if !children.is_empty() {
                    later.push(item);
                }
                continue;
            }
            // The last is taken up first.
            for (i, (run, far)) in children.iter().enumerate().rev() {
                open.push((*far, Some((*run, row, column)), column + 1, i == 0));
            }
        }
    }
}

struct Writer<'a> {
    teller: &'a Teller<'a>,
    graph: &'a Graph,
    strips: &'a [Strip],
}

impl Writer<'_> {
    fn page(&self, page: &Page, number: usize, count: usize) -> Drawing {
        let mut canvas = Canvas::default();
        let mut description = String::from("A tree, not to scale.");
        let of = if count > 1 { format!(", sheet {number} of {count}") } else { String::new() };
        let title = format!("Boxes and runs{of}");
        canvas.text((16.0, 20.0), Face::Name, At::Start, 300.0, &title);
        let note = "Not to scale: the plan holds lengths, no places. Over each run what it is, under it its circuits and wires.";
        canvas.text((330.0, 20.0), Face::Slant, At::Start, WIDTH - 346.0, note);
        for piece in &page.pieces {
            self.piece(&mut canvas, piece, &mut description);
        }
        let height = (TOP + ROW * page.rows as f64 + 40.0).min(HEIGHT);
        key(&mut canvas, height - 18.0);
        Drawing { id: format!("map-{number}"), title, description, width: WIDTH, height, body: canvas.finish() }
    }

    fn piece(&self, canvas: &mut Canvas, piece: &Piece, description: &mut String) {
        let Some(strip) = self.strips.get(piece.strip) else { return };
        let last = piece.first + piece.count;
        let y_of = |row: usize| TOP + ROW * (piece.top + row - piece.first) as f64;
        let here = |row: usize| (piece.first..last).contains(&row);
        // Boxes of rows on an earlier sheet, from which runs on this one start: drawn again where the first of them is.
        let mut again: BTreeMap<usize, (usize, ItemRef)> = BTreeMap::new();
        // How far down the spine of each box goes.
        let mut spines: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for node in strip.nodes.iter().filter(|n| here(n.row)) {
            if let Some((_, row, column)) = node.from {
                let parent = strip.nodes.iter().find(|n| (n.row, n.column) == (row, column));
                if let (Some(parent), false) = (parent, here(row)) {
                    again.entry(column).or_insert((row, parent.item));
                }
                let spine = spines.entry((row.max(piece.first), column)).or_insert(node.row);
                *spine = node.row.max(*spine);
            }
        }
        for ((row, column), end) in &spines {
            let x = x_of(*column) + BOX.0 + GUTTER;
            if end > row {
                canvas.line("line", &[(x, y_of(*row) + 24.0), (x, y_of(*end) + 24.0)]);
                canvas.circle("solid", (x, y_of(*row) + 24.0), 2.6);
            }
        }
        for node in strip.nodes.iter().filter(|n| here(n.row)) {
            let (x, y) = (x_of(node.column), y_of(node.row));
            if let Some((run, row, column)) = node.from {
                let from = x_of(column)
                    + BOX.0
                    + if row == node.row || !here(row) && node.row == piece.first { 0.0 } else { GUTTER };
                canvas.line("line", &[(from, y + 24.0), (x, y + 24.0)]);
                self.label(canvas, run, (x_of(column) + BOX.0 + GUTTER + 6.0, y), description, node.item);
            }
            let lines = match (node.goes_on, node.column == 0 && strip.from.is_some()) {
                (_, true) => vec![format!("strip {}", piece.strip + 1), "drawn before".to_string()],
                (Some(next), _) => {
                    let mut lines = self.about(node.item);
                    lines.truncate(2);
                    lines.push(format!("goes on in strip {}", next + 1));
                    lines
                }
                _ => self.with_rings(node.item),
            };
            let is_twice = node.goes_on.is_some() || node.column == 0 && strip.from.is_some();
            self.node(canvas, node.item, (x, y), is_twice, &lines);
            if node.column == 0 && !strip.is_joined {
                canvas.text((x, y - 3.0), Face::Slant, At::Start, WIDTH - x - 8.0, "not joined to a panel by any run");
            }
        }
        for (column, (_, item)) in again {
            self.node(canvas, item, (x_of(column), y_of(piece.first)), true, &["drawn before".to_string()]);
        }
    }

    /// Over the run what it is, under it what lies in it.
    fn label(&self, canvas: &mut Canvas, run: ItemRef, (x, y): (f64, f64), description: &mut String, to: ItemRef) {
        let most = PITCH - BOX.0 - GUTTER - 12.0;
        let what = facts::run(self.teller, run);
        let lines = Face::Label.wrap(&what, most, 2);
        let first = y + 18.0 - LINE * (lines.len().saturating_sub(1)) as f64;
        canvas.lines((x, first), Face::Label, At::Start, most, &lines);
        let wires = self.teller.checked.wiring.runs.get(run.index as usize);
        let mut names: Vec<&str> = Vec::new();
        for net in wires.iter().flat_map(|w| &w.wires).filter_map(|wire| wire.net) {
            for circuit in self.teller.checked.wiring.nets.get(net as usize).iter().flat_map(|net| &net.circuits) {
                let name = self.teller.shop().head(*circuit).name.as_str();
                if !names.contains(&name) {
                    names.push(name);
                }
            }
        }
        names.sort_by_key(|name| facts::counted(name));
        let count = wires.map_or(0, |w| w.wires.len());
        let more = if wires.is_some_and(|w| w.is_open) { " or more" } else { "" };
        let inside = match count {
            0 if more.is_empty() => "nothing in it".to_string(),
            0 => "wires not known".to_string(),
            1 => format!("1 wire{more}"),
            _ => format!("{count} wires{more}"),
        };
        canvas.text((x, y + 38.0), Face::Bold, At::Start, most, &listed(&names, usize::MAX));
        canvas.text((x, y + 52.0), Face::Label, At::Start, most, &inside);
        let to = &self.teller.shop().head(to).name;
        let circuits = if names.is_empty() { String::new() } else { format!("{}, ", listed(&names, usize::MAX)) };
        description.push_str(&format!(" {}, to {to}: {what}; {circuits}{inside}.", self.teller.shop().head(run).name));
    }

    fn node(&self, canvas: &mut Canvas, item: ItemRef, (x, y): (f64, f64), is_twice: bool, lines: &[String]) {
        let is_outdoors = self.teller.known(item, name::PLACE).is_some_and(|p| p.starts_with("outdoors"));
        canvas.rect("paper", (x, y), BOX);
        if is_twice {
            canvas.rect("dash", (x - 3.0, y - 3.0), (BOX.0 + 6.0, BOX.1 + 6.0));
        }
        if item.kind == Kind::Panel {
            canvas.rect("solid", (x, y), (BOX.0, 6.0));
        }
        let most = BOX.0 - 12.0;
        let room = if is_outdoors { most - Face::Slant.width("outdoors") - 4.0 } else { most };
        canvas.text((x + 6.0, y + 19.0), Face::Name, At::Start, room, &self.teller.shop().head(item).name);
        if is_outdoors {
            canvas.text((x + BOX.0 - 6.0, y + 19.0), Face::Slant, At::End, most, "outdoors");
        }
        canvas.lines((x + 6.0, y + 33.0), Face::Label, At::Start, most, lines.get(..3).unwrap_or(lines));
    }

    /// The same, and the runs by which it closes a ring.
    fn with_rings(&self, item: ItemRef) -> Vec<String> {
        let mut lines = self.about(item);
        if let Some(rings) = self.graph.loops.get(&item) {
            lines.truncate(3 - rings.len().min(2));
            lines.extend(rings.iter().take(2).cloned());
        }
        lines
    }

    /// What a box is and holds, in at most three lines.
    fn about(&self, item: ItemRef) -> Vec<String> {
        let teller = self.teller;
        let most = BOX.0 - 12.0;
        let known = |word| teller.known(item, word);
        match item.kind {
            Kind::Box => {
                let shape =
                    [known(name::WIDTH), known(name::SHAPE)].into_iter().flatten().collect::<Vec<_>>().join(" ");
                let size = known(name::MARKED_VOLUME).filter(|_| shape.is_empty());
                let deep = known(name::DEPTH).map(|d| format!("{d} deep"));
                let what = [Some(shape).filter(|s| !s.is_empty()), deep, size];
                let what = what.into_iter().flatten().collect::<Vec<_>>().join(", ");
                let devices = teller.members(item, name::DEVICES);
                let names: Vec<&str> = devices.sure.iter().map(|d| teller.shop().head(*d).name.as_str()).collect();
                let holds = match (names.is_empty(), devices.is_open) {
                    (true, false) => "holds nothing".to_string(),
                    (true, true) => format!("holds {}", facts::BLANK),
                    (false, _) => format!("holds {}", listed(&names, usize::MAX)),
                };
                let mut lines = Face::Label.wrap(&what, most, 2);
                lines.extend(Face::Label.wrap(&holds, most, 3 - lines.len()));
                lines
            }
            Kind::Panel => vec![format!("bus {}", facts::or_blank(teller, item, name::BUS_AMPS, "A"))],
            _ => {
                let (_, _, what) = facts::device(teller, item);
                Face::Label.wrap(what.first().map_or("", String::as_str), most, 3)
            }
        }
    }
}

fn x_of(column: usize) -> f64 {
    16.0 + PITCH * column as f64
}

fn key(canvas: &mut Canvas, y: f64) {
    canvas.rect("paper", (16.0, y - 8.0), (26.0, 16.0));
    canvas.text((50.0, y + 4.0), Face::Label, At::Start, 220.0, "box, machine or device");
    canvas.rect("paper", (200.0, y - 8.0), (26.0, 16.0));
    canvas.rect("solid", (200.0, y - 8.0), (26.0, 4.0));
    canvas.text((234.0, y + 4.0), Face::Label, At::Start, 60.0, "panel");
    canvas.rect("paper", (300.0, y - 6.0), (22.0, 12.0));
    canvas.rect("dash", (297.0, y - 9.0), (28.0, 18.0));
    canvas.text((334.0, y + 4.0), Face::Label, At::Start, 220.0, "drawn in two places");
    canvas.line("line", &[(470.0, y), (500.0, y)]);
    canvas.text((508.0, y + 4.0), Face::Label, At::Start, 220.0, "raceway or cable");
    let blank = format!("{}  to fill in: the plan does not say it", facts::BLANK);
    canvas.text((630.0, y + 4.0), Face::Label, At::Start, 320.0, &blank);
}

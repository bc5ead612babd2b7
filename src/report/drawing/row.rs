//! A row of the one-line diagram: a breaker on the bus, its wires, and what hangs on them in slots.

use super::canvas::{Canvas, LEADING, Pen, Side, Step};
use super::facts::Facts;
use super::letters::{Look, width};
use super::loads::{self, Link, Slot};
use super::one_line::{BUS, COLUMN, RIGHT, wall};
use super::symbols::Symbol;
use crate::shop::ItemRef;
use crate::words::{Kind, name};

/// From here what a circuit feeds stands in slots.
const SLOTS: f64 = 358.0;
const SLOT: f64 = 110.0;
/// Room of what stands between the wall and the first slot.
const TITLE: f64 = SLOTS - COLUMN - 26.0;
/// How many slots a row has.
pub(super) const SLOTS_IN_ROW: usize = 3;

/// What stands at the start of a circuit's first row.
pub(super) struct Label {
    symbol: Option<Symbol>,
    title: String,
    under: Vec<String>,
    breaker: Vec<String>,
}

impl Label {
    pub(super) fn of(facts: &Facts<'_>, line: ItemRef) -> Label {
        let mut protection = facts.breaker(line, name::BREAKER);
        if protection != ["none"] {
            protection.push(facts.spaces(line));
        }
        let mut under = vec![facts.wires_of(line), facts.equipment_ground(line)];
        let partners = facts.teller.members(line, name::NEUTRAL_PARTNERS).sure;
        if line.kind == Kind::Circuit && !partners.is_empty() {
            let names: Vec<&str> = partners.iter().map(|p| facts.name(*p)).collect();
            under.push(format!("neutral shared with {}", names.join(", ")));
        }
        // Words in quotes that find no room beside the name stand below it.
        let mut title = facts.titled(line);
        if let Some(label) = facts.shop().head(line).label.as_ref().filter(|_| width(&title, Look::Name) > TITLE) {
            under.insert(0, label.clone());
            title = facts.name(line).to_string();
        }
        Label { symbol: facts.protection(line, name::BREAKER), title, under, breaker: protection }
    }
}

/// One row: breaker, name and wires where it is the first, then loads.
pub(super) fn draw(on: &mut Canvas, y: f64, label: Option<&Label>, row: &loads::Row, in_panel: bool) -> f64 {
    let at = y + 24.0;
    let mut below = at + 14.0;
    if let Some(label) = label {
        if in_panel {
            on.line(Pen::Line, BUS, at, &[Step::H(BUS + 14.0)]);
        }
        on.line(Pen::Line, BUS + 14.0, at, &[Step::H(BUS + if label.symbol.is_none() { 42.0 } else { 20.0 })]);
        on.line(Pen::Line, BUS + 36.0, at, &[Step::H(BUS + 42.0)]);
        if let Some(symbol) = label.symbol {
            on.symbol(symbol, BUS + 28.0, at);
        }
        on.line(Pen::Line, BUS + 42.0, at, &[Step::H(SLOTS - 12.0)]);
        let mut under = at + 15.0;
        for text in &label.breaker {
            under = on.lines(BUS + 12.0, under, Look::Plain, text, COLUMN - BUS - 16.0, 2);
        }
        below = below.max(under - LEADING + 4.0);
        on.text(COLUMN + 10.0, at - 7.0, Look::Name, Side::Right, &label.title, TITLE);
        let mut under = at + 14.0;
        for text in &label.under {
            under = on.lines(COLUMN + 10.0, under, Look::Plain, text, TITLE, 2);
        }
        below = below.max(under - LEADING + 4.0);
        on.tell(&format!("{}: {}; {}.", label.title, label.breaker.join(", "), label.under.join("; ")));
    }
    // A branch hangs on the spine of its circuit; a row that goes on comes down from the row above.
    let from = SLOTS - 12.0;
    match row.begins {
        loads::Begin::First => {}
        loads::Begin::Branch => on.line(Pen::Line, from, y - 2.0, &[Step::V(at)]),
        loads::Begin::GoesOn => on.line(Pen::Line, from + 8.0, y - 2.0, &[Step::V(at)]),
    }
    let start = if row.begins == loads::Begin::GoesOn { from + 8.0 } else { from };
    let mut x = start;
    for (place, slot) in row.slots.iter().enumerate() {
        let left = SLOTS + place as f64 * SLOT;
        let pen = match slot.link {
            Link::Cord => Pen::Cord,
            Link::Unsaid => Pen::Dash,
            _ => Pen::Line,
        };
        if slot.link == Link::Cord {
            on.used.insert(Symbol::Cord);
        }
        on.line(pen, x, at, &[Step::H(left + 16.0)]);
        if slot.link == Link::Load {
            on.symbol(Symbol::Load, left - 5.0, at);
        }
        x = left + 16.0;
    }
    // Symbols hide the line behind them, so the line comes first.
    let mut marks = Canvas::default();
    for (place, slot) in row.slots.iter().enumerate() {
        let left = SLOTS + place as f64 * SLOT;
        below = below.max(self::slot(&mut marks, left, at, slot));
    }
    if row.slots.is_empty() {
        on.text(SLOTS - 4.0, at + 4.0, Look::Slanted, Side::Right, "feeds nothing", 200.0);
    }
    let end = below + 8.0;
    if row.goes_on {
        on.line(Pen::Line, x, at, &[Step::H(RIGHT), Step::V(end - 2.0), Step::H(from + 8.0)]);
    }
    on.add(marks);
    if row.has_spine {
        on.line(Pen::Line, from, at, &[Step::V(end - 2.0)]);
    }
    if in_panel {
        wall(on, y, end);
        on.line(Pen::Bus, BUS, y, &[Step::V(end)]);
    }
    end
}

fn slot(on: &mut Canvas, left: f64, at: f64, slot: &Slot) -> f64 {
    on.symbol(slot.symbol, left + 16.0, at);
    let (x, room) = (left + 32.0, SLOT - 36.0);
    on.text(x, at - 6.0, Look::Strong, Side::Right, &slot.name, room);
    let mut y = at + 14.0;
    for text in &slot.about {
        y = on.lines(x, y, Look::Plain, text, room, 2);
    }
    on.tell(&format!("{}: {} {}.", slot.verb, slot.name, slot.about.join(", ")));
    (y - LEADING + 4.0).max(at + 16.0)
}

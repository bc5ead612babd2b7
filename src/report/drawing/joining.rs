//! The chart of one box: each joint drawn once, as it hangs in the hand, in the order in which joints are made.

use super::Drawing;
use super::canvas::{Canvas, LEADING, Pen, Side, Step};
use super::facts::Facts;
use super::letters::{Look, wrap};
use super::sheets::{Heading, MARGIN, Sheets, WIDTH, key_alone};
use super::symbols::Symbol;
use crate::report::wires::{BoxSheet, JointRow};
use crate::wiring::Role;
use crate::{Checked, Rules};
use std::collections::BTreeSet;
use std::ops::Range;

/// Cards stand two to a row.
const CARD: f64 = 332.0;
const GAP: f64 = 16.0;
const END: f64 = 17.0;
/// Each may take two lines.
const MOST_ENDS: usize = 16;

/// The chart of a box, panel or machine of [`crate::report::wires::sheets`]. One sheet, or as many as it takes;
/// none where nothing is joined there.
pub fn joining(rules: &Rules, checked: &Checked, sheet: &BoxSheet) -> Vec<Drawing> {
    if sheet.joints.is_empty() {
        return Vec::new();
    }
    let facts = Facts::new(rules, checked);
    let mut sheets = Sheets::new();
    sheets.place(|on, y| head(&facts, on, y, sheet));
    // A joint of more ends than a sheet is high parts into several cards.
    let cards: Vec<(usize, &JointRow, &[String])> = (1..)
        .zip(&sheet.joints)
        .flat_map(|(number, joint)| joint.ends.chunks(MOST_ENDS).map(move |ends| (number, joint, ends)))
        .collect();
    for pair in cards.chunks(2) {
        sheets.place(|on, y| {
            let mut below = y;
            for (x, (number, joint, ends)) in [MARGIN, MARGIN + CARD + GAP].into_iter().zip(pair) {
                below = below.max(card(on, x, y, *number, joint, ends, sheet.is_panel));
            }
            below + 12.0
        });
    }
    let title = format!("Joints in {}", sheet.called);
    let remark = "Make them in this order and tick each. Go by the color of a screw or its mark, never by its place. \
                  Colors other than white, gray, green and bare are proposals.";
    let place = id_of(checked, sheet);
    let subject = checked.shop.named(&sheet.name).and_then(|i| checked.shop.head(i).label.clone()).unwrap_or_default();
    sheets.finish(&Heading { id: &format!("joints-{place}"), title: &title, subject: &subject, remark })
}

/// Charts to stand beside lists of joints: joints alone, by number, in one column.
#[derive(Clone, Debug, Default)]
pub struct Charts {
    /// What the marks of all of them mean; none where nothing is joined anywhere.
    pub key: Option<Drawing>,
    /// The parts of each place's chart.
    pub places: Vec<Vec<Part>>,
}

/// A piece of a chart, no higher than what keeps together in print.
#[derive(Clone, Debug)]
pub struct Part {
    /// Joints that begin in it, as places in [`BoxSheet::joints`].
    pub joints: Range<usize>,
    /// The picture.
    pub drawing: Drawing,
}

/// Width of a chart beside its list, in units of 1/96 inch.
const BESIDE: f64 = 340.0;
/// A part is no higher than this.
const HIGHEST: f64 = 560.0;
/// A chart is narrow: its texts leave room for the widest face that a reader may have.
const SPARE: f64 = 0.88;
/// From one joint to the next.
const APART: f64 = 3.0;

/// The charts of these places, in their order.
pub fn charts(checked: &Checked, sheets: &[BoxSheet]) -> Charts {
    let mut used = BTreeSet::new();
    let places = sheets.iter().map(|sheet| chart(checked, sheet, &mut used)).collect();
    Charts { key: key_alone("joints-key", "Marks of the joining charts", &used), places }
}

fn chart(checked: &Checked, sheet: &BoxSheet, used: &mut BTreeSet<Symbol>) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut on = Canvas::default();
    let mut first = 0;
    let mut y = APART;
    let mut finish = |on: Canvas, joints: Range<usize>| {
        used.extend(on.used.iter().copied());
        let number = parts.len().saturating_add(1);
        let drawing = Drawing {
            id: format!("beside-{}-{number}", id_of(checked, sheet)),
            title: format!("Joints in {}, beside the list", sheet.called),
            description: on.told.join(" "),
            width: BESIDE,
            height: on.bottom + APART,
            body: on.into_body(),
        };
        parts.push(Part { joints, drawing });
    };
    for (index, joint) in sheet.joints.iter().enumerate() {
        for (piece, ends) in joint.ends.chunks(MOST_ENDS).enumerate() {
            let mut trial = Canvas::default();
            let mut below = numbered(&mut trial, y, index, joint, ends, sheet.is_panel);
            if below > HIGHEST && y > APART {
                let next = if piece == 0 { index } else { index.saturating_add(1) };
                finish(std::mem::take(&mut on), first..next);
                (first, y) = (next, APART);
                trial = Canvas::default();
                below = numbered(&mut trial, y, index, joint, ends, sheet.is_panel);
            }
            on.add(trial);
            y = below + APART;
        }
    }
    if !sheet.joints.is_empty() {
        finish(on, first..sheet.joints.len());
    }
    parts
}

/// A joint with its number in the list beside it.
fn numbered(on: &mut Canvas, y: f64, index: usize, joint: &JointRow, part: &[String], is_panel: bool) -> f64 {
    let number = index.saturating_add(1).to_string();
    let below = match (joint.kind, part) {
        ("landed" | "unbroken", [from, to]) if joint.ends.len() == 2 => {
            across(on, y, joint.kind == "landed", joint.role, from, to)
        }
        _ => ends(on, 26.0, y + 12.0, (BESIDE - 26.0) * SPARE, how(joint, is_panel).0, joint.role, part),
    };
    on.text(0.0, y + 16.0, Look::Strong, Side::Right, &number, 24.0);
    on.tell(&format!("{number}. {}.", joint.text));
    below
}

/// One wire from where it comes to its terminal, or uncut to where it goes on; gives the place below.
fn across(on: &mut Canvas, y: f64, is_landed: bool, role: Role, from: &str, to: &str) -> f64 {
    const FROM: f64 = 26.0;
    const WIRE: f64 = 136.0;
    const TO: f64 = 198.0;
    let level = y + 12.0;
    let mut below = level;
    for (x, text, room) in [(FROM, from, WIRE - FROM - 4.0), (TO, to, (BESIDE - TO) * SPARE)] {
        let lines = wrap(text, Look::Plain, room, 2);
        for (place, line) in lines.iter().enumerate() {
            on.text(x, level + 4.0 + place as f64 * LEADING, Look::Plain, Side::Right, line, room);
        }
        below = below.max(level + lines.len() as f64 * LEADING);
    }
    wire(on, role, WIRE, level, if is_landed { TO - 18.0 } else { TO - 4.0 });
    if is_landed {
        on.symbol(Symbol::Screw, TO - 11.0, level);
    }
    below
}

fn id_of(checked: &Checked, sheet: &BoxSheet) -> String {
    checked.shop.named(&sheet.name).map_or_else(String::new, |i| format!("{}-{}", i.kind, i.index))
}

fn head(facts: &Facts<'_>, on: &mut Canvas, y: f64, sheet: &BoxSheet) -> f64 {
    let _ = facts;
    let room = WIDTH - 2.0 * MARGIN;
    let circuits = match sheet.circuits.as_slice() {
        [] => "every breaker that feeds it".to_string(),
        all => format!("the breaker of {}", all.join(", of ")),
    };
    let lock = match sheet.is_panel {
        true => {
            "The wires that feed this panel stay live until the breaker where they start is off and locked.".to_string()
        }
        false => format!("Before the cover comes off: {circuits} off and locked."),
    };
    let caution = format!("{lock} Test the tester on something live, test here, test the tester again.");
    let mut at = on.lines(MARGIN, y + 12.0, Look::Slanted, &caution, room, 4);
    on.tell(&caution);
    let wires = |count: usize| if count == 1 { "1 wire".to_string() } else { format!("{count} wires") };
    let entering: Vec<String> =
        sheet.entering.iter().map(|(run, count)| format!("{run} ({})", wires(*count))).collect();
    if !entering.is_empty() {
        let text = format!("What comes in: {}", entering.join("; "));
        at = on.lines(MARGIN, at + 4.0, Look::Plain, &text, room, 5);
        on.tell(&format!("{text}."));
    }
    if !sheet.bonded_by_raceway.is_empty() && !sheet.is_panel {
        let all = sheet.bonded_by_raceway.join(", ");
        let text =
            format!("The raceway is the equipment grounding conductor of {all}: a tail from the box to each device.");
        at = on.lines(MARGIN, at + 4.0, Look::Plain, &text, room, 3);
        on.tell(&text);
    }
    at + 4.0
}

/// How the wires of a joint are held together: as a symbol and in words.
fn how(joint: &JointRow, is_panel: bool) -> (Symbol, &'static str) {
    let is_bonding = joint.role == Role::EquipmentGround;
    match joint.kind {
        // A bar takes each by a screw of its own; a box needs tails.
        "spliced" | "landed" if is_bonding && is_panel => {
            (Symbol::Screw, "each to its own screw of the equipment ground bar")
        }
        "spliced" | "landed" if is_bonding && joint.ends.len() == 1 => {
            (Symbol::Screw, "to the green (grounding) screw")
        }
        "spliced" if is_bonding => (Symbol::Cap, "joined, with a tail to each device and to a box of metal"),
        "spliced" => (Symbol::Cap, "joined"),
        "landed" => (Symbol::Screw, "to its terminal"),
        "unbroken" => (Symbol::Through, "one wire, not cut"),
        "capped" => (Symbol::Cap, "under a cap, for later"),
        _ => (Symbol::Open, "cut or not: the plan does not say"),
    }
}

fn card(on: &mut Canvas, x: f64, y: f64, number: usize, joint: &JointRow, part: &[String], is_panel: bool) -> f64 {
    let (symbol, how) = how(joint, is_panel);
    let what = match joint.circuits.as_slice() {
        [] => plural(joint.role),
        all => format!("{} of {}", joint.role.noun(), all.join(", ")),
    };
    let count = joint.ends.len();
    let share = if part.len() < count { format!(" ({} of its {count} wires)", part.len()) } else { String::new() };
    let title = format!("{number}. {what}: {how}{share}");
    on.rect("open", x + CARD - 14.0, y + 3.0, 11.0, 11.0);
    let mut at = y;
    for line in wrap(&title, Look::Strong, CARD - 26.0, 2) {
        at += LEADING;
        on.text(x, at, Look::Strong, Side::Right, &line, CARD - 26.0);
    }
    let below = ends(on, x, at + 16.0, CARD, symbol, joint.role, part);
    on.tell(&format!("{number}. {}.", joint.text));
    below
}

/// The wires of a joint, one below the other from `top`, and what holds them; gives the place below.
fn ends(on: &mut Canvas, x: f64, top: f64, wide: f64, symbol: Symbol, role: Role, part: &[String]) -> f64 {
    let mut ends: Vec<f64> = Vec::new();
    let mut at = top;
    for end in part {
        ends.push(at);
        let lines = wrap(end, Look::Plain, wide - 112.0, 2);
        for (place, line) in lines.iter().enumerate() {
            on.text(x + 106.0, at + 4.0 + place as f64 * LEADING, Look::Plain, Side::Right, line, wide - 112.0);
        }
        at += END + lines.len().saturating_sub(1) as f64 * LEADING;
    }
    let (Some(first), Some(last)) = (ends.first(), ends.last()) else { return at };
    on.symbol(symbol, x + 14.0, (first + last) / 2.0);
    on.line(Pen::Hair, x + 24.0, (first + last) / 2.0, &[Step::H(x + 32.0)]);
    on.line(Pen::Heavy, x + 32.0, first - 1.0, &[Step::V(last + 1.0)]);
    for y in &ends {
        wire(on, role, x + 32.0, *y, x + 98.0);
    }
    (at - END + 12.0).max((first + last) / 2.0 + 14.0)
}

/// A piece of wire in the form that tells what it is for.
fn wire(on: &mut Canvas, role: Role, from: f64, y: f64, to: f64) {
    let class = match role {
        Role::Hot => "hot",
        Role::SwitchedHot => "switched",
        Role::Traveler => "traveler",
        Role::Neutral => "neutral",
        Role::EquipmentGround => "bonding",
        Role::Signal | Role::Spare => "signal",
    };
    on.stroke(class, from, y, to);
    if role == Role::Neutral {
        on.stroke("inside", from, y, to);
    }
    on.used.insert(Symbol::of_role(role));
}

fn plural(role: Role) -> String {
    format!("{}s", role.noun())
}

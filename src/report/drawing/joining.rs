//! The chart of one box: each joint drawn once, as it hangs in the hand, in the order in which joints are made.

use super::Drawing;
use super::canvas::{Canvas, LEADING, Pen, Side, Step};
use super::facts::Facts;
use super::letters::{Look, wrap};
use super::sheets::{Heading, MARGIN, Sheets, WIDTH};
use super::symbols::Symbol;
use crate::report::wires::{BoxSheet, JointRow};
use crate::wiring::Role;
use crate::{Checked, Rules};

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
    let place = checked.shop.named(&sheet.name).map_or_else(String::new, |i| format!("{}-{}", i.kind, i.index));
    let subject = checked.shop.named(&sheet.name).and_then(|i| checked.shop.head(i).label.clone()).unwrap_or_default();
    sheets.finish(&Heading { id: &format!("joints-{place}"), title: &title, subject: &subject, remark })
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

fn card(on: &mut Canvas, x: f64, y: f64, number: usize, joint: &JointRow, part: &[String], is_panel: bool) -> f64 {
    let is_bonding = joint.role == Role::EquipmentGround;
    let (symbol, how) = match joint.kind {
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
    };
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
    let top = at + 16.0;
    let mut ends: Vec<f64> = Vec::new();
    let mut at = top;
    for end in part {
        ends.push(at);
        let lines = wrap(end, Look::Plain, CARD - 112.0, 2);
        for (place, line) in lines.iter().enumerate() {
            on.text(x + 106.0, at + 4.0 + place as f64 * LEADING, Look::Plain, Side::Right, line, CARD - 112.0);
        }
        at += END + lines.len().saturating_sub(1) as f64 * LEADING;
    }
    let (Some(first), Some(last)) = (ends.first(), ends.last()) else { return at };
    on.symbol(symbol, x + 14.0, (first + last) / 2.0);
    on.line(Pen::Hair, x + 24.0, (first + last) / 2.0, &[Step::H(x + 32.0)]);
    on.line(Pen::Heavy, x + 32.0, first - 1.0, &[Step::V(last + 1.0)]);
    for y in &ends {
        wire(on, joint.role, x + 32.0, *y, x + 98.0);
    }
    on.tell(&format!("{number}. {}.", joint.text));
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

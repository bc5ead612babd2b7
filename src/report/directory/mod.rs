//! The list for the door of a panel: each space, what stands in it, and what that turns off.
//!
//! A blank stays a blank: what the plan leaves open is asked, and nobody is told of a breaker, a
//! rating or a free space that it doesn't give.

pub mod json;

use super::teller::Teller;
use super::{About, Missing};
use crate::shop::{ItemRef, Value};
use crate::text::{Severity, Span};
use crate::wiring::MOST_SPACES;
use crate::words::{Kind, name};
use crate::{Checked, Rules};
use std::collections::BTreeSet;

/// The directory of one panel.
#[derive(Clone, Debug)]
pub struct Directory {
    /// Which panel.
    pub about: About,
    /// The words in quotes behind its name.
    pub label: Option<String>,
    /// Where it stands in the plan.
    pub place: Span,
    /// What stands in it, by its lowest space; those of unknown space last.
    pub rows: Vec<Row>,
    /// What the plan leaves open about the panel itself.
    pub asks: Vec<Missing>,
}

/// One breaker, or one free space.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// The spaces that it takes; empty where nobody said.
    pub spaces: Vec<i64>,
    /// Its poles; none where nobody said.
    pub poles: Option<i64>,
    /// `20 A`, `15 A to 20 A`; none where nobody said, and for a free space.
    pub amps: Option<String>,
    /// What it turns off, in plain words; none where nobody said.
    pub description: Option<String>,
    /// Tags and remarks: `C1`, `trips together with C2`.
    pub note: String,
    /// The circuit or feeder that it protects, where it is the breaker of one.
    pub line: Option<About>,
    /// What stands there.
    pub is: Stands,
    /// What the plan leaves open about it.
    pub asks: Vec<Missing>,
}

/// What stands in a space.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Stands {
    /// The main, in spaces of its own or not known where.
    Main,
    /// The main, built in apart from the spaces.
    BuiltIn,
    /// The breaker of a circuit or feeder.
    #[default]
    Breaker,
    /// Nothing.
    Spare,
}

impl Directory {
    /// What stays live behind the main; none for a panel without one.
    pub fn caution(&self) -> Option<String> {
        let has_main = self.rows.iter().any(|row| matches!(row.is, Stands::Main | Stands::BuiltIn));
        has_main.then(|| {
            format!(
                "With the main of {} off, the wires that feed it are still live up to the main. Only the breaker or switch \
                 where they start turns them off. Test before you touch.",
                self.about.name
            )
        })
    }
}

/// The directories of every panel, in the order of the plan.
pub fn directories(rules: &Rules, checked: &Checked) -> Vec<Directory> {
    let teller = Teller::new(rules, checked);
    checked.shop.items(Kind::Panel).map(|panel| of_panel(&teller, panel)).collect()
}

fn of_panel(teller: &Teller<'_>, panel: ItemRef) -> Directory {
    let shop = teller.shop();
    let mut asks = Vec::new();
    let mut rows = Vec::new();
    match shop.value(panel, name::MAIN) {
        Value::Item(main) => rows.push(main_row(teller, panel, main)),
        Value::Absent => {}
        _ => asks.push(teller.ask(panel, name::MAIN)),
    }
    let circuits = teller.members(panel, name::CIRCUITS);
    let feeders = shop.items(Kind::Feeder).filter(|f| shop.value(*f, name::PANEL) == Value::Item(panel));
    rows.extend(circuits.sure.iter().copied().chain(feeders).map(|line| line_row(teller, line)));
    if circuits.is_open || !circuits.possible.is_empty() {
        asks.push(teller.ask(panel, name::CIRCUITS));
    }
    rows.extend(spares(teller, panel, &rows, &mut asks));
    // What is built in stands first: it is what a person in a hurry looks for.
    rows.sort_by_key(|row| (row.is != Stands::BuiltIn, row.spaces.is_empty(), row.spaces.first().copied()));
    let head = shop.head(panel);
    let (about, label) = (teller.about(panel), head.label.clone());
    Directory { about, label, place: teller.place(head.place, panel), rows, asks }
}

fn main_row(teller: &Teller<'_>, panel: ItemRef, main: ItemRef) -> Row {
    let shop = teller.shop();
    let mut row = breaker_row(teller, main);
    match shop.value(main, name::IS_BACK_FED) {
        Value::YesNo(true) => {
            row.note = "back-fed".into();
            ask_space(teller, main, &mut row);
        }
        // Built in, it stands apart from the spaces.
        Value::YesNo(false) => row.is = Stands::BuiltIn,
        _ if row.spaces.is_empty() => row.asks.push(teller.ask(main, name::IS_BACK_FED)),
        _ => {}
    }
    if row.is == Stands::Breaker {
        row.is = Stands::Main;
    }
    let fed = match shop.value(panel, name::FEEDER) {
        Value::Item(feeder) => fed_by(teller, feeder),
        _ => String::new(),
    };
    row.description = Some(format!("Main: turns off all of {}{fed}", shop.head(panel).name));
    row
}

/// `, fed from the house by F1, breaker 60 A there`: whoever opens a panel must know what stays live.
fn fed_by(teller: &Teller<'_>, feeder: ItemRef) -> String {
    let shop = teller.shop();
    let from = match (shop.value(feeder, name::PANEL), shop.value(feeder, name::SUPPLY)) {
        (Value::Item(panel), _) => format!(" from panel {}", shop.head(panel).name),
        (_, Value::Item(supply)) if matches!(shop.head(supply).name.as_str(), "house" | "utility") => {
            format!(" from the {}", shop.head(supply).name)
        }
        (_, Value::Item(supply)) => format!(" from {}", shop.called(supply)),
        _ => String::new(),
    };
    let amps = match shop.value(feeder, name::BREAKER) {
        Value::Item(breaker) => teller.known(breaker, name::AMPS).map(|a| format!(", breaker {a} there")),
        _ => None,
    };
    format!("; fed{from} by {}{}", shop.head(feeder).name, amps.unwrap_or_default())
}

fn line_row(teller: &Teller<'_>, line: ItemRef) -> Row {
    let shop = teller.shop();
    let mut row = Row::default();
    match shop.value(line, name::BREAKER) {
        Value::Item(breaker) => {
            row = breaker_row(teller, breaker);
            // Two circuits on one breaker stand in a space each.
            if !partners(teller, line).is_empty()
                && let Some(space) = teller.whole(line, name::SPACE)
            {
                row.spaces = vec![space];
            }
            ask_space(teller, breaker, &mut row);
        }
        _ => row.asks.push(teller.ask(line, name::BREAKER)),
    }
    row.note.clone_from(&shop.head(line).name);
    row.line = Some(teller.about(line));
    let partners = partners(teller, line);
    if !partners.is_empty() {
        row.note.push_str(&format!("; trips together with {}", partners.join(", ")));
    }
    row.description = describe(teller, line);
    let is_circuit = line.kind == Kind::Circuit;
    let is_open = is_circuit && shop.feeds.get(line.index as usize).is_some_and(|f| f.is_open);
    if row.description.is_none() || is_open {
        row.asks.push(teller.ask(line, if is_circuit { name::OUTLETS } else { name::FAR_END }));
    }
    row
}

/// Other lines on the same breaker.
fn partners<'a>(teller: &Teller<'a>, line: ItemRef) -> Vec<&'a str> {
    let shop = teller.shop();
    let Value::Item(breaker) = shop.value(line, name::BREAKER) else { return Vec::new() };
    let all = teller.members(breaker, name::CIRCUITS).sure;
    all.into_iter().filter(|other| *other != line).map(|other| shop.head(other).name.as_str()).collect()
}

fn breaker_row(teller: &Teller<'_>, breaker: ItemRef) -> Row {
    let mut row = Row { amps: teller.known(breaker, name::AMPS), ..Row::default() };
    row.poles = teller.whole(breaker, name::POLES);
    row.spaces = spaces_of(teller, breaker);
    if row.amps.is_none() {
        row.asks.push(teller.ask(breaker, name::AMPS));
    }
    if row.poles.is_none() {
        row.asks.push(teller.ask(breaker, name::POLES));
    }
    row
}

fn ask_space(teller: &Teller<'_>, breaker: ItemRef, row: &mut Row) {
    if row.spaces.is_empty() {
        row.asks.push(teller.ask(breaker, name::SPACE));
    }
}

fn spaces_of(teller: &Teller<'_>, breaker: ItemRef) -> Vec<i64> {
    [name::SPACE, name::SECOND_SPACE].into_iter().filter_map(|word| teller.whole(breaker, word)).collect()
}

/// The spaces that nothing stands in. Only where all that stands in the panel, and where, is known:
/// a space that may be taken is no spare.
fn spares(teller: &Teller<'_>, panel: ItemRef, rows: &[Row], asks: &mut Vec<Missing>) -> Vec<Row> {
    let shop = teller.shop();
    let Some(count) = teller.whole(panel, name::SPACES) else {
        asks.push(teller.ask(panel, name::SPACES));
        return Vec::new();
    };
    let breakers = teller.members(panel, name::BREAKERS);
    let are_placed = rows.iter().all(|row| row.is == Stands::BuiltIn || !row.spaces.is_empty());
    let is_main_known = !matches!(shop.value(panel, name::MAIN), Value::Unknown);
    let is_closed = !breakers.is_open && breakers.possible.is_empty() && are_placed && is_main_known;
    // A line that could not be read may be about any space.
    let has_unread = shop.problems.iter().any(|p| p.severity == Severity::Error);
    if has_unread || !is_closed || !(1..=MOST_SPACES).contains(&count) {
        return Vec::new();
    }
    let mut taken: BTreeSet<i64> = rows.iter().flat_map(|row| row.spaces.iter().copied()).collect();
    for breaker in breakers.sure {
        let mut own: BTreeSet<i64> = spaces_of(teller, breaker).into_iter().collect();
        let lines = teller.members(breaker, name::CIRCUITS).sure;
        own.extend(lines.iter().filter_map(|line| teller.whole(*line, name::SPACE)));
        // A breaker with more poles than spaces that are named takes some that are not named.
        let is_all_named = teller.whole(breaker, name::POLES).is_some_and(|poles| own.len() as i64 >= poles);
        if !is_all_named && shop.value(breaker, name::IS_TANDEM) != Value::YesNo(true) {
            return Vec::new();
        }
        taken.extend(own);
    }
    let free = (1..=count).filter(|space| !taken.contains(space));
    let spare = |space| Row {
        spaces: vec![space],
        poles: Some(1),
        description: Some("Spare".into()),
        is: Stands::Spare,
        ..Row::default()
    };
    free.map(spare).collect()
}

/// `North bench: receptacles R1, R2 and R3`. The owner's own words first, then what the plan feeds.
fn describe(teller: &Teller<'_>, line: ItemRef) -> Option<String> {
    let shop = teller.shop();
    let label = shop.head(line).label.as_deref().map(capital);
    let fed = match line.kind {
        Kind::Circuit => outlets(teller, line),
        _ => match shop.value(line, name::FAR_END) {
            Value::Item(end) => vec![shop.called(end)],
            _ => Vec::new(),
        },
    };
    match (label, fed.is_empty()) {
        (Some(label), true) => Some(label),
        (Some(label), false) => Some(format!("{label}: {}", fed.join("; "))),
        (None, false) => Some(capital(&fed.join("; "))),
        (None, true) => {
            let feeds = shop.feeds.get(line.index as usize).filter(|_| line.kind == Kind::Circuit)?;
            feeds.is_nothing.then(|| "Feeds nothing".into())
        }
    }
}

/// What a circuit feeds, kind by kind, what stands outdoors apart: somebody looks for it there.
fn outlets(teller: &Teller<'_>, circuit: ItemRef) -> Vec<String> {
    let shop = teller.shop();
    let mut texts = Vec::new();
    for (word, one, several) in [(name::RECEPTACLES, "receptacle", "receptacles"), (name::LIGHTS, "light", "lights")] {
        let all = teller.members(circuit, word).sure;
        let (outside, inside): (Vec<ItemRef>, Vec<ItemRef>) = all.into_iter().partition(|o| is_outdoors(teller, *o));
        for (group, where_) in [(inside, ""), (outside, " outdoors")] {
            let names: Vec<&str> = group.iter().map(|o| shop.head(*o).name.as_str()).collect();
            if !names.is_empty() {
                let noun = if names.len() == 1 { one } else { several };
                let pattern = match group.as_slice() {
                    [only] => teller.known(*only, name::CONFIGURATION).map(|c| format!(", {c},")),
                    _ => None,
                };
                let pattern = pattern.unwrap_or_default();
                let text = format!("{noun} {}{pattern}{where_}", super::text::listed(&names, usize::MAX));
                texts.push(text.trim_end_matches(',').to_string());
            }
        }
    }
    let own = shop.head(circuit).label.as_deref();
    for machine in teller.members(circuit, name::EQUIPMENT).sure {
        let head = shop.head(machine);
        let called = match head.label.as_deref() {
            // What the circuit's own words say already needs no second time.
            Some(label) if Some(label) == own => head.name.clone(),
            Some(label) => format!("{label} ({})", head.name),
            None => head.name.clone(),
        };
        let by = teller.members(machine, name::DISCONNECTS).sure;
        let by: Vec<&str> = by.iter().map(|d| shop.head(*d).name.as_str()).collect();
        let by = if by.is_empty() { String::new() } else { format!(", disconnect {}", by.join(", ")) };
        texts.push(format!("{called}{by}"));
    }
    texts
}

fn is_outdoors(teller: &Teller<'_>, item: ItemRef) -> bool {
    teller.known(item, name::PLACE).is_some_and(|place| place.starts_with("outdoors"))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

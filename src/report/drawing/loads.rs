//! What a circuit feeds, in the order of the plan, as rows of slots.

use super::facts::{BLANK, Facts};
use super::symbols::Symbol;
use crate::shop::{ItemRef, Load};
use crate::words::{Kind, name};

/// How a slot hangs on what stands before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Link {
    Wire,
    /// On the load terminals of what stands before it.
    Load,
    Cord,
    /// Whether anything more hangs there is not said.
    Unsaid,
}

/// One thing on a line.
pub(super) struct Slot {
    pub link: Link,
    item: Option<ItemRef>,
    pub symbol: Symbol,
    pub name: String,
    pub about: Vec<String>,
    /// For those who don't see it: `feeds`, `through`.
    pub verb: &'static str,
}

/// How a row begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Begin {
    /// On the line of its circuit.
    First,
    /// On the circuit's spine.
    Branch,
    /// Where the row above ended.
    GoesOn,
}

/// Slots side by side.
pub(super) struct Row {
    pub begins: Begin,
    pub slots: Vec<Slot>,
    /// Whether the next row is its end.
    pub goes_on: bool,
    /// Whether a further branch hangs below.
    pub has_spine: bool,
}

/// The rows of a circuit or feeder, with so many slots in each; one at least.
pub(super) fn rows(facts: &Facts<'_>, line: ItemRef, most: usize) -> Vec<Row> {
    let branches = branches(facts, line);
    let count = branches.len();
    let mut rows: Vec<Row> = Vec::new();
    for (place, slots) in branches.into_iter().enumerate() {
        let mut begins = if place == 0 { Begin::First } else { Begin::Branch };
        let has_spine = place.saturating_add(1) < count;
        let mut open = slots.into_iter().peekable();
        loop {
            let slots: Vec<Slot> = open.by_ref().take(most.max(1)).collect();
            let goes_on = open.peek().is_some();
            rows.push(Row { begins, slots, goes_on, has_spine });
            if !goes_on {
                break;
            }
            begins = Begin::GoesOn;
        }
    }
    if rows.is_empty() {
        rows.push(Row { begins: Begin::First, slots: Vec::new(), goes_on: false, has_spine: false });
    }
    rows
}

fn branches(facts: &Facts<'_>, line: ItemRef) -> Vec<Vec<Slot>> {
    if line.kind == Kind::Feeder {
        let far = facts.item(line, name::FAR_PANEL).or_else(|| facts.item(line, name::FAR_END));
        return vec![vec![match far {
            Some(end) => {
                let mut slot = of(facts, end, Link::Wire, false, "feeds");
                slot.about.push("drawn apart".into());
                slot
            }
            None => unknown(Link::Unsaid),
        }]];
    }
    let Some(feeds) = facts.shop().feeds.get(line.index as usize) else { return vec![vec![unknown(Link::Unsaid)]] };
    let mut all: Vec<Vec<Slot>> = Vec::new();
    for branch in &feeds.branches {
        let mut slots: Vec<Slot> = Vec::new();
        let mut last: Option<ItemRef> = None;
        for (place, stage) in branch.stages.iter().enumerate() {
            let mut link = if place == 0 { Link::Wire } else { Link::Load };
            for control in &stage.through {
                slots.push(of(facts, *control, link, false, "through"));
                link = Link::Wire;
            }
            for load in &stage.loads {
                slots.push(self::load(facts, load, link));
                link = Link::Wire;
                last = load.item;
            }
        }
        plugged(facts, &mut slots, last);
        all.push(slots);
    }
    if feeds.is_open {
        let has_blank = all.iter().flatten().any(|slot| slot.symbol == Symbol::Unknown && slot.name.is_empty());
        match all.last_mut() {
            _ if has_blank => {}
            Some(slots) => slots.push(unknown(Link::Unsaid)),
            None => all.push(vec![unknown(Link::Unsaid)]),
        }
    }
    all
}

fn load(facts: &Facts<'_>, load: &Load, link: Link) -> Slot {
    match load.item {
        Some(item) => of(facts, item, link, load.is_half, "feeds"),
        None => unknown(link),
    }
}

/// Machines that plug in: behind the last receptacle with their cord, otherwise as words beside it.
fn plugged(facts: &Facts<'_>, slots: &mut Vec<Slot>, last: Option<ItemRef>) {
    let shop = facts.shop();
    for slot in slots.iter_mut() {
        let receptacle = slot.item.filter(|item| item.kind == Kind::Receptacle && Some(*item) != last);
        let machines = receptacle.map(|r| facts.teller.members(r, name::EQUIPMENT).sure).unwrap_or_default();
        let names: Vec<&str> = machines.iter().map(|m| shop.head(*m).name.as_str()).collect();
        if !names.is_empty() {
            slot.about.push(format!("cord: {}", names.join(", ")));
        }
    }
    let Some(receptacle) = last.filter(|item| item.kind == Kind::Receptacle) else { return };
    let machines = facts.teller.members(receptacle, name::EQUIPMENT).sure;
    // All on one place to plug in: the first is drawn with its cord, each further one behind it would be in series.
    let mut machines = machines.into_iter();
    slots.extend(machines.next().map(|m| of(facts, m, Link::Cord, false, "plugged in")));
    let more: Vec<&str> = machines.map(|m| shop.head(m).name.as_str()).collect();
    if let Some(slot) = slots.last_mut().filter(|_| !more.is_empty()) {
        slot.about.push(format!("and {}", more.join(", ")));
    }
}

fn unknown(link: Link) -> Slot {
    let about = vec!["the plan does not say".to_string()];
    Slot { link, item: None, symbol: Symbol::Unknown, name: String::new(), about, verb: "feeds" }
}

fn of(facts: &Facts<'_>, item: ItemRef, link: Link, is_half: bool, verb: &'static str) -> Slot {
    let mut about = Vec::new();
    let known = |word| facts.known(item, word);
    let is = |word| facts.yes(item, word);
    match item.kind {
        Kind::Receptacle => {
            let mut text = known(name::CONFIGURATION).unwrap_or_else(|| BLANK.into());
            if is(name::HAS_GFCI) == Some(true) {
                text.push_str(" GFCI");
            }
            if is(name::IS_WEATHER_RESISTANT) == Some(true) {
                text.push_str(" WR");
            }
            about.push(text);
        }
        Kind::Light => about.extend(known(name::WATTS)),
        Kind::Switch => {
            about.push(known(name::TYPE).unwrap_or_else(|| format!("kind {BLANK}")));
        }
        Kind::Disconnect => {
            about.push(known(name::AMPS).unwrap_or_else(|| format!("{BLANK} A")));
        }
        Kind::Equipment => {
            about.extend(facts.shop().head(item).label.clone());
            about.extend(known(name::HORSEPOWER));
            let volts = known(name::VOLTS).unwrap_or_else(|| format!("{BLANK} V"));
            let amps = known(name::NAMEPLATE_CURRENT).or_else(|| known(name::MINIMUM_CIRCUIT));
            about.push(format!(
                "{volts}, {}",
                amps.or_else(|| known(name::WATTS)).unwrap_or_else(|| format!("{BLANK} A"))
            ));
        }
        Kind::Device => about.extend(known(name::TYPE)),
        _ => {}
    }
    if facts.is_outdoors(item) {
        about.push("outdoors".into());
    }
    let half = if is_half { " (half)" } else { "" };
    Slot {
        link,
        item: Some(item),
        symbol: symbol(facts, item),
        name: format!("{}{half}", facts.name(item)),
        about,
        verb,
    }
}

/// The symbol of an item. What decides it and is not known gives a symbol that says so.
pub(super) fn symbol(facts: &Facts<'_>, item: ItemRef) -> Symbol {
    match item.kind {
        Kind::Receptacle => {
            let pattern = facts.teller.known(item, name::CONFIGURATION);
            let is_usual = pattern.as_deref().map(|p| matches!(p, "5-15R" | "5-20R"));
            match (is_usual, facts.yes(item, name::IS_DUPLEX)) {
                (Some(false), _) => Symbol::Special,
                (Some(true), Some(true)) => Symbol::Duplex,
                (Some(true), Some(false)) => Symbol::Single,
                _ => Symbol::ReceptacleUnsaid,
            }
        }
        Kind::Switch => match facts.teller.known(item, name::TYPE).as_deref() {
            Some("3-way") => Symbol::ThreeWay,
            Some("4-way") => Symbol::FourWay,
            Some("double-pole") => Symbol::DoublePole,
            _ => Symbol::Switch,
        },
        Kind::Light => Symbol::Light,
        Kind::Disconnect => Symbol::Disconnect,
        Kind::Panel => Symbol::Panel,
        Kind::Box => Symbol::Junction,
        Kind::Equipment if facts.teller.known(item, name::HORSEPOWER).is_some_and(|hp| hp != "none") => Symbol::Motor,
        Kind::Equipment | Kind::Device => Symbol::Machine,
        _ => Symbol::Unknown,
    }
}

//! Grounding electrodes, beside the panel that their conductor goes to.

use super::canvas::{Canvas, LEADING, Pen, Step};
use super::facts::{BLANK, Facts};
use super::letters::Look;
use super::one_line::{BARS, GROUND_BAR, NEUTRAL_BAR, WALL};
use super::sheets::{MARGIN, WIDTH};
use super::symbols::Symbol;
use crate::shop::{ItemRef, Value};
use crate::words::{Kind, name};

/// Conductors to electrodes that go to this panel or supply.
pub(super) fn landing(facts: &Facts<'_>, place: ItemRef) -> Vec<ItemRef> {
    facts.shop().items(Kind::ElectrodeConductor).filter(|c| facts.item(*c, name::LANDS_IN) == Some(place)).collect()
}

/// Electrodes with no conductor, or with one of which nobody says where it goes.
pub(super) fn lost(facts: &Facts<'_>) -> Vec<ItemRef> {
    let shop = facts.shop();
    let is_drawn =
        |c: &ItemRef| facts.item(*c, name::LANDS_IN).is_some_and(|p| matches!(p.kind, Kind::Panel | Kind::Supply));
    let held: std::collections::BTreeSet<ItemRef> = shop
        .items(Kind::ElectrodeConductor)
        .filter(is_drawn)
        .flat_map(|c| facts.teller.members(c, name::ELECTRODES).sure)
        .collect();
    shop.items(Kind::Electrode).filter(|e| !held.contains(e)).collect()
}

/// A conductor with its electrodes in words.
pub(super) fn one(facts: &Facts<'_>, conductor: ItemRef) -> String {
    let electrodes = facts.teller.members(conductor, name::ELECTRODES).sure;
    let names: Vec<String> = groups(facts, &electrodes).into_iter().map(|(_, text)| text).collect();
    format!("electrode wire {} to {}", facts.wire(conductor), names.join(" and "))
}

/// Right of a panel's frame that begins at `top`, each conductor on a line of its own from where it lands; gives
/// where they end.
pub(super) fn beside(facts: &Facts<'_>, on: &mut Canvas, top: f64, panel: ItemRef, all: &[ItemRef]) -> f64 {
    let x = WALL + 38.0;
    let room = WIDTH - MARGIN - x - 16.0;
    let mut y = top + 4.0;
    if all.is_empty() {
        let text = format!("Electrode wire to {}: {BLANK}", facts.name(panel));
        return on.lines(WALL + 14.0, top + 14.0, Look::Plain, &text, WIDTH - MARGIN - WALL - 14.0, 2);
    }
    for (place, conductor) in all.iter().enumerate() {
        // Lines of different conductors lie beside each other, as far as there is room.
        let spine = WALL + 22.0 - 5.0 * place.min(3) as f64;
        let bar = self::bar(facts, on, top, *conductor, spine);
        let (mut first, mut last) = (bar, bar);
        let electrodes = facts.teller.members(*conductor, name::ELECTRODES).sure;
        for (electrode, text) in groups(facts, &electrodes) {
            let is_rod = facts.teller.known(electrode, name::TYPE).as_deref() == Some("rod");
            on.symbol(if is_rod { Symbol::Rod } else { Symbol::OtherElectrode }, x, y + 22.0);
            (first, last) = (first.min(y + 10.0), last.max(y + 10.0));
            on.line(Pen::Line, spine, y + 10.0, &[Step::H(x)]);
            y = on.lines(x + 16.0, y + 14.0, Look::Plain, &text, room, 4);
            on.tell(&format!("Electrode {text}."));
        }
        on.line(Pen::Line, spine, first, &[Step::V(last)]);
        let wire = facts.wire(*conductor);
        let lands = facts.known(*conductor, name::LANDS_ON).unwrap_or_else(|| BLANK.into()).replace('-', " ");
        let text = format!("{wire}, on {lands}");
        y = on.lines(x + 16.0, y, Look::Plain, &text, room, 4).max(y + 2.0 * LEADING) + 6.0;
        on.tell(&format!("Electrode wire {text}."));
    }
    y - LEADING + 10.0
}

/// From the bar or cabinet that a conductor lands on, as far as that is known, to its spine.
fn bar(facts: &Facts<'_>, on: &mut Canvas, top: f64, conductor: ItemRef, spine: f64) -> f64 {
    let y = top + NEUTRAL_BAR + 4.0;
    let (from, y) = match facts.teller.known(conductor, name::LANDS_ON).as_deref() {
        Some("ground-bar") => (BARS + 60.0, top + GROUND_BAR + 4.0),
        // Above the words beside the bar.
        Some("neutral-bar") => {
            on.line(Pen::Line, BARS + 30.0, y - 4.0, &[Step::V(y - 12.0)]);
            (BARS + 30.0, y - 12.0)
        }
        Some("enclosure") => (WALL, top + GROUND_BAR - 14.0),
        _ => {
            let y = top + GROUND_BAR - 10.0;
            on.symbol(Symbol::Unknown, WALL - 14.0, y);
            (WALL - 6.0, y)
        }
    };
    on.line(Pen::Line, from, y, &[Step::H(spine)]);
    y
}

/// A list of electrodes that hang on nothing known.
pub(super) fn apart(facts: &Facts<'_>, on: &mut Canvas, y: f64, all: &[ItemRef]) -> f64 {
    let names: Vec<String> = groups(facts, all).into_iter().map(|(_, text)| text).collect();
    let text = format!("Electrodes whose wire is not said, or not where it goes: {}", names.join("; "));
    on.tell(&format!("{text}."));
    on.lines(MARGIN, y + 16.0, Look::Plain, &text, WIDTH - 2.0 * MARGIN, 4)
}

/// Electrodes of one line of the plan together: `E1: 2 rods, 5/8 in x 8 ft, 6 ft apart`.
fn groups(facts: &Facts<'_>, electrodes: &[ItemRef]) -> Vec<(ItemRef, String)> {
    let shop = facts.shop();
    let mut all: Vec<(ItemRef, usize)> = Vec::new();
    for electrode in electrodes {
        let place = shop.head(*electrode).place;
        match all.last_mut() {
            Some((first, count)) if shop.head(*first).place == place => *count = count.saturating_add(1),
            _ => all.push((*electrode, 1)),
        }
    }
    all.into_iter().map(|(first, count)| (first, text(facts, first, count))).collect()
}

fn text(facts: &Facts<'_>, electrode: ItemRef, count: usize) -> String {
    let kind = facts.known(electrode, name::TYPE).map_or_else(|| format!("kind {BLANK}"), |k| k.replace('-', " "));
    let mut parts = vec![match count {
        1 => kind,
        _ => format!("{count} {kind}s"),
    }];
    match (facts.known(electrode, name::DIAMETER), facts.known(electrode, name::LENGTH)) {
        (Some(thick), Some(long)) => parts.push(format!("{thick} x {long}")),
        (None, Some(long)) => parts.push(long),
        (Some(thick), None) => parts.push(thick),
        (None, None) => {}
    }
    if count > 1 {
        parts.push(format!("{} apart", facts.known(electrode, name::SPACING).unwrap_or_else(|| format!("{BLANK} ft"))));
    }
    if facts.shop().value(electrode, name::IS_CONNECTED) == Value::YesNo(false) {
        parts.push("not tied in".into());
    }
    let side = facts.shop().head(electrode);
    format!("{}: {}", side.name, parts.join(", "))
}

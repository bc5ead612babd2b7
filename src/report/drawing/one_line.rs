//! The one-line diagram: power flows down from the supply to the panel, and from its bus to the right.

use super::canvas::{Canvas, LEADING, Pen, Side, Step};
use super::facts::{BLANK, Facts};
use super::letters::Look;
use super::loads;
use super::sheets::{Heading, MARGIN, Sheets, WIDTH};
use super::symbols::{Symbol, buried, protection_down};
use super::{Drawing, electrodes, row};
use crate::shop::{ItemRef, Shop};
use crate::text::natural;
use crate::words::{Kind, name};
use std::collections::BTreeSet;

/// Where the feeder goes down.
const TRUNK: f64 = 300.0;
/// The right wall of a panel's wide part.
pub(super) const WALL: f64 = 520.0;
/// The bars in it: their left end, and how far below its top they stand.
pub(super) const BARS: f64 = TRUNK + 32.0;
pub(super) const NEUTRAL_BAR: f64 = 66.0;
pub(super) const GROUND_BAR: f64 = 118.0;
/// Walls of a panel's narrow part, and the bus in it.
const LEFT: f64 = 24.0;
pub(super) const COLUMN: f64 = 150.0;
pub(super) const BUS: f64 = 44.0;
pub(super) const RIGHT: f64 = WIDTH - MARGIN;

/// Where breakers stand.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Start {
    Panel(ItemRef),
    Supply(ItemRef),
    Unsaid,
}

pub(super) fn draw(facts: &Facts<'_>) -> Vec<Drawing> {
    let mut writer = OneLine { facts, sheets: Sheets::new(), drawn: BTreeSet::new() };
    writer.all();
    let label = facts.shop().head(Shop::SHOP).label.clone().unwrap_or_default();
    let remark = "Not to scale: it shows what hangs on what. \"____?\" is what the plan does not say. EGC: equipment \
                  grounding conductor. The permit office and the inspector decide.";
    let heading = Heading { id: "one-line", title: "One-line diagram", subject: &label, remark };
    writer.sheets.finish(&heading)
}

struct OneLine<'a> {
    facts: &'a Facts<'a>,
    sheets: Sheets,
    drawn: BTreeSet<ItemRef>,
}

impl OneLine<'_> {
    fn all(&mut self) {
        let shop = self.facts.shop();
        for supply in shop.items(Kind::Supply) {
            self.supply(supply);
        }
        // Panels that no drawn feeder reached.
        for panel in shop.items(Kind::Panel) {
            if !self.drawn.contains(&panel) {
                self.panel(panel, None);
            }
        }
        let lost = self.lines_from(Start::Unsaid);
        let is_any = !lost.is_empty();
        if is_any {
            self.sheets.place(|on, y| {
                on.text(MARGIN, y + 20.0, Look::Name, Side::Right, "Where these start the plan does not say", 600.0);
                y + 32.0
            });
        }
        for line in lost {
            self.row(line, None);
        }
        if shop.count(Kind::Supply) == 0 && shop.count(Kind::Panel) == 0 && !is_any {
            let text = "The plan names no supply, no panel and no circuit yet.";
            self.sheets.place(|on, y| on.lines(MARGIN, y + 20.0, Look::Plain, text, 600.0, 1));
        }
        let lost = electrodes::lost(self.facts);
        if !lost.is_empty() {
            self.sheets.place(|on, y| electrodes::apart(self.facts, on, y, &lost));
        }
    }

    fn start(&self, line: ItemRef) -> Start {
        let near = [name::PANEL, name::NEAR_END, name::SUPPLY].into_iter().find_map(|word| {
            let item = self.facts.item(line, word)?;
            matches!(item.kind, Kind::Panel | Kind::Supply).then_some(item)
        });
        match near {
            Some(item) if item.kind == Kind::Panel => Start::Panel(item),
            Some(item) => Start::Supply(item),
            None => Start::Unsaid,
        }
    }

    /// Feeders and circuits that start there, by their spaces, then by their names.
    fn lines_from(&self, start: Start) -> Vec<ItemRef> {
        let shop = self.facts.shop();
        let all = shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit));
        let mut own: Vec<ItemRef> = all.filter(|line| self.start(*line) == start).collect();
        own.sort_by_cached_key(|line| natural(self.facts.name(*line)));
        own
    }

    /// The panel that a feeder ends in, where it is said.
    fn far_panel(&self, feeder: ItemRef) -> Option<ItemRef> {
        let far = self.facts.item(feeder, name::FAR_PANEL).or_else(|| self.facts.item(feeder, name::FAR_END));
        far.filter(|item| item.kind == Kind::Panel)
    }

    fn supply(&mut self, supply: ItemRef) {
        let facts = self.facts;
        let lines = self.lines_from(Start::Supply(supply));
        let (feeders, circuits): (Vec<ItemRef>, Vec<ItemRef>) = lines.into_iter().partition(|l| l.kind == Kind::Feeder);
        self.sheets.place(|on, y| self::supply(facts, on, y, supply));
        for (place, feeder) in feeders.into_iter().enumerate() {
            self.feeder(feeder, place > 0);
        }
        if !circuits.is_empty() {
            let text = format!("Circuits that start at {}", facts.titled(supply));
            self.sheets.place(|on, y| on.lines(MARGIN, y + 20.0, Look::Name, &text, 600.0, 1));
        }
        for circuit in circuits {
            self.row(circuit, None);
        }
    }

    /// A feeder on its way down, then the panel that it ends in.
    fn feeder(&mut self, feeder: ItemRef, is_apart: bool) {
        let facts = self.facts;
        self.sheets.place(|on, y| self::feeder(facts, on, y, feeder, is_apart));
        match self.far_panel(feeder) {
            Some(panel) if !self.drawn.contains(&panel) => self.panel(panel, Some(feeder)),
            Some(panel) => {
                let text = format!("to panel {}, which is drawn above", facts.name(panel));
                self.sheets.place(|on, y| {
                    on.text(TRUNK, y + 12.0, Look::Plain, Side::Middle, &text, 500.0);
                    y + 24.0
                });
            }
            None => self.sheets.place(|on, y| {
                on.line(Pen::Heavy, TRUNK, y, &[Step::V(y + 10.0)]);
                on.symbol(Symbol::Unknown, TRUNK, y + 18.0);
                let text = match facts.item(feeder, name::FAR_END) {
                    Some(end) => format!("ends at {}", facts.shop().called(end)),
                    None => "where it ends the plan does not say".to_string(),
                };
                on.text(TRUNK + 16.0, y + 22.0, Look::Plain, Side::Right, &text, 340.0);
                y + 34.0
            }),
        }
    }

    fn panel(&mut self, panel: ItemRef, feeder: Option<ItemRef>) {
        self.drawn.insert(panel);
        let facts = self.facts;
        self.sheets.place(|on, y| self::panel(facts, on, y, panel, feeder));
        let lines = self.lines_from(Start::Panel(panel));
        for line in &lines {
            self.row(*line, Some(panel));
        }
        let circuits = facts.teller.members(panel, name::CIRCUITS);
        let more = match (circuits.is_open || !circuits.possible.is_empty(), lines.is_empty()) {
            (false, true) => "no circuit",
            (false, false) => "",
            (true, _) => "further circuits: the plan does not say",
        };
        self.sheets.end(|on, y| {
            let end = y + if more.is_empty() { 10.0 } else { 26.0 };
            if !more.is_empty() {
                on.line(Pen::Bus, BUS, y, &[Step::V(y + 12.0)]);
                on.line(Pen::Dash, BUS, y + 12.0, &[Step::H(COLUMN)]);
                on.text(COLUMN + 10.0, y + 15.0, Look::Slanted, Side::Right, more, 600.0);
            }
            wall(on, y, end);
            on.line(Pen::Line, LEFT, end, &[Step::H(COLUMN)]);
            end + 14.0
        });
        // Panels further on.
        for feeder in lines.into_iter().filter(|l| l.kind == Kind::Feeder) {
            self.feeder(feeder, true);
        }
    }

    /// One line of a panel with what it feeds; its rows may part over sheets.
    fn row(&mut self, line: ItemRef, panel: Option<ItemRef>) {
        let facts = self.facts;
        let rows = loads::rows(facts, line, row::SLOTS_IN_ROW);
        for (place, row) in rows.iter().enumerate() {
            let draw = |on: &mut Canvas, y: f64| {
                let label = (place == 0).then(|| row::Label::of(facts, line));
                row::draw(on, y, label.as_ref(), row, panel.is_some())
            };
            if self.sheets.put(draw) {
                continue;
            }
            let (y, next) = (self.sheets.y, self.sheets.number().saturating_add(1));
            if let Some(panel) = panel {
                wall(&mut self.sheets.on, y, y + 14.0);
                self.sheets.on.line(Pen::Bus, BUS, y, &[Step::V(y + 10.0)]);
                let text = format!("goes on, sheet {next}");
                self.sheets.on.text(BUS + 8.0, y + 11.0, Look::Slanted, Side::Right, &text, 90.0);
                self.sheets.turn();
                let text = format!("Panel {}, from sheet {}", facts.name(panel), next.saturating_sub(1));
                self.sheets.place(|on, y| {
                    on.text(COLUMN + 10.0, y + 12.0, Look::Name, Side::Right, &text, 500.0);
                    on.tell(&format!("{text}."));
                    on.line(Pen::Bus, BUS, y, &[Step::V(y + 20.0)]);
                    wall(on, y, y + 20.0);
                    y + 20.0
                });
            } else {
                self.sheets.turn();
            }
            if place > 0 {
                let text = format!("{}, from sheet {}", facts.name(line), next.saturating_sub(1));
                self.sheets.on.tell(&format!("Circuit {text}."));
                self.sheets.on.text(COLUMN + 10.0, self.sheets.y + 30.0, Look::Strong, Side::Right, &text, 170.0);
            }
            self.sheets.put(draw);
        }
    }
}

/// Both walls of a panel's narrow part.
pub(super) fn wall(on: &mut Canvas, from: f64, to: f64) {
    on.line(Pen::Line, LEFT, from, &[Step::V(to)]);
    on.line(Pen::Line, COLUMN, from, &[Step::V(to)]);
}

fn supply(facts: &Facts<'_>, on: &mut Canvas, y: f64, supply: ItemRef) -> f64 {
    let amps = facts.known(supply, name::AMPS).unwrap_or_else(|| format!("{BLANK} A"));
    let system = facts.known(supply, name::SYSTEM).map_or_else(|| format!("{BLANK} V"), |s| format!("{s} V"));
    let phases = facts.known(supply, name::PHASES).map_or(format!("{BLANK}-phase"), |p| format!("{p}-phase"));
    let fault = facts.known(supply, name::FAULT_CURRENT).unwrap_or_else(|| format!("{BLANK} A"));
    let title = format!("Supply: {}", facts.titled(supply));
    let rating = format!("{amps}, {system}, {phases}");
    on.rect("dash", MARGIN, y, WIDTH - 2.0 * MARGIN, 62.0);
    on.text(MARGIN + 12.0, y + 20.0, Look::Name, Side::Right, &title, 260.0);
    on.text(MARGIN + 12.0, y + 36.0, Look::Plain, Side::Right, &rating, 260.0);
    on.text(MARGIN + 12.0, y + 50.0, Look::Plain, Side::Right, &format!("fault current {fault}"), 260.0);
    let electrodes: Vec<String> =
        electrodes::landing(facts, supply).iter().map(|e| electrodes::one(facts, *e)).collect();
    if !electrodes.is_empty() {
        on.lines(TRUNK + 110.0, y + 16.0, Look::Plain, &electrodes.join("; "), 260.0, 3);
    }
    on.line(Pen::Heavy, TRUNK, y + 6.0, &[Step::V(y + 40.0)]);
    on.used.insert(Symbol::Bus);
    on.line(Pen::Bus, TRUNK - 16.0, y + 42.0, &[Step::H(TRUNK + 90.0)]);
    on.line(Pen::Heavy, TRUNK, y + 42.0, &[Step::V(y + 62.0)]);
    on.tell(&format!("{title}, {rating}, fault current {fault}."));
    on.bottom = on.bottom.max(y + 62.0);
    y + 62.0
}

fn feeder(facts: &Facts<'_>, on: &mut Canvas, y: f64, feeder: ItemRef, is_apart: bool) -> f64 {
    let mut y = y;
    let from = facts.item(feeder, name::NEAR_END).or_else(|| facts.item(feeder, name::PANEL));
    if is_apart {
        let from = from.map_or(format!("from {BLANK}"), |item| format!("from {}", facts.shop().called(item)));
        on.text(TRUNK, y + 14.0, Look::Plain, Side::Middle, &from, 400.0);
        y += 20.0;
    }
    let protection = facts.breaker(feeder, name::BREAKER);
    let symbol = facts.protection(feeder, name::BREAKER);
    protection_down(on, symbol, TRUNK, y + 20.0);
    on.line(Pen::Heavy, TRUNK, y, &[Step::V(y + 6.0)]);
    let word = if symbol == Some(Symbol::Fuse) { "fuse" } else { "breaker" };
    let text = format!("{}: {word} {}", facts.titled(feeder), protection.join(", "));
    on.text(TRUNK - 22.0, y + 24.0, Look::Strong, Side::Left, &text, TRUNK - 40.0);
    let top = y + 34.0;
    let shop = facts.shop();
    let stretches: Vec<ItemRef> = shop.items(Kind::Run).filter(|run| shop.head(*run).of == Some(feeder)).collect();
    let mut told = vec![text];
    let mut left = top + 6.0;
    let mut is_buried = false;
    for stretch in &stretches {
        let mut parts = facts.run(*stretch);
        let place = facts.teller.known(*stretch, name::PLACE);
        let cover = facts.known(*stretch, name::COVER);
        let lies = cover.is_some() || place.as_deref() == Some("buried");
        is_buried |= lies;
        match (cover, lies) {
            (Some(cover), _) => parts.push(format!("buried {cover}")),
            (None, true) => parts.push(format!("buried {BLANK} in")),
            (None, false) => parts.extend(place),
        }
        parts.extend(facts.known(*stretch, name::UNDER).map(|u| format!("under {}", u.replace('-', " "))));
        let text = parts.join(", ");
        let lines = super::letters::wrap(&text, Look::Plain, TRUNK - 50.0, 2);
        let height = lines.len() as f64 * LEADING + 6.0;
        for (place, line) in lines.iter().enumerate() {
            let at = left + 11.0 + place as f64 * LEADING;
            on.text(TRUNK - 22.0, at, Look::Plain, Side::Left, line, TRUNK - 50.0);
        }
        on.line(
            Pen::Hair,
            TRUNK - 12.0,
            left + 1.0,
            &[Step::H(TRUNK - 17.0), Step::V(left + height - 2.0), Step::H(TRUNK - 12.0)],
        );
        if lies {
            on.used.insert(Symbol::Buried);
            buried(on, TRUNK, left + 2.0, left + height - 2.0);
        }
        told.push(text);
        left += height;
    }
    if stretches.is_empty() {
        let text = format!("raceway or cable {BLANK}, {}", facts.or_blank(feeder, name::LENGTH));
        on.text(TRUNK - 22.0, left + 11.0, Look::Plain, Side::Left, &text, TRUNK - 50.0);
        left += LEADING;
    }
    let mut right = top + 4.0;
    let x = TRUNK + 24.0;
    let room = RIGHT - x;
    let neutral = match (facts.item(feeder, name::NEUTRAL_WIRE), facts.yes(feeder, name::HAS_NEUTRAL)) {
        (Some(wire), _) => format!("neutral {}", facts.wire(wire)),
        (None, Some(true)) => "neutral among them".to_string(),
        (None, Some(false)) => "no neutral".to_string(),
        (None, None) => format!("neutral {BLANK}"),
    };
    let other = match facts.yes(feeder, name::HAS_OTHER_METAL_PATH) {
        Some(true) => "Other metal joins the buildings.".to_string(),
        Some(false) => String::new(),
        None => format!("Other metal between the buildings: {BLANK}"),
    };
    let caution = match is_buried {
        true => {
            "Call 811 before you dig. The wires stay live until this breaker is off and locked: test before you touch."
        }
        false => "The wires stay live until this breaker is off and locked: test before you touch.",
    };
    let wires = format!("{} ({neutral})", facts.wires_of(feeder));
    let ground = facts.equipment_ground(feeder);
    let texts =
        [(&wires, Look::Plain), (&ground, Look::Plain), (&other, Look::Plain), (&caution.to_string(), Look::Slanted)];
    for (text, look) in texts {
        right = on.lines(x, right + 11.0, look, text, room, 2) - 11.0 + 1.0;
    }
    told.push(wires);
    told.push(ground);
    told.push(other);
    told.retain(|t| !t.is_empty());
    on.tell(&format!("Feeder {}.", told.join("; ")));
    let end = left.max(right) + 8.0;
    on.line(Pen::Heavy, TRUNK, y + 34.0, &[Step::V(end)]);
    end
}

fn panel(facts: &Facts<'_>, on: &mut Canvas, y: f64, panel: ItemRef, feeder: Option<ItemRef>) -> f64 {
    if feeder.is_none() {
        on.symbol(Symbol::Unknown, TRUNK, y + 10.0);
        on.text(TRUNK + 16.0, y + 14.0, Look::Plain, Side::Right, "what feeds it the plan does not say", 300.0);
    }
    let y = if feeder.is_none() { y + 18.0 } else { y };
    on.used.insert(Symbol::Bus);
    on.line(Pen::Heavy, TRUNK, y, &[Step::V(y + 20.0)]);
    let title = format!("Panel {}", facts.titled(panel));
    on.text(LEFT + 12.0, y + 20.0, Look::Name, Side::Right, &title, 240.0);
    let mut about = vec![
        format!("bus {}", facts.known(panel, name::BUS_AMPS).unwrap_or_else(|| format!("{BLANK} A"))),
        format!("{} spaces", facts.or_blank(panel, name::SPACES)),
    ];
    about.push(format!(
        "interrupting {}",
        facts.known(panel, name::INTERRUPTING_RATING).unwrap_or_else(|| format!("{BLANK} A"))
    ));
    about.extend(facts.teller.known(panel, name::PLACE));
    let about = about.join(", ");
    on.lines(LEFT + 12.0, y + 36.0, Look::Plain, &about, 240.0, 4);
    // The main, or what is known in its place.
    let main = facts.breaker(panel, name::MAIN);
    let symbol = facts.protection(panel, name::MAIN);
    protection_down(on, symbol, TRUNK, y + 34.0);
    let said = match symbol {
        Some(Symbol::Unknown) => format!("main {BLANK}"),
        Some(_) => format!("main {}", main.join(", ")),
        None => "no main: lugs only".to_string(),
    };
    on.text(TRUNK + 20.0, y + 32.0, Look::Strong, Side::Right, &said, WALL - TRUNK - 28.0);
    let electrodes = electrodes::landing(facts, panel);
    let bars = bars(facts, on, y, panel);
    let below = electrodes::beside(facts, on, y, panel, &electrodes);
    let bend = y + 134.0;
    on.line(Pen::Heavy, TRUNK, y + 48.0, &[Step::V(bend), Step::H(BUS)]);
    let bottom = (y + 148.0).max(bars);
    on.line(Pen::Bus, BUS, bend - 2.0, &[Step::V(bottom)]);
    // The wide part of the frame; the narrow part goes on with the rows.
    on.line(Pen::Line, LEFT, bottom, &[Step::V(y), Step::H(WALL), Step::V(bottom), Step::H(COLUMN)]);
    on.tell(&format!("{title}: {about}; {said}."));
    // Electrodes may reach lower than the frame: rows begin below them.
    let end = bottom.max(below);
    wall(on, bottom, end);
    on.line(Pen::Bus, BUS, bottom, &[Step::V(end)]);
    end
}

/// The neutral bar and the equipment ground bar, and what joins them to the cabinet.
fn bars(facts: &Facts<'_>, on: &mut Canvas, y: f64, panel: ItemRef) -> f64 {
    let (x, bar, y) = (BARS, y + GROUND_BAR, y + NEUTRAL_BAR);
    let bonded = facts.yes(panel, name::IS_NEUTRAL_BONDED);
    let (neutral, link) = match bonded {
        Some(true) => ("neutral bar", "joined to the cabinet"),
        Some(false) => ("neutral bar", "apart from the cabinet"),
        None => ("neutral bar, joined", "to the cabinet: ____?"),
    };
    on.used.insert(Symbol::NeutralBar);
    on.rect("open", x, y, 60.0, 9.0);
    let room = WALL - x - 74.0;
    on.text(x + 70.0, y + 6.0, Look::Plain, Side::Right, neutral, room);
    on.text(x + 70.0, y + 19.0, Look::Plain, Side::Right, link, room);
    let has_bar = facts.yes(panel, name::HAS_GROUND_BAR);
    let ground = match has_bar {
        Some(true) => "equipment ground bar",
        Some(false) => "no equipment ground bar",
        None => "equipment ground bar ____?",
    };
    if has_bar == Some(false) {
        on.rect("hair", x, bar, 60.0, 9.0);
    } else {
        on.used.insert(Symbol::GroundBar);
        on.rect(if has_bar.is_some() { "solid" } else { "doubt" }, x, bar, 60.0, 9.0);
    }
    on.text(x, bar + 22.0, Look::Plain, Side::Right, ground, WALL - x - 8.0);
    match bonded {
        Some(true) => on.line(Pen::Heavy, x + 30.0, y + 9.0, &[Step::V(bar)]),
        Some(false) => {
            on.line(Pen::Hair, x + 8.0, y + 9.0, &[Step::V(y + 14.0)]);
            on.line(Pen::Hair, x + 52.0, y + 9.0, &[Step::V(y + 14.0)]);
        }
        None => {
            on.line(Pen::Dash, x + 30.0, y + 9.0, &[Step::V(y + 19.0)]);
            on.symbol(Symbol::Unknown, x + 30.0, y + 28.0);
            on.line(Pen::Dash, x + 30.0, y + 37.0, &[Step::V(bar)]);
        }
    }
    on.tell(&format!("{neutral} {link}; {ground}."));
    bar + 30.0
}

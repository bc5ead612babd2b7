//! The one-line diagram: supply, feeder, panel, electrodes, and each circuit with what it feeds, in order.
//!
//! Power flows down from the supply to the panel's bus; each circuit is a row to the right of the bus, its outlets in
//! the order of `feeds`. A row that does not fit on the sheet goes on on the next.

use super::Drawing;
use super::canvas::{At, Canvas, Face};
use super::facts::{self, BLANK};
use super::symbols::{Symbol, key};
use crate::report::teller::Teller;
use crate::shop::{ItemRef, Value};
use crate::words::{Kind, name};
use crate::{Checked, Rules};
use std::collections::{BTreeMap, BTreeSet};

const WIDTH: f64 = 696.0;
const HEIGHT: f64 = 808.0;
/// Under this stands the key.
const BOTTOM: f64 = 724.0;
const TRUNK: f64 = 300.0;
const BUS: f64 = 36.0;
/// Where the outlets of a row begin.
const FIRST: f64 = 362.0;
/// Where the branches of a row hang, left of all that stands under the outlets.
const HANG: f64 = 314.0;
const SLOT: f64 = 90.0;
const SLOTS: usize = 4;
const ROW: f64 = 66.0;

/// The diagram, on as many sheets as it needs.
pub fn one_line(rules: &Rules, checked: &Checked) -> Vec<Drawing> {
    let teller = Teller::new(rules, checked);
    let mut plugged: BTreeMap<ItemRef, Vec<ItemRef>> = BTreeMap::new();
    for machine in teller.shop().items(Kind::Equipment).chain(teller.shop().items(Kind::Light)) {
        if let Value::Item(receptacle) = teller.shop().value(machine, name::RECEPTACLE) {
            plugged.entry(receptacle).or_default().push(machine);
        }
    }
    let mut writer = Writer { teller: &teller, plugged, sheets: vec![Sheet::default()], bus: None };
    writer.all();
    let count = writer.sheets.len();
    let of = |i: usize| if count > 1 { format!(", sheet {} of {count}", i + 1) } else { String::new() };
    let sheets = writer.sheets.into_iter().enumerate();
    sheets.map(|(i, sheet)| sheet.finish(i + 1, format!("One-line diagram{}", of(i)))).collect()
}

struct Sheet {
    canvas: Canvas,
    used: BTreeSet<Symbol>,
    said: Vec<String>,
    y: f64,
}

impl Default for Sheet {
    fn default() -> Sheet {
        Sheet { canvas: Canvas::default(), used: BTreeSet::new(), said: Vec::new(), y: 34.0 }
    }
}

impl Sheet {
    fn finish(mut self, number: usize, title: String) -> Drawing {
        self.canvas.text((16.0, 20.0), Face::Name, At::Start, 320.0, &title);
        let note = format!("Not to scale. {BLANK} to fill in: the plan does not say it.");
        self.canvas.text((WIDTH - 16.0, 20.0), Face::Slant, At::End, 330.0, &note);
        let y = self.y.max(BOTTOM.min(self.y + 12.0));
        self.canvas.line("hair", &[(16.0, y), (WIDTH - 16.0, y)]);
        let height = (key(&mut self.canvas, &self.used, y + 4.0, WIDTH) + 4.0).min(HEIGHT);
        let description = self.said.join(" ");
        Drawing {
            id: format!("one-line-{number}"),
            title,
            description,
            width: WIDTH,
            height,
            body: self.canvas.finish(),
        }
    }

    fn symbol(&mut self, symbol: Symbol, at: (f64, f64), mark: &str) {
        self.used.insert(symbol);
        symbol.draw(&mut self.canvas, at, mark);
    }

    fn say(&mut self, sentence: String) {
        self.said.push(sentence);
    }
}

/// One place of a row.
struct Slot {
    symbol: Symbol,
    mark: String,
    name: String,
    what: Vec<String>,
    /// On a cord from the one before.
    is_cord: bool,
}

struct Writer<'a> {
    teller: &'a Teller<'a>,
    plugged: BTreeMap<ItemRef, Vec<ItemRef>>,
    sheets: Vec<Sheet>,
    /// The bus that rows hang on: whose it is, and from which height on this sheet.
    bus: Option<(String, f64)>,
}

impl Writer<'_> {
    fn sheet(&mut self) -> &mut Sheet {
        if self.sheets.is_empty() {
            self.sheets.push(Sheet::default());
        }
        let last = self.sheets.len().saturating_sub(1);
        // There is one: it was put there.
        &mut self.sheets[last]
    }

    /// Makes room for a block, on the next sheet where this one is full.
    fn room(&mut self, height: f64) {
        if self.sheet().y + height <= BOTTOM || self.sheet().y <= 34.0 {
            return;
        }
        let next = self.sheets.len() + 1;
        if let Some((whose, top)) = self.bus.clone() {
            let sheet = self.sheet();
            let y = sheet.y;
            sheet.canvas.line("bus", &[(BUS, top), (BUS, y + 6.0)]);
            sheet.canvas.text(
                (BUS + 12.0, y + 10.0),
                Face::Slant,
                At::Start,
                400.0,
                &format!("bus of {whose} goes on on sheet {next}"),
            );
            sheet.y += 16.0;
            self.sheets.push(Sheet::default());
            let sheet = self.sheet();
            sheet.say(format!("The bus of {whose}, from sheet {}.", next - 1));
            sheet.canvas.text(
                (BUS - 20.0, 46.0),
                Face::Slant,
                At::Start,
                400.0,
                &format!("bus of {whose}, from sheet {}", next - 1),
            );
            sheet.y = 56.0;
            self.bus = Some((whose, 54.0));
        } else {
            self.sheets.push(Sheet::default());
        }
    }

    fn all(&mut self) {
        let shop = self.teller.shop();
        let mut drawn: BTreeSet<ItemRef> = BTreeSet::new();
        for supply in shop.items(Kind::Supply) {
            self.supply(supply);
            let at = |line: &ItemRef| {
                shop.value(*line, name::SUPPLY) == Value::Item(supply)
                    && !matches!(shop.value(*line, name::PANEL), Value::Item(_))
            };
            let circuits: Vec<ItemRef> = shop.items(Kind::Circuit).filter(at).collect();
            if !circuits.is_empty() {
                let name = shop.called(supply);
                self.start_bus(name);
                self.rows(&circuits);
            }
            for feeder in shop.items(Kind::Feeder).filter(at) {
                self.feeder(feeder, &mut drawn);
            }
        }
        for feeder in shop.items(Kind::Feeder) {
            self.feeder(feeder, &mut drawn);
        }
        for panel in shop.items(Kind::Panel) {
            self.panel(panel, &mut drawn);
        }
        let adrift: Vec<ItemRef> = shop
            .items(Kind::Circuit)
            .filter(|c| {
                !matches!(shop.value(*c, name::PANEL), Value::Item(_))
                    && !matches!(shop.value(*c, name::SUPPLY), Value::Item(_))
            })
            .collect();
        if !adrift.is_empty() {
            self.start_bus("a panel that the plan does not name".into());
            self.rows(&adrift);
        }
    }

    fn supply(&mut self, supply: ItemRef) {
        self.room(100.0);
        let teller = self.teller;
        let called = teller.shop().called(supply);
        let amps = facts::or_blank(teller, supply, name::AMPS, "A");
        let system = teller
            .known(supply, name::SYSTEM)
            .map_or(format!("{BLANK} V"), |s| format!("{} V", s.trim_end_matches(" V")));
        let fault = format!("fault current {}", facts::or_blank(teller, supply, name::FAULT_CURRENT, "A"));
        let sheet = self.sheet();
        let y = sheet.y;
        sheet.canvas.rect("dash", (8.0, y), (WIDTH - 16.0, 76.0));
        sheet.canvas.text((20.0, y + 18.0), Face::Name, At::Start, 250.0, &capital(&called));
        sheet.canvas.line("bus", &[(TRUNK - 70.0, y + 40.0), (TRUNK + 70.0, y + 40.0)]);
        sheet.canvas.line("heavy", &[(TRUNK, y + 12.0), (TRUNK, y + 40.0)]);
        sheet.canvas.text((TRUNK + 90.0, y + 30.0), Face::Bold, At::Start, 296.0, &format!("{amps}, {system}"));
        sheet.canvas.text((TRUNK + 90.0, y + 46.0), Face::Label, At::Start, 296.0, &fault);
        sheet.canvas.text(
            (20.0, y + 66.0),
            Face::Slant,
            At::Start,
            640.0,
            "The line side of its main stays live whatever is turned off here: it is the utility's.",
        );
        sheet.y += 84.0;
        sheet.say(format!("{}: {amps}, {system}, {fault}.", capital(&called)));
    }

    fn feeder(&mut self, feeder: ItemRef, drawn: &mut BTreeSet<ItemRef>) {
        if !drawn.insert(feeder) {
            return;
        }
        let (teller, shop) = (self.teller, self.teller.shop());
        let from = [name::PANEL, name::SUPPLY].into_iter().find_map(|word| match shop.value(feeder, word) {
            Value::Item(item) => Some(item),
            _ => None,
        });
        let stretches: Vec<ItemRef> = shop.items(Kind::Run).filter(|run| shop.head(*run).of == Some(feeder)).collect();
        let name = shop.head(feeder).name.clone();
        let start =
            from.map_or("a place not named".to_string(), |item| shop.called(item).replace("supply house", "the house"));
        let right = vec![
            format!("from {start}"),
            format!("wire {}", facts::wire(teller, feeder, name::WIRE)),
            format!("equipment ground {}", facts::ground(teller, feeder)),
            format!("length {}", facts::or_blank(teller, feeder, name::LENGTH, "ft")),
        ];
        let most = 16;
        let height = 56.0 + 34.0 * stretches.len().clamp(2, most) as f64;
        self.bus = None;
        self.room(height + 40.0);
        let breaker = facts::breaker(teller, feeder);
        let sheet = self.sheet();
        let y = sheet.y;
        sheet.canvas.line("heavy", &[(TRUNK, y), (TRUNK, y + 12.0)]);
        sheet.used.insert(Symbol::Breaker);
        sheet.canvas.path_at("line", (TRUNK, y + 26.0), "M0,-14V-8M0,8V14M-1,-8A11,11 0 0 1 -1,8");
        sheet.canvas.circle("solid", (TRUNK, y + 18.0), 1.8);
        sheet.canvas.circle("solid", (TRUNK, y + 34.0), 1.8);
        sheet.canvas.text((TRUNK - 20.0, y + 22.0), Face::Name, At::End, 270.0, &format!("Feeder {name}"));
        sheet.canvas.text((TRUNK - 20.0, y + 36.0), Face::Label, At::End, 270.0, &format!("breaker {breaker}"));
        sheet.canvas.line("heavy", &[(TRUNK, y + 40.0), (TRUNK, y + height)]);
        let under = sheet.canvas.lines((TRUNK + 28.0, y + 60.0), Face::Label, At::Start, 360.0, &right);
        if stretches.iter().any(|run| lies(teller, *run).starts_with("in earth")) {
            let warn = "Call 811 some days before digging.";
            sheet.canvas.text((TRUNK + 28.0, under), Face::Slant, At::Start, 360.0, warn);
        }
        let warn = "Live until its breaker there is off, locked and tested dead.";
        sheet.canvas.text((TRUNK + 28.0, y + 22.0), Face::Slant, At::Start, 360.0, warn);
        let mut said = format!("Feeder {name}, breaker {breaker}, {}", right.join(", "));
        for (i, stretch) in stretches.iter().take(most).enumerate() {
            let top = y + 50.0 + 34.0 * i as f64;
            let what = facts::run(teller, *stretch);
            let lies = lies(teller, *stretch);
            let is_cut = i + 1 == most && stretches.len() > most;
            sheet.canvas.line(
                "hair",
                &[(TRUNK - 8.0, top), (TRUNK - 14.0, top), (TRUNK - 14.0, top + 28.0), (TRUNK - 8.0, top + 28.0)],
            );
            let first =
                if is_cut { format!("and {} more stretches", stretches.len() - most + 1) } else { what.clone() };
            sheet.canvas.text((TRUNK - 20.0, top + 12.0), Face::Bold, At::End, 270.0, &first);
            sheet.canvas.text((TRUNK - 20.0, top + 26.0), Face::Label, At::End, 270.0, &lies);
            if lies.starts_with("in earth") {
                sheet.used.insert(Symbol::Buried);
                for step in 0..3 {
                    let at = top + 4.0 + 9.0 * f64::from(step);
                    sheet.canvas.line("hair", &[(TRUNK + 6.0, at + 6.0), (TRUNK + 12.0, at)]);
                }
            }
            said.push_str(&format!("; {what}, {lies}"));
        }
        sheet.y += height;
        sheet.say(format!("{said}."));
        match shop.value(feeder, name::FAR_PANEL) {
            Value::Item(panel) => self.panel(panel, drawn),
            _ => {
                let end = match shop.value(feeder, name::FAR_END) {
                    Value::Item(end) => shop.called(end),
                    _ => "a place not named".into(),
                };
                let sheet = self.sheet();
                let y = sheet.y;
                sheet.canvas.line("heavy", &[(TRUNK, y), (TRUNK, y + 10.0)]);
                sheet.canvas.text((TRUNK + 28.0, y + 14.0), Face::Bold, At::Start, 360.0, &format!("to {end}"));
                sheet.y += 28.0;
            }
        }
    }

    fn panel(&mut self, panel: ItemRef, drawn: &mut BTreeSet<ItemRef>) {
        if !drawn.insert(panel) {
            return;
        }
        self.bus = None;
        self.room(132.0 + ROW);
        let (teller, shop) = (self.teller, self.teller.shop());
        let name = shop.head(panel).name.clone();
        let bus = format!("bus {}", facts::or_blank(teller, panel, name::BUS_AMPS, "A"));
        let spaces = format!("{} spaces", facts::or_blank(teller, panel, name::SPACES, ""));
        let place = teller.known(panel, name::PLACE).unwrap_or_default();
        let main = match shop.value(panel, name::MAIN) {
            Value::Item(main) => {
                let poles = teller.whole(main, name::POLES).map(|p| format!(", {p}-pole")).unwrap_or_default();
                format!("main {}{poles}", facts::or_blank(teller, main, name::AMPS, "A"))
            }
            Value::Absent => "no main".into(),
            _ => format!("main {BLANK} A"),
        };
        let ground = match shop.value(panel, name::HAS_GROUND_BAR) {
            Value::YesNo(true) => "bar for equipment grounds".to_string(),
            Value::YesNo(false) => "no bar for equipment grounds".to_string(),
            _ => format!("bar for equipment grounds? {BLANK}"),
        };
        let neutral = facts::neutral(teller, panel);
        let interrupting = teller.known(panel, name::INTERRUPTING_RATING).map(|i| format!("interrupting {i}"));
        let left = vec![format!("{bus}, {spaces}"), interrupting.unwrap_or_default(), place.clone()];
        let mut electrodes: Vec<String> = Vec::new();
        // `2 rods` are two electrodes on one line of the plan.
        for e in shop.items(Kind::Electrode).filter(|e| !shop.head(*e).name.contains(" of ")) {
            let count = teller.whole(e, name::COUNT).filter(|n| *n > 1).map(|n| format!("{n} x ")).unwrap_or_default();
            let kind = facts::or_blank(teller, e, name::TYPE, "");
            let wire =
                shop.items(Kind::ElectrodeConductor).find(|g| teller.members(*g, name::ELECTRODES).sure.contains(&e));
            let lands = wire.filter(|g| shop.value(*g, name::LANDS_IN) == Value::Item(panel));
            if let Some(g) = lands {
                electrodes.push(format!(
                    "{}: {count}{kind}, {} {}",
                    shop.head(e).name,
                    facts::or_blank(teller, g, name::SIZE, ""),
                    teller.known(g, name::METAL).unwrap_or_default()
                ));
            }
        }
        let sheet = self.sheet();
        let y = sheet.y;
        sheet.canvas.rect("hair", (8.0, y), (WIDTH - 16.0, 104.0));
        sheet.canvas.text((20.0, y + 20.0), Face::Name, At::Start, 250.0, &capital(&shop.called(panel)));
        let left: Vec<String> = left.into_iter().filter(|l| !l.is_empty()).collect();
        sheet.canvas.lines((20.0, y + 36.0), Face::Label, At::Start, 250.0, &left);
        sheet.canvas.line("heavy", &[(TRUNK, y), (TRUNK, y + 18.0)]);
        if main == "no main" {
            sheet.canvas.line("heavy", &[(TRUNK, y + 18.0), (TRUNK, y + 92.0)]);
        } else {
            sheet.used.insert(Symbol::Breaker);
            sheet.canvas.path_at("line", (TRUNK, y + 32.0), "M0,-14V-8M0,8V14M-1,-8A11,11 0 0 1 -1,8");
            sheet.canvas.line("heavy", &[(TRUNK, y + 46.0), (TRUNK, y + 92.0)]);
        }
        sheet.canvas.text((TRUNK + 20.0, y + 36.0), Face::Bold, At::Start, 110.0, &main);
        sheet.canvas.lines(
            (TRUNK + 150.0, y + 22.0),
            Face::Label,
            At::Start,
            224.0,
            &[neutral.clone(), ground.clone()],
        );
        if electrodes.is_empty() {
            sheet.canvas.text((TRUNK + 150.0, y + 52.0), Face::Label, At::Start, 224.0, &format!("electrodes {BLANK}"));
        } else {
            let shown = electrodes.get(..3).unwrap_or(&electrodes);
            sheet.symbol(Symbol::Earth, (TRUNK + 162.0, y + 62.0), "");
            sheet.canvas.lines((TRUNK + 180.0, y + 54.0), Face::Label, At::Start, 194.0, shown);
        }
        sheet.canvas.line("bus", &[(BUS, y + 92.0), (TRUNK, y + 92.0)]);
        sheet.y += 104.0;
        let electrodes = if electrodes.is_empty() { format!("electrodes {BLANK}") } else { electrodes.join("; ") };
        sheet.say(format!("Panel {name}: {main}, {}, {neutral}, {ground}, {electrodes}.", left.join(", ")));
        self.bus = Some((shop.called(panel), y + 90.0));
        let at = |line: &ItemRef| shop.value(*line, name::PANEL) == Value::Item(panel);
        let mut circuits: Vec<ItemRef> = shop.items(Kind::Circuit).filter(at).collect();
        circuits.sort_by_key(|c| (space(teller, *c), facts::counted(&shop.head(*c).name)));
        let feeders: Vec<ItemRef> = shop.items(Kind::Feeder).filter(at).collect();
        circuits.extend(&feeders);
        self.rows(&circuits);
        for feeder in feeders {
            self.feeder(feeder, drawn);
        }
    }

    fn start_bus(&mut self, whose: String) {
        self.bus = None;
        self.room(40.0 + ROW);
        let sheet = self.sheet();
        let y = sheet.y;
        sheet.canvas.text((BUS - 20.0, y + 14.0), Face::Bold, At::Start, 500.0, &format!("From {whose}"));
        sheet.y += 20.0;
        self.bus = Some((whose, y + 22.0));
    }

    /// A row for each circuit, and the end of the bus.
    fn rows(&mut self, lines: &[ItemRef]) {
        for line in lines {
            self.row(*line);
        }
        if let Some((_, top)) = self.bus.take() {
            let sheet = self.sheet();
            let y = sheet.y;
            sheet.canvas.line("bus", &[(BUS, top), (BUS, y - 8.0)]);
            sheet.y += 8.0;
        }
    }

    fn row(&mut self, line: ItemRef) {
        self.room(ROW + 16.0);
        let (teller, shop) = (self.teller, self.teller.shop());
        let head = shop.head(line);
        let breaker = facts::breaker(teller, line);
        let spaces = facts::spaces(teller, line);
        let wire = facts::wire(teller, line, name::WIRE);
        let ground = facts::ground(teller, line);
        let label = head.label.as_deref().map(|l| format!(" {l}")).unwrap_or_default();
        let facts = vec![
            [Some(breaker.clone()), spaces.clone()].into_iter().flatten().collect::<Vec<_>>().join(", "),
            wire.clone(),
            format!("equipment ground {ground}"),
        ];
        let branches = self.branches(line);
        let sheet = self.sheet();
        let y = sheet.y + 22.0;
        sheet.canvas.line("line", &[(BUS, y), (BUS + 8.0, y)]);
        sheet.symbol(Symbol::Breaker, (BUS + 24.0, y), "");
        sheet.canvas.line("line", &[(BUS + 40.0, y), (HANG, y)]);
        sheet.canvas.text((BUS + 50.0, y - 5.0), Face::Bold, At::Start, 220.0, &format!("{}{label}", head.name));
        sheet.canvas.lines((BUS + 50.0, y + 13.0), Face::Label, At::Start, 220.0, &facts);
        let fed: Vec<String> = branches
            .iter()
            .map(|b| {
                let steps: Vec<String> =
                    b.iter().map(|s| format!("{} {}", s.name, s.what.join(", ")).trim().to_string()).collect();
                steps.join(", then ")
            })
            .collect();
        let spaces = spaces.map(|s| format!(", {s}")).unwrap_or_default();
        sheet.say(format!(
            "{}{label}: breaker {breaker}{spaces}, wire {wire}, equipment ground {ground}; feeds {}.",
            shop.called(line),
            fed.join("; and ")
        ));
        // From where the further branches hang.
        let mut hang = y;
        let mut is_first = true;
        for branch in &branches {
            for (part, slots) in branch.chunks(SLOTS).enumerate() {
                let before = self.sheets.len();
                if !is_first {
                    self.room(ROW);
                }
                if self.sheets.len() > before {
                    let sheet = self.sheet();
                    let at = sheet.y + 22.0;
                    sheet.canvas.text(
                        (BUS + 50.0, at - 5.0),
                        Face::Slant,
                        At::Start,
                        220.0,
                        &format!("{} goes on", head.name),
                    );
                    hang = at;
                }
                let sheet = self.sheet();
                let at = sheet.y + 22.0;
                if part == 0 && at > hang {
                    sheet.canvas.circle("solid", (HANG, hang), 2.6);
                    sheet.canvas.line("line", &[(HANG, hang), (HANG, at)]);
                }
                draw(sheet, slots, at, part > 0, (part + 1) * SLOTS < branch.len());
                sheet.y += ROW;
                is_first = false;
            }
        }
        self.sheet().y += 6.0;
    }

    /// What a line feeds: for each branch its places in order.
    fn branches(&self, line: ItemRef) -> Vec<Vec<Slot>> {
        let (teller, shop) = (self.teller, self.teller.shop());
        let plain = |symbol, name: &str, what: &str| Slot {
            symbol,
            mark: String::new(),
            name: name.into(),
            what: vec![what.into()],
            is_cord: false,
        };
        if line.kind == Kind::Feeder {
            let to = match shop.value(line, name::FAR_END) {
                Value::Item(end) => shop.called(end),
                _ => BLANK.into(),
            };
            return vec![vec![plain(Symbol::Machine, &to, "drawn below")]];
        }
        let Some(feeds) = shop.feeds.get(line.index as usize) else { return Vec::new() };
        let mut out: Vec<Vec<Slot>> = Vec::new();
        for branch in &feeds.branches {
            let mut slots = Vec::new();
            for stage in &branch.stages {
                let through = stage.through.iter().map(|item| (Some(*item), false));
                for (item, is_half) in through.chain(stage.loads.iter().map(|load| (load.item, load.is_half))) {
                    let Some(item) = item else {
                        slots.push(plain(Symbol::Open, BLANK, "not said"));
                        continue;
                    };
                    let (symbol, mark, what) = facts::device(teller, item);
                    let what = if is_half { [vec!["one half".to_string()], what].concat() } else { what };
                    slots.push(Slot { symbol, mark, name: shop.head(item).name.clone(), what, is_cord: false });
                    for machine in self.plugged.get(&item).into_iter().flatten() {
                        let (symbol, mark, what) = facts::device(teller, *machine);
                        slots.push(Slot { symbol, mark, name: shop.head(*machine).name.clone(), what, is_cord: true });
                    }
                }
            }
            out.push(slots);
        }
        if feeds.is_nothing && out.is_empty() {
            out.push(vec![plain(Symbol::Other, "nothing", "kept for later")]);
        } else if feeds.is_open {
            out.push(vec![plain(Symbol::Open, BLANK, if out.is_empty() { "not said" } else { "and more" })]);
        }
        if out.is_empty() {
            out.push(vec![plain(Symbol::Open, BLANK, "not said")]);
        }
        out
    }
}

/// The places of one line of a row; `is_more` where it goes on from, or to, another line.
fn draw(sheet: &mut Sheet, slots: &[Slot], y: f64, is_later: bool, is_more: bool) {
    let mut from = HANG;
    if is_later {
        sheet.canvas.path_at("solid", (from - 4.0, y), "M0,-4L7,0L0,4Z");
    }
    for (i, slot) in slots.iter().enumerate() {
        let x = FIRST + SLOT * i as f64;
        let class = if slot.is_cord { "cord" } else { "line" };
        if slot.is_cord {
            sheet.used.insert(Symbol::Cord);
        }
        sheet.canvas.line(class, &[(from, y), (x - 13.0, y)]);
        sheet.symbol(slot.symbol, (x, y), &slot.mark);
        sheet.canvas.text((x, y + 25.0), Face::Bold, At::Middle, SLOT - 6.0, &slot.name);
        sheet.canvas.lines((x, y + 38.0), Face::Label, At::Middle, SLOT - 6.0, &slot.what);
        from = x + 13.0;
    }
    if is_more {
        sheet.canvas.line("line", &[(from, y), (from + 14.0, y)]);
        sheet.canvas.path_at("solid", (from + 12.0, y), "M0,-4L7,0L0,4Z");
    }
}

/// Where a stretch lies: `in earth, 20 in down, under lawn`.
fn lies(teller: &Teller<'_>, run: ItemRef) -> String {
    let place = teller.known(run, name::PLACE);
    let place = match place.as_deref() {
        Some("buried") => {
            let cover = facts::or_blank(teller, run, name::COVER, "in");
            format!("in earth, {cover} down")
        }
        Some(place) => place.to_string(),
        None => format!("lies {BLANK}"),
    };
    let over = teller.known(run, name::UNDER).map(|u| format!(", under {u}")).unwrap_or_default();
    format!("{place}{over}")
}

fn space(teller: &Teller<'_>, line: ItemRef) -> i64 {
    match teller.shop().value(line, name::BREAKER) {
        Value::Item(breaker) => teller.whole(breaker, name::SPACE).unwrap_or(i64::MAX),
        _ => i64::MAX,
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

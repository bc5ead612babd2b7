//! What each phrase of the plan language states: a phrase in, `item.word = value` out.
//!
//! The phrases are those of the table of items in grammar/README.md; the words are those of
//! `rules words`. Each table lists plan lines (`/` parts lines, two blanks indent), then facts.

#![allow(clippy::unwrap_used, clippy::panic)] // a test fails by panicking

use ringout::plan;
use ringout::shop::{self, How, ItemRef, Shop, Value};
use ringout::text::FileId;
use ringout::words::{Kind, Type, Vocabulary};
use std::sync::Arc;

fn build(text: &str) -> Shop {
    let text = text.replace(" / ", "\n");
    shop::build(&plan::read(FileId(0), &text), &[], &[], Arc::new(Vocabulary::core()))
}

fn item(shop: &Shop, tag: &str) -> ItemRef {
    match tag {
        "shop" => Shop::SHOP,
        "permit" => Shop::PERMIT,
        "area" => ItemRef { kind: Kind::Area, index: 0 },
        _ => {
            let by_kind = tag.split_once('#').and_then(|(kind, n)| Some((Kind::named(kind)?, n.parse().ok()?)));
            by_kind
                .map(|(kind, index)| ItemRef { kind, index })
                .or_else(|| shop.named(tag))
                .unwrap_or_else(|| panic!("no item {tag}"))
        }
    }
}

/// `C1.breaker.amps` as text: `20 A`, `yes`, `absent`, `PVC-40 or PVC-80`, `at least 18 in`, `-`.
fn fact(shop: &Shop, path: &str) -> String {
    let mut steps = path.split('.');
    let mut at = item(shop, steps.next().unwrap());
    let words: Vec<&str> = steps.collect();
    for (i, word) in words.iter().enumerate() {
        let name = shop.vocabulary.name(word).unwrap_or_else(|| panic!("no word {word}"));
        let known = shop.vocabulary.word(at.kind, name).unwrap_or_else(|| panic!("{} has no {word}", at.kind));
        let value = shop.value(at, name);
        if i + 1 < words.len() {
            match value {
                Value::Item(next) => at = next,
                other => return format!("{word} is {}", show(shop, other, known.ty)),
            }
            continue;
        }
        let how = match shop.source(at, name).how {
            How::Assumed => " assumed",
            How::Seen => " seen",
            How::Measured => " measured",
            How::OnPaper => " on paper",
            How::Unread => " unread",
            How::Conflict => " conflict",
            _ => "",
        };
        return format!("{}{how}", show(shop, value, known.ty));
    }
    panic!("{path} names no word")
}

fn show(shop: &Shop, value: Value, ty: Type) -> String {
    let number = |n| match ty {
        // Temperatures are shown both ways; the first is enough here.
        Type::Quantity(scale) => scale.show(n).split(" (").next().unwrap_or_default().to_string(),
        _ => format!("{n:?}"),
    };
    match value {
        Value::Unknown => "-".into(),
        Value::Absent => "absent".into(),
        Value::YesNo(true) => "yes".into(),
        Value::YesNo(false) => "no".into(),
        Value::Number(n) => number(n),
        Value::Range(r) => match (r.low, r.high) {
            (Some(low), Some(high)) => format!("{} to {}", number(low), number(high)),
            (Some(low), None) if r.low_is_open => format!("over {}", number(low)),
            (Some(low), None) => format!("at least {}", number(low)),
            (None, Some(high)) if r.high_is_open => format!("under {}", number(high)),
            (None, Some(high)) => format!("at most {}", number(high)),
            (None, None) => "-".into(),
        },
        Value::Choice(bits) => {
            let (Type::Choice(id) | Type::Choices(id)) = ty else { panic!("a choice in {ty:?}") };
            let names = (0..64u8).filter(|i| bits >> i & 1 == 1).map(|i| shop.vocabulary.choice_text(id, i));
            names.collect::<Vec<_>>().join(" or ")
        }
        Value::Item(item) => shop.called(item),
        Value::List(id) => {
            let list = shop.list(id);
            let names: Vec<String> = list.sure.iter().map(|i| shop.called(*i)).collect();
            format!("[{}{}]", names.join(", "), if list.is_open { " …" } else { "" })
        }
        Value::Name(n) => shop.proper_name(n).to_string(),
    }
}

/// Checks a table and reports every row that is wrong.
fn check(rows: &[(&str, &[&str])]) {
    let mut wrong = Vec::new();
    for (text, facts) in rows {
        let shop = build(text);
        for problem in &shop.problems {
            wrong.push(format!("`{text}`: {} ({})", problem.message, problem.help.as_deref().unwrap_or("")));
        }
        for row in *facts {
            let (path, wanted) = row.split_once(" = ").unwrap();
            let found = fact(&shop, path);
            if found != wanted {
                wrong.push(format!("`{text}`: {path} is {found}, not {wanted}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_shop() {
    check(&[
        ("shop /   code NEC 2023", &["permit.edition = NEC 2023"]),
        ("shop /   code NEC 2005 or NEC 2008", &["permit.edition = NEC 2005 to NEC 2008"]),
        ("shop /   code before NEC 2008", &["permit.edition = under NEC 2008"]),
        ("shop /   permit 2027-02-15", &["permit.date = 2027-02-15", "permit.is-issued = yes"]),
        ("shop /   permit planned", &["permit.is-issued = no"]),
        ("shop /   permit 2027-02-15, planned", &["permit.is-issued = no", "permit.date = 2027-02-15"]),
        ("shop /   no permit", &["permit.is-issued = no"]),
        ("shop /   state New Mexico", &["permit.state = New Mexico"]),
        ("shop: detached", &["shop.placement = detached"]),
        ("shop: attached", &["shop.placement = attached"]),
        ("shop: within the house", &["shop.placement = within-house"]),
        ("shop: wood frame", &["shop.frame = wood"]),
        ("shop: steel frame", &["shop.frame = steel"]),
        ("shop: block walls", &["shop.frame = masonry"]),
        ("shop: 24 ft x 30 ft", &["shop.floor-area = 103680 in2"]),
        ("shop: 75 ft from house", &["shop.distance = 75 ft"]),
        ("shop: use workshop", &["area.use = workshop"]),
        ("shop: use garage", &["area.use = garage"]),
        ("shop: use storage", &["area.use = storage"]),
        ("shop: use shed", &["area.use = workshop or storage"]),
        ("shop: use barn", &["area.use = workshop or garage or storage or other"]),
        ("shop: use pool house", &["area.use = pool-house"]),
        ("shop: use dwelling", &["shop.has-dwelling-unit = yes"]),
        ("shop: use business", &["shop.is-business = yes"]),
        ("shop: use garage and workshop", &["area.use = garage", "workshop.use = workshop"]),
        ("shop: use garage or workshop", &["area.use = workshop or garage"]),
        ("shop: beside one-family house", &["shop.beside = one-family-house"]),
        ("shop: beside two-family house", &["shop.beside = two-family-house"]),
        ("shop: beside business", &["shop.beside = no-dwelling"]),
        ("shop: hottest 104 F", &["shop.hottest = 104 F"]),
        (
            "shop: hottest 104 F / area loft: use storage, hottest 120 F / area A1",
            &["loft.hottest = 120 F", "A1.hottest = 104 F"],
        ),
        ("shop: hottest 40 C", &["shop.hottest = 104 F"]),
        ("shop: coldest -10 F", &["shop.coldest = -10 F"]),
        ("shop: soil rock", &["shop.soil = rock"]),
        ("shop: soil settled", &["shop.soil = settled"]),
        ("shop: steel frame bonded to P1 / panel P1", &["shop.frame = steel", "shop.frame-bond = frame bond of shop"]),
        ("shop: steel frame bonded with 6 AWG Cu", &["shop.frame-bond.size = 6 AWG", "shop.frame-bond.metal = copper"]),
        (
            "shop: steel frame bonded to P1 with 8 AWG Cu / panel P1",
            &["shop.frame-bond.size = 8 AWG", "shop.frame-bond.metal = copper"],
        ),
        ("shop: steel frame not bonded", &["shop.frame-bond = absent"]),
        ("shop: steel frame bolted to slab", &["shop.is-frame-in-earth = no"]),
        ("shop: metal siding bonded", &["shop.is-siding-bonded = yes"]),
        ("shop: metal siding not bonded", &["shop.is-siding-bonded = no"]),
        ("shop: floor at grade", &["area.is-at-grade = yes"]),
        ("shop: no dwelling unit", &["shop.has-dwelling-unit = no"]),
        ("shop: 2 vehicle bays", &["shop.bays = [bay 1, bay 2]"]),
        ("shop: no vehicle bays", &["shop.bays = []"]),
        (
            "shop /   footing: steel seen, no other steel in earth",
            &["shop.footing-steel = seen", "shop.has-other-steel-in-earth = no"],
        ),
        ("shop /   footing: steel out of reach", &["shop.footing-steel = out-of-reach"]),
        (
            "shop /   water pipe: metal, 12 ft in earth, bonded with 6 AWG Cu",
            &[
                "pipe#0.carries = water",
                "pipe#0.is-metal = yes",
                "pipe#0.length-in-earth = 12 ft",
                "pipe#0.bond.size = 6 AWG",
            ],
        ),
        ("shop /   gas pipe: plastic", &["pipe#0.carries = gas", "pipe#0.is-metal = no"]),
        ("shop /   water pipe: plastic /   no gas pipe, no other metal pipe", &["shop.pipes = [water pipe]"]),
        ("shop /   water pipe: plastic", &["shop.pipes = [water pipe …]"]),
        ("shop: roof deck corrugated steel", &["shop.roof-deck = metal-corrugated"]),
        ("shop: roof deck wood", &["shop.roof-deck = wood"]),
        ("shop: walls open", &["area.wall-finish = open-framing"]),
        ("shop: no electrode", &["shop.electrodes = []"]),
        ("shop: one floor", &["shop.floors = 1"]),
        ("shop: owner lives here", &["permit.is-owner-resident = yes"]),
        (
            "shop /   1 walk door at grade, lit by L1 / light L1",
            &["door#0.type = person", "door#0.is-at-grade = yes", "L1.door = door 1"],
        ),
        ("shop: new", &["shop.is-existing = no"]),
        ("shop: installed 1980 to 1989", &["shop.installed = 1980-01-01 to 1989-12-31"]),
        (
            "work W1 \"new wiring\": permit 2027-02-15, by owner, owner lives here",
            &["permit.worker = owner", "permit.date = 2027-02-15", "permit.is-owner-resident = yes"],
        ),
        ("work W1: by electrician", &["permit.worker = licensed"]),
        ("area loft: in shop, use storage", &["loft.use = storage", "loft.building = shop"]),
        (
            "area A1: use workshop, has bath, has wet bar, no cooking, has sleeping",
            &["A1.has-bath = yes", "A1.has-wet-bar = yes", "A1.has-cooking = no", "A1.has-sleeping = yes"],
        ),
        ("area A1: in house, use bedroom", &["A1.building = house", "A1.use = bedroom"]),
        ("area A1: has vehicle bay", &["shop.bays = [bay 1 …]"]),
    ]);
}

#[test]
fn supplies_feeders_and_panels() {
    check(&[
        ("supply house: service 200 A", &["house.amps = 200 A"]),
        ("supply house: panel 200 A", &["house.amps = 200 A"]),
        ("supply house: 120/240 V, 1-phase", &["house.system = 120/240", "house.phases = 1"]),
        ("supply house: fault current 10 kA", &["house.fault-current = 10000 A"]),
        ("supply house: 2 spaces free", &["house.stated-spaces-free = 2"]),
        ("supply house: neutral bonded", &["house.is-neutral-bonded = yes"]),
        ("supply house: terminals 75 C", &["house.terminal-marking = 167 F"]),
        ("supply house: not changed", &["house.service-work = none"]),
        (
            "feeder F1 from house to P1 / panel P1",
            &["F1.supply = supply house", "F1.far-panel = panel P1", "F1.near-end = supply house", "F1.panel = absent"],
        ),
        (
            "feeder F2 from P1 to P2 / panel P1, P2",
            &["F2.panel = panel P1", "F2.far-panel = panel P2", "F2.supply = -"],
        ),
        ("feeder F1 to D1 / disconnect D1", &["F1.far-end = disconnect D1", "F1.far-panel = -"]),
        ("feeder F1 to shop", &["F1.far-end = the shop"]),
        (
            "feeder F1: breaker 60 A, 2-pole, 240 V",
            &["F1.breaker.amps = 60 A", "F1.breaker.poles = 2", "F1.volts = 240 V"],
        ),
        ("feeder F1: breaker under 60 A", &["F1.breaker.amps = under 60 A"]),
        ("feeder F1: breaker 50 A or 60 A", &["F1.breaker.amps = 50 A to 60 A"]),
        (
            "feeder F1: no breaker, tapped at line side of main",
            &["F1.is-protected-at-source = no", "F1.is-tapped = yes", "F1.tapped-at = line-side"],
        ),
        ("feeder F1: fuse 60 A", &["F1.breaker.amps = 60 A", "F1.breaker.type = fuse"]),
        (
            "feeder F1: wire 3 x 4 AWG Cu THWN-2",
            &["F1.wire.count = 3", "F1.wire.size = 4 AWG", "F1.wire.metal = copper", "F1.wire.insulation = THWN-2"],
        ),
        ("feeder F1: wire 2 AWG Al", &["F1.wire.size = 2 AWG", "F1.wire.metal = aluminum", "F1.wire.count = -"]),
        ("feeder F1: wire XHHW-2 or THWN-2", &["F1.wire.insulation = THWN-2 or XHHW-2"]),
        ("feeder F1: wire 10 AWG or 12 AWG", &["F1.wire.size = 12 AWG to 10 AWG"]),
        ("feeder F1: wire 250 kcmil Al", &["F1.wire.size = 250 kcmil"]),
        ("feeder F1: wire for 100 A", &["F1.wire.ampacity-said = 100 A", "F1.wire.size = -"]),
        ("feeder F1: wire upsized", &["F1.is-upsized = yes"]),
        ("feeder F1: 4 wires", &["F1.wire-count = 4"]),
        (
            "feeder F1: cable 2-2-2-4 Al SER",
            &[
                "F1.method = SER",
                "F1.wire.size = 2 AWG",
                "F1.wire.count = 3",
                "F1.wire.metal = aluminum",
                "F1.neutral-wire.size = 2 AWG",
                "F1.equipment-ground.size = 4 AWG assumed",
            ],
        ),
        (
            "feeder F1: cable 2-2-4 Al URD or triplex",
            &[
                "F1.method = triplex or URD",
                "F1.wire.count = 3",
                "F1.neutral-wire.size = 4 AWG",
                "F1.equipment-ground = -",
            ],
        ),
        ("feeder F1: cable mobile-home feeder", &["F1.method = mobile-home-feeder"]),
        ("feeder F1: neutral 8 AWG", &["F1.neutral-wire.size = 8 AWG", "F1.has-neutral = yes"]),
        ("feeder F1: neutral bare", &["F1.neutral-wire.insulation = bare"]),
        ("feeder F1: no neutral", &["F1.has-neutral = no"]),
        (
            "feeder F1: equipment ground 10 AWG Cu THWN-2",
            &["F1.equipment-ground.size = 10 AWG", "F1.equipment-ground-type = wire"],
        ),
        (
            "feeder F1: equipment ground by raceway",
            &["F1.equipment-ground = absent", "F1.equipment-ground-type = raceway"],
        ),
        (
            "feeder F1: equipment ground in cable",
            &["F1.equipment-ground = equipment ground of F1", "F1.ground-by = in-cable"],
        ),
        (
            "feeder F1: equipment ground by wire",
            &["F1.equipment-ground = equipment ground of F1", "F1.equipment-ground.size = -"],
        ),
        (
            "feeder F1: equipment ground by electrode",
            &["F1.equipment-ground = absent", "F1.equipment-ground-type = none", "F1.ground-by = electrode"],
        ),
        ("feeder F1: equipment ground by water pipe", &["F1.ground-by = water-pipe"]),
        ("feeder F1: equipment ground by steel frame", &["F1.ground-by = steel-frame"]),
        ("feeder F1: no equipment ground", &["F1.equipment-ground = absent", "F1.equipment-ground-type = none"]),
        ("feeder F1: equipment ground upsized", &["F1.is-ground-upsized = yes"]),
        ("feeder F1: equipment ground not upsized", &["F1.is-ground-upsized = no"]),
        ("feeder F1: terminals 75 C", &["F1.terminal-marking = 167 F"]),
        ("feeder F1: terminals unmarked", &["F1.is-terminal-unmarked = yes", "F1.terminal-marking = -"]),
        (
            "feeder F1 /   terminal: 2 wires, marked for 1, Al with Cu, torque 35 in-lb",
            &[
                "F1.terminal-wires = 2",
                "F1.terminal-limit = 1",
                "F1.is-terminal-mixed = yes",
                "F1.terminal-torque = 35 in-lb",
            ],
        ),
        (
            "feeder F1 /   other metal between buildings: water pipe, bonded at both ends",
            &["F1.has-other-metal-path = yes", "F1.is-other-path-bonded = yes"],
        ),
        ("feeder F1: no other metal between buildings", &["F1.has-other-metal-path = no"]),
        ("feeder F1 /   other metal between buildings: unknown", &["F1.has-other-metal-path = -"]),
        ("feeder F1: enters at P1 / panel P1", &["F1.enters-at = panel P1"]),
        ("feeder F1: existing, lawful when made", &["F1.is-existing = yes", "F1.is-lawful-when-made = yes"]),
        ("feeder F1: installed before 2005", &["F1.installed = under 2005-01-01"]),
        (
            "feeder F1 /   stretch 24 ft: 1 in PVC-40, buried 16 in, under drive /   stretch 8 ft",
            &[
                "F1-1.length = 24 ft",
                "F1-1.method = PVC-40",
                "F1-1.trade-size = 1 in",
                "F1-1.cover = 16 in",
                "F1-1.under = dwelling-drive",
                "F1-1.place = buried",
                "F1-2.length = 8 ft",
                "F1.has-open-stretches = no",
            ],
        ),
        ("feeder F1 /   stretch 24 ft: buried /   stretch unknown", &["F1.has-open-stretches = yes", "F1-1.cover = -"]),
        ("panel P1: bus 100 A, 12 spaces", &["P1.bus-amps = 100 A", "P1.spaces = 12"]),
        (
            "panel P1: 3 spaces free, at least 3 circuits, over 6 breakers",
            &["P1.stated-spaces-free = 3", "P1.circuit-count = at least 3", "P1.breaker-count = over 6"],
        ),
        (
            "panel P1: main 60 A, 2-pole, back-fed",
            &["P1.main.amps = 60 A", "P1.main.poles = 2", "P1.main.is-back-fed = yes"],
        ),
        ("panel P1: main 60 A, built in", &["P1.main.is-back-fed = no"]),
        ("panel P1: main 60 A, spaces 1 and 3", &["P1.main.space = 1", "P1.main.second-space = 3"]),
        ("panel P1: no main", &["P1.main = absent"]),
        ("panel P1: main none", &["P1.main = absent"]),
        ("panel P1: main unknown", &["P1.main = -"]),
        ("panel P1: main-lug", &["P1.main = absent"]),
        ("panel P1: main-lug, main 60 A", &["P1.main.amps = 60 A"]),
        ("panel P1: neutral isolated, ground bar", &["P1.is-neutral-bonded = no", "P1.has-ground-bar = yes"]),
        ("panel P1: neutral bonded by strap, no ground bar", &["P1.is-neutral-bonded = yes", "P1.has-ground-bar = no"]),
        (
            "panel P1 /   clear: 36 in deep, 30 in wide, 80 in high",
            &["P1.clear-depth = 36 in", "P1.clear-width = 30 in", "P1.clear-height = 80 in"],
        ),
        ("panel P1: in front bench", &["P1.space-holds = bench"]),
        ("panel P1: in front goods", &["P1.space-holds = storage"]),
        ("panel P1: in front steps", &["P1.space-holds = steps"]),
        ("panel P1: nothing in front", &["P1.space-holds = nothing"]),
        ("panel P1 /   directory: complete", &["P1.has-directory = yes", "P1.directory = complete"]),
        ("panel P1 /   directory: partly, 3 circuits unmarked", &["P1.directory = partly", "P1.unmarked-circuits = 3"]),
        ("panel P1: no directory", &["P1.has-directory = no"]),
        (
            "panel P1: terminals 75 C, interrupting 10 kA",
            &["P1.terminal-marking = 167 F", "P1.interrupting-rating = 10000 A"],
        ),
        ("panel P1: all drawn", &["P1.is-all-drawn = yes"]),
        ("panel P1: indoors, 62 in up", &["P1.place = indoors", "P1.handle-height = 62 in"]),
        ("panel P1: type 3R, door opens 90 deg", &["P1.enclosure = type-3R", "P1.door-swing = 90 deg"]),
        ("panel P1: in house", &["P1.building = house"]),
        (
            "disconnect D1: 60 A, 3 hp, 240 V, 2-pole",
            &["D1.amps = 60 A", "D1.horsepower = 3 hp", "D1.volts = 240 V", "D1.poles = 2"],
        ),
        ("disconnect D1: fused", &["D1.type = pull-out or fused-switch"]),
        ("disconnect D1: breaker", &["D1.type = breaker"]),
        ("disconnect D1: snap switch", &["D1.type = snap-switch"]),
        ("disconnect D1: cord and plug", &["D1.type = cord-and-plug"]),
        (
            "disconnect D1: in sight of M1, 5 ft away / equipment M1",
            &["D1.is-in-sight = yes", "D1.equipment = [equipment M1]", "D1.distance = 5 ft"],
        ),
        (
            "disconnect D1: type 3R, outdoors, lockable, readily accessible",
            &["D1.enclosure = type-3R", "D1.place = outdoors", "D1.is-lockable = yes", "D1.is-readily-reachable = yes"],
        ),
        (
            "electrode E1: 2 rods, 5/8 in x 8 ft, 6 ft apart",
            &[
                "E1.type = rod",
                "E1.diameter = 5/8 in",
                "E1.length = 8 ft",
                "E1.spacing = 6 ft",
                "E1-2.length = 8 ft",
                "shop.electrodes = [electrode E1, rod 2 of E1]",
            ],
        ),
        ("electrode E1: at least 1 rod", &["shop.electrodes = [electrode E1 …]"]),
        ("electrode E1: 1 or 2 rods", &["shop.electrodes = [electrode E1 …]"]),
        (
            "electrode E1: 1 rod, 17 in long, driven about 6 in",
            &["E1.length = 17 in", "E1.depth-in-soil = 6 in assumed"],
        ),
        ("electrode E1: 1 rod, resistance 21 ohm", &["E1.resistance = 21 ohm"]),
        ("electrode E1: 1 rod, resistance unknown", &["E1.resistance = -"]),
        (
            "electrode E1: concrete-encased rebar, 1/2 in x 80 ft",
            &["E1.type = footing", "E1.wire = absent", "E1.length = 80 ft"],
        ),
        (
            "electrode E1: concrete-encased 20 ft of 4 AWG bare Cu",
            &["E1.wire.size = 4 AWG", "E1.wire.insulation = bare", "E1.length = 20 ft"],
        ),
        ("electrode E1: water pipe", &["E1.type = water-pipe"]),
        ("electrode E1: ring", &["E1.type = ring"]),
        ("electrode E1: plate", &["E1.type = plate"]),
        ("electrode E1: building steel", &["E1.type = in-ground-steel"]),
        (
            "electrode E1: 1 rod, wire 6 AWG Cu to P1, lands on ground bar / panel P1",
            &[
                "electrode-conductor#0.size = 6 AWG",
                "electrode-conductor#0.metal = copper",
                "electrode-conductor#0.lands-in = panel P1",
                "electrode-conductor#0.lands-on = ground-bar",
                "electrode-conductor#0.electrodes = [electrode E1]",
                "E1.is-connected = yes",
            ],
        ),
        ("electrode E1: 1 rod, lands on neutral bar", &["electrode-conductor#0.lands-on = neutral-bar"]),
        ("electrode E1: concrete-encased rebar, seen before the pour", &["E1.is-seen-before-pour = yes"]),
    ]);
}

#[test]
fn boxes_and_runs() {
    check(&[
        ("box B1: 4 in square, 2-1/8 in deep", &["B1.shape = square", "B1.width = 4 in", "B1.depth = 2-1/8 in"]),
        ("box B1: 4 in octagon", &["B1.shape = octagon"]),
        ("box B1: 2-gang, 34 in3, plastic", &["B1.gangs = 2", "B1.marked-volume = 34 in3", "B1.is-metal = no"]),
        ("box B1: 18 in3 to 20 in3, metal", &["B1.marked-volume = 18 in3 to 20 in3", "B1.is-metal = yes"]),
        ("box B1: weatherproof, outdoors", &["B1.is-weatherproof = yes", "B1.place = outdoors"]),
        ("box B1: clamps inside", &["B1.has-clamps = yes"]),
        ("box B1: no clamps", &["B1.has-clamps = no"]),
        ("box B1: extension 21 in3", &["B1.extension-volume = 21 in3"]),
        ("box B1: no extension", &["B1.extension-volume = absent"]),
        ("box B1: cover plate", &["B1.cover = plate", "B1.has-cover = yes"]),
        ("box B1: cover blank", &["B1.cover = blank-plate"]),
        ("box B1: cover raised", &["B1.cover = raised"]),
        ("box B1: cover in-use", &["B1.cover = in-use"]),
        ("box B1: no cover", &["B1.cover = none", "B1.has-cover = no"]),
        (
            "box B1: holds R1, S1 / receptacle R1 / switch S1",
            &["B1.devices = [receptacle R1, switch S1]", "R1.box = box B1"],
        ),
        ("box B1: holds R1 and unknown / receptacle R1", &["B1.devices = [receptacle R1 …]"]),
        ("box B1: holds nothing", &["B1.devices = []"]),
        ("box B1: holds splice of F1 / feeder F1", &["B1.splices = [feeder F1]", "B1.devices = []"]),
        (
            "box B1: cables 3 x 12/2 NM-B",
            &[
                "B1.cable-count = 3",
                "B1.cable-conductors = 2",
                "B1.wire.size = 12 AWG",
                "B1.equipment-ground.size = 12 AWG assumed",
            ],
        ),
        ("box B1: all drawn", &["B1.is-all-drawn = yes"]),
        ("box B1 to B3: metal", &["B1.is-metal = yes", "B3.is-metal = yes"]),
        ("box B1: outdoors, holds R1 / receptacle R1", &["R1.place = outdoors"]),
        (
            "box B1, B2 / run B1 to B2: 3/4 in EMT, 9 ft, 2 bends",
            &[
                "B1-B2.method = EMT",
                "B1-B2.trade-size = 3/4 in",
                "B1-B2.length = 9 ft",
                "B1-B2.bends = 180 deg",
                "B1-B2.boxes = [box B1, box B2]",
            ],
        ),
        ("box B1 / run N1 from unknown to B1: raceway", &["N1.boxes = [box B1 …]"]),
        (
            "receptacle R1, R2 / run R1 to R2: cable 14/2",
            &["R1-R2.boxes = [ …]", "R1-R2.wire.size = 14 AWG", "R1-R2.equipment-ground = -"],
        ),
        (
            "box B1: holds R1 / receptacle R1 / panel P1 / run P1 to R1: EMT",
            &["P1-R1.boxes = [box B1]", "P1-R1.panels = [panel P1]"],
        ),
        ("box B1, B2, B3 / run B1 to B2, B3: cable 14/2", &["B1-B2.wire.count = 2", "B1-B3.wire.count = 2"]),
        ("run N1 from unknown to unknown: LFMC or LFNC", &["N1.method = LFMC or LFNC"]),
        ("run N1 from unknown to unknown: PVC", &["N1.method = PVC-40 or PVC-80"]),
        (
            "run N1 from unknown to unknown: metal raceway",
            &["N1.method = EMT or IMC or RMC or FMC or LFMC or surface-metal or wireway"],
        ),
        ("run N1 from unknown to unknown: 2 in raceway, empty", &["N1.trade-size = 2 in", "N1.is-empty = yes"]),
        (
            "run N1 from unknown to unknown: cable 12/2 NM-B",
            &["N1.method = NM-B", "N1.wire.insulation = NM-inside", "N1.equipment-ground.size = 12 AWG assumed"],
        ),
        ("run N1 from unknown to unknown: cable 12/2 NM-B without ground", &["N1.equipment-ground = absent"]),
        (
            "run N1 from unknown to unknown: cable 12/2 NM",
            &["N1.equipment-ground = -", "N1.method = NM-B", "N1.wire.insulation = -"],
        ),
        (
            "run N1 from unknown to unknown: cable 10/3 with ground",
            &["N1.equipment-ground.size = 10 AWG assumed", "N1.wire.count = 3"],
        ),
        ("run N1 from unknown to unknown: cable 10 AWG AC or MC", &["N1.method = MC or AC", "N1.wire.size = 10 AWG"]),
        ("run N1 from unknown to unknown: cable 8/3 UF-B or 8/2 UF-B", &["N1.method = UF-B", "N1.wire.count = 2 to 3"]),
        ("run N1 from unknown to unknown: cable UF-B in PVC-80", &["N1.method = PVC-80", "N1.cable = UF-B"]),
        (
            "run N1 from unknown to unknown: cable in 2 in PVC-40, buried",
            &["N1.method = PVC-40", "N1.trade-size = 2 in", "N1.place = buried"],
        ),
        ("run N1 from unknown to unknown: cable or PVC", &["N1.trade-size = -"]),
        ("run N1 from unknown to unknown: cord SO", &["N1.method = flexible-cord"]),
        (
            "run N1 from unknown to unknown: extension cord, exposed, stapled",
            &["N1.method = flexible-cord", "N1.is-exposed = yes", "N1.is-strapped = yes"],
        ),
        ("run N1 from unknown to unknown: wire 14 AWG", &["N1.wire.size = 14 AWG"]),
        ("run N1 from unknown to unknown: 270 deg", &["N1.bends = 270 deg"]),
        ("run N1 from unknown to unknown: no bends", &["N1.bends = 0 deg"]),
        ("run N1 from unknown to unknown: at least 4 bends", &["N1.bends = at least 360 deg"]),
        (
            "run N1 from unknown to unknown: supports every 8 ft, first support at most 3 ft",
            &["N1.support-spacing = 8 ft", "N1.box-support = at most 36 in"],
        ),
        ("run N1 from unknown to unknown: not stapled", &["N1.is-strapped = no"]),
        ("run N1 from unknown to unknown: tied to raceway", &["N1.is-tied-to-raceway = yes"]),
        ("run N1 from unknown to unknown: not open to knocks", &["N1.is-exposed-to-damage = no"]),
        (
            "run N1 from unknown to unknown: at least 4 in below roof deck",
            &["N1.deck-gap = at least 4 in", "N1.is-under-roof-deck = yes"],
        ),
        (
            "run N1 from unknown to unknown: through bored studs, holes 1-1/2 in from the edge",
            &["N1.is-through-framing = yes", "N1.edge-distance = 1-1/2 in"],
        ),
        (
            "run N1 from unknown to unknown: overhead, 12 ft up, over drive",
            &["N1.place = overhead", "N1.height = 12 ft", "N1.over = drive"],
        ),
        ("run N1 from unknown to unknown: under 7 ft up", &["N1.height = under 7 ft"]),
        ("run N1 from unknown to unknown: buried over 24 in", &["N1.cover = over 24 in"]),
        ("run N1 from unknown to unknown: buried, under lawn or garden", &["N1.under = lawn"]),
        ("run N1 from unknown to unknown: buried, under drive or street", &["N1.under = road or dwelling-drive"]),
        ("run N1 from unknown to unknown: buried, under slab", &["N1.under = concrete-2-in or slab-4-in"]),
        ("run N1 from unknown to unknown: no expansion fitting", &["N1.has-expansion-fitting = no"]),
        ("box B1 / run N1 from unknown to B1: gap at B1", &["N1.has-gap = yes"]),
        ("run N1 from unknown to unknown: outdoors, buried 12 in", &["N1.place = buried"]),
        ("run N1 from unknown to unknown: indoors, damp location", &["N1.place = indoors-damp"]),
        ("run N1 from unknown to unknown: outdoors under roof", &["N1.place = outdoors-under-roof"]),
        ("run N1 from unknown to unknown: on outside wall", &["N1.place = outdoors"]),
        ("run N1 from unknown to unknown: on inside wall", &["N1.place = indoors"]),
        (
            "run N1 from unknown to unknown /   stretch 5 ft: RMC, buried 6 in",
            &["N1-1.method = RMC", "N1-1.length = 5 ft"],
        ),
    ]);
}

#[test]
fn circuits() {
    check(&[
        (
            "circuit C1: breaker 20 A, 1-pole, GFCI, no AFCI",
            &[
                "C1.breaker.amps = 20 A",
                "C1.breaker.poles = 1",
                "C1.breaker.has-gfci = yes",
                "C1.breaker.has-afci = no",
            ],
        ),
        ("circuit C1: breaker 20 A, plain", &["C1.breaker.has-gfci = no", "C1.breaker.has-afci = no"]),
        ("circuit C1: breaker 20 A, GFCI, plain", &["C1.breaker.has-gfci = yes", "C1.breaker.has-afci = no"]),
        ("circuit C1: breaker 20 A", &["C1.breaker.has-gfci = -"]),
        ("circuit C1: assume breaker 20 A", &["C1.breaker.amps = 20 A assumed"]),
        ("circuit C1, C2: breaker 20 A", &["C1.breaker.amps = 20 A", "C2.breaker.amps = 20 A"]),
        ("circuit C1: tied to C2 / circuit C2", &["C1.breaker.has-handle-tie = yes", "C1.tied-to = [circuit C2]"]),
        (
            "circuit C1: not tied to C2 / circuit C2",
            &["C1.breaker.has-handle-tie = no", "C1.breaker.is-common-trip = no"],
        ),
        (
            "circuit C1: common trip with C2, breaker 20 A / circuit C2",
            &["C1.breaker.poles = 2", "C2.breaker.amps = 20 A", "C2.breaker.is-common-trip = yes"],
        ),
        ("circuit C1: space 9, phase A", &["C1.breaker.space = 9", "C1.space = 9", "C1.phase = A"]),
        ("circuit C1: spaces 2 and 4", &["C1.breaker.space = 2", "C1.breaker.second-space = 4"]),
        ("circuit C1: space 1, space 3", &["C1.breaker.space = 1", "C1.breaker.second-space = 3"]),
        ("circuit C1: 240 V", &["C1.volts = 240 V"]),
        (
            "circuit C1: neutral shared with C2 / circuit C2, C3",
            &["C1.neutral-partners = [circuit C2]", "C2.neutral-partners = [circuit C1]", "C3.neutral-partners = -"],
        ),
        (
            "circuit C1: neutral shared with C2 and C3 / circuit C2, C3",
            &["C1.neutral-partners = [circuit C2, circuit C3]", "C3.neutral-partners = [circuit C1]"],
        ),
        ("circuit C1: neutral own", &["C1.neutral-partners = []", "C1.has-neutral = yes"]),
        ("circuit C1: neutral unknown", &["C1.neutral-partners = [ …]"]),
        ("circuit C1: own neutral", &["C1.neutral-partners = []"]),
        ("circuit C1: interrupting 10 kA", &["C1.breaker.interrupting-rating = 10000 A"]),
        ("circuit C1: no neutral", &["C1.has-neutral = no"]),
        ("circuit C1: white re-marked", &["C1.is-white-remarked = yes"]),
        (
            "circuit C1: cable 12/2 NM-B",
            &[
                "C1.method = NM-B",
                "C1.wire.size = 12 AWG",
                "C1.equipment-ground-type = wire assumed",
                "C1.equipment-ground.insulation = -",
            ],
        ),
        ("circuit C1: extension cord", &["C1.method = flexible-cord"]),
        ("circuit C1: continuous", &["C1.is-continuous = yes"]),
        ("circuit C1: not continuous", &["C1.is-continuous = no"]),
        ("circuit C1 from house to shop", &["C1.supply = supply house", "C1.far-end = the shop", "C1.panel = -"]),
        ("panel P1 / circuit C1", &["C1.panel = panel P1"]),
        ("panel P1, P2 / circuit C1 from P2 / circuit C2", &["C1.panel = panel P2", "C2.panel = -"]),
        ("circuit C1 /   stretch 60 ft: outdoors, buried 12 in", &["C1-1.cover = 12 in", "C1-1.place = buried"]),
        ("circuit C1: cable UF-B in PVC-80", &["C1.method = PVC-80", "C1.cable = UF-B"]),
        ("feeder F1: 1 in PVC-40", &["F1.method = PVC-40", "F1.trade-size = 1 in"]),
        ("circuit C1: breaker 20 A, feeds none", &["C1.breaker.amps = 20 A"]),
        ("circuit C1 /   terminal: 1 wire, pigtail to 2 wires", &["C1.terminal-wires = 1", "C1.pigtail-wires = 2"]),
    ]);
}

#[test]
fn devices() {
    check(&[
        (
            "receptacle R1: 5-20R, duplex, GFCI, TR, no WR",
            &[
                "R1.configuration = 5-20R",
                "R1.is-duplex = yes",
                "R1.has-gfci = yes",
                "R1.is-tamper-resistant = yes",
                "R1.is-weather-resistant = no",
            ],
        ),
        ("receptacle R1: single, AFCI", &["R1.is-duplex = no", "R1.has-afci = yes"]),
        (
            "receptacle R1: plain",
            &["R1.has-gfci = no", "R1.has-afci = no", "R1.is-weather-resistant = no", "R1.is-tamper-resistant = no"],
        ),
        ("receptacle R1: 50 A, 240 V", &["R1.amps = 50 A", "R1.volts = 240 V", "R1.configuration = -"]),
        ("receptacle R1: L6-30R", &["R1.configuration = L6-30R"]),
        ("receptacle R1: cover in-use, extra-duty", &["R1.cover = in-use", "R1.is-extra-duty = yes"]),
        ("receptacle R1: cover plate", &["R1.cover = plate"]),
        ("receptacle R1: for door opener", &["R1.serves = door-opener"]),
        ("receptacle R1: for freezer", &["R1.serves = refrigerator"]),
        ("receptacle R1: for lights only", &["R1.serves = lights", "R1.is-for-one = yes"]),
        ("receptacle R1: for M1 only / equipment M1", &["R1.meant-for = equipment M1", "R1.is-for-one = yes"]),
        ("receptacle R1: not readily accessible, 12 ft up", &["R1.is-readily-reachable = no", "R1.height = 12 ft"]),
        ("receptacle R1: in garage / shop: use garage", &["R1.area = area shop"]),
        ("receptacle R1: in bedroom", &["R1.area = area bedroom", "bedroom.use = bedroom"]),
        ("receptacle R1: in loft / area loft: use storage", &["R1.area = area loft"]),
        (
            "receptacle R1: in vehicle bay / shop: use garage and workshop, 1 vehicle bay",
            &["R1.bay = bay 1", "R1.area = area shop"],
        ),
        ("shop: use workshop / receptacle R1", &["R1.area = area shop"]),
        (
            "receptacle R1 to R3: 5-20R, terminals 75 C, 2-gang",
            &["R3.configuration = 5-20R", "R2.terminal-marking = 167 F", "R1.gangs = 2"],
        ),
        ("switch S1: single-pole, 15 A", &["S1.type = single-pole", "S1.amps = 15 A"]),
        ("switch S1: double-pole", &["S1.type = double-pole"]),
        ("switch S1: 3-way", &["S1.type = 3-way"]),
        ("switch S1: 4-way", &["S1.type = 4-way"]),
        ("switch S1: timer", &["S1.type = timer", "S1.control = timer"]),
        ("switch S1: single-pole, dimmer", &["S1.type = single-pole", "S1.control = dimmer"]),
        ("switch S1: photocell", &["S1.type = photocell"]),
        ("switch S1: motion sensor", &["S1.type = occupancy"]),
        ("switch S1: breaks neutral", &["S1.is-in-neutral = yes"]),
        ("switch S1: breaks hot", &["S1.is-in-neutral = no"]),
        ("switch S1: neutral at the box", &["S1.has-neutral = yes"]),
        ("switch S1: no neutral at the box", &["S1.has-neutral = no"]),
        (
            "light L1: LED, 80 W, hard-wired, wet-marked",
            &["L1.lamp = LED", "L1.watts = 80 VA", "L1.connection = hard-wired", "L1.marking = wet-location"],
        ),
        ("light L1: fluorescent, 0.4 A", &["L1.lamp = fluorescent", "L1.nameplate-current = 0.4 A"]),
        (
            "light L1: plugs into R1 / receptacle R1",
            &["L1.connection = cord-and-plug", "L1.receptacle = receptacle R1"],
        ),
        ("light L1: cord and plug", &["L1.connection = cord-and-plug"]),
        ("light L1: for D1 / door D1: walk door, at grade", &["L1.door = door D1", "D1.type = person"]),
        ("light L1: wet location", &["L1.place = washed-down or outdoors or buried or in-slab"]),
        ("device G1: GFCI", &["G1.has-gfci = yes"]),
        ("device G1: blank GFCI", &["G1.type = blank-GFCI", "G1.has-gfci = yes"]),
        ("device G1: surge protector, outdoors", &["G1.type = surge-protector", "G1.place = outdoors"]),
        ("device G1: transformer", &["G1.type = transformer"]),
        ("device G1: door button", &["G1.type = door-button"]),
        (
            "equipment M1: arc welder, 240 V, 34 A, 40 % duty",
            &["M1.type = arc-welder", "M1.volts = 240 V", "M1.nameplate-current = 34 A", "M1.duty = 0.4"],
        ),
        (
            "equipment M1: arc welder or resistance welder, effective 22 A",
            &["M1.type = arc-welder or resistance-welder", "M1.effective-amps = 22 A"],
        ),
        ("equipment M1: no effective current marked", &["M1.effective-amps = absent"]),
        ("equipment M1: plasma cutter", &["M1.type = plasma-cutter"]),
        (
            "equipment M1: motor, 1-1/2 hp, 3-phase, service factor 1.15",
            &["M1.horsepower = 1.5 hp", "M1.phases = 3", "M1.service-factor = 1.15"],
        ),
        ("equipment M1: no horsepower marked", &["M1.horsepower = absent"]),
        ("equipment M1: heater, 7500 W", &["M1.type = space-heater or water-heater", "M1.watts = 7500 VA"]),
        (
            "equipment M1: motor, 4 kW, fed by M2 / equipment M2: phase converter",
            &["M1.watts = 4000 VA", "M1.fed-by = equipment M2", "M2.type = phase-converter"],
        ),
        (
            "equipment M1: air conditioner, minimum circuit 11 A, maximum breaker 15 A",
            &["M1.type = air-conditioner", "M1.minimum-circuit = 11 A", "M1.maximum-breaker = 15 A"],
        ),
        ("equipment M1: kiln, 27 A to 35 A", &["M1.type = kiln", "M1.nameplate-current = 27 A to 35 A"]),
        ("equipment M1: door opener", &["M1.type = door-opener"]),
        (
            "equipment M1: vehicle charger, 48 A, continuous, not load-managed",
            &["M1.type = ev-charger", "M1.is-continuous = yes", "M1.has-energy-management = no"],
        ),
        ("equipment M1 /   maker: breaker 40 A, wire 8 AWG Cu to 40 ft", &["M1.maker-breaker = 40 A"]),
        ("equipment M1: overload built in", &["M1.has-built-in-overload = yes"]),
        ("equipment M1: no overload", &["M1.has-built-in-overload = no"]),
        ("equipment M1: overload 15 A", &["M1.overload-amps = 15 A"]),
        (
            "equipment M1: plugs into R1, plug 50 A / receptacle R1",
            &["M1.receptacle = receptacle R1", "M1.plug-amps = 50 A"],
        ),
        (
            "equipment M1: plugs into R1 and R2 / receptacle R1, R2",
            &["M1.receptacles = [receptacle R1, receptacle R2]", "M1.receptacle = -"],
        ),
        ("equipment M1: plug 6-50P", &["M1.plug = 6-50R", "M1.connection = cord-and-plug"]),
        ("equipment M1: cord 12 AWG 25 ft", &["M1.wire.size = 12 AWG", "M1.cord-length = 25 ft"]),
        ("equipment M1: hard-wired, about 5 hp", &["M1.connection = hard-wired", "M1.horsepower = 5 hp assumed"]),
        ("equipment M1: 4 lights, 40 W each", &["M1.type = lights", "M1.watts = 160 VA"]),
        ("cord K1: reel, plugs into R1 / receptacle R1", &["K1.use = reel", "K1.receptacle = receptacle R1"]),
        ("pipe W1: water, metal, joins both buildings", &["W1.carries = water", "W1.is-joining-buildings = yes"]),
    ]);
}

#[test]
fn records() {
    check(&[
        (
            "box B1, B2 / run B1 to B2: EMT / pulled B1 to B2: 2 x 12 AWG Cu THWN-2 black, 1 x white re-marked as hot",
            &[
                "pulled#0.size = 12 AWG",
                "pulled#1.color = black",
                "pulled#2.color = white",
                "pulled#2.is-remarked = yes",
                "pulled#2.role = hot",
                "B1-B2.pulled = [wire 1 of B1 to B2, wire 2 of B1 to B2, wire 3 of B1 to B2]",
            ],
        ),
        (
            "run N1 from unknown to unknown / pulled N1: unmarked out of NM, to pull",
            &[
                "pulled#0.insulation = unmarked",
                "pulled#0.is-out-of-cable = yes",
                "pulled#0.out-of = NM-B",
                "pulled#0.is-to-pull = yes",
            ],
        ),
        ("run N1 from unknown to unknown / pulled N1: 1 x black, used", &["pulled#0.is-used = yes"]),
        (
            "run N1 from unknown to unknown / pulled N1: 1 x 12 AWG bare as neutral",
            &["pulled#0.insulation = bare", "pulled#0.role = neutral"],
        ),
        (
            "run N1 from unknown to unknown / pulled N1: 1 x green as equipment ground",
            &["pulled#0.role = equipment-ground"],
        ),
        ("feeder F1 / pulled F1: 1 x black, 1 x bare", &["F1.pulled = [wire 1 of F1, wire 2 of F1]"]),
        (
            "receptacle R1 / tested R1: GFCI trips, polarity reversed, on 2027-05-02, by \"me\"",
            &[
                "test#0.type = gfci-trips measured",
                "test#0.is-good = yes measured",
                "test#1.type = polarity measured",
                "test#1.is-good = no measured",
            ],
        ),
        ("electrode E1: 1 rod / tested E1: 25 ohm, on 2027-05-02", &["E1.resistance = 25 ohm measured"]),
        (
            "electrode E1: 2 rods / tested E1: 25 ohm",
            &["E1.resistance = 25 ohm measured", "E1-2.resistance = 25 ohm measured"],
        ),
        ("panel P1 / tested P1: torqued", &["test#0.type = torque measured", "test#0.is-good = yes measured"]),
        ("panel P1 / seen P1, on 2027-04-10: neutral isolated", &["P1.is-neutral-bonded = no seen"]),
        ("panel P1 / measured P1, on 2027-04-10: 62 in up", &["P1.handle-height = 62 in measured"]),
        ("panel P1: neutral isolated / seen P1, on 2027-04-10: neutral isolated", &["P1.is-neutral-bonded = no seen"]),
        (
            "panel P1 / seen P1, on 2027-04-10: neutral bonded / seen P1, on 2027-05-10: neutral isolated",
            &["P1.is-neutral-bonded = no seen"],
        ),
        (
            "panel P1 / seen P1, on 2027-05-10: neutral isolated / seen P1, on 2027-04-10: neutral bonded",
            &["P1.is-neutral-bonded = no seen"],
        ),
        (
            "feeder F1 / inspected F1: trench, passed, on 2027-03-08",
            &["inspection#0.stage = trench on paper", "inspection#0.is-passed = yes on paper"],
        ),
        ("feeder F1 / inspected F1: refused \"too shallow\", on 2001", &["inspection#0.is-passed = no on paper"]),
        ("answer has-dwelling-unit: no, on paper \"letter\", on 2027-03-08", &["shop.has-dwelling-unit = no on paper"]),
        ("panel P1 / answer bus-amps of P1: 100 A, by \"me\"", &["P1.bus-amps = 100 A"]),
    ]);
}

#[test]
fn claims_for_many() {
    check(&[
        ("box B1, B2 / every box: metal", &["B1.is-metal = yes", "B2.is-metal = yes"]),
        ("box B1, B2 / every box but B2: metal", &["B1.is-metal = yes", "B2.is-metal = -"]),
        ("box B1 to B9 / every box but B2 to B9: metal", &["B1.is-metal = yes", "B9.is-metal = -"]),
        (
            "box B1, B2 / run B1 to B2: EMT / run N1 from B1 to B2: PVC-40 / every EMT run: supports every 8 ft",
            &["B1-B2.support-spacing = 8 ft", "N1.support-spacing = -"],
        ),
        (
            "run N1 from unknown to unknown: cable NM-B / run N2 from unknown to unknown: EMT / every cable: stapled",
            &["N1.is-strapped = yes", "N2.is-strapped = -"],
        ),
        (
            "box B1, B2 / run B1 to B2: EMT / seen every EMT run, on 2027-04-10: strapped",
            &["B1-B2.is-strapped = yes seen"],
        ),
        ("box B1: plastic / box B2 / every box unless said: metal", &["B1.is-metal = no", "B2.is-metal = yes"]),
        (
            "shop: indoors and dry unless said / box B1: outdoors, holds R1 / receptacle R1 / receptacle R2 / receptacle R3: damp location",
            &[
                "B1.place = outdoors",
                "R1.place = outdoors",
                "R2.place = indoors",
                "R3.place = indoors-damp or outdoors-under-roof",
            ],
        ),
        (
            "shop: all wire Cu / circuit C1: wire 12 AWG / circuit C2: wire 10 AWG Al",
            &["C1.wire.metal = copper", "C2.wire.metal = aluminum"],
        ),
        (
            "shop: all terminals 75 C / panel P1 / feeder F1: terminals 60 C",
            &["P1.terminal-marking = 167 F", "F1.terminal-marking = 140 F"],
        ),
        ("shop: all work new / feeder F1 / panel P1: existing", &["F1.is-existing = no", "P1.is-existing = yes"]),
        (
            "shop: all buried under lawn / feeder F1 /   stretch: buried /   stretch: buried, under drive /   stretch: overhead",
            &["F1-1.under = lawn", "F1-2.under = dwelling-drive", "F1-3.under = -"],
        ),
        ("assume all wire Cu / circuit C1", &["C1.wire.metal = copper assumed"]),
    ]);
}

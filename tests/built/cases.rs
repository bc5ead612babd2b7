//! The broken cases of `tests/cases/switching` as they were built: each edits the joints that its plan asks for.
//! What must be found is what the published answers name (061 to 073; 066 and 081 are broken in the plan itself).

use crate::{load_name, mutate, told, wire};
use ringout::shop::{ItemRef, Shop};
use ringout::wiring::joints::{Built, Splice};
use ringout::wiring::{self, Role, Screw, faults, simulate, simulate_built};

/// A built shop under the hands of somebody careless.
struct Hands<'a> {
    shop: &'a Shop,
    built: Built,
}

impl Hands<'_> {
    fn item(&self, name: &str) -> ItemRef {
        self.shop.named(name).expect("an item of that name")
    }

    /// The joint on a terminal.
    fn joint(&self, item: &str, screw: Screw) -> usize {
        mutate::at(&self.built, self.item(item), screw).expect("that terminal").0
    }

    fn join(&mut self, one: usize, two: usize) {
        mutate::merge(&mut self.built, one, two).expect("two joints");
    }

    /// The receptacle's tab is left in.
    fn join_halves(&mut self, item: &str) {
        let item = self.item(item);
        let halves = mutate::terminals(&self.built, |t| t.item == item && t.screw == Screw::Hot(0));
        assert_eq!(halves.len(), 2, "halves");
        self.join(halves[0].0, halves[1].0);
    }

    /// The terminal is left without a wire.
    fn bare(&mut self, item: &str, screw: Screw) {
        let at = mutate::at(&self.built, self.item(item), screw).expect("that terminal");
        let terminal = mutate::take(&mut self.built, at);
        self.built.joints.push(Splice { terminals: vec![terminal], ..Splice::default() });
    }
}

fn plan_of(case: &str) -> String {
    let file = format!("{}/tests/cases/switching/{case}.shop-case", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(file).expect("the case");
    text.split_once("\nexpect\n").expect("an `expect` line").0.to_string()
}

fn found(case: &str, edit: fn(&mut Hands)) -> Vec<String> {
    let (shop, wiring, planned) = wire(&plan_of(case));
    let mut hands = Hands { shop: &shop, built: planned.clone() };
    edit(&mut hands);
    faults(&wiring.nets, &planned, &hands.built).iter().map(|f| told(&shop, f)).collect()
}

/// The one truth table of the wiring as built, a line for each set of positions, up and on first: `on, down: L1, R1`. Loads of other
/// tables, which no switch touches, stand in every line.
fn table(case: &str, edit: fn(&mut Hands)) -> Vec<String> {
    let (shop, wiring, planned) = wire(&plan_of(case));
    let mut hands = Hands { shop: &shop, built: planned };
    edit(&mut hands);
    let tables = simulate_built(&shop, &wiring, &hands.built);
    let names = |table: &wiring::Table, row: &wiring::Row| -> Vec<String> {
        let on = table.loads.iter().zip(&row.on).filter(|(_, on)| **on);
        on.map(|(load, _)| load_name(&shop, &wiring, load)).collect()
    };
    let mut steady: Vec<String> =
        tables.iter().filter(|t| t.switches.is_empty()).flat_map(|t| names(t, &t.rows[0])).collect();
    let mut switched = tables.iter().filter(|t| !t.switches.is_empty());
    steady.sort();
    let Some(table) = switched.next() else { return vec![steady.join(", ")] };
    assert!(switched.next().is_none(), "{case}: more than one table");
    let lines = table.rows.iter().map(|row| {
        let word = |(s, up): (&wiring::Switch, &bool)| match (s.has_on, *up) {
            (true, true) => "on",
            (true, false) => "off",
            (false, true) => "up",
            (false, false) => "down",
        };
        let positions: Vec<&str> = table.switches.iter().zip(&row.up).map(word).collect();
        let mut on = names(table, row);
        on.extend(steady.iter().cloned());
        on.sort();
        format!("{}: {}", positions.join(", "), on.join(", "))
    });
    lines.collect()
}

/// The published tables, with the same sense of each 3-way or the exact opposite one, which is as right.
fn assert_table(case: &str, published: &[&str], edit: fn(&mut Hands)) {
    let found = table(case, edit);
    if let [steady] = found.as_slice()
        && !steady.contains(':')
    {
        // No switch touches any load: each is on whichever way they stand.
        for line in published {
            assert_eq!(line.split_once(": ").map(|(_, on)| on), Some(steady.as_str()), "{case}: {line}");
        }
        return;
    }
    let opposite = |lines: &[&str], place: usize| -> Vec<String> {
        let turned = lines.iter().map(|line| {
            let (positions, on) = line.split_once(':').expect("a row");
            let turn = |(at, word): (usize, &str)| match (at == place, word) {
                (true, "up") => "down".to_string(),
                (true, "down") => "up".to_string(),
                _ => word.to_string(),
            };
            let positions: Vec<String> = positions.split(", ").enumerate().map(turn).collect();
            format!("{}:{on}", positions.join(", "))
        });
        turned.collect()
    };
    let switches = published[0].split(':').next().expect("positions").split(", ").count();
    let senses = (0..1usize << switches).map(|mask| {
        let mut lines: Vec<String> = published.iter().map(ToString::to_string).collect();
        for place in (0..switches).filter(|place| mask & (1 << place) != 0) {
            lines = opposite(&lines.iter().map(String::as_str).collect::<Vec<_>>(), place);
        }
        // In the order of the program: up and on before down and off, the first switch slowest.
        lines.sort_by_key(|line| {
            line.split(':').next().map(|p| p.replace("up", "0").replace("down", "1").replace("on", "0"))
        });
        lines
    });
    let senses: Vec<Vec<String>> = senses.collect();
    assert!(senses.contains(&found), "{case}: {found:?}\nis none of {senses:?}");
}

fn assert_found(case: &str, wanted: &[&str], edit: fn(&mut Hands)) {
    let found = found(case, edit);
    let lacking: Vec<&&str> = wanted.iter().filter(|w| !found.iter().any(|f| f == **w)).collect();
    assert!(lacking.is_empty(), "{case}: {lacking:?} not among {found:?}");
}

#[test]
fn a_traveler_that_was_never_pulled() {
    let edit: fn(&mut Hands) = |hands| {
        let traveler = hands.built.wires.iter().rposition(|w| w.role == Role::Traveler).expect("a traveler");
        mutate::remove(&mut hands.built, traveler as u32);
    };
    assert_found("061", &["WrongControl L1"], edit);
    assert_table("061", &["up, up: L1", "up, down: ", "down, up: ", "down, down: "], edit);
}

#[test]
fn a_common_and_a_traveler_exchanged() {
    let edit: fn(&mut Hands) = |hands| {
        let (common, traveler) = (hands.item("S2"), hands.item("S2"));
        let common = mutate::at(&hands.built, common, Screw::Common).expect("a common");
        let traveler = mutate::at(&hands.built, traveler, Screw::In(0)).expect("a traveler screw");
        mutate::exchange(&mut hands.built, common, traveler).expect("two joints");
    };
    assert_found("062", &["WrongControl L1"], edit);
    assert_table("062", &["up, up: L1", "up, down: ", "down, up: ", "down, down: "], edit);
}

#[test]
fn a_borrowed_neutral() {
    let wanted = [
        "NeutralBorrowed L1 with C1",
        "Unbalanced P1 to B1",
        "Unbalanced B1 to B2",
        "Unbalanced B2 to B3",
        "Unbalanced P1 to B3",
        "SameLeg C1 with C2",
    ];
    assert_found("064", &wanted, borrow);
}

fn borrow(hands: &mut Hands) {
    let other = hands.joint("R1", Screw::Neutral);
    let at = mutate::at(&hands.built, hands.item("L1"), Screw::Neutral).expect("a neutral");
    let terminal = mutate::take(&mut hands.built, at);
    hands.built.joints[other].terminals.push(terminal);
}

#[test]
fn a_switch_that_is_bypassed() {
    let edit: fn(&mut Hands) = |hands| {
        hands.join(hands.joint("S1", Screw::Line(0)), hands.joint("S1", Screw::Load(0)));
    };
    assert_found("065", &["AlwaysOn L1"], edit);
    assert_table("065", &["on: L1, R1", "off: L1, R1"], edit);
}

#[test]
fn a_tab_left_between_a_switched_and_an_unswitched_half() {
    let edit: fn(&mut Hands) = |hands| hands.join_halves("R1");
    assert_found("067", &["AlwaysOn R1"], edit);
    assert_table("067", &["on: R1 through S1, half of R1", "off: R1 through S1, half of R1"], edit);
}

#[test]
fn a_tab_left_between_two_legs() {
    assert_found("068", &["LegsJoined C1 with C2"], |hands| hands.join_halves("R1"));
}

#[test]
fn neutrals_of_two_circuits_under_one_connector() {
    assert_found("070", &["NeutralsJoined C1 with C2", "SameLeg C1 with C2"], join_neutrals);
}

fn join_neutrals(hands: &mut Hands) {
    let here = hands.built.joints[hands.joint("R1", Screw::Neutral)].place;
    let other = hands.shop.named("C1");
    let passing = hands.built.joints.iter().position(|j| {
        let wire = j.wires.first().map(|w| hands.built.wires[*w as usize]);
        j.place == here && j.terminals.is_empty() && other.is_some() && wire.is_some_and(|w| w.role == Role::Neutral)
    });
    hands.join(hands.joint("R1", Screw::Neutral), passing.expect("the lamp's neutral"));
}

#[test]
fn an_open_neutral_of_a_pair() {
    // Both loads stand in series on two legs; which of them gets too much depends on what is plugged in.
    assert_found("072", &["NeutralOpen R1", "NeutralOpen R2", "OverVoltage R1", "OverVoltage R2"], |hands| {
        let near = hands.built.wires.iter().position(|w| w.role == Role::Neutral).expect("a neutral");
        mutate::remove(&mut hands.built, near as u32);
    });
}

/// What is wrong here shows in no truth table: it stays as it should be.
#[test]
fn some_faults_leave_the_table_right() {
    assert_table("064", &["up, up: L1, R1", "up, down: R1", "down, up: R1", "down, down: L1, R1"], borrow);
    assert_table("070", &["on: L1, R1", "off: R1"], join_neutrals);
    assert_table("073", &["on: L1", "off: "], |hands| hands.bare("T1", Screw::Neutral));
}

#[test]
fn a_timer_without_a_neutral() {
    assert_found("073", &["NeutralOpen T1", "ControlUnfed T1"], |hands| hands.bare("T1", Screw::Neutral));
}

/// Broken in the plan itself: nothing differs from it as built, so the plan is told, and the table shows what comes of it.
#[test]
fn single_pole_switches_where_3_ways_belong() {
    assert_eq!(found("071", |_| {}), Vec::<String>::new());
    let file = format!("{}/tests/cases/switching/071.shop-case", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(file).expect("the case");
    let (shop, wiring, _) = wire(text.split_once("\nexpect\n").expect("an `expect` line").0);
    let told = shop.problems.iter().find(|p| p.message.contains("single-pole switches one after the other"));
    assert!(told.is_some_and(|p| p.message.starts_with("S1 and S2")), "{:?}", shop.problems);
    let tables = simulate(&shop, &wiring);
    let on: Vec<bool> = tables[0].rows.iter().flat_map(|row| row.on.clone()).collect();
    assert_eq!(on, [true, false, false, false], "on only when both are up");
}

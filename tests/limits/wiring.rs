//! Limits of what is worked out from a drawing: just at a limit all is known, just beyond it is open and told where
//! somebody could be misled. The figures stand in the constants; the plans are the shortest that come to them.

use super::program::{Folder, err, out, ringout, status};
use ringout::law::Options;
use ringout::report::{directory, wires};
use ringout::shop::{List, Shop, Value};
use ringout::words::{Kind, NameId, name};
use ringout::{Checked, Rules};
use std::fmt::Write;

fn wired(text: &str) -> Checked {
    let nothing = Options { rules: Some(Vec::new()), ..Options::default() };
    ringout::check(&Rules::builtin(), "x.shop", text, &nothing)
}

/// The same of a plan in which nothing is amiss.
fn sound(text: &str) -> Checked {
    let checked = wired(text);
    assert!(checked.plan.problems.is_empty(), "{:?}", checked.plan.problems.first());
    assert!(checked.shop.problems.is_empty(), "{:?}", checked.shop.problems.first());
    checked
}

fn list(shop: &Shop, item: &str, word: NameId) -> Option<List> {
    let item = if item == "shop" { Shop::SHOP } else { shop.named(item).unwrap() };
    match shop.value(item, word) {
        Value::List(id) => Some(shop.list(id).clone()),
        _ => None,
    }
}

/// How many are known, and whether there may be more.
fn known(shop: &Shop, item: &str, word: NameId) -> (usize, bool) {
    let list = list(shop, item, word).unwrap();
    (list.sure.len(), list.is_open)
}

/// What the program prints of a plan, and its status.
fn told(name: &str, command: &[&str], plan: &str) -> (i32, String) {
    let folder = Folder::new(name);
    let path = folder.write("x.shop", plan.as_bytes());
    let args: Vec<&str> = command.iter().map(|a| if *a == "PLAN" { path.as_str() } else { a }).collect();
    let output = ringout(&args, "");
    (status(&output), out(&output) + &err(&output))
}

#[test]
fn so_many_rods_in_one_line() {
    let plan = |n: usize| format!("shop\n  detached\nelectrode E1: {n} rods, 8 ft apart\n");
    let just = sound(&plan(50));
    assert_eq!(just.shop.count(Kind::Electrode), 50);
    assert_eq!(known(&just.shop, "shop", name::ELECTRODES), (50, false));
    let over = wired(&plan(51));
    assert_eq!(known(&over.shop, "shop", name::ELECTRODES), (50, true), "one may stand there that is not counted");
    let (status, text) = told("rods", &["check", "PLAN"], &plan(51));
    assert!(status == 2 && text.contains("one line names 50 rods at most"), "{status} {text}");
    assert!(text.contains("x.shop:3:15") && text.contains("the other 1 are not counted"), "{text}");
}

#[test]
fn so_many_wires_in_one_phrase() {
    let plan = |n: usize| {
        format!("panel P1\nbox B1\nrun P1 to B1: 4 in EMT, 9 ft\npulled P1 to B1: {n} x 12 AWG Cu THWN-2 black\n")
    };
    assert_eq!(known(&sound(&plan(200)).shop, "P1-B1", name::PULLED), (200, false));
    assert_eq!(known(&wired(&plan(201)).shop, "P1-B1", name::PULLED), (200, true));
    let (status, text) = told("pulled", &["wires", "PLAN"], &plan(201));
    assert!(status == 2 && text.contains("one phrase names 200 wires at most"), "{status} {text}");
    assert!(text.contains("x.shop:4:18") && text.contains("the other 1 are not counted"), "{text}");
}

#[test]
fn free_spaces_of_a_panel_are_listed_up_to_a_number() {
    let plan = |n: usize| {
        format!(
            "panel P1: {n} spaces, all drawn, no main\ncircuit C1\n  breaker 20 A, 1-pole, space 1\n  feeds R1\n\
             receptacle R1: 5-20R\n"
        )
    };
    let spares = |checked: &Checked| {
        let all = directory::directories(&Rules::builtin(), checked);
        all[0].rows.iter().filter(|row| row.is == directory::Stands::Spare).count()
    };
    assert_eq!(spares(&sound(&plan(200))), 199);
    let over = wired(&plan(201));
    assert_eq!(spares(&over), 0);
    let (status, text) = told("spaces", &["directory", "PLAN"], &plan(201));
    assert!(status == 2 && text.contains("has 201 spaces, and its free ones are not listed"), "{status} {text}");
    assert!(text.contains("x.shop:1:"), "{text}");
}

/// Receptacles behind one another: all of them protect, or are protected by, those that are listed; a longer chain is open.
#[test]
fn so_many_lie_before_or_behind_a_device() {
    let plan = |n: usize| {
        let names: Vec<String> = (0..=n).map(|i| format!("R{i}")).collect();
        let lines: String = names.iter().map(|name| format!("receptacle {name}: 5-20R\n")).collect();
        format!("panel P1\ncircuit C1 from P1\n  feeds {}\n{lines}", names.join(" then "))
    };
    let just = sound(&plan(200));
    assert_eq!(known(&just.shop, "R0", name::DOWNSTREAM), (200, false));
    assert_eq!(known(&just.shop, "R200", name::UPSTREAM), (200, false));
    let over = wired(&plan(201));
    assert!(list(&over.shop, "R0", name::DOWNSTREAM).unwrap().is_open);
    assert_eq!(known(&over.shop, "R201", name::UPSTREAM), (200, true));
}

/// Boxes in a row: the way to the last is listed, or not known at all.
#[test]
fn so_many_runs_lead_to_a_device() {
    let plan = |n: usize| {
        let mut text = String::from(
            "shop: all runs listed\npanel P1\ncircuit C1 from P1: breaker 20 A\n  feeds R1\nreceptacle R1\n",
        );
        for i in 1..=n {
            let from = if i == 1 { "P1".to_string() } else { format!("B{}", i - 1) };
            let holds = if i == n { ": holds R1" } else { "" };
            _ = write!(text, "box B{i}{holds}\nrun {from} to B{i}: 1/2 in EMT, 9 ft\n");
        }
        text
    };
    assert_eq!(known(&wired(&plan(200)).shop, "R1", name::WAY), (200, false));
    assert_eq!(list(&wired(&plan(201)).shop, "R1", name::WAY), None);
}

/// Panels behind one another: the supply of the last is known however many they are and in whichever order they stand.
#[test]
fn the_supply_is_found_behind_any_number_of_panels() {
    let mut lines: Vec<String> = (1..1_000).map(|i| format!("feeder F{i} from P{i} to P{}\n", i + 1)).collect();
    lines.push("feeder F0 from house to P1\n".into());
    let head: String = (1..=1_000).map(|i| format!("panel P{i}\n")).collect();
    let supplies = |lines: &[String]| {
        let checked = wired(&format!("supply house\n{head}{}circuit C1 from P1000\n", lines.concat()));
        let shop = &checked.shop;
        let house = Value::Item(shop.named("house").unwrap());
        shop.items(Kind::Feeder)
            .chain(shop.items(Kind::Circuit))
            .filter(|i| shop.value(*i, name::SUPPLY) == house)
            .count()
    };
    assert_eq!(supplies(&lines), 1_001);
    lines.reverse();
    assert_eq!(supplies(&lines), 1_001);
    // In a ring no supply is found, and no end is looked for.
    *lines.first_mut().unwrap() = "feeder F0 from P1000 to P1\n".into();
    assert_eq!(supplies(&lines), 0);
}

/// A feeder counts the circuits of the panels behind it, each fed by the last; past so many there may be more.
#[test]
fn so_many_feeders_lie_behind_one() {
    let plan = |n: usize| {
        let mut text =
            String::from("shop: all feeders and circuits listed\nsupply house\npanel P0\nfeeder F0 from house to P0\n");
        for i in 1..=n {
            _ = write!(text, "panel P{i}\nfeeder F{i} from P{} to P{i}\n", i - 1);
        }
        _ = writeln!(text, "circuit C1 from P{n}");
        text
    };
    assert_eq!(known(&wired(&plan(1_000)).shop, "F0", name::CIRCUITS), (1, false));
    assert_eq!(known(&wired(&plan(1_001)).shop, "F0", name::CIRCUITS), (0, true));
}

/// A thousand feeders behind one another gather the circuits of the last, each once more.
#[test]
fn so_many_circuits_are_gathered_behind_all_feeders() {
    let plan = |n: usize| {
        let mut text =
            String::from("shop: all feeders and circuits listed\nsupply house\npanel P0\nfeeder F0 from house to P0\n");
        for i in 1..500 {
            _ = write!(text, "panel P{i}\nfeeder F{i} from P{} to P{i}\n", i - 1);
        }
        for i in 0..n {
            _ = writeln!(text, "circuit C{i} from P499");
        }
        text
    };
    // Each feeder takes a step for each further one, too: 500 * 501 / 2 of the million.
    let most = (1_000_000 - 125_250) / 500;
    let (just, over) = (wired(&plan(most - 1)), wired(&plan(most + 1)));
    assert_eq!(known(&just.shop, "F499", name::CIRCUITS), (most - 1, false));
    assert_eq!(known(&over.shop, "F0", name::CIRCUITS), (most + 1, false));
    assert!(list(&over.shop, "F499", name::CIRCUITS).unwrap().is_open);
}

/// Machines that nobody said where they plug in may plug in anywhere, up to so many ways in all.
#[test]
fn so_many_possible_places_are_listed() {
    let possible = |receptacles: usize| {
        let checked = wired(&format!(
            "shop: all equipment listed\npanel P1\nequipment M1 to M400\nreceptacle R1 to R{receptacles}: 5-20R\n"
        ));
        let list = list(&checked.shop, "R1", name::EQUIPMENT).unwrap();
        (list.possible.len(), list.is_open)
    };
    assert_eq!(possible(500), (400, false), "200,000 in all");
    assert_eq!(possible(501), (0, true));
    // So may a receptacle that nobody said what feeds it hang on any circuit that feeds something unnamed.
    for load in ["unknown", "yard"] {
        let possible = |circuits: usize| {
            let lines: String = (1..=circuits).map(|i| format!("circuit C{i} from P1: feeds {load}\n")).collect();
            let head = "shop: all receptacles listed\narea yard: outdoors\npanel P1\nreceptacle R1 to R400: 5-20R\n";
            let list = list(&sound(&format!("{head}{lines}")).shop, "C1", name::RECEPTACLES).unwrap();
            (list.possible.len(), list.is_open)
        };
        assert_eq!((possible(500), possible(501)), ((400, false), (0, true)), "{load}");
    }
}

/// Circuits of which nobody said what they feed may feed any receptacle that is free; what a panel gathers of them ends at
/// so many.
#[test]
fn so_many_possible_outlets_of_a_panel_are_gathered() {
    let gathered = |circuits: usize| {
        let lines: String = (1..=circuits).map(|i| format!("circuit C{i} from P1: feeds unknown\n")).collect();
        let head = "shop: all receptacles and circuits listed\npanel P1: all drawn\nreceptacle R1 to R100: 5-20R\n";
        let checked = sound(&format!("{head}{lines}"));
        let list = list(&checked.shop, "P1", name::RECEPTACLES).unwrap();
        println!(
            "{:?} {:?} {:?}",
            checked.shop.problems.first(),
            known(&checked.shop, "P1", name::CIRCUITS),
            super::wiring::list(&checked.shop, "C1", name::RECEPTACLES)
        );
        (list.possible.len(), list.is_open)
    };
    assert_eq!(gathered(201), (100, false));
    assert_eq!(gathered(202), (100, true));
}

/// Cables that a box is said to have, beyond what any box holds, leave open what enters it: nothing would be a guess.
#[test]
fn so_many_cables_enter_a_box() {
    let plan = |n: usize| format!("shop: all runs listed\nbox B1: all drawn, cables {n} x 12/1 NM with ground\n");
    let just = sound(&plan(64));
    assert_eq!(known(&just.shop, "B1", name::ENTRIES), (64, false));
    assert_eq!(known(&just.shop, "B1", name::GROUND_ENTRIES), (64, false));
    let over = wired(&plan(65));
    assert_eq!(known(&over.shop, "B1", name::ENTRIES), (0, true));
    assert!(list(&over.shop, "B1", name::GROUND_ENTRIES).unwrap().is_open);
    let (status, text) = told("cables", &["check", "PLAN"], &plan(65));
    assert!(status == 2 && text.contains("B1 is said to have more cables than any box holds"), "{status} {text}");
    assert!(text.contains("x.shop:2:"), "{text}");
}

fn switched(n: usize) -> String {
    let names: Vec<String> = (1..=n).map(|i| format!("S{i}")).collect();
    let kinds = |i: usize| if i == 0 || i == n - 1 { "3-way" } else { "4-way" };
    let mut text = format!(
        "shop \"x\"\n  code NEC 2023\n  all circuits and switches and lights listed\nsupply house\n  120/240 V, 1-phase\n\
         feeder F0 from house to P1\npanel P1\n\
         circuit C1: breaker 15 A, wire 14 AWG Cu THWN-2, equipment ground by raceway\n  feeds L1 through {}\n\
         light L1\nbox L: holds L1\n",
        names.join(" and ")
    );
    for (i, name) in names.iter().enumerate() {
        let from = if i == 0 { "P1".to_string() } else { format!("B{i}") };
        _ = write!(
            text,
            "switch {name}: {}\nbox B{}: holds {name}\nrun {from} to B{}: 1/2 in EMT, 9 ft\n",
            kinds(i),
            i + 1,
            i + 1
        );
    }
    _ = write!(text, "run B{n} to L: 1/2 in EMT, 9 ft\npulled B{n} to L: 1 x 14 AWG Cu THWN-2 white as neutral\n");
    text
}

/// A lamp behind twelve switches is tried in all 4,096 positions: without its hot it never gets power. Behind thirteen it is
/// not tried, which is told, and nothing is known of its faults: that it has none would be a guess.
#[test]
fn so_many_switches_are_tried() {
    let rules = Rules::builtin();
    let (just, over) = (wired(&switched(12)), wired(&switched(13)));
    let faults = |checked: &Checked| {
        let list = list(&checked.shop, "L1", name::WIRING_FAULTS).unwrap();
        (list.choices != 0, list.is_open)
    };
    assert_eq!(faults(&just), (true, false));
    assert_eq!(faults(&over), (false, true));
    let sheets = |checked: &Checked| wires::sheets(&rules, checked, None);
    assert!(sheets(&just).missing.is_empty() && sheets(&just).switching[0].rows.len() == 4_096);
    assert_eq!(
        sheets(&just).pulled,
        ["B12 to L lacks a wire by what was pulled: without the switched hot of C1, L1 never gets power"]
    );
    assert!(sheets(&over).switching.is_empty());
    assert_eq!(sheets(&over).missing, ["13 switches, S1 among them, act together: too many to try every position"]);
    assert_eq!(
        sheets(&over).pulled,
        [
            "B13 to L lacks a wire by what was pulled: without the switched hot of C1, L1 hangs on too many switches to be tried"
        ]
    );
    let (_, text) = told("switches", &["wires", "PLAN"], &switched(13));
    assert!(text.contains("too many to try every position"), "{text}");
}

/// Switches that do not touch each other stand in one table of all positions, or, where that would be long, in one each.
#[test]
fn so_many_switches_stand_in_one_table() {
    let tables = |n: usize| {
        let names = |letter: &str| (1..=n).map(|i| format!("{letter}{i}")).collect::<Vec<_>>().join(", ");
        let feeds: String = (1..=n).map(|i| format!("  feeds L{i} through S{i}\n")).collect();
        let checked = wired(&format!(
            "panel P1\nbox B1: holds {}, {}\nrun P1 to B1: 3/4 in EMT, 9 ft\n\
             circuit C1: breaker 15 A, wire 14 AWG Cu THWN-2, equipment ground by raceway\n{feeds}switch {}: single-pole\nlight {}\n",
            names("S"),
            names("L"),
            names("S"),
            names("L")
        ));
        let sheets = wires::sheets(&Rules::builtin(), &checked, None);
        sheets.switching.iter().map(|t| (t.switches.len(), t.rows.len())).collect::<Vec<_>>()
    };
    assert_eq!(tables(6), [(6, 64)]);
    assert_eq!(tables(7), [(1, 2); 7]);
}

/// 64 positions are printed whole; of more, how many there are besides.
#[test]
fn so_many_positions_are_printed() {
    let text = |n: usize| told("positions", &["wires", "PLAN"], &switched(n)).1;
    let rows = |text: &str| text.lines().filter(|line| line.contains("S1 up") || line.contains("S1 down")).count();
    assert!(rows(&text(6)) == 64 && !text(6).contains("more positions"), "{}", text(6));
    assert!(rows(&text(7)) == 64 && text(7).contains("and 64 more positions"), "{}", text(7));
}

/// Of the loads that fail where a wire lacks three are named and the others counted.
#[test]
fn so_many_failing_loads_are_named() {
    let pulled = |n: usize| {
        let names: Vec<String> = (1..=n).map(|i| format!("R{i}")).collect();
        let names = names.join(", ");
        let checked = wired(&format!(
            "supply house\n  120/240 V, 1-phase\nfeeder F0 from house to P1\npanel P1\nbox B1: holds {names}\n\
             run P1 to B1: 1/2 in EMT, 12 ft\nreceptacle {names}: 5-20R, duplex\n\
             circuit C1: breaker 20 A, phase A, wire 12 AWG Cu THWN-2, equipment ground by raceway\n  feeds {names}\n\
             pulled P1 to B1: 1 x 12 AWG Cu THWN-2 white as neutral\n"
        ));
        wires::sheets(&Rules::builtin(), &checked, None).pulled.concat()
    };
    assert!(pulled(3).ends_with("R2 never gets power, R3 never gets power"), "{}", pulled(3));
    assert!(pulled(4).ends_with("R3 never gets power, and so for 1 more"), "{}", pulled(4));
}

/// The least runs first: twenty are tried, and 200 wires in all of them. What hangs on the others is open, and they are named.
#[test]
fn so_many_lacking_wires_are_tried() {
    let head =
        "shop \"x\"\n  code NEC 2023\nsupply house\n  120/240 V, 1-phase\nfeeder F0 from house to P1\npanel P1\n";
    let circuit = |n: usize| {
        format!(
            "circuit C{n}: breaker 20 A, phase A, wire 12 AWG Cu THWN-2, equipment ground by raceway\n  feeds R{n}\n\
             receptacle R{n}: 5-20R, duplex\n"
        )
    };
    let runs = |n: usize| {
        let lines = |n: usize| {
            format!(
                "box B{n}: holds R{n}\nrun P1 to B{n}: 1/2 in EMT, 12 ft\n{}\
                 pulled P1 to B{n}: 1 x 12 AWG Cu THWN-2 white as neutral\n",
                circuit(n)
            )
        };
        wired(&(head.to_string() + &(1..=n).map(lines).collect::<String>()))
    };
    let said = |checked: &Checked| checked.shop.problems.iter().map(|p| p.message.clone()).collect::<Vec<_>>();
    assert!(said(&runs(20)).is_empty(), "{:?}", said(&runs(20)));
    assert_eq!(said(&runs(21)), ["1 of 21 runs that lack wires by what was pulled were left untried: P1 to B21"]);
    assert_eq!(known(&runs(21).shop, "R21", name::WIRING_FAULTS), (0, true));
    // One run with a hot and a neutral for each circuit; one wire of them is lacking, and it may be any.
    let wires = |circuits: usize| {
        let held: Vec<String> = (1..=circuits).map(|n| format!("R{n}")).collect();
        let drawn: String = (1..=circuits).map(circuit).collect();
        let rest = 2 * circuits - 101;
        wired(&format!(
            "{head}box B1: holds {}\nrun P1 to B1: 4 in EMT, 12 ft\n{drawn}\
             pulled P1 to B1: 100 x 12 AWG Cu THWN-2, {rest} x 12 AWG Cu THWN-2\n",
            held.join(", ")
        ))
    };
    let (just, over) = (wires(100), wires(101));
    assert!(said(&just).is_empty(), "{:?}", said(&just));
    assert_eq!(
        known(&just.shop, "R1", name::WIRING_FAULTS),
        (0, true),
        "it may be the hot of R1 that lacks, or another"
    );
    assert!(said(&over)[0].starts_with("1 of 1 runs that lack wires"), "{:?}", said(&over));
    assert_eq!(known(&over.shop, "R101", name::WIRING_FAULTS), (0, true));
}

/// Past so many problems of meaning the number of further ones is told, and the status stays 2.
#[test]
fn so_many_problems_of_a_plan_are_kept() {
    let plan = |n: usize| (0..n).map(|i| format!("box B{i}: holds X{i}\n")).collect::<String>();
    let problems = |n: usize| wired(&plan(n)).shop.problems.into_iter().map(|p| p.message).collect::<Vec<_>>();
    let just = problems(200);
    assert!(just.len() == 200 && !just[199].contains("not shown"), "{} {:?}", just.len(), just.last());
    let over = problems(201);
    assert!(over.len() == 201 && over[200] == "1 more problems are not shown", "{} {:?}", over.len(), over.last());
    assert_eq!(told("many", &["check", "PLAN"], &plan(201)).0, 2);
}

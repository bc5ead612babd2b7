//! Words that follow from the drawing, one small plan each. What a plan leaves open must stay open.
//!
//! Where a trade fact stands behind an expectation, it is said beside it; the rest is logic.

#![allow(clippy::expect_used, clippy::panic)] // a test fails by panicking

use ringout::plan;
use ringout::shop::{self, ItemRef, Shop, Value};
use ringout::text::{FileId, Severity};
use ringout::wiring::{self, Wiring};
use ringout::words::{Kind, Type, Vocabulary};
use std::fmt::Write;
use std::sync::Arc;
use std::time::{Duration, Instant};

fn wired(text: &str) -> (Shop, Wiring) {
    let mut shop = shop::build(&plan::read(FileId(0), text), &[], &[], Arc::new(Vocabulary::core()));
    let wiring = wiring::complete(&mut shop);
    (shop, wiring)
}

/// Every `TAG WORD = VALUE` line must hold; `shop` is the building.
fn expect(text: &str, wanted: &[&str]) {
    let (shop, _) = wired(text);
    let errors: Vec<_> = shop.problems.iter().filter(|p| p.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "the plan of the test has errors: {errors:#?}");
    for line in wanted {
        let (fact, value) = line.split_once(" = ").expect("TAG WORD = VALUE");
        let (tag, word) = fact.split_once(' ').expect("TAG WORD");
        let item = if tag == "shop" { Shop::SHOP } else { shop.named(tag).unwrap_or_else(|| panic!("no item {tag}")) };
        assert_eq!(told(&shop, item, word), value, "{fact}\n{text}");
    }
}

/// A value in words: `[R1, R2] perhaps [R3] open` for a list.
fn told(shop: &Shop, item: ItemRef, word: &str) -> String {
    let name = shop.vocabulary.name(word).unwrap_or_else(|| panic!("no word {word}"));
    let ty = shop.vocabulary.word(item.kind, name).unwrap_or_else(|| panic!("no {word} of a {}", item.kind)).ty;
    let tags = |items: &[ItemRef]| items.iter().map(|i| shop.head(*i).name.as_str()).collect::<Vec<_>>().join(", ");
    let number = |n| match ty {
        Type::Quantity(scale) => scale.show(n),
        _ => n.to_string(),
    };
    match shop.value(item, name) {
        Value::Unknown => "unknown".into(),
        Value::Absent => "none".into(),
        Value::YesNo(b) => if b { "yes" } else { "no" }.into(),
        Value::Number(n) => number(n),
        Value::Range(r) => {
            let side = |n: Option<_>| n.map_or("any".to_string(), number);
            format!("{} to {}", side(r.low), side(r.high))
        }
        Value::Choice(bits) => match ty {
            Type::Choice(id) => {
                let values = (0..64).filter(|i| bits & (1 << i) != 0).map(|i| shop.vocabulary.choice_text(id, i));
                values.collect::<Vec<_>>().join(" or ")
            }
            _ => format!("{bits:b}"),
        },
        Value::Item(i) => shop.head(i).name.clone(),
        Value::List(id) => {
            let list = shop.list(id);
            let mut text = format!("[{}]", tags(&list.sure));
            if !list.possible.is_empty() {
                let _ = write!(text, " perhaps [{}]", tags(&list.possible));
            }
            text + if list.is_open { " open" } else { "" }
        }
        other => format!("{other:?}"),
    }
}

/// `then` leads through the load terminals; a comma stays on the splice.
#[test]
fn devices_ahead_come_from_feeds_alone() {
    expect(
        "panel P1\ncircuit C1: breaker 20 A\n  feeds R1 then R2, R3 then L1\n  feeds R4\n\
         receptacle R1, R2, R3, R4: 5-20R\nlight L1: LED\nequipment M1: plugs into R2",
        &[
            "R1 upstream = []",
            "R2 upstream = [R1]",
            "R3 upstream = [R1]",
            "L1 upstream = [R3, R1]",
            "R4 upstream = []",
            "M1 upstream = [R2, R1]",
            "M1 circuit = C1",
            "R1 downstream = [R2, R3, L1]",
            "C1 first-outlets = [R1, R4]",
            "C1 outlets = [R1, R2, R3, L1, R4]",
        ],
    );
}

/// A device ahead of one half alone is not ahead of the receptacle: its other half has no protection.
#[test]
fn halves_of_a_duplex_are_fed_apart() {
    expect(
        "panel P1\ncircuit C1: breaker 20 A\n  feeds R1 then half of R2\n\
         circuit C2: breaker 20 A\n  feeds half of R2\nreceptacle R1, R2: 5-20R, duplex",
        &["R2 circuits = [C1, C2]", "R2 circuit = unknown", "R2 upstream = [] perhaps [R1]", "C1 receptacle-count = 3"],
    );
}

/// What `and unknown` leaves open may take in what nobody feeds; a complete list may not.
#[test]
fn an_unfed_receptacle_may_hang_on_an_open_circuit_only() {
    expect(
        "shop \"x\"\n  all receptacles and lights and equipment listed\npanel P1\n\
         circuit C1: breaker 20 A\n  feeds R1 and unknown\ncircuit C2: breaker 20 A\n  feeds R2\n\
         receptacle R1, R2, R3: 5-20R, duplex",
        &[
            "C1 receptacles = [R1] perhaps [R3]",
            "C2 receptacles = [R2]",
            "C1 receptacle-count = 2 to 4",
            "C2 receptacle-count = 2",
            "shop receptacles = [R1, R2, R3]",
            "shop lights = []",
        ],
    );
}

/// Without `all … listed` nothing is known to be the whole.
#[test]
fn lists_of_the_shop_are_open_until_closed() {
    expect(
        "feeder F1 from house to P1\nfeeder F2 to P2\npanel P1: all drawn\npanel P2\n\
         circuit C1 from P1: breaker 20 A\n  feeds R1\nreceptacle R1: 5-20R",
        &[
            "shop incoming = [F1] perhaps [F2] open",
            "shop receptacles = [R1] open",
            "P1 circuits = [C1]",
            "P2 circuits = [] open",
            "P1 feeder = F1",
            "C1 supply = house",
        ],
    );
}

/// A panel in the house starts circuits that come into the shop.
#[test]
fn circuits_from_the_house_come_in() {
    expect(
        "shop \"x\"\n  all feeders and circuits listed\npanel H1: in house\n\
         circuit C1 from H1: breaker 20 A\n  feeds R1\nreceptacle R1: 5-20R",
        &["shop incoming = [C1]", "shop circuits = [C1]"],
    );
}

/// Spaces go across two busbars (common practice, from memory), which a system must be known to have.
#[test]
fn the_busbar_follows_from_space_and_system() {
    let plan = |supply: &str| {
        format!(
            "supply house{supply}\nfeeder F1 from house to P1: breaker 60 A, 2-pole\npanel P1\n\
             circuit C1: breaker 20 A, 1-pole, space 2\n  feeds R1\ncircuit C2: breaker 20 A, 1-pole, space 3\n  feeds R2\n\
             circuit C3: breaker 30 A, 2-pole\n  feeds W1\nreceptacle R1, R2: 5-20R\nreceptacle W1: 6-30R"
        )
    };
    expect(
        &plan(": 120/240 V"),
        &[
            "C1 phase = A",
            "C2 phase = B",
            "C3 phase = both",
            "C3 volts = 240 V",
            "C1 volts = 120 V",
            "F1 volts = 240 V",
        ],
    );
    // Every system of the vocabulary has 120 V to ground; two hots have 208 or 240 V between them.
    expect(
        &plan(""),
        &[
            "C1 phase = unknown",
            "C1 volts = 120 V",
            "C3 volts = 208 V to 240 V",
            "C3 volts-to-ground = 120 V",
            "C3 phases = 1",
        ],
    );
}

/// Of 110 owners none gave poles: what is fed tells how many hots the plan needs.
#[test]
fn loads_tell_the_hots_where_nobody_gives_poles() {
    expect(
        "panel P1\ncircuit C1: breaker 20 A\n  feeds R1, L1\ncircuit C2: breaker 50 A\n  feeds W1\n\
         circuit C3: breaker 20 A\n  feeds M1\ncircuit C4: breaker 50 A\n  feeds W2\n\
         receptacle R1: 5-20R\nlight L1: LED\nreceptacle W1: 6-50R\nreceptacle W2: 14-50R\nequipment M1: hard-wired",
        &[
            "C1 hots = 1",
            "C1 has-neutral = yes",
            "C2 hots = 2",
            "C2 has-neutral = no",
            "C3 hots = 1 to 2",
            "C3 has-neutral = unknown",
            "C4 has-neutral = yes",
        ],
    );
}

/// An indoor light can't be an outside door's light; an outdoor one that names no door may be.
#[test]
fn doors_may_have_the_lights_that_name_none() {
    expect(
        "shop \"x\"\n  all lights listed\ndoor D1: person\nlight L1: LED, for door D1\nlight L2: LED, outdoors\nlight L3: LED, indoors",
        &["D1 lights = [L1] perhaps [L2]"],
    );
}

/// A main stands for all; without one, breakers whose handles are tied are one movement.
#[test]
fn handles_are_counted_by_movement() {
    expect(
        "feeder F1 from house to P1\npanel P1: main 60 A, all drawn\ncircuit C1: breaker 20 A\n  feeds R1\nreceptacle R1: 5-20R",
        &["F1 handles = 1", "shop has-grouped-disconnects = yes"],
    );
    expect(
        "shop \"x\"\n  all feeders and circuits listed\nfeeder F1 from house to P1\npanel P1: main-lug, all drawn\n\
         circuit C1: breaker 20 A, tied to C2\n  feeds R1\ncircuit C2: breaker 20 A\n  feeds R2\n\
         circuit C3: breaker 20 A\n  feeds R3\nreceptacle R1, R2, R3: 5-20R",
        &["F1 handles = 2"],
    );
    expect("feeder F1 from house to P1\npanel P1", &["F1 handles = unknown", "F1 disconnects = [] open"]);
}

/// A disconnect that a machine is fed through opens that machine, not the building.
#[test]
fn a_disconnect_belongs_to_what_it_stands_before() {
    expect(
        "shop \"x\"\n  all feeders and circuits listed\nfeeder F1 from house to P1\npanel P1: main 60 A, all drawn\n\
         circuit C1: breaker 30 A, 2-pole\n  feeds M1 through D1\nequipment M1: 230 V, hard-wired\ndisconnect D1: 2-pole, 30 A",
        &["D1 line = C1", "D1 equipment = [M1]", "D1 hots = 2", "D1 is-building-disconnect = no", "D1 panel = P1"],
    );
}

const RING: &str = "panel P1\nbox B1: holds nothing\nbox B2: holds nothing\nbox B3: holds R1\n\
    run P1 to B1: 1/2 in EMT, 10 ft\nrun P1 to B2: 1/2 in EMT, 10 ft\nrun B1 to B3: 1/2 in EMT, LENGTH\n\
    run B2 to B3: 1/2 in EMT, 20 ft\ncircuit C1: breaker 20 A, 1-pole\n  feeds R1\nreceptacle R1: 5-20R, duplex\n";

/// A length within bounds decides where the bounds do, and is asked about where they don't.
#[test]
fn a_way_is_taken_only_where_no_length_can_make_another_shorter() {
    let ways = |length: &str| wired(&RING.replace("LENGTH", length)).1.asks.len();
    assert_eq!(ways("12 ft"), 0, "shorter by B1");
    assert_eq!(ways("at most 19 ft"), 0, "shorter by B1 whatever it is");
    assert_eq!(ways("over 20 ft"), 0, "shorter by B2 whatever it is");
    assert_eq!(ways("20 ft"), 1, "equal");
    assert_eq!(ways("18 ft to 21 ft"), 1, "either may be shorter");
    assert_eq!(ways("unknown"), 1, "either may be shorter");
}

/// An undecided way leaves its conductors unknown, never absent.
#[test]
fn an_undecided_way_may_lie_in_any_run() {
    let all = "shop \"x\"\n  all feeders and circuits and runs listed\n";
    let text = format!("{all}{}", RING.replace("LENGTH", "20 ft"));
    expect(
        &text,
        &["P1-B1 conductors = [] open", "P1-B1 circuits = [] open", "C1 runs = [] open", "C1 length = unknown"],
    );
}

/// `by way of` settles the question; a place that is not on the way is a mistake of the plan.
#[test]
fn by_way_of_settles_and_is_checked() {
    let with =
        |line: &str| RING.replace("LENGTH", "20 ft").replace("  feeds R1", &format!("  by way of {line}\n  feeds R1"));
    let (shop, wiring) = wired(&with("B2"));
    assert!(wiring.asks.is_empty());
    let run = shop.named("B2-B3").expect("the run");
    assert!(told(&shop, run, "conductors").starts_with("[hot of C1"));
    let aside = with("B9").replace("box B3", "box B9: holds nothing\nrun P1 to B9: 1/2 in EMT, 5 ft\nbox B3");
    let (shop, _) =
        wired(&aside.replace("20 ft", "15 ft").replace("B2 to B3: 1/2 in EMT, 15 ft", "B2 to B3: 1/2 in EMT, 30 ft"));
    assert!(shop.problems.iter().any(|p| p.message.contains("does not pass B9")), "{:?}", shop.problems);
}

/// A stated length and a drawn one are two statements of one fact.
#[test]
fn a_length_said_twice_must_agree() {
    let plan = |feet: &str| {
        format!(
            "panel P1: all drawn\nbox B1: all drawn, holds R1\nrun P1 to B1: 1/2 in EMT, 9 ft\n\
             circuit C1: breaker 20 A, 1-pole, length {feet}\n  feeds R1\nreceptacle R1: 5-20R"
        )
    };
    expect(&plan("9 ft"), &["C1 length = 9 ft"]);
    let (shop, _) = wired(&plan("12 ft"));
    assert_eq!(told(&shop, shop.named("C1").expect("C1"), "length"), "unknown");
    assert!(shop.problems.iter().any(|p| p.message.contains("is said to be")), "{:?}", shop.problems);
}

/// Two single-pole switches one after the other are hardly what the owner means.
#[test]
fn switches_in_series_get_a_remark() {
    let (shop, _) =
        wired("circuit C1: breaker 15 A\n  feeds L1 through S1 and S2\nswitch S1, S2: single-pole\nlight L1: LED");
    assert!(shop.problems.iter().any(|p| p.message.contains("one after the other")), "{:?}", shop.problems);
}

/// Breakers whose handles are tied open in one movement: three tied to each other are one, whoever says so, and two pairs two.
#[test]
fn tied_handles_are_one_movement() {
    let head = "supply house\nshop \"x\"\n  all feeders and circuits listed\npanel P1: no main, all drawn\nfeeder F1 from house to P1\n";
    let plan = |ties: [&str; 5]| -> String {
        let line = |(i, tie): (usize, &&str)| format!("circuit C{}: breaker 20 A, 1-pole{tie}\n", i + 1);
        head.to_string() + &ties.iter().enumerate().map(line).collect::<String>()
    };
    for (ties, count) in [
        (["", "", "", "", ""], "5"),
        ([", tied to C2", "", "", "", ""], "4"),
        ([", tied to C2", ", tied to C1", ", tied to C4", "", ""], "3"),
        ([", tied to C2 and C3", "", "", "", ""], "3"),
        ([", tied to C2 and C3", ", tied to C1 and C3", ", tied to C1 and C2", "", ""], "3"),
    ] {
        expect(&plan(ties), &[&format!("F1 handles = {count}")]);
    }
}

const LAMP: &str = "panel P1: all drawn\nshop \"x\"\n  all feeders and circuits listed\nbox B1: all drawn, holds R1\n\
    run P1 to B1: 1/2 in EMT, 9 ft\nreceptacle R1: 5-20R, duplex\n\
    circuit C1: breaker 20 A, 1-pole, wire 12 AWG Cu THWN-2, equipment ground by raceway\n  feeds R1\n";

/// Pulled wires serve one purpose each; an unsaid color may be that of an equipment grounding conductor.
#[test]
fn pulled_wires_are_held_against_the_plan() {
    for (pulled, lacking) in [
        ("", "0"),
        ("pulled P1 to B1: 1 x 12 AWG Cu THWN-2 black, 1 x 12 AWG Cu THWN-2 white", "0"),
        ("pulled P1 to B1: 1 x 12 AWG Cu THWN-2 black", "1"),
        ("pulled P1 to B1: 2 x 12 AWG Cu THWN-2 green", "2"),
        ("pulled P1 to B1: 2 x 12 AWG Cu THWN-2", "0 to 2"),
        ("pulled P1 to B1: 2 x 12 AWG Cu THWN-2 black as hot", "1"),
    ] {
        expect(&format!("{LAMP}{pulled}\n"), &[&format!("P1-B1 missing-conductors = {lacking}")]);
    }
}

/// Thousands of circuits in rings at one panel: a pass that looks at all runs for each takes minutes here.
#[test]
fn work_grows_with_the_plan_and_no_faster() {
    let mut text = String::from("panel P1: all drawn\n");
    for i in 0..3000 {
        let _ = write!(
            text,
            "box A{i}: holds R{i}\nbox B{i}: holds Q{i}\nrun P1 to A{i}: 1/2 in EMT, 10 ft\nrun A{i} to B{i}: 1/2 in EMT, 12 ft\n\
             run P1 to B{i}: 1/2 in EMT, 40 ft\ncircuit C{i}: breaker 20 A\n  feeds R{i} then Q{i}\nreceptacle R{i}, Q{i}: 5-20R\n"
        );
    }
    let mut shop = shop::build(&plan::read(FileId(0), &text), &[], &[], Arc::new(Vocabulary::core()));
    let start = Instant::now();
    wiring::complete(&mut shop);
    let took = start.elapsed();
    assert!(took < Duration::from_secs(30), "took {took:?}");
    assert!(shop.count(Kind::Conductor) >= 12_000);
}

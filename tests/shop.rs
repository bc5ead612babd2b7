//! The model of every example plan and scenario.

#![allow(clippy::unwrap_used, clippy::panic)] // a test fails by panicking

use ringout::law::{self, syntax::Missing};
use ringout::plan;
use ringout::shop::{self, How, ItemRef, Shop, Value};
use ringout::text::{FileId, Sources, Span, Spanned};
use ringout::words::{Kind, Vocabulary, name};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn plans() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all: Vec<PathBuf> = ["tests/cases/scenarios", "examples"]
        .iter()
        .flat_map(|dir| fs::read_dir(root.join(dir)).into_iter().flatten().flatten())
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "shop"))
        .collect();
    all.sort();
    all
}

/// Every plan that people wrote is understood, phrase by phrase.
#[test]
fn every_plan_is_understood() {
    let (code, _) = law::compile(&law::builtin(&mut Sources::default()));
    assert!(understood(code.vocabulary, plans()) >= 203);
}

/// The scenarios, which keep to the language itself, need no word of a rule file: whatever rules are
/// in force, their plans can be read.
#[test]
fn the_language_needs_no_rules() {
    let scenarios = plans().into_iter().filter(|path| path.parent().is_some_and(|dir| dir.ends_with("scenarios")));
    assert!(understood(Arc::new(Vocabulary::core()), scenarios.collect()) >= 200);
}

fn understood(vocabulary: Arc<Vocabulary>, plans: Vec<PathBuf>) -> usize {
    let mut count = 0;
    let mut faults = Vec::new();
    for path in plans {
        let text = fs::read_to_string(&path).unwrap();
        let mut sources = Sources::default();
        let file = sources.add(path.file_name().unwrap().to_string_lossy(), text.clone());
        let shop = shop::build(&plan::read(file, &text), &[], &[], vocabulary.clone());
        for problem in &shop.problems {
            let place = sources.place(problem.span);
            let help = problem.help.as_deref().unwrap_or("");
            faults.push(format!("{}:{}:{}: {} ({help})", place.file, place.line, place.column, problem.message));
        }
        count += 1;
    }
    assert!(faults.is_empty(), "{} problems:\n{}", faults.len(), faults.join("\n"));
    count
}

fn build(text: &str) -> Shop {
    shop::build(&plan::read(FileId(0), text), &[], &[], Arc::new(Vocabulary::core()))
}

fn messages(shop: &Shop) -> Vec<String> {
    shop.problems.iter().map(|p| format!("{} | {}", p.message, p.help.as_deref().unwrap_or(""))).collect()
}

fn breaker(shop: &Shop, circuit: &str) -> ItemRef {
    match shop.value(shop.named(circuit).unwrap(), name::BREAKER) {
        Value::Item(breaker) => breaker,
        other => panic!("{other:?}"),
    }
}

/// A bad line never helps: each of these leaves the fact unknown, marks it as unread, and says what
/// was expected.
#[test]
fn a_bad_phrase_leaves_its_facts_unread() {
    for (text, says) in [
        ("circuit C1: breaker 20", "breaker 20 A"),
        ("circuit C1: breaker 20 ft", "amperes"),
        ("circuit C1: braker 20 A", "did you mean `breaker`?"),
        ("circuit C1: breaker GFCI 20 A", "is no phrase of circuit C1"),
    ] {
        let shop = build(text);
        let all = messages(&shop).join("\n");
        assert!(all.contains(says), "`{text}` says {all}");
        let source = shop.source(breaker(&shop, "C1"), name::AMPS);
        assert_eq!(source.how, How::Unread, "{text}");
        assert!(source.place.end > source.place.start, "{text}: the line is named");
        assert_eq!(shop.value(breaker(&shop, "C1"), name::AMPS), Value::Unknown);
    }
}

/// What is known beside a bad line stays known.
#[test]
fn a_bad_phrase_costs_no_other_fact() {
    let shop = build("circuit C1: breaker 20 A, fizzle 3\n  wire 12 AWG Cu\n");
    assert_eq!(shop.problems.len(), 1);
    assert!(matches!(shop.value(breaker(&shop, "C1"), name::AMPS), Value::Number(_)));
    assert_eq!(shop.source(breaker(&shop, "C1"), name::HAS_GFCI).how, How::Unread);
}

/// Lists that a bad line might have added to are open: an unread `feeds` must not make a circuit's
/// load look complete, an undefined name neither.
#[test]
fn a_bad_line_leaves_lists_open() {
    for text in [
        "circuit C1: breaker 20 A\n  feeds R1, R9\nreceptacle R1\n",
        "circuit C1: breaker 20 A\n  feeds R1\n  feds R2\nreceptacle R1, R2\n",
        "circuit C1: breaker 20 A\n  feeds R1 R2\nreceptacle R1, R2\n",
        "circuit C1: breaker 20 A\n  feeds R1 and unknown\nreceptacle R1\n",
    ] {
        let shop = build(text);
        assert!(shop.feeds[0].is_open, "{text}");
    }
    assert!(!build("circuit C1\n  feeds R1\nreceptacle R1\n").feeds[0].is_open);
    assert!(build("circuit C1\n").feeds[0].is_open);
}

/// An item whose kind can't be read may be one of those that the plan claims to list.
#[test]
fn an_unread_item_voids_the_lists() {
    let text = "shop: all receptacles listed\npanel P1: all drawn\nrecepticle R1\n";
    let shop = build(text);
    assert!(shop.listed.is_empty());
    assert_eq!(shop.value(shop.named("P1").unwrap(), name::IS_ALL_DRAWN), Value::Unknown);
    assert!(build(&text.replace("recepticle", "receptacle")).listed.contains_key(&Kind::Receptacle));
}

/// `all … listed` takes commas and `and`.
#[test]
fn lists_close_by_kind() {
    for text in
        ["shop: all feeders, circuits and lights listed\n", "shop: all feeders and circuits and lights listed\n"]
    {
        let shop = build(text);
        assert!(shop.problems.is_empty(), "{:?}", messages(&shop));
        assert_eq!(shop.listed.len(), 3);
        assert!(!shop.listed.contains_key(&Kind::Receptacle));
    }
}

/// A control that is not defined leaves what hangs behind it unknown: `through S9` must not read as
/// a light without a switch.
#[test]
fn an_undefined_switch_hides_its_load() {
    let shop = build("circuit C1\n  feeds L1 through S9\nlight L1\n");
    assert!(shop.feeds[0].branches[0].stages[0].loads.iter().all(|l| l.item.is_none()));
}

/// The same fact said twice and different is a problem at both places, and unknown.
#[test]
fn two_sayings_that_differ_conflict() {
    for (text, tag, word) in [
        ("panel P1: bus 100 A, bus 125 A\n", "P1", name::BUS_AMPS),
        ("panel P1: neutral isolated\nseen P1, on 2027-04-10: neutral bonded\n", "P1", name::IS_NEUTRAL_BONDED),
        ("box B1: outdoors, holds R1\nreceptacle R1: indoors\n", "R1", name::PLACE),
        ("box B1: plastic\nevery box: metal\n", "B1", name::IS_METAL),
        ("feeder F1: equipment ground 6 AWG, no equipment ground\n", "F1", name::EQUIPMENT_GROUND),
        ("box B1, B2: holds R1\nreceptacle R1\n", "R1", name::BOX),
    ] {
        let shop = build(text);
        let item = shop.named(tag).unwrap();
        assert_eq!(shop.value(item, word), Value::Unknown, "{text}");
        assert_eq!(shop.source(item, word).how, How::Conflict, "{text}");
        let problem = shop.problems.iter().find(|p| p.message.contains("two different things"));
        assert_eq!(problem.map(|p| p.also.len()), Some(1), "{text}: {:?}", messages(&shop));
    }
}

/// A phrase of breakers makes no main of a panel that speaks of none.
#[test]
fn a_main_is_not_made_by_the_way() {
    let shop = build("panel P1: GFCI\n");
    assert!(messages(&shop).join("").contains("`GFCI` is no phrase of panel P1"), "{:?}", messages(&shop));
    assert_eq!(shop.value(shop.named("P1").unwrap(), name::MAIN), Value::Unknown);
    let help = shop.problems[0].help.clone().unwrap_or_default();
    assert!(help.contains("said of a breaker"), "a hint must not repeat what was written: {help}");
    for text in ["panel P1: 2-pole, main 60 A\n", "panel P1: main unknown, 2-pole\n"] {
        let shop = build(text);
        assert!(shop.problems.is_empty(), "{text}: {:?}", messages(&shop));
        let main = shop.value(shop.named("P1").unwrap(), name::MAIN);
        let Value::Item(main) = main else { panic!("{text}: only a main has poles, {main:?}") };
        assert!(shop.value(main, name::POLES).is_known(), "{text}");
    }
}

/// Where a circuit starts is not taken from the only panel when the plan says that it is elsewhere.
#[test]
fn an_unknown_start_has_no_default() {
    for text in ["panel P1\ncircuit C1 from unknown\n", "panel P1\ncircuit C1 from P9\n"] {
        let shop = build(text);
        assert_eq!(shop.value(shop.named("C1").unwrap(), name::PANEL), Value::Unknown, "{text}");
    }
}

/// `indoors` is dry unless the item says more; a phrase that could not be read might have said more.
#[test]
fn a_bad_phrase_does_not_make_a_place_dry() {
    let place = |text: &str| {
        let shop = build(text);
        shop.value(shop.named("R1").unwrap(), name::PLACE)
    };
    assert!(place("receptacle R1: indoors\n").is_known());
    assert!(!place("receptacle R1: indoors, wet locashun\n").is_known());
}

/// `plain` and claims under `unless said` deny nothing that an unread phrase might have claimed.
#[test]
fn a_bad_phrase_stops_denials() {
    let shop = build("circuit C1: breaker 20 A, GFCII maybe, plain\n");
    assert_eq!(shop.value(breaker(&shop, "C1"), name::HAS_GFCI), Value::Unknown);
    let shop = build("shop: all terminals 75 C\npanel P1: terminals 60\n");
    assert_eq!(shop.value(shop.named("P1").unwrap(), name::TERMINAL_MARKING), Value::Unknown);
}

/// Two loose sayings leave what both allow.
#[test]
fn loose_sayings_narrow_each_other() {
    let shop = build("panel P1: bus at least 100 A\nseen P1, on 2027-04-10: bus 125 A\n");
    assert!(shop.problems.is_empty());
    let item = shop.named("P1").unwrap();
    assert!(matches!(shop.value(item, name::BUS_AMPS), Value::Number(_)));
    assert_eq!(shop.source(item, name::BUS_AMPS).how, How::Seen);
}

/// A guess gives way to what is known, without a word.
#[test]
fn a_guess_gives_way() {
    let shop = build("circuit C1: assume breaker 20 A\nseen C1, on 2027-04-10: breaker 30 A\n");
    assert!(shop.problems.is_empty(), "{:?}", messages(&shop));
    assert_eq!(shop.source(breaker(&shop, "C1"), name::AMPS).how, How::Seen);
}

/// A claim for many is remembered by every fact that leans on it.
#[test]
fn claims_are_remembered() {
    let shop = build("box B1, B2\nevery box: metal\n");
    let source = shop.source(shop.named("B2").unwrap(), name::IS_METAL);
    assert_eq!(shop.claims[source.claim.unwrap() as usize].text, "every box: metal");
}

#[test]
fn names_are_checked() {
    for (text, says) in [
        ("circuit C1: feeds R1\nreceptacle R2\n", "no item is called `R1`"),
        ("receptacle R1\nreceptacle R1\n", "the name `R1` is taken"),
        ("receptacle R1\nlight R1\n", "the name `R1` is taken"),
        ("circuit C1: feeds C1\n", "`C1` can't stand here: its kind is circuit"),
        ("receptacle nothing\n", "can't be a name"),
        ("receptacle R1 to S9\n", "don't begin and end a range"),
        ("receptacle: 5-20R\n", "this receptacle has no name"),
        ("run B1\nbox B1\n", "a run joins two places"),
        ("pulled B1 to B2: 1 x black\nbox B1, B2\n", "no run goes from `B1` to `B2`"),
        ("every bx: metal\nbox B1\n", "did you mean `every box`?"),
        ("shop: no panel\npanel P1\n", "the plan says that there is no panel, and names one"),
    ] {
        let shop = build(text);
        let all = messages(&shop).join("\n");
        assert!(all.contains(says), "`{text}` says {all}");
    }
}

/// What an example writes stands in place of what a `given` says of the same fact; `unsaid` takes a
/// given fact away.
#[test]
fn given_lines_give_way() {
    let given = plan::read(
        FileId(1),
        "panel P1: bus 100 A, main 60 A, terminals 75 C\nfeeder F1 from house to P1\n  breaker 60 A, 2-pole\n  \
         stretch 12 ft: 1 in PVC-40, buried 18 in\ncircuit C1: breaker 20 A, GFCI\n  feeds R1\nreceptacle R1: 5-20R\n",
    );
    let plan = plan::read(
        FileId(0),
        "circuit C1: no GFCI\n  feeds R2\nreceptacle R2: 5-20R\nfeeder F1\n  stretch 5 ft: buried 6 in\n\
         panel P1: no main\n",
    );
    let said = |text: &str, of: Option<&str>| {
        let word = |text: &str| Spanned { node: text.to_string(), span: Span::default() };
        Missing { word: word(text), item: of.map(word) }
    };
    let unsaid = [said("terminals", Some("P1")), said("amps", Some("C1"))];
    let shop = shop::build(&plan, &[&given], &unsaid, Arc::new(Vocabulary::core()));
    assert!(shop.problems.is_empty(), "{:?}", messages(&shop));
    let panel = shop.named("P1").unwrap();
    assert_eq!(shop.value(breaker(&shop, "C1"), name::HAS_GFCI), Value::YesNo(false));
    assert_eq!(shop.value(breaker(&shop, "C1"), name::AMPS), Value::Unknown);
    assert!(matches!(shop.value(breaker(&shop, "F1"), name::AMPS), Value::Number(_)));
    assert_eq!(shop.value(panel, name::MAIN), Value::Absent);
    assert!(matches!(shop.value(panel, name::BUS_AMPS), Value::Number(_)));
    assert_eq!(shop.value(panel, name::TERMINAL_MARKING), Value::Unknown);
    let fed: Vec<_> = shop.feeds[0].branches.iter().flat_map(|b| &b.stages).flat_map(|s| &s.loads).collect();
    assert_eq!(fed.len(), 1);
    assert_eq!(fed[0].item, shop.named("R2"));
    assert_eq!(shop.count(Kind::Run), 1, "the example's stretches stand in place of the given ones");
}

/// `plain` and the place of a box in an example win over what given lines say, and the other way round.
#[test]
fn given_lines_give_way_to_what_follows_too() {
    let given = plan::read(
        FileId(1),
        "circuit C1: GFCI\nbox B1: indoors, holds R1\nreceptacle R1\nbox B2: holds R2\n\
                                       receptacle R2: indoors\npanel P1: bus 100 A\nseen P1, on 2027-04-10: bus 100 A\n",
    );
    let plan = plan::read(FileId(0), "circuit C1: plain\nreceptacle R1: outdoors\nbox B2: outdoors\n");
    let shop = shop::build(&plan, &[&given], &[], Arc::new(Vocabulary::core()));
    assert!(shop.problems.is_empty(), "{:?}", messages(&shop));
    assert_eq!(shop.value(breaker(&shop, "C1"), name::HAS_GFCI), Value::YesNo(false));
    let place = |tag| shop.value(shop.named(tag).unwrap(), name::PLACE);
    assert_eq!(place("R1"), place("B2"));
    assert_eq!(place("R2"), place("B2"));
    assert_eq!(shop.source(shop.named("P1").unwrap(), name::BUS_AMPS).how, How::Seen);
}

/// `no panel` in an example takes the given panel away, and what given lines say of it.
#[test]
fn an_example_may_rule_out_given_items() {
    let given = plan::read(
        FileId(1),
        "panel P1: bus 100 A, main 60 A, 2-pole\ncircuit C1 from P1\nelectrode E1: 1 rod, wire to P1\nseen P1: all drawn\n",
    );
    let plan = plan::read(FileId(0), "shop: no panel, no electrode\n");
    let shop = shop::build(&plan, &[&given], &[], Arc::new(Vocabulary::core()));
    assert!(shop.problems.is_empty(), "{:?}", messages(&shop));
    assert_eq!((shop.count(Kind::Panel), shop.count(Kind::Electrode)), (0, 0));
    let plan = plan::read(FileId(0), "panel P1: no main\n");
    let shop = shop::build(&plan, &[&given], &[], Arc::new(Vocabulary::core()));
    assert!(shop.problems.is_empty(), "{:?}", messages(&shop));
}

/// The order of items and lines carries no meaning, but for stretches and `feeds`.
#[test]
fn order_says_nothing() {
    let lines = ["receptacle R1: in garage", "box B1: outdoors, holds R2", "receptacle R2", "shop: use garage"];
    let forward = build(&lines.join("\n"));
    let backward = build(&lines.iter().rev().copied().collect::<Vec<_>>().join("\n"));
    for shop in [&forward, &backward] {
        assert_eq!(shop.count(Kind::Area), 1);
        assert!(matches!(shop.value(shop.named("R1").unwrap(), name::AREA), Value::Item(_)));
        assert!(matches!(shop.value(shop.named("R2").unwrap(), name::PLACE), Value::Choice(_)));
    }
}

/// What somebody saw is never lost: whoever is named behind the items is left out of their names, and what is no
/// name is told.
#[test]
fn a_record_that_cannot_be_read_is_told() {
    let lines = "shop\npanel P1: main 60 A\nbox B1\nrun P1 to B1: 1/2 in EMT, 9 ft\n";
    let height = |record: &str| {
        let shop = build(&format!("{lines}{record}\n"));
        let panel = shop.named("P1").unwrap();
        (messages(&shop), shop.value(panel, name::HANDLE_HEIGHT), shop.value(panel, name::HEIGHT))
    };
    let plain = height("measured P1, on 2026-04-10: 62 in up");
    assert!(plain.0.is_empty() && (plain.1 != Value::Unknown || plain.2 != Value::Unknown), "{plain:?}");
    for same in [
        "measured P1, by owner, on 2026-04-10: 62 in up",
        "measured P1 by owner on 2026-04-10: 62 in up",
        "measured panel P1, by \"the owner\", on 2026-04-10: 62 in up",
        "measured P1: 62 in up, by owner, on 2026-04-10",
    ] {
        assert_eq!(height(same), plain, "{same}");
    }
    for lost in ["measured P1 bananas: 62 in up", "seen the panel P1, on 2026-04-10: 62 in up"] {
        assert_eq!(height(lost).0.len(), 1, "{lost}");
    }
    let shop = build(&format!("{lines}seen run P1 to B1, by owner: indoors\n"));
    assert!(messages(&shop).is_empty(), "{:?}", messages(&shop));
}

/// Nobody measures in one unit: feet and inches are told as one amount, and not parted by a comma, which would make two.
#[test]
fn feet_and_inches_are_one_amount() {
    let shop = build("box B1, B2\nrun B1 to B2: 1/2 in EMT, 9 ft 4-1/2 in\n");
    let messages = messages(&shop);
    assert!(messages.iter().any(|m| m.ends_with("| an amount has one unit: `112-1/2 in`")), "{messages:?}");
}

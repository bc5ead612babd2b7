//! What edits make of a small pack, and what is said where one can't be made.

use super::{Amended, MOST_LAYERS, State, amend};
use crate::law::syntax::Pack;
use crate::law::syntax::layer::Layer;
use crate::law::{compile, print, read, read_layer};
use crate::text::{FileId, Severity};

const BASE: &str = r#"
rule deep "Deep enough"
  stage   trench
  level   required
  value   depth "earth": at least 18 in, from NEC 2020 at least 24 in
  list    methods of choice method: EMT, RMC, PVC-40
  list    ways "ways"
          deep "deep": s.cover within depth
          steel "heavy steel": s.method is RMC
  for     each run s
  where   buried "in the earth": s.place is buried
          method "a known one": s.method is any of methods
  needs   way "deep, or strong": any of ways
          tape "a tape": s.bends <= 360 deg
  except  shed "to a shed": s.length <= 10 ft
  else    "{s} has {s.cover}; {depth} is asked"

table depths "Depths"
  source  "figures for show"
  key     under: choice under, exact
  column  depth: length
  beyond  unknown
  rows
    under | depth
    lawn  | 18 in
    road  | 24 in

rule tabled "By the table"
  stage   trench
  level   advised
  for     each run s
  needs   deep "deep": s.cover >= depths at (s.under)
  else    "{s} is not deep"

term is-thin of (s: run)
  doc    "thin"
  means  s.length <= 5 ft
"#;

const HEAD: &str = "layer pine \"Pine County\"\n  kind county\n  over any edition\n  status in force, checked 2026-11-25\n  source \"Ordinance 7\"\n\n";

fn base() -> Pack {
    let (pack, problems) = read(FileId(0), BASE);
    assert!(problems.is_empty(), "{problems:#?}");
    pack
}

fn layer_at(file: u32, text: &str) -> Layer {
    let (layer, problems) = read_layer(FileId(file), text);
    assert!(problems.is_empty(), "{text}\n{problems:#?}");
    layer.unwrap()
}

/// A layer of the usual head with one block that changes the rule `deep`.
fn changed(edits: &str) -> Amended {
    amended(&format!("change rule deep \"x\"\n  why x\n{edits}"))
}

fn amended(blocks: &str) -> Amended {
    let out = amend(&base(), &[layer_at(1, &format!("{HEAD}{blocks}"))]);
    let wrong: Vec<_> = compile(&out.pack).1.into_iter().filter(|p| p.severity == Severity::Error).collect();
    assert!(!out.problems.is_empty() || wrong.is_empty(), "{wrong:#?}");
    out
}

fn value(out: &Amended) -> String {
    print::steps(&out.pack.rules[0].values[0].steps)
}

/// What is wrong with one edit: the message and the help.
fn wrong(edits: &str) -> (String, String) {
    let out = changed(edits);
    assert_eq!(out.problems.len(), 1, "{edits}\n{:#?}", out.problems);
    assert_eq!(value(&out), value(&amend(&base(), &[])), "{edits}: the rule stands as it was");
    (out.problems[0].message.clone(), out.problems[0].help.clone().unwrap_or_default())
}

/// What can't even be read, in a file with one block.
fn unread(block: &str) -> (String, String) {
    let (_, problems) = read_layer(FileId(1), &format!("{HEAD}change rule deep \"x\"\n  why x\n{block}"));
    assert_eq!(problems.len(), 1, "{block}\n{problems:#?}");
    (problems[0].message.clone(), problems[0].help.clone().unwrap_or_default())
}

#[test]
fn a_value_changes_in_the_editions_of_the_layer_alone() {
    let over = |over: &str, edit: &str| {
        let text = format!("{}change rule deep \"x\"\n  why x\n  {edit}\n", HEAD.replace("any edition", over));
        let out = amend(&base(), &[layer_at(1, &text)]);
        assert!(out.problems.is_empty(), "{:#?}", out.problems);
        assert_eq!(out.edits[0].state, State::Applied);
        value(&out)
    };
    let edit = "set value depth to at least 30 in, was at least 24 in";
    assert_eq!(
        over("NEC 2023", edit),
        "at least 18 in, from NEC 2020 at least 24 in, from NEC 2023 at least 30 in, from NEC 2026 at least 24 in"
    );
    assert_eq!(over("NEC 2020 and later", edit), "at least 18 in, from NEC 2020 at least 30 in");
    assert_eq!(
        over("NEC 2020, NEC 2026", edit),
        "at least 18 in, from NEC 2020 at least 30 in, from NEC 2023 at least 24 in, from NEC 2026 at least 30 in"
    );
    assert_eq!(
        over("any edition", "set value depth to at least 30 in, was at least 18 in, from NEC 2020 at least 24 in"),
        "at least 30 in"
    );
    assert_eq!(over("NEC 2020 and later", "borrow value depth from NEC 2017, was at least 24 in"), "at least 18 in");
}

/// The same meaning in other words is the same text to a guard; another meaning is not.
#[test]
fn a_guard_compares_meanings_not_blanks() {
    let out = changed("  set needs tape to s.bends <= 270 deg, was (s.bends   <=  360 degrees)\n");
    assert!(out.problems.is_empty(), "{:#?}", out.problems);
    let out = changed("  set needs tape to s.bends <= 270 deg, was \"a   tape\"\n");
    assert!(out.problems.is_empty(), "{:#?}", out.problems);
    let (message, help) = wrong("  set needs tape to s.bends <= 270 deg, was s.bends < 360 deg\n");
    assert_eq!(message, "out of date: needs tape of deep says s.bends <= 360 deg today; the edit is not made");
    assert_eq!(help, "look at the local text again; if it still holds, write `was s.bends <= 360 deg`");
}

#[test]
fn what_an_edit_does_not_find_is_said_with_what_there_is() {
    for (edit, message, help) in [
        ("set value deph to at least 1 ft, was at least 2 ft", "deep has no value `deph`", "the nearest is `depth`"),
        ("strike exception barn, was \"x\"", "deep has no exception `barn`", "it has: shed"),
        ("strike item sand of ways, was \"x\"", "deep has no item `sand`", "it has: deep, steel"),
        ("strike item deep of wayz, was \"x\"", "deep has no list `wayz`", "the nearest is `ways`"),
        ("add exception shed \"x\": s.length <= 1 ft", "deep has exception `shed` already", "`set` changes it"),
        ("add needs s.length <= 1 ft", "this `needs` has no name", "write `add needs NAME"),
        (
            "strike rule, was \"Deep\"",
            "out of date: the title of deep says \"Deep enough\" today",
            "look at the local text",
        ),
        ("set level to advised, was note", "out of date: level of deep says required today", "was required`"),
        ("set list methods to EMT, was EMT, RMC", "out of date: list methods of deep says EMT, RMC, PVC-40", "was EMT"),
    ] {
        let (said, hint) = wrong(&format!("  {edit}\n"));
        assert!(said.starts_with(message), "{edit}: {said}");
        assert!(hint.contains(help), "{edit}: {hint}");
    }
    let missing = amended("change rule deap \"x\"\n  why x\n  strike rule, was \"x\"\n");
    assert_eq!(missing.problems[0].message, "there is no rule `deap`");
    assert_eq!(missing.problems[0].help.as_deref(), Some("the nearest is `deep`"));
}

#[test]
fn what_can_not_be_read_is_said_in_trade_words() {
    for (block, message, help) in [
        ("  set value depth to at least 30 in\n", "this edit doesn't say what it replaces", "`, was`"),
        ("  replace value depth with 30 in\n", "`replace` begins no line of a `change`", "known here: set, add"),
        ("  set voltage to 125 V, was 250 V\n", "`set voltage`: `voltage` is no part", "`set` goes with value"),
        (
            "  limit value depth to 30 in, was 24 in\n",
            "`limit value`: `value` is no part",
            "item, exception, needs, where",
        ),
        ("  strike item deep, was \"deep\"\n", "`deep` of which list?", "`item NAME of LIST`"),
        ("  until 2024-01-01\n", "`until` begins no line", "known here"),
        ("", "this block changes nothing", "an edit begins with set, add"),
    ] {
        let (said, hint) = unread(block);
        assert!(said.starts_with(message), "{block}: {said}");
        assert!(hint.contains(help), "{block}: {hint}");
    }
    for (head, message, help) in [
        ("  kind town\n", "`town` is no kind", "`city`"),
        ("  over NEC 2020 to NEC 2023\n", "`to` does not fit here", "`,`"),
        ("  status adopted\n", "`adopted` does not fit here", "`in force`"),
        ("  until 2024-01-01\n", "`until` is read in two ways", "`before DAY`"),
    ] {
        let (_, problems) = read_layer(FileId(1), &format!("layer x \"x\"\n{head}"));
        let found = problems.iter().find(|p| p.message.starts_with(message));
        assert!(found.is_some_and(|p| p.help.as_deref().unwrap_or("").contains(help)), "{head}: {problems:#?}");
    }
    let (_, problems) = read_layer(FileId(1), "rule x \"x\"\n");
    assert!(!problems.is_empty());
}

/// An edit that would make what stands there already is absorbed, not an error.
#[test]
fn what_the_base_says_already_is_absorbed() {
    let out = changed("  set needs tape to s.bends <= 360 deg, was s.bends <= 540 deg\n");
    assert!(out.problems.is_empty());
    assert_eq!(out.edits[0].state, State::Absorbed);
}

#[test]
fn a_list_that_a_demand_reads_keeps_a_way() {
    let out = changed("  strike item deep of ways, was \"deep\"\n  strike item steel of ways, was \"heavy steel\"\n");
    assert_eq!(out.problems.len(), 1, "{:#?}", out.problems);
    assert!(out.problems[0].message.starts_with("no way is left to meet `deep`"));
    let help = out.problems[0].help.clone().unwrap();
    assert!(help.contains("item deep of ways by Pine County") && help.contains("item steel of ways"), "{help}");
}

#[test]
fn tables_change_by_cell_row_and_whole() {
    let rows = |out: &Amended| {
        let cells = |row: &crate::law::syntax::Row| {
            let all = row.keys.iter().map(Some).chain(row.values.iter().map(Option::as_ref));
            format!("{}{}", print::cells(all), print::bounds(&row.bounds))
        };
        out.pack.tables[0].rows.iter().map(cells).collect::<Vec<_>>().join("; ")
    };
    let table = |edits: &str| amended(&format!("change table depths \"x\"\n  why x\n  {edits}\n"));
    let out = table("set cell (lawn) to 30 in, was 18 in");
    assert_eq!(rows(&out), "lawn, 30 in; road, 24 in");
    assert_eq!(out.pack.rules[1].touched.len(), 1, "the rule that reads the table rests on the edit");
    assert!(out.pack.rules[0].touched.is_empty());
    assert_eq!(rows(&table("add row (building): 0 in")), "lawn, 18 in; road, 24 in; building, 0 in");
    assert_eq!(rows(&table("strike row (road), was 24 in")), "lawn, 18 in");
    let out = table("set cell (lawn) to 30 in, was 20 in");
    assert!(out.problems[0].message.starts_with("out of date: cell (lawn) of depths says 18 in today"));
    let out = table("set cell (laun) to 30 in, was 20 in");
    assert_eq!(out.problems[0].message, "`depths` has no row (laun)");
    let text = format!(
        "{}change table depths \"x\"\n  why x\n  set cell (lawn) to 30 in, was 18 in\n",
        HEAD.replace("any edition", "NEC 2020")
    );
    let out = amend(&base(), &[layer_at(1, &text)]);
    assert_eq!(
        rows(&out),
        "lawn, 18 in, before NEC 2020; lawn, 18 in, from NEC 2023; lawn, 30 in, from NEC 2020 before NEC 2023; road, 24 in"
    );
    assert!(compile(&out.pack).1.iter().all(|p| p.severity == Severity::Warning));
}

/// What is proposed, withdrawn, or not for this layer to change leaves the pack as it is, and a record.
#[test]
fn what_is_no_law_is_recorded_and_not_made() {
    let edit = "change rule deep \"x\"\n  why x\n  strike exception shed, was \"to a shed\"\n";
    let state = |status: &str| {
        let head = HEAD.replace("in force, checked 2026-11-25", status);
        let out = amend(&base(), &[layer_at(1, &format!("{head}{edit}"))]);
        (out.edits[0].state, out.pack.rules[0].excepts.len())
    };
    assert_eq!(state("in force"), (State::Applied, 0));
    assert_eq!(state("proposed, checked 2026-11-25"), (State::Proposed, 1));
    assert_eq!(state("withdrawn"), (State::Withdrawn, 1));
    let above = |leave: &str| {
        let state = format!(
            "layer st \"State\"\n  kind state\n  over any edition\n  status in force\n  source \"s\"\n  below county: {leave}\n"
        );
        // Given the wrong way round: the state comes first all the same.
        amend(&base(), &[layer_at(1, &format!("{HEAD}{edit}")), layer_at(2, &state)])
    };
    assert_eq!(above("no edits").edits[0].state, State::NotValidHere);
    let stricter = above("stricter only");
    assert_eq!(stricter.edits[0].state, State::Applied, "one way out fewer is stricter");
    let looser = "change rule deep \"x\"\n  why x\n  add exception mud \"mud\": s.length <= 2 ft\n";
    let head = "layer st \"State\"\n  kind state\n  over any edition\n  status in force\n  source \"s\"\n  below county: stricter only\n";
    let out = amend(&base(), &[layer_at(1, &format!("{HEAD}{looser}")), layer_at(2, head)]);
    assert_eq!(out.edits[0].state, State::Refused);
    assert_eq!(out.pack.rules[0].excepts.len(), 1);
}

/// A wish stands beside the law: the rule stays, and a copy asks for more as advice.
#[test]
fn an_owner_lets_nothing_off() {
    let head = HEAD.replace("county", "owner");
    let out = amend(
        &base(),
        &[layer_at(1, &format!("{head}change rule deep \"x\"\n  why x\n  strike needs tape, was \"a tape\"\n"))],
    );
    assert_eq!(out.pack.rules[0].needs.len(), 2);
    let copy = out.pack.rules.iter().find(|rule| rule.name.node == "deep-pine").unwrap();
    assert_eq!((copy.level.node.as_str(), copy.needs.len()), ("advised", 1));
    assert_eq!(out.edits[0].state, State::Wish);
}

#[test]
fn one_layer_twice_counts_once_and_too_many_are_refused() {
    let layer = layer_at(1, &format!("{HEAD}change rule deep \"x\"\n  why x\n  strike needs tape, was \"a tape\"\n"));
    let out = amend(&base(), &[layer.clone(), layer.clone()]);
    assert!(out.problems.is_empty() && out.layers.len() == 1, "{:#?}", out.problems);
    let many: Vec<Layer> =
        (0..=MOST_LAYERS as u32).map(|n| layer_at(n + 1, &HEAD.replace("pine", &format!("pine-{n}")))).collect();
    let just = amend(&base(), &many[1..]);
    assert!(just.problems.is_empty() && just.layers.len() == MOST_LAYERS, "{:#?}", just.problems);
    let out = amend(&base(), &many);
    assert_eq!(out.layers.len(), MOST_LAYERS);
    assert!(out.problems[0].message.starts_with("more than 16 layers over one pack"));
    let twins = [layer_at(1, HEAD), layer_at(2, HEAD)];
    assert_eq!(amend(&base(), &twins).problems[0].message, "a second layer `pine`");
}

/// Brackets and blocks that a stranger's layer piles up come back as problems, never as a crash.
#[test]
fn deep_and_long_layers_are_refused() {
    let deep =
        format!("  set needs tape to {}s.bends <= 1 deg{}, was \"a tape\"\n", "(".repeat(5000), ")".repeat(5000));
    assert!(unread(&deep).0.contains("too deep"));
    let text = format!("{HEAD}{}", "change rule deep \"x\"\n  why x\n".repeat(20_000));
    let (_, problems) = read_layer(FileId(1), &text);
    assert!(problems.last().is_some_and(|p| p.message.starts_with("more than ")), "{:?}", problems.last());
}

#[test]
fn gaps_between_adopted_editions_are_said() {
    let head = |lines: &str| format!("{}{lines}", HEAD.trim_end().to_string() + "\n");
    let problem = |lines: &str| amend(&base(), &[layer_at(1, &head(lines))]).problems.pop().map(|p| p.message);
    assert_eq!(problem("  adopt NEC 2017 before 2024-01-01\n  adopt NEC 2023 from 2024-01-01\n"), None);
    assert_eq!(
        problem("  adopt NEC 2017 before 2024-01-01\n  adopt NEC 2023 from 2024-04-19\n").as_deref(),
        Some("nothing is adopted for permits from 2024-01-01 to 2024-04-18")
    );
    assert_eq!(
        problem("  adopt NEC 2017 where shop.is-business\n").as_deref(),
        Some("nothing is adopted for the other buildings")
    );
}

/// No layer undoes another in silence: by a title that says nothing of the other's words, or by the rule as a whole.
#[test]
fn the_last_file_does_not_win() {
    let block = |edit: &str| format!("change rule deep \"x\"\n  why x\n  {edit}\n");
    let city = |differ: &str, edit: &str| {
        let head = HEAD.replace("pine", "elm").replace("Pine County", "Elm City").replace("county", "city");
        layer_at(2, &format!("{}{differ}\n{}", head.trim_end().to_string() + "\n", block(edit)))
    };
    let county = |edit: &str| layer_at(1, &format!("{HEAD}{}", block(edit)));
    let bends = "set needs tape to s.bends <= 270 deg, was \"a tape\"";
    let text = |out: &Amended| out.pack.rules[0].needs[1].test.clone();

    let both = amend(&base(), &[city("", "set needs tape to s.bends <= 180 deg, was \"a tape\""), county(bends)]);
    assert!(both.problems.is_empty(), "{:#?}", both.problems);
    assert_eq!(both.edits[1].state, State::NotSettled);
    assert_eq!(print::expr(&text(&both)), "if shop.is-elm-over-pine then s.bends <= 180 deg else s.bends <= 270 deg");
    let fact = both.pack.facts.iter().find(|fact| fact.word.name.node == "is-elm-over-pine").unwrap();
    let question = fact.question.clone().unwrap();
    assert!(question.contains("Elm City") && question.contains("Pine County"), "{question}");

    let strict = amend(
        &base(),
        &[city("  differ strictest wins", "set needs tape to s.bends <= 180 deg, was \"a tape\""), county(bends)],
    );
    assert_eq!(print::expr(&text(&strict)), "s.bends <= 270 deg and s.bends <= 180 deg");

    // Who quotes the other's words has read them, and replaces them.
    let knows =
        amend(&base(), &[city("", "set needs tape to s.bends <= 180 deg, was s.bends <= 270 deg"), county(bends)]);
    assert_eq!((knows.edits[1].state, print::expr(&text(&knows)).as_str()), (State::Applied, "s.bends <= 180 deg"));

    let strike = "strike rule, was \"Deep enough\"";
    let undone = amend(&base(), &[city("", strike), county(bends)]);
    assert_eq!(undone.problems.len(), 1);
    assert!(undone.problems[0].message.starts_with("`deep` was changed by Pine County as well"));
    assert!(undone.pack.rules.iter().any(|rule| rule.name.node == "deep"), "the rule stands");
    let wins = amend(&base(), &[city("  differ this layer wins", strike), county(bends)]);
    assert!(wins.problems.is_empty() && !wins.pack.rules.iter().any(|rule| rule.name.node == "deep"));
}

//! Published worked examples, each run through the pack.
//!
//! A row of `published/worked_examples.csv` becomes a small formula over the item of a small plan, with its
//! figure as an example that must come out: exactly what a rule author would write to show a formula. What
//! comes out is rounded to the digits of `gives`. `printed` is what the source prints; where `gives` differs
//! from it, `remark` says why, and who is right.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking, its helpers too")]

use ringout::law::{self, syntax::Pack, verdict::Outcome};
use ringout::text::{Severity, Sources};
use ringout::{Rules, packs, selftest};
use std::collections::BTreeSet;
use std::path::Path;

const COLUMNS: [&str; 10] = ["id", "topic", "item", "type", "figure", "given", "plan", "gives", "printed", "remark"];

struct Row {
    id: String,
    /// The tag of the item, and its kind.
    item: (String, String),
    result: String,
    figure: String,
    given: String,
    plan: Vec<String>,
    gives: String,
    printed: String,
    remark: String,
    source: String,
}

fn rows() -> Vec<Row> {
    let mut lines = include_str!("published/worked_examples.csv").lines().filter(|l| !l.starts_with('#')).map(cells);
    let head = lines.next().unwrap();
    assert_eq!(head[..10], COLUMNS, "the columns");
    assert_eq!(head[10], "source");
    let row = |cells: Vec<String>| {
        let [id, _, item, result, figure, given, plan, gives, printed, remark, source] =
            <[String; 11]>::try_from(cells).unwrap_or_else(|cells| panic!("{cells:?}"));
        let (kind, tag) = item.split_once(' ').unwrap_or((&item, &item));
        let plan = plan.split("; ").filter(|l| !l.is_empty()).map(str::to_string).collect();
        Row { id, item: (tag.into(), kind.into()), result, figure, given, plan, gives, printed, remark, source }
    };
    lines.map(row).collect()
}

/// The cells of a line; one in quotes may hold commas, and a doubled quote.
fn cells(line: &str) -> Vec<String> {
    let (mut cells, mut cell, mut is_quoted) = (Vec::new(), String::new(), false);
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if is_quoted && letters.peek() == Some(&'"') => cell.extend(letters.next()),
            '"' => is_quoted = !is_quoted,
            ',' if !is_quoted => cells.push(std::mem::take(&mut cell)),
            _ => cell.push(letter),
        }
    }
    cells.push(cell);
    cells
}

/// The row as a formula of the rule language that must come to what `gives` makes of its figure.
fn formula(row: &Row, gives: impl Fn(&str) -> String) -> String {
    let id = row.id.to_lowercase();
    let (tag, kind) = &row.item;
    let given = if row.given.is_empty() { String::new() } else { format!("  given {}\n", row.given) };
    let plan: String = row.plan.iter().map(|line| format!("    {line}\n")).collect();
    format!(
        "define worked-{id} of (x: {kind}) {}\n  doc \"worked example {id}\"\n  = {}\n{given}\n  example {tag} gives {}\n{plan}\n",
        row.result,
        row.figure,
        gives(&row.gives)
    )
}

/// What each row that fails gives instead.
fn failures(rows: &[Row], gives: impl Fn(&str) -> String) -> Vec<String> {
    let mut sources = Sources::default();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules");
    let mut pack = packs::from_folder(&folder, &mut sources).unwrap().pack;
    pack.rules.clear();
    pack.defines.iter_mut().for_each(|define| define.examples.clear());
    let text: String = rows.iter().map(|row| formula(row, &gives)).collect();
    let file = sources.add("worked_examples.csv as formulas", text.as_str());
    let (more, mut problems): (Pack, _) = law::read(file, &text);
    pack.join(more);
    let (code, found) = law::compile(&pack);
    problems.extend(found);
    let mut failed: Vec<String> = problems
        .iter()
        .filter(|p| p.severity == Severity::Error)
        .map(|p| format!("{:?}: {} {:?}", sources.place(p.span), p.message, p.help))
        .collect();
    let outcomes = selftest::run(&pack, &code);
    if outcomes.len() != rows.len() {
        failed.push(format!("{} of {} rows were run", outcomes.len(), rows.len()));
    }
    let told = outcomes.iter().filter_map(|o| Some((o, o.failure.as_ref()?)));
    failed.extend(told.map(|(o, p)| format!("{}: {} {}", o.block, p.message, p.help.clone().unwrap_or_default())));
    failed
}

#[test]
fn every_published_example_comes_out() {
    let rows = rows();
    let failed = failures(&rows, str::to_string);
    assert!(failed.is_empty(), "{} of {}:\n{}", failed.len(), rows.len(), failed.join("\n"));
}

/// The test above can fail: with every figure moved by one digit, none comes out.
#[test]
fn a_wrong_figure_shows() {
    let rows = rows();
    let spoil = |gives: &str| format!("9{gives}");
    let spoiled: Vec<Row> =
        rows.into_iter().filter(|row| row.gives.starts_with(|c: char| c.is_ascii_digit())).collect();
    let failed = failures(&spoiled, spoil);
    assert_eq!(failed.len(), spoiled.len(), "{failed:#?}");
}

#[test]
fn every_row_names_its_source_and_says_why_it_differs() {
    let rows = rows();
    let ids: BTreeSet<&str> = rows.iter().map(|row| row.id.as_str()).collect();
    assert_eq!(ids.len(), rows.len(), "a row stands twice");
    for row in &rows {
        assert!(row.source.len() > 5, "{} has no source", row.id);
        assert!(row.printed == row.gives || row.remark.len() > 20, "{} differs without a word", row.id);
    }
}

/// What a rule says of a small plan.
fn verdict(rule: &str, plan: &str) -> Vec<Outcome> {
    let rules = Rules::builtin();
    let checked = ringout::check(&rules, "plan", plan, &law::Options::default());
    assert!(checked.shop.problems.is_empty(), "{:?}", checked.shop.problems);
    let of = |id: law::code::RuleId| rules.code.rules.get(id.0 as usize).is_some_and(|r| r.name == rule);
    checked.verdicts.iter().filter(|v| of(v.rule) && v.outcome != Outcome::NotApplicable).map(|v| v.outcome).collect()
}

/// WE181: 8 in from a plastic box without clamps to the staple, 12 in otherwise. JeopardyLabs game 2025-12-10-771.
#[test]
fn cable_is_stapled_near_its_box() {
    let plan = |clamps: &str, inches: u32| {
        format!(
            "panel P1\nbox B1: plastic, 1-gang, {clamps}\nrun P1 to B1: cable 12/2 NM-B, 9 ft, stapled flat, \
             supports every 4 ft, first support {inches} in, not fished, not through framing\n"
        )
    };
    assert_eq!(verdict("nm-support", &plan("clamps outside", 8)), [Outcome::Pass]);
    assert_eq!(verdict("nm-support", &plan("clamps outside", 9)), [Outcome::Attention]);
    assert_eq!(verdict("nm-support", &plan("clamps inside", 12)), [Outcome::Pass]);
    assert_eq!(verdict("nm-support", &plan("clamps inside", 13)), [Outcome::Attention]);
}

/// WE185: wires 8 ft over a flat roof, in the older editions. Quizwiz set on 230.24 clearances. The text of 2023 has 8 ft 6 in.
#[test]
fn wires_hang_high_over_a_flat_roof() {
    let plan = |edition: u32, height: &str| {
        format!(
            "shop: code NEC {edition}\nsupply house\npanel P1\nfeeder F1 from house to P1: 120/240 V\n  stretch 40 ft: cable triplex, \
             overhead, over roof, {height} up, 5 ft from a window, roof rises 1 in a foot, 20 ft over the roof, held by pole\n"
        )
    };
    assert_eq!(verdict("feeder-overhead-roof", &plan(2017, "8 ft")), [Outcome::Pass]);
    assert_eq!(verdict("feeder-overhead-roof", &plan(2017, "7.9 ft")), [Outcome::Attention]);
    assert_eq!(verdict("feeder-overhead-roof", &plan(2023, "8 ft")), [Outcome::Attention]);
}

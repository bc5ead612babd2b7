//! Every limit that keeps a stranger's file from hanging or crashing the program, met from both sides: what
//! just fits works, one more is refused with a word. And packs that were made to hurt.

mod judging;
mod list;
#[path = "../common/program.rs"]
mod program;
mod wiring;

use ringout::law::{self, Options, verdict::Outcome};
use ringout::quantity::{Scale, UNITS};
use ringout::report::{self, Depth, Report};
use ringout::text::{FileId, Problem, Sources};
use ringout::words::{Kind, Type};
use ringout::{Rules, plan};
use std::time::{Duration, Instant};

fn has(problems: &[Problem], wanted: &str) -> bool {
    problems.iter().any(|p| p.message.contains(wanted) || p.help.as_deref().is_some_and(|h| h.contains(wanted)))
}

/// The smallest size that is refused with these words. Sizes below `low` must be fine, those from `high` on not.
fn edge(low: usize, high: usize, wanted: &str, problems: impl Fn(usize) -> Vec<Problem>) -> usize {
    let (mut fits, mut fails) = (low, high);
    assert!(!has(&problems(fits), wanted), "{fits} is refused already: {wanted}");
    assert!(has(&problems(fails), wanted), "{fails} is not refused: {wanted}");
    while fails - fits > 1 {
        let middle = fits.midpoint(fails);
        if has(&problems(middle), wanted) { fails = middle } else { fits = middle }
    }
    fails
}

fn read_plan(text: &str) -> Vec<Problem> {
    plan::read(FileId(0), text).problems
}

fn read_rules(text: &str) -> Vec<Problem> {
    law::read(FileId(0), text).1
}

/// What the reader and the compiler say of a pack.
fn compile(text: &str) -> Vec<Problem> {
    rules(text).problems
}

fn rules(text: &str) -> Rules {
    let mut sources = Sources::default();
    let file = sources.add("stranger.rule", text);
    let (pack, problems) = law::read(file, text);
    Rules::new(sources, pack, problems)
}

fn rule(name: &str, kind: &str, needs: &str) -> String {
    format!(
        "rule {name} \"{name}\"\n  why x.\n  cites NEC 2014 to NEC 2026: 1.1, memory\n  figures memory\n  \
         stage final\n  level required\n  for each {kind}\n  where there \"there\": yes\n  needs a \"b\": {needs}\n  \
         else \"x\"\n"
    )
}

#[test]
fn limits_of_plans() {
    // A comment is a line too.
    let line = |n: usize| read_plan(&format!("box B1: #{}\n", "x".repeat(n - 9)));
    assert_eq!(edge(100, 9_000, "a line may have 4096", line), 4_097);
    let large = |n: usize| {
        let mut text = "# a comment of sixty-four bytes, its line end counted, no more.\n".repeat(n / 64);
        text.push_str(&"\n".repeat(n % 64));
        read_plan(&text)
    };
    assert!(!has(&large(4 << 20), "a plan may have 4 megabytes"));
    assert!(has(&large((4 << 20) + 1), "a plan may have 4 megabytes"));
    let colons = |n: usize| read_plan(&format!("feeder F1\n  {}1 bend\n", "stretch 12 ft: ".repeat(n)));
    assert_eq!(edge(1, 40, "colons", colons), 9, "a colon within eight others");
    let problems = |n: usize| read_plan(&"zebra\n".repeat(n));
    assert_eq!(edge(1, 500, "more problems", problems), 201);
    let range =
        |n: usize| ringout::check(&rules(""), "x", &format!("door D1 to D{n}\n"), &Options::default()).shop.problems;
    assert_eq!(edge(2, 5_000, "begin and end a range", range), 1_001);
}

#[test]
fn limits_of_rule_files() {
    let deep = |n: usize| read_rules(&rule("r", "panel p", &format!("{}yes{}", "(".repeat(n), ")".repeat(n))));
    assert_eq!(edge(1, 500, "this expression is too deep", deep), 65);
    // Words that an expression follows are counted, side by side or in one another.
    let holders =
        |n: usize| read_rules(&rule("r", "panel p", &format!("{}yes", "(any q in shop.panels: yes) or ".repeat(n))));
    assert_eq!(edge(1, 500, "this expression is too deep", holders), 129);
    let long = |n: usize| read_rules(&rule("r", "panel p", &format!("{}yes", "yes or ".repeat(n))));
    let most = 7 * edge(10, 8_000, "this clause is too long", long);
    assert!((32_700..32_800).contains(&most), "{most} bytes");
    let lines = |n: usize| read_rules(&format!("group g \"g\": a,\n{}", "    a,\n".repeat(n)));
    assert_eq!(edge(10, 20_000, "more than 10000 lines stand under this one", lines), 10_001);
    let problems = |n: usize| read_rules(&"zebra\n".repeat(n));
    assert_eq!(edge(10, 1_000, "the rest of this file was not read", problems), 502);
    let sides = |n: usize| {
        let keys: String = (1..n).map(|i| format!("  key k{i}: length, exact\n")).collect();
        read_rules(&format!(
            "table t \"t\"\n  source \"x\"\n  cites NEC 2023: Table 1, memory\n{keys}  column v: length\n  beyond unknown\n  rows\n    v\n"
        ))
    };
    assert_eq!(edge(2, 80, "more than 32 keys and columns", sides), 33);
    // What the reader lets through the compiler takes; a pack made otherwise may hold more, up to a limit of its own.
    let cells = |n: usize| {
        let table = "table t \"t\"\n  source \"x\"\n  cites NEC 2014 to NEC 2026: Table 1, memory\n  key k: length, exact\n  \
                     column v: length\n  beyond unknown\n  rows\n    k | v\n    1 in | 2 in\n";
        let (mut pack, problems) = law::read(FileId(0), table);
        assert!(problems.is_empty(), "{:?}", problems.first());
        let table = &mut pack.tables[0];
        for i in 2..n {
            let mut column = table.columns[0].clone();
            column.name.node = format!("v{i}");
            table.columns.push(column);
            let first = table.rows[0].values[0].clone();
            table.rows[0].values.push(first);
        }
        law::compile(&pack).1
    };
    assert_eq!(edge(2, 300, "at most 200", cells), 201);
    let size = |n: usize| read_rules(&"\n".repeat(n));
    assert!(!has(&size(4 << 20), "too large") && has(&size((4 << 20) + 1), "too large"));
}

#[test]
fn limits_of_packs() {
    let values = |n: usize| {
        let values: Vec<String> = (0..n).map(|i| format!("v{i}")).collect();
        compile(&format!("choice c: {}\n", values.join(", ")))
    };
    assert_eq!(edge(2, 200, "values", values), 65);
    let chain = |n: usize| {
        let mut text = "define f0 of (p: panel) in in\n  doc \"x\"\n  = p.handle-height\n".to_string();
        for i in 1..=n {
            text += &format!("define f{i} of (p: panel) in in\n  doc \"x\"\n  = f{} of (p) + 1 in\n", i - 1);
        }
        compile(&text)
    };
    let most = edge(10, 300, "expressions stand in one another", chain);
    assert!((60..=200).contains(&most), "{most} formulas in one another");
    let letters = |n: usize| {
        let letters: Vec<String> = (0..n).map(|i| format!("a{i}: number")).collect();
        compile(&format!("define f of ({}) in number\n  doc \"x\"\n  = a0\n", letters.join(", ")))
    };
    assert_eq!(edge(2, 400, "too many letters at once", letters), 201);
}

/// Missing facts that all matter are filled in, in every way that there is, as long as these are at most 4,096.
#[test]
fn so_many_completions_are_tried_and_no_more() {
    let verdict = |n: usize| {
        let facts: String =
            (0..n).map(|i| format!("fact panel.is-x{i} yes/no \"x{i}\"\n  phrase xx{i}\n  ask \"x{i}?\"\n")).collect();
        // Whether an odd number of them holds: no fact alone decides it, and it is true of one or of the other.
        let odd = (1..n).fold("p.is-x0".to_string(), |x, i| format!("(if {x} then not p.is-x{i} else p.is-x{i})"));
        let outcomes = ends_soon("odd", &(facts + &rule("r", "panel p", &format!("{odd} or not {odd}"))), SMALL);
        outcomes.first().copied()
    };
    // 2^11 ways are fewer than 4,096, 2^13 are more.
    assert_eq!(verdict(11), Some(Outcome::Pass));
    assert_eq!(verdict(13), Some(Outcome::Unknown));
}

/// Sixteen layers of the command line are in force; of seventeen the last is named, is not applied, and the status says so.
#[test]
fn so_many_layers_of_the_command_line_are_applied() {
    let folder = program::Folder::new("layers-most");
    let said = |n: usize| {
        let layer = |i: usize| {
            let text = format!(
                "layer pine-{i:02} \"Pine {i}\"\n  kind county\n  over any edition\n  status in force, checked 2026-11-25\n  \
                 source \"Ordinance {i}\"\n"
            );
            folder.write(&format!("pine-{i:02}.rule"), text.as_bytes())
        };
        let files: Vec<String> = (1..=n).map(layer).collect();
        let layers = files.iter().flat_map(|file| ["--layer", file.as_str()]);
        let args: Vec<&str> = ["check", "examples/sound.shop"].into_iter().chain(layers).collect();
        let output = program::ringout(&args, "");
        (program::status(&output), program::out(&output) + &program::err(&output))
    };
    let (status, text) = said(16);
    assert!(status < 2 && !text.contains("not applied"), "{status} {text}");
    let (status, text) = said(17);
    assert!(status == 2 && text.contains("more than 16 layers over one pack"), "{status} {text}");
    assert!(text.contains("pine-17.rule:1:"), "{text}");
}

/// Who has hundreds of problems is shown the first, and how many more there are.
#[test]
fn so_many_problems_are_shown_and_no_more() {
    use ringout::report::{Look, problems};
    let shown = |n: usize| {
        let text = "zebra\n".repeat(n);
        let mut sources = Sources::default();
        let file = sources.add("x.shop", text.as_str());
        problems::problems(&plan::read(file, &text).problems, &sources, Look::new(80, false))
    };
    let just = shown(problems::MOST_SHOWN);
    assert!(!just.contains("more; mend these first") && just.contains(":20:1"), "{just}");
    let over = shown(problems::MOST_SHOWN + 1);
    assert!(over.contains("and 1 more; mend these first") && !over.contains(":21:1"), "{over}");
}

/// Lists in lists: what a thousand by a thousand comes to is judged, beyond it is unknown, never a pass.
#[test]
fn a_rule_goes_through_so_much_and_no_more() {
    let verdict = |n: usize| {
        let rules = rules(&rule(
            "r",
            "panel p",
            "all a in shop.receptacles: all b in shop.receptacles: b.is-duplex or not a.is-duplex",
        ));
        assert!(rules.problems.is_empty(), "{:?}", rules.problems);
        let plan = format!("shop: all receptacles listed\npanel P1\nreceptacle R1 to R{n}: duplex\n");
        let checked = ringout::check(&rules, "x.shop", &plan, &Options::default());
        assert!(checked.shop.problems.is_empty(), "{:?}", checked.shop.problems);
        checked.verdicts.first().map(|v| v.outcome)
    };
    // n for the outer list and n for each of them: 998 by 999 is under a million, 1,000 by 1,001 over it.
    assert_eq!(verdict(998), Some(Outcome::Pass));
    assert_eq!(verdict(1_000), Some(Outcome::Unknown));
}

/// A stranger's pack against a plan: to the end of every report, soon, whatever it holds.
fn ends_soon(name: &str, pack: &str, plan: &str) -> Vec<Outcome> {
    let begun = Instant::now();
    let rules = rules(pack);
    let checked = ringout::check(&rules, "x.shop", plan, &Options::default());
    let report = Report::of(&rules, &checked, Depth::Verdicts);
    assert_eq!(report.unread().count(), 0, "{name}");
    let took = begun.elapsed();
    assert!(took < Duration::from_secs(240), "{name} takes {took:?}, however slow the machine");
    checked.verdicts.iter().map(|v| v.outcome).collect()
}

const SMALL: &str = "shop: detached\npanel P1: indoors\n";

#[test]
fn packs_that_double_end_soon() {
    let facts: String =
        (0..60).map(|i| format!("fact panel.is-x{i} yes/no \"x{i}\"\n  phrase xx{i}\n  ask \"x{i}?\"\n")).collect();
    // A formula that calls the one before twice, sixty times over.
    let twice: String = (1..60)
        .map(|i| format!("define f{i} of (p: panel) in in\n  doc \"x\"\n  = f{} of (p) + f{} of (p)\n", i - 1, i - 1))
        .collect();
    let first = "define f0 of (p: panel) in in\n  doc \"x\"\n  = p.handle-height + 1 in\n";
    ends_soon("doubling", &(first.to_string() + &twice + &rule("r", "panel p", "f59 of (p) > 1 in")), SMALL);
    // The same with arguments that differ, so that no result serves twice.
    let apart: String = (1..50)
        .map(|i| {
            let f = format!("f{} of", i - 1);
            format!(
                "define f{i} of (p: panel, n: number) in number\n  doc \"x\"\n  = {f} (p, n + n) + {f} (p, n + n + 1)\n"
            )
        })
        .collect();
    let first = "define f0 of (p: panel, n: number) in number\n  doc \"x\"\n  = n\n";
    let outcomes =
        ends_soon("apart", &(first.to_string() + &apart + &rule("r", "panel p", "f49 of (p, 1) > 1")), SMALL);
    assert_eq!(outcomes, [Outcome::Unknown], "what can't be worked out is no pass");
    // Sixty unknowns that all matter: 2^60 ways to fill them in.
    let parity = (1..50).fold("p.is-x0".to_string(), |x, i| format!("(if {x} then not p.is-x{i} else p.is-x{i})"));
    let sum: Vec<String> = (0..40).map(|i| format!("(if p.is-x{i} then {} else 0)", 1u64 << i)).collect();
    let clauses: Vec<String> =
        (0..59).map(|i| format!("(p.is-x{i} or not p.is-x{} or p.is-x{})", i + 1, i * 7 % 60)).collect();
    for (name, needs) in
        [("parity", parity), ("sum", sum.join(" + ") + " = 123456789"), ("clauses", clauses.join(" and "))]
    {
        let outcomes = ends_soon(name, &(facts.clone() + &rule("r", "panel p", &needs)), SMALL);
        assert_eq!(outcomes, [Outcome::Unknown], "{name}");
    }
}

#[test]
fn lists_in_lists_end_soon() {
    let letters = ["a", "b", "c", "d", "e", "f", "g", "h"];
    let needs: String = letters.iter().map(|l| format!("any {l} in shop.receptacles: ")).collect();
    let pack = rule("r", "panel p", &format!("{needs}a.is-duplex and not h.is-duplex"));
    let plan = "shop: all receptacles listed\npanel P1\nreceptacle R1 to R60: duplex\n";
    assert_eq!(ends_soon("lists", &pack, plan), [Outcome::Unknown]);
}

/// Nothing is worked out with a wrapped number.
#[test]
fn huge_numbers_are_unknown_and_never_wrap() {
    let large = "9".repeat(18);
    for needs in [
        format!("p.handle-height * {large} * {large} * {large} > 1 in"),
        format!("{large} * {large} * {large} * {large} > 1"),
        format!("1 / {large} / {large} / {large} < 1"),
        format!("count of shop.panels * {large} * {large} * {large} < 1"),
    ] {
        let outcomes = ends_soon(&needs, &rule("r", "panel p", &needs), "panel P1: 20 in up\n");
        assert!(outcomes.iter().all(|o| *o != Outcome::Attention), "{needs}: {outcomes:?}");
    }
}

/// A plan with two or three items of each kind that says amounts.
const TWO_OF_EACH: &str = "\
shop
  detached
supply house
area yard: outdoors
feeder F1 from house to P1
feeder F2 from P1 to P2
feeder F3 from P2 to P3
panel P1
panel P2
panel P3
electrode E1: rod
electrode E2: rod
circuit C1 from P1: feeds R1, M1, L1 through S1
circuit C2 from P2: feeds R2, M2, L2 through S2
receptacle R1
receptacle R2
switch S1
switch S2
light L1
light L2
equipment M1: air conditioner
equipment M2: air conditioner
box B1: holds R1, S1, L1
box B2: holds R2, S2, L2
run P1 to B1
run B1 to B2
run B2 to P2
disconnect D1
disconnect D2
";

/// Whatever amount a plan may say, said enormous at every item that may say it: sums of these are unknown or held
/// at the most that has room, and no sheet ends with a wrapped number.
#[test]
fn every_amount_of_a_plan_may_be_huge() {
    let rules = Rules::builtin();
    let nothing = Options { rules: Some(Vec::new()), ..Options::default() };
    let mut said = 0;
    for word in rules.code.vocabulary.words().iter().filter(|word| word.phrase.contains("AMOUNT")) {
        let unit = match word.ty {
            Type::Quantity(scale) if scale != Scale::NUMBER => {
                UNITS.iter().find(|unit| unit.scale == scale).map_or("", |unit| unit.name)
            }
            _ => "",
        };
        for amount in ["9223372036854775807", "-9223372036854775807", "1/9223372036854775807"] {
            let amount = format!("{amount} {unit}");
            let phrase = word.phrase.split(" / ").find(|phrase| phrase.contains("AMOUNT")).unwrap();
            let phrase = phrase.split(" = ").next().unwrap().replace("AMOUNT", amount.trim());
            let plan: String = TWO_OF_EACH
                .lines()
                .map(|line| {
                    let head = line.split([' ', ':']).next().unwrap();
                    let is_its = Kind::named(head).is_some_and(|kind| word.kinds.has(kind))
                        || head == "shop" && word.kinds.has(Kind::Permit);
                    let more = if is_its { format!("  {phrase}\n") } else { String::new() };
                    format!("{line}\n{more}")
                })
                .collect();
            let checked = ringout::check(&rules, "huge.shop", &plan, &nothing);
            said += usize::from(checked.plan.problems.is_empty() && checked.shop.problems.is_empty());
            let _ = report::wires::sheets(&rules, &checked, None);
            let _ = report::takeoff::takeoff(&rules, &checked);
            let _ = report::directory::directories(&rules, &checked);
        }
    }
    assert!(said > 100, "{said} plans were understood whole");
}

#[test]
fn defines_by_way_of_themselves_are_refused() {
    let own = "define f of (p: panel) in in\n  doc \"x\"\n  = f of (p) + 1 in\n";
    let pair = "define f of (p: panel) in in\n  doc \"x\"\n  = g of (p)\ndefine g of (p: panel) in in\n  doc \"x\"\n  = f of (p)\n";
    for pack in [own, pair] {
        assert!(has(&compile(pack), "by way of itself"), "{:?}", compile(pack));
    }
}

/// Thousands of rules and of rows. `RINGOUT_RULES` asks for more, such as 100,000 in release.
#[test]
fn many_rules_and_rows_end_soon() {
    let count = std::env::var("RINGOUT_RULES").map_or(1_500, |n| n.parse().unwrap());
    let all: String = (0..count).map(|i| rule(&format!("r{i}"), "panel p", "p.handle-height < 10 in")).collect();
    let rules = |text: &str| {
        let mut sources = Sources::default();
        let mut pack = law::syntax::Pack::default();
        let mut problems = Vec::new();
        // A file holds four megabytes.
        for part in text.split_inclusive("  else \"x\"\n").collect::<Vec<_>>().chunks(10_000) {
            let part = part.concat();
            let file = sources.add("part.rule", part.as_str());
            let (read, found) = law::read(file, &part);
            pack.join(read);
            problems.extend(found);
        }
        Rules::new(sources, pack, problems)
    };
    let begun = Instant::now();
    let rules = rules(&all);
    assert!(rules.problems.is_empty(), "{:?}", rules.problems.first());
    let checked = ringout::check(&rules, "x.shop", SMALL, &Options::default());
    assert_eq!(checked.verdicts.len(), count);
    println!("{count} rules in {:.1?}", begun.elapsed());
    assert!(begun.elapsed() < Duration::from_secs(600));
    let rows: String = (1..3_000).map(|i| format!("    {i} in | {i} in\n")).collect();
    let table = format!(
        "table t \"t\"\n  source \"x\"\n  cites NEC 2014 to NEC 2026: Table 1.1, memory\n  key k: length, up\n  \
         column v: length\n  beyond unknown\n  rows\n    k | v\n{rows}"
    );
    let outcomes = ends_soon("table", &(table + &rule("r", "panel p", "t at (p.handle-height) > 1 in")), SMALL);
    assert_eq!(outcomes, [Outcome::Unknown]);
}

//! How long a check takes, where the time goes, how it grows, and what it holds in memory.
//!
//! `cargo bench` prints the table. It asserts nothing: times of a shared machine prove little. With the path of
//! a plan (`cargo bench -- my.shop`) it says which rules take longest there; `cargo bench -- editor` asks the
//! editor's service alone, `cargo bench -- drawing` the diagrams.

mod editor;

use ringout::law::code::RuleId;
use ringout::law::evaluate::Judge;
use ringout::law::verdict::Outcome;
use ringout::law::{Options, judge};
use ringout::report::{Depth, Look, Report, drawing, figures, text, wires};
use ringout::text::{FileId, Sources};
use ringout::{Rules, law, parallel, plan, shop, wiring};
use std::fmt::Write;
use std::hint::black_box;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const PLANS: [(&str, &str); 3] = [
    ("larkspur", include_str!("../../examples/larkspur.shop")),
    ("sound", include_str!("../../examples/sound.shop")),
    ("half-known", include_str!("../../examples/half-known.shop")),
];

/// Circuits of the plans that show how time grows. The largest is about as much as a plan may hold.
const CIRCUITS: [usize; 5] = [1_000, 3_000, 10_000, 30_000, 60_000];

/// As `ringout check` judges for its report in words.
fn as_in_words() -> Options {
    Options { counts_passes: true, ..Options::default() }
}

/// The shortest of a few runs: what disturbs a run only ever makes it longer.
fn least<T>(runs: usize, mut run: impl FnMut() -> T) -> Duration {
    let once = |_| {
        let start = Instant::now();
        black_box(run());
        start.elapsed()
    };
    (0..runs).map(once).min().unwrap_or_default()
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.first().map(String::as_str) {
        // The program begins itself again, to do nothing, or to check one plan and say what it held.
        Some("nothing") => {}
        Some("editor") => editor::editor(PLANS[0].1),
        Some("drawing") => drawings(&Rules::builtin()),
        Some("hold") => hold(arguments.get(1).and_then(|n| n.parse().ok()).unwrap_or(0)),
        Some(path) if path.ends_with(".shop") => one_plan(path),
        _ => table(),
    }
}

fn table() {
    start();
    stages();
    let rules = Rules::builtin();
    editor::editor(PLANS[0].1);
    drawings(&rules);
    many_plans(&rules);
    growth(&rules);
    memory();
}

/// The diagrams of 300 boxes in a tree.
fn drawings(rules: &Rules) {
    let mut plan = String::from("panel P1: bus 100 A, all drawn\n");
    for i in 1..=300 {
        let from = if i < 4 { "P1".to_string() } else { format!("B{}", i / 3) };
        let _ = writeln!(
            plan,
            "box B{i}: 4 in square, holds R{i}\nreceptacle R{i}: 5-20R\nrun {from} to B{i}: 3/4 in EMT, {i} ft"
        );
    }
    for first in (1..=300).step_by(10) {
        let fed: Vec<String> = (first..first + 10).map(|i| format!("R{i}")).collect();
        let _ = writeln!(plan, "circuit C{first}: breaker 20 A, wire 12 AWG Cu, feeds {}", fed.join(" then "));
    }
    let nothing = Options { rules: Some(Vec::new()), ..Options::default() };
    let checked = ringout::check(rules, "300 boxes", &plan, &nothing);
    println!(
        "300 boxes: one-line diagram {:.2?} on {} sheets, map {:.2?} on {} sheets, read and wired before in {:.2?}",
        least(5, || drawing::one_line(rules, &checked)),
        drawing::one_line(rules, &checked).len(),
        least(5, || drawing::map(rules, &checked)),
        drawing::map(rules, &checked).len(),
        least(3, || ringout::check(rules, "300 boxes", &plan, &nothing)),
    );
}

/// The demo's check as a process, against one that does nothing.
fn start() {
    let run = |program: &str, arguments: &[&str]| {
        let mut command = Command::new(program);
        command.args(arguments).stdout(Stdio::null());
        least(40, || command.status().map(|s| s.code()))
    };
    let own = std::env::current_exe().unwrap_or_default().display().to_string();
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/larkspur.shop");
    let (check, nothing) = (run(env!("CARGO_BIN_EXE_ringout"), &["check", demo]), run(&own, &["nothing"]));
    println!("process: check of the demo {check:.2?}, an empty program {nothing:.2?}, over it {:.2?}", check - nothing);
}

/// The stages of a check, one by one.
fn stages() {
    let pack = law::builtin(&mut Sources::default());
    println!(
        "built-in rules: load compiled {:.2?}; read again {:.2?}, compile again {:.2?}",
        least(15, law::builtin_code),
        least(15, || law::builtin(&mut Sources::default())),
        least(15, || law::compile(&pack)),
    );
    let rules = Rules::builtin();
    for (name, plan_text) in PLANS {
        let file = FileId(999);
        let read = plan::read(file, plan_text);
        let build = || shop::build_with(&read, &[], &[], rules.code.phrases());
        let built = build();
        let mut whole = build();
        wiring::complete(&mut whole);
        let verdicts = judge(&rules.code, &whole, &Options::default());
        let unknown = verdicts.iter().filter(|v| v.outcome == Outcome::Unknown).count();
        let checked = ringout::check(&rules, name, plan_text, &Options::default());
        let report = Report::of(&rules, &checked, Depth::Overview);
        let look = Look::new(100, false);
        println!(
            "{name}: read {:.2?}, build {:.2?}, wiring {:.2?}, judge {:.2?} ({} verdicts, {unknown} unknown), report {:.2?}, text {:.2?}",
            least(15, || plan::read(file, plan_text)),
            least(15, build),
            least(15, || built.clone()).abs_diff(least(15, || wiring::complete(&mut built.clone()))),
            least(9, || judge(&rules.code, &whole, &as_in_words())),
            verdicts.len(),
            least(9, || Report::of(&rules, &checked, Depth::Overview)),
            least(9, || text::check(&report, &checked.sources, look, false)),
        );
        let wired = wiring::complete(&mut build());
        let joints = wiring::joints::joints(&whole, &wired);
        println!(
            "  every switch position {:?}, joints held against themselves {:?}",
            least(9, || wiring::simulate(&whole, &wired)),
            least(9, || wiring::faults(&wired.nets, &joints, &joints)),
        );
        each_rule(&rules, &whole, 3);
    }
    large(&rules);
}

/// 1,000 boxes in a row of 200 circuits, each with two receptacles and a light between two 3-ways.
fn large(rules: &Rules) {
    let mut text = String::from(
        "supply house\n  120/240 V, 1-phase\nfeeder F0 from house to P1\npanel P1: bus 225 A, 400 spaces\n",
    );
    for c in 0..200 {
        let (b, phase) = (c * 5, ["A", "B"][c % 2]);
        let (r, s) = (c * 2, c * 2);
        for (i, held) in
            [format!("R{r}"), format!("R{}", r + 1), format!("S{s}"), format!("S{}", s + 1), format!("L{c}")]
                .iter()
                .enumerate()
        {
            let before = if i == 0 { "P1".to_string() } else { format!("B{}", b + i - 1) };
            text += &format!("box B{}: 4 in square, 2-1/8 in deep, holds {held}\n", b + i);
            text += &format!("run {before} to B{}: 1/2 in EMT, 12 ft\n", b + i);
        }
        text +=
            &format!("circuit C{c}: breaker 20 A, phase {phase}, wire 12 AWG Cu THWN-2, equipment ground by raceway\n");
        text += &format!("  feeds R{r} then R{}\n  feeds L{c} through S{s} and S{}\n", r + 1, s + 1);
        text += &format!(
            "receptacle R{r}, R{}: 5-20R, duplex\nswitch S{s}, S{}: 3-way, 15 A\nlight L{c}: LED, 60 W\n",
            r + 1,
            s + 1
        );
    }
    let read = plan::read(FileId(999), &text);
    let build = || shop::build_with(&read, &[], &[], rules.code.phrases());
    let mut whole = build();
    let wired = wiring::complete(&mut whole);
    let joints = wiring::joints::joints(&whole, &wired);
    println!(
        "1,000 boxes, 200 circuits: build {:?}, build and wiring {:?}, every switch position {:?}, joints {:?}, faults {:?}; {} pieces of wire",
        least(3, build),
        least(3, || wiring::complete(&mut build())),
        least(3, || wiring::simulate(&whole, &wired)),
        least(3, || wiring::joints::joints(&whole, &wired)),
        least(3, || wiring::faults(&wired.nets, &joints, &joints)),
        joints.wires.len(),
    );
    as_built(rules);
}

/// 25 runs one behind the other, the wires of 80 circuits through all of them, and each run lacks one hot of
/// the 80 by what was pulled: the most that can be asked of the simulation as built.
fn as_built(rules: &Rules) {
    let mut text = String::from(
        "supply house\n  120/240 V, 1-phase\nfeeder F0 from house to P1\npanel P1: bus 225 A, 100 spaces\n",
    );
    let held: Vec<String> = (0..80).map(|c| format!("R{c}")).collect();
    for b in 0..25 {
        let (held, before) = match b {
            0 => ("nothing".into(), "P1".into()),
            24 => (held.join(", "), format!("B{}", b - 1)),
            _ => ("nothing".into(), format!("B{}", b - 1)),
        };
        text += &format!("box B{b}: 12 in x 12 in, 6 in deep, holds {held}\nrun {before} to B{b}: 4 in EMT, 12 ft\n");
        text += &format!(
            "pulled {before} to B{b}: 79 x 12 AWG Cu THWN-2 black as hot, 80 x 12 AWG Cu THWN-2 white as neutral\n"
        );
    }
    for c in 0..80 {
        let phase = ["A", "B"][c % 2];
        text +=
            &format!("circuit C{c}: breaker 20 A, phase {phase}, wire 12 AWG Cu THWN-2, equipment ground by raceway\n");
        text += &format!("  feeds R{c}\nreceptacle R{c}: 5-20R, duplex\n");
    }
    let read = plan::read(FileId(999), &text);
    let build = || shop::build_with(&read, &[], &[], rules.code.phrases());
    println!(
        "25 runs of 80 circuits, each lacking a hot: build {:?}, build and wiring as built {:?}",
        least(3, build),
        least(3, || wiring::complete(&mut build())),
    );
}

/// The quick way for every rule on every item, and the rules that take longest in all.
fn each_rule(rules: &Rules, shop: &shop::Shop, shown: usize) {
    let mut judge_once = Judge::new(&rules.code, shop);
    let (mut met, mut spent) = (0usize, Duration::ZERO);
    let mut slowest: Vec<(Duration, usize, &str)> = Vec::new();
    for (number, rule) in rules.code.rules.iter().enumerate() {
        let id = RuleId(number as u32);
        let items: Vec<_> = rule.kinds.iter().flat_map(|kind| shop.items(kind)).collect();
        if items.is_empty() {
            continue;
        }
        judge_once.quick_outcomes(id, &items, |_| {});
        let quick = least(25, || judge_once.quick_outcomes(id, &items, |outcome| _ = black_box(outcome)));
        met += items.len();
        spent += quick;
        let options = Options { rules: Some(vec![id]), ..Options::default() };
        slowest.push((least(3, || judge(&rules.code, shop, &options)), items.len(), &rule.name));
    }
    println!("  quick way: {met} times a rule on an item, {} ns each", spent.as_nanos() as usize / met.max(1));
    slowest.sort_by_key(|(time, ..)| std::cmp::Reverse(*time));
    for (time, items, name) in slowest.iter().take(shown) {
        println!("  {time:.2?} for {name} on {items} items");
    }
}

fn one_plan(path: &str) {
    let rules = Rules::builtin();
    let plan_text = std::fs::read_to_string(path).unwrap_or_else(|error| format!("# {error}"));
    let checked = ringout::check(&rules, path, &plan_text, &Options::default());
    println!("{path}: {:.2?}", least(3, || ringout::check(&rules, path, &plan_text, &Options::default())));
    each_rule(&rules, &checked.shop, 20);
}

/// A thousand plans one after the other, and on every core.
fn many_plans(rules: &Rules) {
    let plans: Vec<&str> = PLANS.iter().take(2).map(|(_, text)| *text).cycle().take(1000).collect();
    let check = |text: &&str| ringout::check(rules, "plan", text, &as_in_words()).verdicts.len();
    let one = least(3, || parallel::alone(|| plans.iter().map(check).collect::<Vec<_>>()));
    let all = least(3, || parallel::map(&plans, check));
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let ratio = one.as_secs_f64() / all.as_secs_f64();
    println!("1,000 plans: {one:.2?} on one core, {all:.2?} on {cores}: {ratio:.2} times faster");
}

/// Panels of forty circuits with one receptacle each, all known.
fn plan_of(circuits: usize) -> String {
    let mut text = String::from("shop\n  code NEC 2023\nfeeder F1 from house to P0\n");
    for number in 0..circuits {
        if number % 40 == 0 {
            _ = writeln!(text, "panel P{}: main 200 A", number / 40);
        }
        _ = writeln!(text, "circuit C{number} from P{}: breaker 20 A, feeds R{number}", number / 40);
        _ = writeln!(text, "receptacle R{number}: 5-20R");
    }
    text
}

/// What is timed as a plan grows: the stages of a check, and the sheets of the wired plan.
const STAGES: [&str; 7] = ["read", "build", "wire", "judge", "report", "figures", "wires"];

/// Most circuits whose figures are asked for: each takes a page.
const MOST_FIGURES: usize = 10_000;

/// How each stage grows with the plan: time, and the exponent of a line through the logarithms.
fn growth(rules: &Rules) {
    let mut points: Vec<(usize, [Duration; STAGES.len()])> = Vec::new();
    for circuits in CIRCUITS {
        let plan_text = plan_of(circuits);
        let runs = if circuits > 5_000 { 1 } else { 3 };
        let mut read = plan::read(FileId(999), "");
        let reading = least(runs, || read = plan::read(FileId(999), &plan_text));
        let mut built = shop::build_with(&read, &[], &[], rules.code.phrases());
        let building = least(runs, || built = shop::build_with(&read, &[], &[], rules.code.phrases()));
        let start = Instant::now();
        wiring::complete(&mut built);
        let wiring = start.elapsed();
        let judging = least(runs, || judge(&rules.code, &built, &as_in_words()).len());
        let checked = ringout::check(rules, "plan", &plan_text, &Options::default());
        let look = Look::new(100, false);
        let reporting = least(runs, || {
            let report = Report::of(rules, &checked, Depth::Overview);
            text::check(&report, &checked.sources, look, false).len()
        });
        let telling = match circuits <= MOST_FIGURES {
            true => least(1, || {
                let sheets = figures::sheets(rules, &checked, None);
                text::figures(&sheets, checked.file, &checked.sources, &rules.code.authority, look, false).len()
            }),
            false => Duration::ZERO,
        };
        let sheeting = least(1, || {
            let sheets = wires::sheets(rules, &checked, None);
            text::wires(&sheets, &checked.sources, &rules.code.authority, look).len()
        });
        let times = [reading, building, wiring, judging, reporting, telling, sheeting];
        let each: Vec<String> = STAGES.iter().zip(times).map(|(name, time)| format!("{name} {time:.1?}")).collect();
        let check: Duration = times.iter().take(5).sum();
        println!("{circuits} circuits ({} kB): {}; check {check:.1?}", plan_text.len() / 1000, each.join(", "));
        points.push((circuits, times));
    }
    let exponent = |of: &dyn Fn(&[Duration; STAGES.len()]) -> Duration| {
        let timed =
            points.iter().map(|(n, times)| (*n as f64, of(times).as_secs_f64())).filter(|(_, time)| *time > 0.0);
        let logs: Vec<(f64, f64)> = timed.map(|(n, time)| (n.ln(), time.ln())).collect();
        let count = logs.len() as f64;
        let (x, y) = (logs.iter().map(|p| p.0).sum::<f64>() / count, logs.iter().map(|p| p.1).sum::<f64>() / count);
        let slope: f64 = logs.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
        slope / logs.iter().map(|p| (p.0 - x).powi(2)).sum::<f64>()
    };
    let each = STAGES.iter().enumerate().map(|(i, name)| format!("{name} {:.2}", exponent(&|t| t[i])));
    let check = exponent(&|times| times.iter().take(5).sum());
    println!("growth with the power of: {}; check {check:.2}", each.collect::<Vec<_>>().join(", "));
}

/// The most memory that a process of its own held, as Linux counts it.
fn memory() {
    let Ok(own) = std::env::current_exe() else { return };
    for circuits in [0, 1_000, 10_000] {
        let said = Command::new(&own).args(["hold", &circuits.to_string()]).output();
        let said = said.map(|output| String::from_utf8_lossy(&output.stdout).trim().to_string()).unwrap_or_default();
        let of = if circuits == 0 { "the demo".to_string() } else { format!("{circuits} circuits") };
        println!("memory of checking {of}: {said}");
    }
}

fn hold(circuits: usize) {
    let rules = Rules::builtin();
    let made = plan_of(circuits);
    let plan_text = if circuits == 0 { PLANS[0].1 } else { &made };
    black_box(ringout::check(&rules, "plan", plan_text, &as_in_words()));
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let most = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap_or(" not known here");
    println!("{} at most", most.trim());
}

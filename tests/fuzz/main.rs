//! Whatever stands in a plan or a rule file, the program ends soon, says what is wrong, and never panics.
//!
//! Inputs are real plans and packs with things changed in them, and noise. Input by input a number
//! stands for it, so that one that fails can be had again. `cargo test` runs a few of each; the long
//! run is
//!
//! ```text
//! RINGOUT_INPUTS=10000000 RINGOUT_WHOLE=100000 cargo test --release --test fuzz -- --ignored --nocapture
//! ```
//!
//! with `RINGOUT_FIRST` for the number to begin with. It prints how many inputs ran. An input that
//! fails goes to `past/`, named by its target, and runs in every test from then on.

mod chance;
mod mutate;
mod targets;

use std::io::Write;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};
use targets::{Bench, Target};

/// Longer than this an input may not take, however slow the machine is.
const MOST: Duration = Duration::from_secs(60);

/// Runs the inputs with these numbers, and gives the numbers of those that fail, with their texts.
fn run(bench: &Bench, target: Target, first: u64, count: u64) -> Vec<(u64, String)> {
    let mut failed = Vec::new();
    let (start, mut told, mut longest) = (Instant::now(), Instant::now(), (Duration::ZERO, 0));
    let at = AtomicU64::new(first);
    let is_over = AtomicU64::new(0);
    std::thread::scope(|scope| {
        // One that hangs is named before the run is given up: a test that never ends tells nothing.
        scope.spawn(|| {
            let (mut seen, mut since) = (u64::MAX, Instant::now());
            while is_over.load(Ordering::Relaxed) == 0 {
                std::thread::sleep(Duration::from_millis(50));
                let now = at.load(Ordering::Relaxed);
                if now != seen {
                    (seen, since) = (now, Instant::now());
                } else if since.elapsed() > MOST {
                    eprintln!("{target:?} {now} hangs:\n{}", bench.input(target, now));
                    std::process::abort();
                }
            }
        });
        for number in first..first + count {
            at.store(number, Ordering::Relaxed);
            let text = bench.input(target, number);
            let begun = Instant::now();
            if catch_unwind(AssertUnwindSafe(|| bench.run(target, number, &text))).is_err() {
                failed.push((number, text));
            }
            longest = longest.max((begun.elapsed(), number));
            if told.elapsed() > Duration::from_secs(60) {
                told = Instant::now();
                println!("{target:?}: {} inputs, {} failed", number + 1 - first, failed.len());
                std::io::stdout().flush().ok();
            }
        }
        is_over.store(1, Ordering::Relaxed);
    });
    println!(
        "{target:?}: {count} inputs from {first} in {:.0?}, {} failed; longest {:.1?} ({})",
        start.elapsed(),
        failed.len(),
        longest.0,
        longest.1
    );
    failed
}

fn none_fails(targets: &[(Target, u64)], first: u64) {
    let bench = Bench::new();
    let failed: Vec<String> = targets
        .iter()
        .flat_map(|(target, count)| run(&bench, *target, first, *count).into_iter().map(move |f| (target, f)))
        .map(|(target, (number, text))| format!("{target:?} {number}:\n{text}"))
        .collect();
    assert!(failed.is_empty(), "{} inputs fail:\n{}", failed.len(), failed.join("\n---\n"));
}

#[test]
fn readers_read_whatever_comes() {
    none_fails(&[(Target::PlanReader, 3_000), (Target::RuleReader, 3_000)], 0);
}

#[test]
fn every_output_stands_whatever_comes() {
    none_fails(&[(Target::Plan, 20), (Target::Pack, 4), (Target::Layer, 8)], 0);
}

/// What failed once.
#[test]
fn past_failures_stay_mended() {
    let bench = Bench::new();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/past");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let text = String::from_utf8(std::fs::read(&path).unwrap()).unwrap();
        let targets: &[Target] = match path.extension().and_then(|e| e.to_str()) {
            Some("shop") => &[Target::PlanReader, Target::Plan],
            Some("rule") => &[Target::RuleReader, Target::Pack],
            Some("layer") => &[Target::Layer],
            _ => panic!("{}: neither plan, pack nor layer", path.display()),
        };
        for target in targets {
            let ran = catch_unwind(AssertUnwindSafe(|| bench.run(*target, 0, &text)));
            assert!(ran.is_ok(), "{} fails again in {target:?}", path.display());
        }
        count += 1;
    }
    assert!(count > 0, "no past failure was found");
}

#[test]
#[ignore = "runs for hours; the heading has the command"]
fn a_long_run() {
    let asked = |name: &str, usual: u64| std::env::var(name).ok().map_or(usual, |n| n.parse().unwrap());
    let (readers, whole) = (asked("RINGOUT_INPUTS", 1_000_000), asked("RINGOUT_WHOLE", 10_000));
    let each = [
        // A pack takes five times as long as a plan.
        (Target::Plan, whole - whole / 5 - whole / 10),
        (Target::Pack, whole / 10),
        (Target::Layer, whole / 5),
        (Target::PlanReader, readers / 2),
        (Target::RuleReader, readers - readers / 2),
    ];
    none_fails(&each, asked("RINGOUT_FIRST", 1_000_000_000));
}

/// Prints one input: `RINGOUT_FIRST` is its number, `RINGOUT_TARGET` its target.
#[test]
#[ignore = "shows an input and tests nothing"]
fn show_one() {
    let number = std::env::var("RINGOUT_FIRST").unwrap().parse().unwrap();
    let wanted = std::env::var("RINGOUT_TARGET").unwrap();
    let all = [Target::Plan, Target::Pack, Target::Layer, Target::PlanReader, Target::RuleReader];
    let target = all.into_iter().find(|t| format!("{t:?}") == wanted).unwrap();
    print!("{}", Bench::new().input(target, number));
}

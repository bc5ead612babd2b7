//! One rule on one record: Ringout against plain Rust and four general engines, in one run, on the same three
//! rules and the same records; and reading a plan against the bare parser. From the project's folder:
//!
//! ```text
//! cargo run --release --manifest-path tests/bench/Cargo.toml
//! ```
//!
//! Every engine gets its rules compiled and its records in its own form beforehand, and is run as its
//! documentation says is fastest for many records. What comes out is compared before anything is timed. Nothing
//! is asserted of times.

use cedar_policy::{Authorizer, Context, Decision, Entities, PolicySet, Request};
use datalogic_rs::bumpalo::Bump;
use pest::Parser;
use regorus::languages::rego::compiler::Compiler;
use regorus::rvm::vm::RegoVM;
use ringout::law;
use ringout::law::code::RuleId;
use ringout::law::evaluate::Judge;
use ringout::law::verdict::Outcome;
use ringout::text::FileId;
use ringout::{plan, shop, wiring};
use serde_json::json;
use std::fmt::Write;
use std::hint::black_box;
use std::time::{Duration, Instant};

/// What an engine says of one record.
type Answer = Option<bool>;

/// A machine: what it draws, or nothing where that isn't known; whether it is a spare; two keys of the table.
struct Record {
    draw: Option<i64>,
    is_spare: bool,
    cover: usize,
    poles: i64,
}

const COVERS: [&str; 4] = ["blank", "plain", "in-use", "weatherproof"];
const COUNT: usize = 1000;

/// The table: most amperes by cover and poles.
fn limit(cover: usize, poles: i64) -> i64 {
    8 + 5 * cover as i64 + 2 * poles
}

fn records(with_missing: bool) -> Vec<Record> {
    let record = |n: usize| Record {
        draw: (!with_missing || n % 4 != 0).then_some((n * 7 % 31) as i64),
        is_spare: n % 5 == 0,
        cover: n % 4,
        poles: 1 + (n / 4 % 3) as i64,
    };
    (0..COUNT).map(record).collect()
}

/// Nanoseconds for one record: the shortest of many runs through all of them.
fn timed(mut run: impl FnMut()) -> f64 {
    let mut least = Duration::MAX;
    for _ in 0..60 {
        let start = Instant::now();
        run();
        least = least.min(start.elapsed());
    }
    least.as_nanos() as f64 / COUNT as f64
}

fn main() {
    println!("{:<34}{:>12}{:>12}{:>12}", "ns for a rule on a record", "comparison", "table", "sum");
    for with_missing in [false, true] {
        let records = records(with_missing);
        if with_missing {
            println!("with what one in four draws not known:");
        }
        let own = ringout(&records);
        let rows = [
            ("plain Rust", plain(&records)),
            ("regorus, register machine", rego(&records)),
            ("cel", cel_engine(&records)),
            ("cedar-policy", cedar(&records)),
            ("datalogic-rs (JSON Logic)", logic(&records)),
        ];
        println!("{:<34}{:>12.1}{:>12.1}{:>12.1}", "ringout", own[0], own[1], own[2]);
        for (name, times) in rows {
            print!("{name:<34}{:>12.1}{:>12.1}{:>12.1}", times[0], times[1], times[2]);
            println!("   {:.1}, {:.1}, {:.1} times ringout", times[0] / own[0], times[1] / own[1], times[2] / own[2]);
        }
    }
    reading();
}

/// What has to come out for each rule; none where it isn't known.
fn wanted(records: &[Record], rule: usize) -> Vec<Answer> {
    let at = |n: usize| &records[n];
    let one = |n: usize| match rule {
        0 => {
            if at(n).is_spare {
                Some(true)
            } else {
                at(n).draw.map(|d| d <= 16)
            }
        }
        1 => at(n).draw.map(|d| d <= limit(at(n).cover, at(n).poles)),
        // Four records stand on one circuit of 50 A.
        _ => {
            let four = records.chunks(4).nth(n / 4).unwrap_or(&[]);
            let known = four.iter().map(|r| r.draw).sum::<Option<i64>>();
            // What is known may be too much already.
            let least: i64 = four.iter().filter_map(|r| r.draw).sum();
            known.map(|sum| sum <= 50).or((least > 50).then_some(false))
        }
    };
    (0..records.len()).map(one).collect()
}

/// Peers that know no sets of values say nothing where a fact is missing; what they do say has to be right.
fn check(name: &str, records: &[Record], rule: usize, said: &[Answer]) {
    let wanted = wanted(records, rule);
    assert_eq!(said.len(), wanted.len());
    for (n, (said, wanted)) in said.iter().zip(wanted).enumerate() {
        let all_known = if rule == 2 {
            records.chunks(4).nth(n / 4).is_some_and(|four| four.iter().all(|r| r.draw.is_some()))
        } else {
            records[n].draw.is_some()
        };
        assert!(*said == wanted || !all_known, "{name}, rule {rule}, record {n}: {said:?}, not {wanted:?}");
    }
}

const PACK: &str = r#"
rule comparison "Least of three"
  why      A comparison with an exception.
  stage    final
  level    required
  for      each equipment q
  needs    fits "draw": q.draw <= 16 A
  except   spare "a spare": q.is-spare
  else     "{q} draws too much"
rule table-rule "A look-up"
  why      A look-up by two keys.
  stage    final
  level    required
  for      each equipment q
  needs    fits "draw": q.draw <= bench-limits at (q.bench-cover, q.bench-poles)
  else     "{q} draws too much"
rule sum-rule "A sum"
  why      A sum over a list.
  stage    final
  level    required
  for      each circuit c
  needs    fits "draw": (sum of q.draw for q in c.equipment) <= 50 A
  else     "{c} carries too much"
fact equipment.draw current "what it draws on the bench"
  phrase   draws AMOUNT
  ask      "What does {item} draw?"
fact equipment.is-spare yes/no "a spare"
  phrase   spare
  ask      "Is {item} a spare?"
choice bench-cover: blank, plain, in-use, weatherproof
fact equipment.bench-cover choice bench-cover "its cover"
  phrase   covered CHOICE
  ask      "How is {item} covered?"
fact equipment.bench-poles number "its poles"
  phrase   AMOUNT bench poles
  ask      "How many poles has {item}?"
table bench-limits "Most amperes"
  source   "made up for this bench"
  key      cover: choice bench-cover, exact
  key      poles: number, exact
  column   amps: current
  beyond   unknown
  rows
    cover | poles | amps
"#;

fn ringout(records: &[Record]) -> [f64; 3] {
    let mut pack_text = PACK.to_string();
    for (cover, name) in COVERS.iter().enumerate() {
        for poles in 1..=3 {
            _ = writeln!(pack_text, "    {name} | {poles} | {} A", limit(cover, poles));
        }
    }
    let (pack, problems) = law::read(FileId(0), &pack_text);
    assert!(problems.is_empty(), "{problems:#?}");
    let (code, problems) = law::compile(&pack);
    assert!(code.rules.len() == 3, "{problems:#?}");
    let mut text = String::new();
    for (n, record) in records.iter().enumerate() {
        if n % 4 == 0 {
            _ = writeln!(text, "circuit C{}: feeds M{n}, M{}, M{}, M{}", n / 4, n + 1, n + 2, n + 3);
        }
        _ = write!(text, "equipment M{n}: covered {}, {} bench poles", COVERS[record.cover], record.poles);
        _ = write!(text, ", {}spare", if record.is_spare { "" } else { "not " });
        match record.draw {
            Some(draw) => _ = writeln!(text, ", draws {draw} A"),
            None => text.push('\n'),
        }
    }
    let read = plan::read(FileId(1), &text);
    assert!(read.problems.is_empty(), "{:#?}", read.problems.first());
    let mut shop = shop::build(&read, &[], &[], code.vocabulary.clone());
    assert!(shop.problems.is_empty(), "{:#?}", shop.problems.first());
    wiring::complete(&mut shop);
    let mut judge = Judge::new(&code, &shop);
    [0, 1, 2].map(|rule| {
        let id = code.rules.iter().position(|r| r.name == ["comparison", "table-rule", "sum-rule"][rule]).unwrap();
        let kinds = code.rules[id].kinds;
        // A circuit's sum is asked once for each of its machines, so that all engines do the same work.
        let each = if rule == 2 { 4 } else { 1 };
        let items = kinds.iter().flat_map(|kind| shop.items(kind)).flat_map(|item| vec![item; each]);
        let items: Vec<_> = items.collect();
        let mut said = Vec::new();
        judge.quick_outcomes(RuleId(id as u32), &items, |outcome| {
            said.push(match outcome {
                Outcome::Pass | Outcome::NotApplicable => Some(true),
                Outcome::Attention => Some(false),
                Outcome::Unknown => None,
            });
        });
        assert_eq!(said, wanted(records, rule), "ringout, rule {rule}");
        timed(|| judge.quick_outcomes(RuleId(id as u32), &items, |outcome| _ = black_box(outcome)))
    })
}

fn plain(records: &[Record]) -> [f64; 3] {
    [0, 1, 2].map(|rule| {
        let one = |n: usize| -> Answer {
            let record = &records[n];
            match rule {
                0 => {
                    if record.is_spare {
                        Some(true)
                    } else {
                        record.draw.map(|d| d <= 16)
                    }
                }
                1 => record.draw.map(|d| d <= limit(record.cover, record.poles)),
                _ => records[n / 4 * 4..n / 4 * 4 + 4].iter().map(|r| r.draw).sum::<Option<i64>>().map(|s| s <= 50),
            }
        };
        check("plain", records, rule, &(0..records.len()).map(one).collect::<Vec<_>>());
        timed(|| (0..records.len()).for_each(|n| _ = black_box(one(black_box(n)))))
    })
}

/// A record as JSON, with the draws of its circuit.
fn as_json(records: &[Record], n: usize) -> serde_json::Value {
    let record = &records[n];
    let mut value = json!({"spare": record.is_spare, "cover": COVERS[record.cover], "poles": record.poles.to_string()});
    if let Some(draw) = record.draw {
        value["draw"] = json!(draw);
    }
    let four = &records[n / 4 * 4..n / 4 * 4 + 4];
    if four.iter().all(|r| r.draw.is_some()) {
        value["draws"] = json!(four.iter().filter_map(|r| r.draw).collect::<Vec<_>>());
    }
    value
}

fn limits_json() -> serde_json::Value {
    let row =
        |cover: usize| (1..=3).map(|p| (p.to_string(), json!(limit(cover, p)))).collect::<serde_json::Map<_, _>>();
    json!(
        COVERS.iter().enumerate().map(|(n, name)| (name.to_string(), json!(row(n)))).collect::<serde_json::Map<_, _>>()
    )
}

fn rego(records: &[Record]) -> [f64; 3] {
    let policies = [
        "package b\nimport rego.v1\nok if input.draw <= 16\nok if input.spare\n",
        "package b\nimport rego.v1\nok if input.draw <= data.limits[input.cover][input.poles]\n",
        "package b\nimport rego.v1\nok if sum(input.draws) <= 50\n",
    ];
    let inputs: Vec<regorus::Value> =
        (0..records.len()).map(|n| regorus::Value::from_json_str(&as_json(records, n).to_string()).unwrap()).collect();
    let data = regorus::Value::from_json_str(&json!({"limits": limits_json()}).to_string()).unwrap();
    [0, 1, 2].map(|rule| {
        let mut engine = regorus::Engine::new();
        engine.add_policy("b.rego".into(), policies[rule].into()).unwrap();
        engine.add_data(data.clone()).unwrap();
        let entry: regorus::Rc<str> = "data.b.ok".into();
        let policy = engine.compile_with_entrypoint(&entry).unwrap();
        let program = Compiler::compile_from_policy(&policy, &["data.b.ok"]).unwrap();
        let mut vm = RegoVM::new();
        vm.load_program(program);
        vm.set_data(data.clone()).unwrap();
        let mut one = |n: usize| {
            vm.set_input(inputs[n].clone());
            vm.execute().unwrap()
        };
        let said: Vec<Answer> = (0..records.len()).map(|n| Some(one(n) == regorus::Value::Bool(true))).collect();
        check("regorus", records, rule, &said);
        timed(|| (0..records.len()).for_each(|n| _ = black_box(one(n))))
    })
}

fn cel_engine(records: &[Record]) -> [f64; 3] {
    let rules =
        ["spare || draw <= 16", "draw <= limits[cover][poles]", "draws[0] + draws[1] + draws[2] + draws[3] <= 50"];
    [0, 1, 2].map(|rule| {
        let program = cel::Program::compile(rules[rule]).unwrap();
        let contexts: Vec<cel::Context> = (0..records.len())
            .map(|n| {
                let mut context = cel::Context::default();
                let serde_json::Value::Object(fields) = as_json(records, n) else { return context };
                fields.into_iter().for_each(|(name, value)| context.add_variable(name, value).unwrap());
                context.add_variable("limits", limits_json()).unwrap();
                context
            })
            .collect();
        let one = |n: usize| program.execute(&contexts[n]);
        let said = |n: usize| match one(n) {
            Ok(cel::Value::Bool(yes)) => Some(yes),
            _ => None,
        };
        check("cel", records, rule, &(0..records.len()).map(said).collect::<Vec<_>>());
        timed(|| (0..records.len()).for_each(|n| _ = black_box(one(n))))
    })
}

fn cedar(records: &[Record]) -> [f64; 3] {
    // Cedar reads no record by a computed key, so that the table is a chain of conditions.
    let rows = (0..COVERS.len()).flat_map(|cover| (1..=3).map(move |poles| (cover, poles)));
    let table: Vec<String> = rows
        .map(|(cover, poles)| {
            let (name, most) = (COVERS[cover], limit(cover, poles));
            format!("context.cover == \"{name}\" && context.poles == \"{poles}\" && context.draw <= {most}")
        })
        .collect();
    let conditions = [
        "context.spare || context.draw <= 16".to_string(),
        table.join(" || "),
        "context.a + context.b + context.c + context.d <= 50".to_string(),
    ];
    let user = || r#"U::"u""#.parse::<cedar_policy::EntityUid>().unwrap();
    let requests: Vec<Request> = (0..records.len())
        .map(|n| {
            let mut value = as_json(records, n);
            let draws: Vec<serde_json::Value> = value["draws"].as_array().cloned().unwrap_or_default();
            value.as_object_mut().unwrap().remove("draws");
            for (name, draw) in ["a", "b", "c", "d"].iter().zip(draws) {
                value[*name] = draw;
            }
            let context = Context::from_json_value(value, None).unwrap();
            Request::new(user(), r#"A::"a""#.parse().unwrap(), user(), context, None).unwrap()
        })
        .collect();
    let entities = Entities::empty();
    let authorizer = Authorizer::new();
    [0, 1, 2].map(|rule| {
        let text = format!("permit(principal, action, resource) when {{ {} }};", conditions[rule]);
        let policies: PolicySet = text.parse().unwrap();
        let one = |n: usize| authorizer.is_authorized(&requests[n], &policies, &entities);
        let said = |n: usize| Some(one(n).decision() == Decision::Allow);
        check("cedar", records, rule, &(0..records.len()).map(said).collect::<Vec<_>>());
        timed(|| (0..records.len()).for_each(|n| _ = black_box(one(n))))
    })
}

fn logic(records: &[Record]) -> [f64; 3] {
    let rules = [
        json!({"or": [{"var": "spare"}, {"<=": [{"var": "draw"}, 16]}]}),
        json!({"<=": [{"var": "draw"}, {"var": {"cat": ["limits.", {"var": "cover"}, ".", {"var": "poles"}]}}]}),
        json!({"<=": [{"+": [{"var": "draws.0"}, {"var": "draws.1"}, {"var": "draws.2"}, {"var": "draws.3"}]}, 50]}),
    ];
    let engine = datalogic_rs::Engine::new();
    let kept = Bump::new();
    let values: Vec<_> = (0..records.len())
        .map(|n| {
            let mut value = as_json(records, n);
            value["limits"] = limits_json();
            datalogic_rs::DataValue::from_str(kept.alloc_str(&value.to_string()), &kept).unwrap()
        })
        .collect();
    let references: Vec<&_> = values.iter().map(|v| kept.alloc(v.clone()) as &_).collect();
    [0, 1, 2].map(|rule| {
        let compiled = engine.compile(rules[rule].to_string().as_str()).unwrap();
        let mut bump = Bump::new();
        let said: Vec<Answer> = (0..records.len())
            .map(|n| engine.evaluate(&compiled, references[n], &bump).ok().and_then(|v| v.as_bool()))
            .collect();
        check("datalogic", records, rule, &said);
        timed(|| {
            for value in &references {
                _ = black_box(engine.evaluate(&compiled, *value, &bump));
            }
            bump.reset();
        })
    })
}

#[derive(pest_derive::Parser)]
#[grammar = "../../grammar/plan.pest"]
struct Bare;

/// A megabyte of plan: Ringout, the bare parser on the same grammar and lines, and a scan by hand.
fn reading() {
    let demo = include_str!("../../examples/larkspur.shop");
    let text = demo.repeat(1_000_000 / demo.len() + 1);
    let bare = || {
        let mut count = 0;
        for line in text.lines().filter(|l| !l.trim().is_empty()) {
            let rule = if line.starts_with(' ') { Rule::added_line } else { Rule::item_line };
            count += Bare::parse(rule, line).map_or(0, |pairs| pairs.flatten().count());
        }
        count
    };
    let scan = || text.lines().map(|line| line.split([' ', ',', ':']).filter(|t| !t.is_empty()).count()).sum::<usize>();
    let least = |run: &dyn Fn() -> usize| {
        let once = |_| {
            let start = Instant::now();
            black_box(run());
            start.elapsed()
        };
        (0..9).map(once).min().unwrap_or_default()
    };
    let own = least(&|| plan::read(FileId(0), &text).items.len());
    let (bare, scan) = (least(&bare), least(&scan));
    println!(
        "reading {:.1} MB: ringout {own:.1?}, bare pest {bare:.1?}, a scan by hand {scan:.1?}; {:.2} times bare pest",
        text.len() as f64 / 1e6,
        own.as_secs_f64() / bare.as_secs_f64()
    );
}

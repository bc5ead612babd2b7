//! Examples of formulas: what comes out is held against the digits that are written, and a pack
//! that is spoiled in a formula is noticed by them. The figures are invented.

use ringout::law;
use ringout::selftest::{self, strictness};
use ringout::text::{Severity, Sources};

const FORMULA: &str = r#"define share of (c: circuit) in %
  doc    "share of its breaker"
  value  volts: 120 V
  = c.light-load / volts / c.breaker.amps

define light-load of (c: circuit) in VA
  doc    "its lights"
  = sum of l.watts for l in c.lights
"#;

/// Each failure's message and what came out; problems of the pack itself fail the test.
fn failures(example: &str) -> Vec<String> {
    let text = FORMULA.replacen("breaker.amps\n", &format!("breaker.amps\n{example}"), 1);
    let file = Sources::default().add("pack.rule", text.clone());
    let (pack, slips) = law::read(file, &text);
    assert!(slips.is_empty(), "{slips:?}");
    let (code, problems) = law::compile_with(&pack, law::Demands { strict_files: 0, examples: true });
    let mut found: Vec<String> =
        problems.into_iter().filter(|p| p.severity == Severity::Error).map(|p| p.message).collect();
    let outcomes = selftest::run(&pack, &code);
    assert_eq!(outcomes.len(), 1);
    found.extend(outcomes.into_iter().filter_map(|o| o.failure).map(|p| {
        let help = p.help.unwrap_or_default();
        format!("{}; {help}", p.message)
    }));
    found
}

const LAMP: &str = "    panel P1\n    circuit C1 from P1: breaker 20 A, feeds L1\n    light L1: LED, 1200 W\n";

#[test]
fn a_figure_agrees_as_far_as_it_is_written_out() {
    for right in ["50 %", "50.0 %"] {
        assert_eq!(failures(&format!("  example C1 gives {right}\n{LAMP}")), [""; 0], "{right}");
    }
    for wrong in ["51 %", "50.1 %", "49.4 %", "unknown", "50 A"] {
        let found = failures(&format!("  example C1 gives {wrong}\n{LAMP}"));
        assert_eq!(found, [format!("`share` of `C1` is not {wrong}; it gives 50 %")]);
    }
}

#[test]
fn what_is_unknown_is_told_with_what_it_waits_for() {
    let dark = LAMP.replace("breaker 20 A", "breaker unknown");
    assert_eq!(failures(&format!("  example C1 gives unknown \"no rating\"\n{dark}")), [""; 0]);
    let found = failures(&format!("  example C1 gives 50 %\n{dark}"));
    assert_eq!(found, ["`share` of `C1` is not 50 %; it gives unknown (missing amps of breaker of C1)"]);
}

#[test]
fn a_wrong_name_is_told() {
    assert_eq!(failures(&format!("  example C9 gives 50 %\n{LAMP}")), ["no item is called `C9`; "]);
    assert_eq!(failures(&format!("  example L1 gives 50 %\n{LAMP}")), ["`share` is no formula of `L1`; "]);
}

/// An example of the upper formula hears a change of the lower one too.
#[test]
fn a_change_in_a_formula_is_noticed() {
    let text = FORMULA.replacen("breaker.amps\n", &format!("breaker.amps\n  example C1 gives 50 %\n{LAMP}"), 1);
    let file = Sources::default().add("pack.rule", text.clone());
    let with = strictness(&law::read(file, &text).0);
    let without = strictness(&law::read(file, FORMULA).0);
    assert_eq!((with.tried, with.unnoticed.len()), (2, 0), "120 V up and down");
    assert_eq!(without.unnoticed.len(), 2);
}

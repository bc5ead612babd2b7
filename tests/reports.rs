//! Reports on real plans: what the outputs promise holds for every one of them.

use ringout::law::Options;
use ringout::report::{Depth, Look, Report, json, sarif, text};
use ringout::text::Sources;
use ringout::{Rules, check};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

static RULES: LazyLock<Rules> = LazyLock::new(Rules::builtin);

/// The demo plans and every tenth of the situations that owners described; fewer where nothing is optimized.
fn plans() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let in_folder = |folder: &str| {
        let mut found: Vec<PathBuf> =
            std::fs::read_dir(root.join(folder)).unwrap().map(|e| e.unwrap().path()).collect();
        found.retain(|p| p.extension().is_some_and(|e| e == "shop"));
        found.sort();
        found
    };
    let mut plans = in_folder("examples");
    plans.extend(in_folder("tests/cases/scenarios").into_iter().step_by(if cfg!(debug_assertions) { 60 } else { 10 }));
    assert!(plans.len() > 5);
    plans
}

/// Every plan's report, under the plan's short name.
static REPORTS: LazyLock<Vec<(String, Report, Sources)>> = LazyLock::new(|| {
    ringout::parallel::map(&plans(), |path| {
        let text = std::fs::read_to_string(path).unwrap();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let checked = check(&RULES, &name, &text, &Options::default());
        (name, Report::of(&RULES, &checked, Depth::Verdicts), checked.sources)
    })
});

fn validator(text: &str) -> jsonschema::Validator {
    jsonschema::validator_for(&serde_json::from_str(text).unwrap()).unwrap()
}

/// JSON keeps to its schema, SARIF to the published one, and both give one place for one finding.
#[test]
fn json_and_sarif_conform_and_agree() {
    let own = validator(include_str!("../grammar/report.schema.json"));
    // Its pattern for a language has a bracket too many, which is no regular expression.
    let published = include_str!("published/sarif-2.1.0.schema.json").replace("{2}]?$", "{2}?$");
    let published = validator(&published);
    let mut places = 0;
    for (plan, report, sources) in REPORTS.iter() {
        let document: Value = serde_json::from_str(&json::line(report, sources).unwrap()).unwrap();
        let errors: Vec<String> = own.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{}: {}", plan, errors.join("\n"));
        let log: Value = serde_json::from_str(&sarif::document(&[(report, sources)], true).unwrap()).unwrap();
        let errors: Vec<String> = published.iter_errors(&log).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{}: {}", plan, errors.join("\n"));
        let results = log["runs"][0]["results"].as_array().unwrap();
        let findings = document["findings"].as_array().unwrap();
        assert_eq!(results.len(), findings.len());
        for (result, finding) in results.iter().zip(findings) {
            let region = &result["locations"][0]["physicalLocation"]["region"];
            let place = &finding["place"];
            let own = ["line", "column", "end_line", "end_column"].map(|k| place[k].as_u64());
            let theirs = ["startLine", "startColumn", "endLine", "endColumn"].map(|k| region[k].as_u64());
            assert_eq!(own, theirs, "{}", plan);
            assert_eq!(place["file"].as_str(), Some(plan.as_str()), "a finding points into the plan");
            places += 1;
        }
    }
    assert!(places > 500, "only {places} findings were compared");
}

/// Counts are those of the findings, in the report and by stage.
#[test]
fn counts_add_up() {
    for (plan, report, _) in REPORTS.iter() {
        let total = report.total();
        let findings = total.pass + total.attention + total.advice + total.unknown;
        assert_eq!(findings, report.findings.len(), "{}", plan);
        let settled: BTreeSet<&str> =
            report.questions.iter().flat_map(|q| q.settles.iter().map(|(rule, _)| rule.as_str())).collect();
        for finding in report.findings.iter().filter(|f| !f.missing.is_empty()) {
            assert!(settled.contains(&*finding.rule), "{}: nobody asks for {}", plan, finding.rule);
        }
    }
}

/// What a report may never say of a plan, and what it says without fail.
#[test]
fn no_promise_is_made() {
    for (plan, report, sources) in REPORTS.iter() {
        let look = Look::new(Look::USUAL, false);
        let text = text::check(report, sources, look, true) + &text::ask(report, sources, look);
        for word in ["safe", "legal", "compliant", "approved", "will pass"] {
            let said = text.lines().find(|line| {
                let line = line.to_lowercase();
                line.split(|c: char| !c.is_alphabetic() && c != ' ')
                    .any(|part| format!(" {part} ").contains(&format!(" {word} ")))
            });
            assert_eq!(said, None, "{}: `{word}`", plan);
        }
        assert!(text.contains("The inspector and the code"), "{}", plan);
        assert!(!text.contains('\x1b'));
    }
}

/// "Ground" alone means four things; users read which one.
#[test]
fn ground_never_stands_alone() {
    let allowed = [
        "equipment ground",
        "ground bar",
        "ground-fault",
        "grounding",
        "grounded",
        "ground rod",
        "above ground",
        "below ground",
    ];
    for (_, report, _) in REPORTS.iter() {
        for finding in &report.findings {
            let texts = [
                Some(finding.message.as_str()),
                Some(&*finding.title),
                finding.remedy.as_deref(),
                finding.caution.as_deref(),
            ];
            for said in texts.into_iter().flatten() {
                let mut rest = said.to_lowercase();
                allowed.iter().for_each(|known| rest = rest.replace(known, ""));
                let alone =
                    rest.split(|c: char| !c.is_alphanumeric() && c != '-').find(|w| *w == "ground" || *w == "grounds");
                assert_eq!(alone, None, "{}: {said}", finding.rule);
            }
        }
    }
}

//! The report as JSON, version 1: the contract that scripts and editors rely on. Its schema is
//! `grammar/report.schema.json`; a field is added there and here together, and none is taken away.

use super::{About, Counts, Finding, Missing, Report};
use crate::law::verdict::{Outcome, Why};
use crate::text::{Place, Sources};
use serde::Serialize;

/// The report as one line of JSON, without a line end.
pub fn line(report: &Report, sources: &Sources) -> Result<String, serde_json::Error> {
    serde_json::to_string(&document(report, sources))
}

/// The report as JSON for people: indented, without a line end.
pub fn pretty(report: &Report, sources: &Sources) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&document(report, sources))
}

/// An edition as JSON writes it.
pub(super) fn edition(year: i64) -> String {
    format!("NEC {year}")
}

#[derive(Serialize)]
struct Document<'r> {
    format: &'static str,
    version: u32,
    plan: &'r str,
    edition: Option<String>,
    permit_date: Option<&'r str>,
    /// Local layers are not read yet: the lists that speak of them are there and empty.
    layers: [(); 0],
    unread: Vec<Unread<'r>>,
    counts: JsonCounts,
    findings: Vec<JsonFinding<'r>>,
    switched_off: [(); 0],
    edits: [(); 0],
    cautions: Vec<&'r str>,
}

#[derive(Serialize)]
struct Unread<'r> {
    message: &'r str,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<&'r str>,
    place: Place,
}

#[derive(Serialize)]
struct JsonCounts {
    pass: usize,
    attention: usize,
    advice: usize,
    unknown: usize,
    not_applicable: usize,
}

#[derive(Serialize)]
struct JsonFinding<'r> {
    rule: &'r str,
    title: &'r str,
    verdict: Outcome,
    level: &'static str,
    stage: &'static str,
    about: Vec<JsonAbout<'r>>,
    message: &'r str,
    place: Place,
    also: Vec<Place>,
    cites: &'r [String],
    missing: Vec<JsonMissing<'r>>,
    leans_on: &'r [String],
    #[serde(skip_serializing_if = "is_empty")]
    editions: &'r [String],
    remedy: Option<&'r str>,
    caution: Option<&'r str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<JsonWhy<'r>>,
}

fn is_empty(list: &&[String]) -> bool {
    list.is_empty()
}

/// An item, the same in every document.
#[derive(Serialize)]
pub(super) struct JsonAbout<'r> {
    kind: &'static str,
    name: &'r str,
}

/// An item as every document names it.
pub(super) fn about(about: &About) -> JsonAbout<'_> {
    JsonAbout { kind: about.kind.name(), name: &about.name }
}

/// A missing fact, the same in every document.
#[derive(Serialize)]
pub(super) struct JsonMissing<'r> {
    fact: &'r str,
    ask: &'r str,
    place: Place,
}

/// Missing facts with their places.
pub(super) fn missing<'r>(all: &'r [Missing], sources: &Sources) -> Vec<JsonMissing<'r>> {
    all.iter().map(|m| JsonMissing { fact: &m.fact, ask: &m.ask, place: sources.place(m.place) }).collect()
}

#[derive(Serialize)]
struct JsonWhy<'r> {
    text: &'r str,
    value: &'r str,
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<&'r str>,
    places: Vec<Place>,
    from: Vec<JsonWhy<'r>>,
}

fn document<'r>(report: &'r Report, sources: &Sources) -> Document<'r> {
    let unread =
        report.unread().map(|p| Unread { message: &p.message, help: p.help.as_deref(), place: sources.place(p.span) });
    let Counts { pass, attention, advice, unknown, not_applicable } = report.total();
    Document {
        format: "ringout-report",
        version: 1,
        plan: &report.plan,
        edition: report.edition.map(edition),
        permit_date: report.permit_date.as_deref(),
        layers: [],
        unread: unread.collect(),
        counts: JsonCounts { pass, attention, advice, unknown, not_applicable },
        findings: report.findings.iter().map(|f| finding(f, sources)).collect(),
        switched_off: [],
        edits: [],
        cautions: report.cautions(),
    }
}

fn finding<'r>(finding: &'r Finding, sources: &Sources) -> JsonFinding<'r> {
    JsonFinding {
        rule: &finding.rule,
        title: &finding.title,
        verdict: finding.verdict,
        level: finding.level.name(),
        stage: finding.stage.name(),
        about: finding.about.iter().map(about).collect(),
        message: &finding.message,
        place: sources.place(finding.place),
        also: finding.also.iter().map(|s| sources.place(*s)).collect(),
        cites: &finding.cites,
        missing: missing(&finding.missing, sources),
        leans_on: &finding.leans_on,
        editions: &finding.editions,
        remedy: finding.remedy.as_deref(),
        caution: finding.caution.as_deref(),
        why: finding.why.as_ref().map(|w| tree(w, sources)),
    }
}

fn tree<'r>(why: &'r Why, sources: &Sources) -> JsonWhy<'r> {
    JsonWhy {
        text: &why.text,
        value: &why.value,
        source: why.source.as_deref(),
        places: why.places.iter().map(|s| sources.place(*s)).collect(),
        from: why.from.iter().map(|w| tree(w, sources)).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    /// The schema in the repository is what the program writes, and it is a schema.
    #[test]
    fn conforms_to_the_schema() {
        let schema = serde_json::from_str(include_str!("../../grammar/report.schema.json")).unwrap();
        let validator = jsonschema::validator_for(&schema).unwrap();
        let (report, sources) = sample();
        let document: serde_json::Value = serde_json::from_str(&line(&report, &sources).unwrap()).unwrap();
        let errors: Vec<String> =
            validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{}", errors.join("\n"));
        let mut wrong = document.clone();
        wrong["findings"][0]["verdict"] = "maybe".into();
        assert!(!validator.is_valid(&wrong), "the schema lets anything through");
    }

    #[test]
    fn counts_and_places_are_those_of_the_report() {
        let (report, sources) = sample();
        let text = line(&report, &sources).unwrap();
        assert!(!text.contains('\n'));
        let document: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(
            document["counts"],
            serde_json::json!({
                "pass": 1, "attention": 2, "advice": 1, "unknown": 1, "not_applicable": 9
            })
        );
        assert_eq!(
            document["findings"][0]["place"],
            serde_json::json!({
                "file": "shed.shop", "line": 4, "column": 31, "end_line": 4, "end_column": 43
            })
        );
    }
}

//! The report as JSON, version 1: the contract that scripts and editors rely on. Its schema is
//! `grammar/report.schema.json`; a field is added there and here together, and none is taken away.

use super::{About, Counts, EditLine, Finding, LayerLine, Missing, Report};
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
    layers: Vec<JsonLayer<'r>>,
    unread: Vec<Unread<'r>>,
    counts: JsonCounts,
    findings: Vec<JsonFinding<'r>>,
    switched_off: Vec<JsonSwitch<'r>>,
    edits: Vec<JsonEdit<'r>>,
    cautions: Vec<&'r str>,
}

#[derive(Serialize)]
struct JsonLayer<'r> {
    name: &'r str,
    title: &'r str,
    kind: &'static str,
    file: &'r str,
    source: &'r str,
    status: &'r str,
    checked: Option<&'r str>,
}

fn layer(line: &LayerLine) -> JsonLayer<'_> {
    JsonLayer {
        name: &line.name,
        title: &line.title,
        kind: line.kind,
        file: &line.file,
        source: &line.source,
        status: &line.status,
        checked: line.checked.as_deref(),
    }
}

#[derive(Serialize)]
struct JsonSwitch<'r> {
    rule: &'r str,
    title: &'r str,
    by: &'r str,
    source: &'r str,
}

fn switch<'r>(report: &'r Report, edit: &'r EditLine) -> JsonSwitch<'r> {
    JsonSwitch { rule: &edit.target, title: &edit.title, by: layer_name(report, edit), source: &edit.source }
}

fn layer_name<'r>(report: &'r Report, edit: &EditLine) -> &'r str {
    report.layers.get(edit.layer).map_or("", |layer| layer.name.as_str())
}

#[derive(Serialize)]
struct JsonEdit<'r> {
    layer: &'r str,
    rule: &'r str,
    part: &'r str,
    verb: &'static str,
    state: &'static str,
    was: &'r str,
    now: &'r str,
    when: &'r str,
    why: &'r str,
    source: &'r str,
    place: Place,
}

fn edit<'r>(report: &'r Report, edit: &'r EditLine, sources: &Sources) -> JsonEdit<'r> {
    JsonEdit {
        layer: layer_name(report, edit),
        rule: &edit.target,
        part: &edit.part,
        verb: edit.verb,
        state: edit.state,
        was: &edit.was,
        now: &edit.now,
        when: &edit.when,
        why: &edit.why,
        source: &edit.source,
        place: sources.place(edit.place),
    }
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
    /// Places in `edits` of the report.
    #[serde(skip_serializing_if = "<[usize]>::is_empty")]
    edits: &'r [usize],
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
        layers: report.layers.iter().map(layer).collect(),
        unread: unread.collect(),
        counts: JsonCounts { pass, attention, advice, unknown, not_applicable },
        findings: report.findings.iter().map(|f| finding(f, sources)).collect(),
        switched_off: report.edits.iter().filter(|e| e.is_switch()).map(|e| switch(report, e)).collect(),
        edits: report.edits.iter().map(|e| edit(report, e, sources)).collect(),
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
        edits: &finding.edits,
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

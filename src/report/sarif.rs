//! The report as SARIF 2.1.0, for code hosts and editors.
//!
//! Attention is kind `fail`, level `warning` (`note` for advice); unknown is kind `open`, level
//! `none`, since the standard asks for `none` wherever the kind isn't `fail`; passes are left out
//! unless asked for, because some viewers list every result as an alert.

use super::{Finding, Report};
use crate::law::code::Level;
use crate::law::verdict::Outcome;
use crate::text::{Place, Problem, Sources};
use serde::Serialize;
use std::collections::BTreeMap;

/// The schema that the document names and the tests validate against.
pub const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// Reports of one run as SARIF, indented. `with_passes` adds what passes.
pub fn document(reports: &[(&Report, &Sources)], with_passes: bool) -> Result<String, serde_json::Error> {
    let mut rules: BTreeMap<&str, Rule> = BTreeMap::new();
    let shown: Vec<(&Finding, &Sources)> = reports
        .iter()
        .flat_map(|(r, s)| r.findings.iter().map(|f| (f, *s)))
        .filter(|(f, _)| with_passes || f.verdict != Outcome::Pass)
        .collect();
    for (finding, _) in &shown {
        rules.entry(&finding.rule).or_insert_with(|| rule(finding));
    }
    let index: BTreeMap<&str, usize> = rules.keys().enumerate().map(|(i, name)| (*name, i)).collect();
    let results =
        shown.iter().map(|(f, sources)| result(f, sources, index.get(&*f.rule).copied().unwrap_or_default())).collect();
    let unread = reports.iter().flat_map(|(r, s)| r.unread().map(|p| notification(p, s))).collect::<Vec<_>>();
    let log = Log {
        schema: SCHEMA,
        version: "2.1.0",
        runs: [Run {
            tool: Tool {
                driver: Driver {
                    name: "ringout",
                    version: env!("CARGO_PKG_VERSION"),
                    rules: rules.into_values().collect(),
                },
            },
            column_kind: "unicodeCodePoints",
            invocations: [Invocation { execution_successful: unread.is_empty(), tool_execution_notifications: unread }],
            results,
        }],
    };
    serde_json::to_string_pretty(&log)
}

fn rule<'r>(finding: &'r Finding) -> Rule<'r> {
    let level = if finding.level == Level::Required { "warning" } else { "note" };
    Rule {
        id: &finding.rule,
        short_description: Text { text: finding.title.to_string() },
        full_description: Text { text: finding.hazard.to_string() },
        default_configuration: Configuration { level },
    }
}

fn result<'r>(finding: &'r Finding, sources: &Sources, rule_index: usize) -> SarifResult<'r> {
    let (kind, level) = match (finding.verdict, finding.level) {
        (Outcome::Attention, Level::Required) => ("fail", "warning"),
        (Outcome::Attention, _) => ("fail", "note"),
        (Outcome::Unknown, _) => ("open", "none"),
        (Outcome::Pass, _) => ("pass", "none"),
        (Outcome::NotApplicable, _) => ("notApplicable", "none"),
    };
    let asks = finding.missing.iter().map(|m| m.ask.as_str());
    let mut text = finding.message.clone();
    for part in finding.remedy.as_deref().into_iter().chain(finding.caution.as_deref()).chain(asks) {
        text.push(' ');
        text.push_str(part);
    }
    SarifResult {
        rule_id: &finding.rule,
        rule_index,
        kind,
        level,
        message: Text { text },
        locations: [location(sources.place(finding.place))],
        related_locations: finding.also.iter().map(|s| location(sources.place(*s))).collect(),
        partial_fingerprints: Fingerprints { rule_and_item: fingerprint(finding) },
    }
}

fn notification(problem: &Problem, sources: &Sources) -> Notification {
    let help = problem.help.as_deref().map(|h| format!("; {h}")).unwrap_or_default();
    Notification {
        level: "error",
        message: Text { text: format!("{}{help}", problem.message) },
        locations: [location(sources.place(problem.span))],
    }
}

/// Of the rule and the items, never of a line: a finding stays itself when lines move.
fn fingerprint(finding: &Finding) -> String {
    let about = finding.about.iter().flat_map(|a| [a.kind.name(), " ", &a.name, ";"]);
    let bytes = finding.rule.bytes().chain([0]).chain(about.flat_map(str::bytes));
    // FNV-1a, 64 bits: the same on every machine and in every version.
    let hash = bytes.fold(0xcbf2_9ce4_8422_2325_u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3));
    format!("{hash:016x}")
}

fn location(place: Place) -> Location {
    Location {
        physical_location: PhysicalLocation {
            artifact_location: Artifact { uri: uri(&place.file) },
            region: Region {
                start_line: place.line,
                start_column: place.column,
                end_line: place.end_line,
                end_column: place.end_column,
            },
        },
    }
}

/// A path as a relative reference: slashes forward, everything but letters, digits and `/-._~` escaped.
fn uri(path: &str) -> String {
    let path = path.replace('\\', "/");
    let path = path.strip_prefix("./").unwrap_or(&path);
    let mut out = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'/' | b'-' | b'.' | b'_' | b'~' => out.push(byte as char),
            other => out.push_str(&format!("%{other:02X}")),
        }
    }
    out
}

#[derive(Serialize)]
struct Log<'r> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run<'r>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<'r> {
    tool: Tool<'r>,
    column_kind: &'static str,
    invocations: [Invocation; 1],
    results: Vec<SarifResult<'r>>,
}

#[derive(Serialize)]
struct Tool<'r> {
    driver: Driver<'r>,
}

#[derive(Serialize)]
struct Driver<'r> {
    name: &'static str,
    version: &'static str,
    rules: Vec<Rule<'r>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Rule<'r> {
    id: &'r str,
    short_description: Text,
    full_description: Text,
    default_configuration: Configuration,
}

#[derive(Serialize)]
struct Configuration {
    level: &'static str,
}

#[derive(Serialize)]
struct Text {
    text: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Invocation {
    execution_successful: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    tool_execution_notifications: Vec<Notification>,
}

#[derive(Serialize)]
struct Notification {
    level: &'static str,
    message: Text,
    locations: [Location; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct SarifResult<'r> {
    rule_id: &'r str,
    rule_index: usize,
    kind: &'static str,
    level: &'static str,
    message: Text,
    locations: [Location; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location>,
    partial_fingerprints: Fingerprints,
}

#[derive(Serialize)]
struct Fingerprints {
    #[serde(rename = "ruleAndItem/v1")]
    rule_and_item: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Location {
    physical_location: PhysicalLocation,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct PhysicalLocation {
    artifact_location: Artifact,
    region: Region,
}

#[derive(Serialize)]
struct Artifact {
    uri: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: u32,
    start_column: u32,
    end_line: u32,
    end_column: u32,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    fn value(with_passes: bool) -> serde_json::Value {
        let (report, sources) = sample();
        serde_json::from_str(&document(&[(&report, &sources)], with_passes).unwrap()).unwrap()
    }

    /// The published schema of SARIF 2.1.0, as its committee gives it.
    #[test]
    fn conforms_to_the_published_schema() {
        // Its pattern for a language has a bracket too many, which is no regular expression.
        let text = include_str!("../../tests/published/sarif-2.1.0.schema.json").replace("{2}]?$", "{2}?$");
        let schema = serde_json::from_str(&text).unwrap();
        let validator = jsonschema::validator_for(&schema).unwrap();
        for with_passes in [false, true] {
            let document = value(with_passes);
            let errors: Vec<String> =
                validator.iter_errors(&document).map(|e| format!("{}: {e}", e.instance_path())).collect();
            assert!(errors.is_empty(), "{}", errors.join("\n"));
        }
        assert!(!validator.is_valid(&serde_json::json!({ "version": "2.1.0" })));
    }

    #[test]
    fn kinds_and_levels() {
        let kinds = |with_passes| -> Vec<(String, String)> {
            let document = value(with_passes);
            let results = document["runs"][0]["results"].as_array().unwrap().clone();
            let text = |v: &serde_json::Value| v.as_str().unwrap().to_string();
            results.iter().map(|r| (text(&r["kind"]), text(&r["level"]))).collect()
        };
        let pair = |a: &str, b: &str| (a.to_string(), b.to_string());
        let mut wanted =
            vec![pair("fail", "warning"), pair("fail", "warning"), pair("fail", "note"), pair("open", "none")];
        assert_eq!(kinds(false), wanted);
        wanted.push(pair("pass", "none"));
        assert_eq!(kinds(true), wanted);
    }

    /// `ruleIndex` points at the rule, a place is given for each, and lines don't enter the fingerprint.
    #[test]
    fn indices_places_and_fingerprints() {
        let document = value(true);
        let run = &document["runs"][0];
        for result in run["results"].as_array().unwrap() {
            let index = result["ruleIndex"].as_u64().unwrap() as usize;
            assert_eq!(run["tool"]["driver"]["rules"][index]["id"], result["ruleId"]);
            assert_eq!(result["locations"].as_array().unwrap().len(), 1);
        }
        let (mut report, _) = sample();
        let before: Vec<String> = report.findings.iter().map(fingerprint).collect();
        report.findings.iter_mut().for_each(|f| f.place = crate::text::Span::default());
        assert_eq!(before, report.findings.iter().map(fingerprint).collect::<Vec<_>>());
        let mut unique = before.clone();
        unique.sort();
        unique.dedup();
        assert_eq!(unique.len(), before.len());
    }

    #[test]
    fn paths_are_relative_references() {
        assert_eq!(uri("./my plans/übung #1.shop"), "my%20plans/%C3%BCbung%20%231.shop");
        assert_eq!(uri(r"plans\a.shop"), "plans/a.shop");
    }
}

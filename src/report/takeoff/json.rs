//! The materials list as JSON, version 1. Its schema is `grammar/takeoff.schema.json`.

use super::{Line, Takeoff};
use crate::report::json::{JsonMissing, missing};
use crate::text::Sources;
use serde::Serialize;

/// The list as one indented document, without a line end.
pub fn pretty(plan: &str, takeoff: &Takeoff, sources: &Sources) -> Result<String, serde_json::Error> {
    let lines = takeoff.lines.iter().map(|l| line(l, sources)).collect();
    let remarks = &takeoff.remarks;
    let missing = missing(&takeoff.asks, sources);
    serde_json::to_string_pretty(&Document { format: "ringout-takeoff", version: 1, plan, lines, remarks, missing })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    plan: &'a str,
    lines: Vec<JsonLine<'a>>,
    remarks: &'a [String],
    missing: Vec<JsonMissing<'a>>,
}

#[derive(Serialize)]
struct JsonLine<'a> {
    group: &'static str,
    item: &'a str,
    /// Null where it can't be counted.
    quantity: Option<i64>,
    /// The least, where lengths have two ends; `quantity` is then the most.
    #[serde(skip_serializing_if = "Option::is_none")]
    least: Option<i64>,
    is_least: bool,
    unit: &'static str,
    how: &'a str,
    of: &'a [String],
    missing: Vec<JsonMissing<'a>>,
}

fn line<'a>(line: &'a Line, sources: &Sources) -> JsonLine<'a> {
    JsonLine {
        group: line.group.name(),
        item: &line.item,
        quantity: line.quantity,
        least: line.least,
        is_least: line.is_least,
        unit: line.unit,
        how: &line.how,
        of: &line.of,
        missing: missing(&line.asks, sources),
    }
}

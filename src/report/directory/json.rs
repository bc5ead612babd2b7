//! The directory as JSON, version 1. Its schema is `grammar/directory.schema.json`.

use super::{Directory, Row, Stands};
use crate::report::json::{JsonMissing, missing};
use crate::text::Sources;
use serde::Serialize;

/// The directories as one indented document, without a line end.
pub fn pretty(plan: &str, all: &[Directory], sources: &Sources) -> Result<String, serde_json::Error> {
    let panels = all.iter().map(|d| Panel {
        panel: &d.about.name,
        rows: d.rows.iter().map(|row| json_row(row, sources)).collect(),
        missing: missing(&d.asks, sources),
    });
    serde_json::to_string_pretty(&Document { format: "ringout-directory", version: 1, plan, panels: panels.collect() })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    plan: &'a str,
    panels: Vec<Panel<'a>>,
}

#[derive(Serialize)]
struct Panel<'a> {
    panel: &'a str,
    rows: Vec<JsonRow<'a>>,
    missing: Vec<JsonMissing<'a>>,
}

#[derive(Serialize)]
struct JsonRow<'a> {
    is: &'static str,
    spaces: &'a [i64],
    poles: Option<i64>,
    amps: Option<&'a str>,
    description: Option<&'a str>,
    note: &'a str,
    missing: Vec<JsonMissing<'a>>,
}

fn json_row<'a>(row: &'a Row, sources: &Sources) -> JsonRow<'a> {
    let is = match row.is {
        Stands::Main | Stands::BuiltIn => "main",
        Stands::Breaker => "breaker",
        Stands::Spare => "spare",
    };
    JsonRow {
        is,
        spaces: &row.spaces,
        poles: row.poles,
        amps: row.amps.as_deref(),
        description: row.description.as_deref(),
        note: &row.note,
        missing: missing(&row.asks, sources),
    }
}

//! Pull lists, joining lists and switching as JSON, version 1. Its schema is `grammar/wires.schema.json`.

use super::{BoxSheet, PullRow, RunSheet, SwitchSheet, WireSheets};
use serde::Serialize;
use serde_json::{Map, Value};

/// One indented document, without a line end.
pub fn pretty(plan: &str, sheets: &WireSheets) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&Document {
        format: "ringout-wires",
        version: 1,
        plan,
        runs: sheets.runs.iter().map(run).collect(),
        boxes: sheets.boxes.iter().map(in_box).collect(),
        switching: sheets.switching.iter().flat_map(rows).collect(),
        asks: &sheets.asks,
        missing: sheets.pulled.iter().chain(&sheets.missing).chain(&sheets.by_eye).collect(),
    })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    plan: &'a str,
    runs: Vec<Run<'a>>,
    boxes: Vec<Box<'a>>,
    switching: Vec<Positions<'a>>,
    asks: &'a [String],
    missing: Vec<&'a String>,
}

#[derive(Serialize)]
struct Run<'a> {
    run: &'a str,
    from: Option<&'a str>,
    to: Option<&'a str>,
    current_carrying: Option<i64>,
    conductors: Vec<Conductor<'a>>,
}

#[derive(Serialize)]
struct Conductor<'a> {
    role: &'a str,
    circuit: String,
    control: &'a [String],
    count: usize,
    size: Option<&'a str>,
    color: &'a str,
    /// What to write on both ends, where another wire of that color lies in the run.
    #[serde(skip_serializing_if = "Option::is_none")]
    mark: Option<&'a str>,
    passes: &'a [String],
    /// Feet, what is left over at the ends included; null where the length is not said or has two ends.
    cut: Option<f64>,
    /// The two ends, in feet, where the plan gives bounds or a guess.
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_between: Option<[f64; 2]>,
    sure: bool,
}

#[derive(Serialize)]
struct Box<'a> {
    r#box: &'a str,
    joints: Vec<Joint<'a>>,
    entering: Map<String, Value>,
}

#[derive(Serialize)]
struct Joint<'a> {
    kind: &'a str,
    role: &'a str,
    ends: &'a [String],
    text: &'a str,
}

#[derive(Serialize)]
struct Positions<'a> {
    positions: Map<String, Value>,
    on: &'a [String],
}

fn run(sheet: &RunSheet) -> Run<'_> {
    Run {
        run: &sheet.run,
        from: sheet.ends.first().map(String::as_str),
        to: sheet.ends.get(1).map(String::as_str),
        current_carrying: sheet.current_carrying,
        conductors: sheet.conductors.iter().map(conductor).collect(),
    }
}

fn conductor(row: &PullRow) -> Conductor<'_> {
    Conductor {
        role: row.role.name(),
        circuit: row.circuits.join(", "),
        control: &row.control,
        count: row.count,
        size: row.size.as_deref(),
        color: &row.color,
        mark: row.mark.as_deref(),
        passes: &row.passes,
        cut: row.cut.filter(|cut| cut.is_exact()).map(|cut| cut.least.approximate() / 12.0),
        cut_between: row
            .cut
            .filter(|cut| !cut.is_exact())
            .map(|cut| [cut.least.approximate() / 12.0, cut.most.approximate() / 12.0]),
        sure: row.is_sure,
    }
}

fn in_box(sheet: &BoxSheet) -> Box<'_> {
    Box {
        r#box: &sheet.name,
        joints: sheet
            .joints
            .iter()
            .map(|row| Joint { kind: row.kind, role: row.role.name(), ends: &row.ends, text: &row.text })
            .collect(),
        entering: sheet.entering.iter().map(|(run, count)| (run.clone(), Value::from(*count))).collect(),
    }
}

fn rows(sheet: &SwitchSheet) -> Vec<Positions<'_>> {
    let positions = |words: &[&'static str]| {
        sheet.switches.iter().zip(words).map(|(switch, word)| (switch.clone(), Value::from(*word))).collect()
    };
    sheet.rows.iter().map(|(words, on)| Positions { positions: positions(words), on }).collect()
}

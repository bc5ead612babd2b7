//! The calculation sheet as JSON, version 1. Its schema is `grammar/figures.schema.json`.

use super::{ItemSheet, ShownFigure};
use crate::law::verdict::Why;
use crate::quantity::{Quantity, Rational, Scale};
use crate::report::json::{JsonAbout, JsonMissing, about, missing};
use crate::text::{Place, Sources};
use serde::Serialize;

/// The sheets as one indented document, without a line end.
pub fn pretty(plan: &str, sheets: &[ItemSheet], sources: &Sources) -> Result<String, serde_json::Error> {
    let figures = sheets.iter().flat_map(|sheet| sheet.figures.iter().map(move |f| figure(sheet, f, sources)));
    serde_json::to_string_pretty(&Document { format: "ringout-figures", version: 1, plan, figures: figures.collect() })
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    plan: &'a str,
    figures: Vec<JsonFigure<'a>>,
}

#[derive(Serialize)]
struct JsonFigure<'a> {
    about: JsonAbout<'a>,
    figure: &'a str,
    /// A number in `unit`; null where it is not known, and for sizes, which `text` gives.
    value: Option<f64>,
    /// Its two ends in `unit`, where it is not one value or leans on a length by eye.
    #[serde(skip_serializing_if = "Option::is_none")]
    between: Option<[f64; 2]>,
    unit: Option<&'static str>,
    text: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    method: Option<&'a str>,
    /// Edition and sections, where the formula cites any.
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<&'a str>,
    steps: Vec<Step<'a>>,
    missing: Vec<JsonMissing<'a>>,
    candidates: Vec<JsonCandidate<'a>>,
    leans_on: &'a [String],
}

#[derive(Serialize)]
struct Step<'a> {
    /// How deep it stands below the figure, from 1.
    depth: u32,
    text: &'a str,
    value: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<Place>,
}

#[derive(Serialize)]
struct JsonCandidate<'a> {
    fact: &'a str,
    answer: &'a str,
    text: &'a str,
}

fn figure<'a>(sheet: &'a ItemSheet, shown: &'a ShownFigure, sources: &Sources) -> JsonFigure<'a> {
    let end = |quantity| amount(quantity, shown.is_percent).0;
    let value = shown.value.and_then(end);
    let unit = shown.scale.and_then(|scale| amount(Quantity { value: Rational::ZERO, scale }, shown.is_percent).1);
    let between = shown.between.and_then(|(least, most)| Some([end(least)?, end(most)?]));
    let mut steps = Vec::new();
    match (&shown.why, shown.place) {
        (Some(why), _) => why.from.iter().for_each(|step| collect(step, 1, sources, &mut steps)),
        (None, Some(place)) => steps.push(Step {
            depth: 1,
            text: "the plan says so",
            value: &shown.text,
            source: None,
            place: Some(sources.place(place)),
        }),
        (None, None) => {}
    }
    let candidates = shown.candidates.iter().map(|c| JsonCandidate { fact: &c.what, answer: &c.answer, text: &c.text });
    JsonFigure {
        about: about(&sheet.about),
        figure: &shown.name,
        value,
        between,
        unit,
        text: &shown.text,
        method: shown.note.as_deref(),
        source: shown.why.as_ref().and_then(|why| why.source.as_deref()),
        steps,
        missing: missing(&shown.missing, sources),
        candidates: candidates.collect(),
        leans_on: &shown.leans_on,
    }
}

/// The number and its unit as the contract gives them. Sizes are names, not numbers.
fn amount(quantity: Quantity, is_percent: bool) -> (Option<f64>, Option<&'static str>) {
    if is_percent {
        let value = quantity.value.times(Rational::whole(100)).map(Rational::approximate);
        return (value, Some("%"));
    }
    match quantity.scale {
        Scale::WireSize => (None, Some("AWG or kcmil")),
        Scale::TradeSize => (None, Some("trade size")),
        scale => {
            let (unit, base) = scale.shown_unit();
            let value = quantity.value.over(base).map(Rational::approximate);
            (value, (!unit.is_empty()).then_some(unit))
        }
    }
}

fn collect<'a>(why: &'a Why, depth: u32, sources: &Sources, steps: &mut Vec<Step<'a>>) {
    steps.push(Step {
        depth,
        text: &why.text,
        value: &why.value,
        source: why.source.as_deref(),
        place: why.places.first().map(|place| sources.place(*place)),
    });
    why.from.iter().for_each(|step| collect(step, depth.saturating_add(1), sources, steps));
}

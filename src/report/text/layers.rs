//! The layers in the report: who changed the rules, what was switched off, what was not applied.

use super::{counted, listed};
use crate::report::page::{Ink, Page};
use crate::report::{EditLine, LayerLine, Report};

/// Most edits of one sort that are told one by one.
const EDITS_SHOWN: usize = 12;

/// Local amendments: each layer with its source, and what its edits came to.
pub(super) fn layers(page: &mut Page, report: &Report) {
    if report.layers.is_empty() {
        return;
    }
    page.heading(Ink::Strong, "LAYERS", &format!("{} over the rules", counted(report.layers.len(), "local text")));
    page.gap();
    for layer in &report.layers {
        page.indented(2, &named(layer));
    }
    for (heading, edits) in sections(report) {
        section(page, report, heading, &edits);
    }
}

/// `State of Utah (state): in force, looked up 2026-11-25; Utah Code 15A-3-601`.
pub(in crate::report) fn named(layer: &LayerLine) -> String {
    let looked =
        layer.checked.as_ref().map_or("nobody said when it was looked up".into(), |day| format!("looked up {day}"));
    format!("{} ({}): {}, {looked}; {}", layer.title, layer.kind, layer.status, layer.source)
}

/// The edits by what they came to, those that change most first; no heading without one.
pub(in crate::report) fn sections(report: &Report) -> Vec<(&'static str, Vec<&EditLine>)> {
    let of = |wanted: &[&str]| report.edits.iter().filter(|edit| wanted.contains(&edit.state)).collect::<Vec<_>>();
    let (switched, changed) = of(&["applied"]).into_iter().partition(|edit| edit.is_switch());
    let idle =
        ["absorbed", "out-of-date", "refused", "not-valid-here", "proposed", "withdrawn", "other-edition", "other-day"];
    let all = [
        ("Switched off", switched),
        ("Changed", changed),
        ("Not settled: both texts were tried", of(&["not-settled"])),
        ("Not applied", of(&idle)),
        ("Wishes: advice, never law", of(&["wish"])),
    ];
    all.into_iter().filter(|(_, edits)| !edits.is_empty()).collect()
}

fn section(page: &mut Page, report: &Report, heading: &str, edits: &[&EditLine]) {
    page.gap();
    page.text(&format!("{heading}:"));
    for edit in edits.iter().take(EDITS_SHOWN) {
        page.indented(3, &told(report, edit));
    }
    let rest: Vec<&str> = edits.iter().skip(EDITS_SHOWN).map(|edit| edit.target.as_str()).collect();
    if !rest.is_empty() {
        page.indented(3, &format!("and {} more: {}", rest.len(), listed(&rest, 8)));
    }
}

/// `gfci-250v, value top-volts: at most 125 V in place of at most 250 V (State of Utah: Utah Code 15A-3-601)`.
pub(in crate::report) fn told(report: &Report, edit: &EditLine) -> String {
    let layer = report.layers.get(edit.layer).map_or("", |layer| layer.title.as_str());
    let what = match (edit.verb, edit.was.as_str(), edit.now.as_str()) {
        ("strike", _, _) if edit.part == "rule" => format!("\"{}\"", edit.title),
        (_, "", "") => edit.verb.to_string(),
        (_, "", now) => format!("added, {now}"),
        (_, was, "") => format!("struck, {was}"),
        (_, was, now) => format!("{now} in place of {was}"),
    };
    let reason = match edit.state {
        "absorbed" => ". The code says so by itself",
        "out-of-date" => ". It quotes what is not there; the rule stands as it was",
        "refused" => ". A layer above lets it be stricter only",
        "not-valid-here" => ". A layer above takes no edits",
        "proposed" => ". It is proposed, not law",
        "withdrawn" => ". It is law no more",
        "other-edition" => ". It was not written for the edition of this plan: to be looked at again",
        "other-day" => ". The permit is of another day",
        _ => "",
    };
    let when = if edit.when.is_empty() { String::new() } else { format!(" ({})", edit.when) };
    let part = if edit.part == "rule" { String::new() } else { format!(", {}", edit.part) };
    format!("{}{part}: {what}{when}: {layer}, {}{reason}", edit.target, edit.source)
}

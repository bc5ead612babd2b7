use super::teller::Teller;
use crate::law;
use crate::law::evaluate::Truth;
use crate::law::layer::{EditRecord, LayerHead, State};
use crate::law::syntax::layer::{Origin, Standing};
use crate::law::verdict::Verdict;
use crate::quantity::day_text;
use crate::shop::{Shop, Value};
use crate::text::Span;
use crate::words::name;
use crate::{Checked, Rules};

/// A layer over the rules, as a report names it.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerLine {
    /// Its name, as a plan writes it behind `amended by`.
    pub name: String,
    /// Its full name.
    pub title: String,
    /// `state`, `county`, `city`, `utility` or `owner`.
    pub kind: &'static str,
    /// Its file.
    pub file: String,
    /// What its text is called, and its address.
    pub source: String,
    /// `in force`, `proposed` and the like.
    pub status: String,
    /// When somebody last looked: `2026-11-25`.
    pub checked: Option<String>,
}

/// What one edit of a layer came to for this plan.
#[derive(Clone, Debug, PartialEq)]
pub struct EditLine {
    /// The layer, among [`super::Report::layers`].
    pub layer: usize,
    /// The rule, table, term, list or value that it changes.
    pub target: String,
    /// What people call that.
    pub title: String,
    /// The part: `value top-volts`, `rule`.
    pub part: String,
    /// The verb.
    pub verb: &'static str,
    /// `applied`, `other-edition` and so on, as the JSON report names them.
    pub state: &'static str,
    /// What stood there; empty where nothing did.
    pub was: String,
    /// What stands there now; empty where nothing does.
    pub now: String,
    /// Why, by the author.
    pub why: String,
    /// On what authority.
    pub source: String,
    /// When it counts, in words; empty where always.
    pub when: String,
    /// Its line in the layer.
    pub place: Span,
}

impl EditLine {
    /// Whether it took a rule out for this plan.
    pub fn is_switch(&self) -> bool {
        self.verb == "strike" && self.part == "rule" && self.state == "applied"
    }
}

/// The layers over a plan's rules.
pub(super) fn layers(rules: &Rules) -> Vec<LayerLine> {
    rules.layers.iter().map(|layer| line(rules, layer)).collect()
}

fn line(rules: &Rules, layer: &LayerHead) -> LayerLine {
    let status = match &layer.standing {
        Standing::InForce => "in force".to_string(),
        Standing::Proposed => "proposed".into(),
        Standing::Withdrawn(None) => "withdrawn".into(),
        Standing::Withdrawn(Some(day)) => format!("withdrawn {}", day_text(*day)),
        Standing::Absorbed(year) => format!("absorbed in NEC {year}"),
        Standing::Unsettled(_) => "unsettled".into(),
    };
    LayerLine {
        name: layer.name.clone(),
        title: layer.title.clone(),
        kind: layer.kind.name(),
        file: rules.sources.get(layer.span.file).map_or(String::new(), |source| source.name.clone()),
        source: origin(layer.source.as_ref()),
        status,
        checked: layer.checked.map(day_text),
    }
}

/// `City code 4-502, louisburgks.citycode.net`.
fn origin(origin: Option<&Origin>) -> String {
    match origin {
        None => "no source: a wish".into(),
        Some(Origin { title, address: None }) => title.clone(),
        Some(Origin { title, address: Some(address) }) => format!("{title}, {address}"),
    }
}

/// What each edit came to for a plan: its edition and day decide beside the edit itself.
pub(super) fn edits(rules: &Rules, checked: &Checked) -> Vec<EditLine> {
    let moment = |word| match checked.shop.value(Shop::PERMIT, word) {
        Value::Number(value) => Some(value.floor()),
        _ => None,
    };
    let (edition, day) = (moment(name::EDITION), moment(name::DATE));
    rules.edits.iter().map(|edit| edit_line(edit, edition, day)).collect()
}

fn edit_line(edit: &EditRecord, edition: Option<i64>, day: Option<i64>) -> EditLine {
    let counts = matches!(edit.state, State::Applied | State::NotSettled | State::Wish);
    let state = match edit.state {
        _ if counts && edition.is_some_and(|year| !edit.when.has_edition(year)) => "other-edition",
        _ if counts && day.is_some_and(|day| !edit.when.has_day(day)) => "other-day",
        state => state.name(),
    };
    EditLine {
        layer: edit.layer,
        target: edit.target.clone(),
        title: edit.title.clone(),
        part: edit.part.clone(),
        verb: edit.verb,
        state,
        was: edit.was.clone(),
        now: edit.now.clone(),
        why: edit.why.clone(),
        source: origin(edit.source.as_ref()),
        when: edit.when.text(),
        place: edit.place,
    }
}

impl Teller<'_> {
    /// The edits that a verdict rests on, as places among the report's edits.
    pub fn edits(&self, verdict: &Verdict) -> Vec<usize> {
        let all = law::edits_of(self.code, self.shop(), verdict);
        let mut edits: Vec<usize> = all.into_iter().map(|(edit, _)| edit as usize).collect();
        edits.sort_unstable();
        edits.dedup();
        edits
    }

    /// Citations of the layers behind a verdict: `State of Utah, GFCI: Utah Code 15A-3-601`.
    pub fn local_citations(&self, verdict: &Verdict) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        for (edit, truth) in law::edits_of(self.code, self.shop(), verdict) {
            let Some(edit) = self.rules.edits.get(edit as usize) else { continue };
            let layer = self.rules.layers.get(edit.layer).map_or("a layer", |layer| layer.title.as_str());
            let source = edit.source.as_ref().map_or("no source: a wish", |source| source.title.as_str());
            let doubt = if truth == Truth::Yes { "" } else { ", if it counts here" };
            let text = format!("{layer}: {source}{doubt}");
            if !all.contains(&text) {
                all.push(text);
            }
        }
        all
    }
}

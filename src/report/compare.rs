//! Two plans side by side: only what differs.

use super::figures::sheets;
use super::takeoff::takeoff;
use super::{Depth, Finding, Report, text};
use crate::law::code::Level;
use crate::law::verdict::Outcome;
use crate::{Checked, Rules};
use serde::Serialize;
use std::collections::BTreeMap;

/// What differs between two plans.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Comparison {
    /// Verdicts, by rule and item. A side is none where the rule has nothing to say there.
    pub verdicts: Vec<Difference>,
    /// Figures, by item and name.
    pub figures: Vec<Difference>,
    /// Materials, by what is bought.
    pub materials: Vec<Difference>,
    /// Questions that one plan leaves open and the other doesn't.
    pub questions: Vec<Difference>,
}

/// One thing that differs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// What: a rule, a figure, a thing to buy, a question.
    pub what: String,
    /// At which item; empty where it is about none.
    pub about: String,
    /// In the first plan; none where it is not there.
    pub first: Option<String>,
    /// In the second.
    pub second: Option<String>,
}

/// Holds two plans against each other; both were checked by the same rules.
pub fn compare(rules: &Rules, first: &Checked, second: &Checked) -> Comparison {
    let reports = [first, second].map(|checked| Report::of(rules, checked, Depth::Verdicts));
    let [a, b] = &reports;
    let lists = [first, second].map(|checked| materials(rules, checked));
    let [one, two] = lists;
    Comparison {
        verdicts: differences(verdicts(a), verdicts(b)),
        figures: differences(figures(rules, first), figures(rules, second)),
        materials: differences(one, two),
        questions: differences(questions(a), questions(b)),
    }
}

type Told = BTreeMap<(String, String), String>;

/// Keys are what and at which item.
fn differences(mut first: Told, mut second: Told) -> Vec<Difference> {
    let keys: std::collections::BTreeSet<(String, String)> = first.keys().chain(second.keys()).cloned().collect();
    let rows = keys.into_iter().map(|key| {
        let (one, two) = (first.remove(&key), second.remove(&key));
        Difference { what: key.0, about: key.1, first: one, second: two }
    });
    rows.filter(|row| row.first != row.second).collect()
}

fn verdicts(report: &Report) -> Told {
    let told = |f: &Finding| match (f.verdict, f.level) {
        (Outcome::Attention, Level::Advised) => "advice".to_string(),
        (verdict, _) => text::outcome(verdict).to_string(),
    };
    let key = |f: &Finding| {
        let about: Vec<&str> = f.about.iter().map(|a| a.called.as_str()).collect();
        (f.rule.to_string(), about.join(" and "))
    };
    report.findings.iter().map(|f| (key(f), told(f))).collect()
}

fn figures(rules: &Rules, checked: &Checked) -> Told {
    let mut all = Told::new();
    for sheet in sheets(rules, checked, None) {
        for figure in sheet.figures {
            all.insert((figure.name, sheet.about.called.clone()), figure.text);
        }
    }
    all
}

fn materials(rules: &Rules, checked: &Checked) -> Told {
    let lines = takeoff(rules, checked).lines.into_iter().map(|line| {
        let quantity = line.told().map_or("not known how many".to_string(), |told| format!("{told} {}", line.unit));
        ((line.item, line.group.name().to_string()), quantity)
    });
    lines.collect()
}

fn questions(report: &Report) -> Told {
    report.questions.iter().map(|q| ((q.ask.clone(), String::new()), "open".to_string())).collect()
}

/// The comparison as one indented document, without a line end.
pub fn pretty(plans: [&str; 2], comparison: &Comparison) -> Result<String, serde_json::Error> {
    #[derive(Serialize)]
    struct Document<'a> {
        format: &'static str,
        version: u32,
        plans: [&'a str; 2],
        #[serde(flatten)]
        comparison: &'a Comparison,
    }
    serde_json::to_string_pretty(&Document { format: "ringout-comparison", version: 1, plans, comparison })
}

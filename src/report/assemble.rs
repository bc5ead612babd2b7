use super::layers::{edits, layers};
use super::question::questions;
use super::remark::remarks;
use super::teller::Teller;
use super::{Counts, Finding, Report};
use crate::law::code::{Level, Stage};
use crate::law::verdict::{Outcome, Verdict};
use crate::parallel;
use crate::quantity::day_text;
use crate::shop::{Shop, Value};
use crate::text::{Problem, Span};
use crate::words::name;
use crate::{Checked, Rules};

/// How much a report holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// What the text report shows: what asks for something, remarks, and what is missing in questions alone;
    /// passes are only counted.
    Overview,
    /// Also every pass, and what is missing at each verdict.
    Verdicts,
    /// Also how each verdict came about.
    Derivations,
    /// Also what each answer to a question would do.
    Answers,
}

impl Report {
    /// The report of a plan that was checked against `rules`.
    pub fn of(rules: &Rules, checked: &Checked, depth: Depth) -> Report {
        let shop = &checked.shop;
        let teller = Teller::new(rules, checked);
        let mut counts = Stage::ALL.map(|stage| (stage, Counts::default()));
        for verdict in &checked.verdicts {
            let Some(rule) = teller.rule(verdict) else { continue };
            for (_, count) in counts.iter_mut().filter(|(stage, _)| *stage == rule.stage) {
                count.add(verdict.outcome, rule.level);
            }
        }
        let is_shown = |outcome| match outcome {
            Outcome::NotApplicable => false,
            Outcome::Pass => depth != Depth::Overview,
            Outcome::Attention | Outcome::Unknown => true,
        };
        let shown = checked.verdicts.iter().filter(|v| is_shown(v.outcome));
        let shown: Vec<&Verdict> = shown.collect();
        let told = parallel::map_short(&shown, |verdict| teller.finding(verdict, depth));
        let mut findings: Vec<Finding> = told.into_iter().flatten().collect();
        // A finding is long; what is moved about while sorting is its key.
        findings.sort_by_cached_key(|f| (rank(f), f.stage, f.place, f.rule.clone()));
        Report {
            plan: teller.plan_name().to_string(),
            authority: rules.code.authority.clone(),
            file: checked.file,
            title: shop.head(Shop::SHOP).label.clone(),
            line_count: shop.line_count,
            edition: teller.edition(),
            editions: teller.editions(),
            permit_date: match shop.value(Shop::PERMIT, name::DATE) {
                Value::Number(day) => Some(day_text(day.floor())),
                _ => None,
            },
            problems: problems_of_plan(checked),
            counts: counts.to_vec(),
            findings,
            questions: questions(&teller, depth == Depth::Answers),
            remarks: remarks(&teller),
            layers: layers(rules),
            edits: edits(rules, checked),
        }
    }
}

/// One verdict in words, with how it came about. None where the verdict is of another pack.
pub fn finding(rules: &Rules, checked: &Checked, verdict: &Verdict) -> Option<Finding> {
    Teller::new(rules, checked).finding(verdict, Depth::Derivations)
}

impl Counts {
    fn add(&mut self, outcome: Outcome, level: Level) {
        let count = match (outcome, level) {
            (Outcome::Pass, _) => &mut self.pass,
            (Outcome::Attention, Level::Required) => &mut self.attention,
            (Outcome::Attention, _) => &mut self.advice,
            (Outcome::Unknown, _) => &mut self.unknown,
            (Outcome::NotApplicable, _) => &mut self.not_applicable,
        };
        *count = count.saturating_add(1);
    }
}

/// Attention before advice, unknown, pass.
fn rank(finding: &Finding) -> u8 {
    match (finding.verdict, finding.level) {
        (Outcome::Attention, Level::Required) => 0,
        (Outcome::Attention, _) => 1,
        (Outcome::Unknown, _) => 2,
        (Outcome::Pass, _) => 3,
        (Outcome::NotApplicable, _) => 4,
    }
}

/// What is wrong with the plan's lines, in their order, each said once. A local layer that is
/// not found, or says what can't be read, is one: a report without it would pass what the county forbids.
pub fn problems_of_plan(checked: &Checked) -> Vec<Problem> {
    let mut all: Vec<Problem> = checked.plan.problems.iter().chain(&checked.shop.problems).cloned().collect();
    all.extend(checked.amiss.iter().cloned());
    if checked.plan.items.is_empty() && all.is_empty() {
        all.push(
            Problem::error(Span::new(checked.file, 0, 0), "this plan names nothing that could be checked")
                .help("begin with `shop`, then what feeds it: `feeder F1 from house to P1`, `panel P1`, `circuit C1`"),
        );
    }
    all.sort_by_key(|p| p.span);
    all.dedup_by(|a, b| a.span == b.span && a.message == b.message);
    all
}

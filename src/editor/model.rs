//! What was last found out about an open text.

use crate::law::Options;
use crate::law::verdict::Outcome;
use crate::report::problems::at;
use crate::report::{Depth, Finding, Report, problems_of_plan};
use crate::shelf::is_named;
use crate::shop::{How, ItemRef};
use crate::text::{FileId, Problem, Span};
use crate::words::{Kind, NameId};
use crate::{Checked, Rules, check, law};
use std::sync::Arc;

/// A text as it was when it was looked at, and what came of it.
#[derive(Clone, Debug)]
pub struct Model {
    /// The text then.
    pub text: Arc<str>,
    /// Its number, as the editor counts versions.
    pub version: i32,
    /// What it is.
    pub of: Of,
}

/// A plan or a rule file.
#[derive(Clone, Debug)]
pub enum Of {
    /// A plan.
    Plan(Arc<PlanModel>),
    /// A rule file.
    Rules(Arc<RuleModel>),
}

/// A plan, held against the rules.
#[derive(Debug)]
pub struct PlanModel {
    /// The rules.
    pub rules: Arc<Rules>,
    /// The plan with all that follows from it.
    pub checked: Checked,
    /// What is wrong with its lines.
    pub problems: Vec<Problem>,
    /// What the rules say: attention, then unknown, then pass. Empty until they were asked.
    pub findings: Vec<Finding>,
    /// Which facts are stated where, by place.
    facts: Vec<(Span, ItemRef, NameId)>,
}

/// A rule file among the files of its pack.
#[derive(Debug)]
pub struct RuleModel {
    /// The pack.
    pub rules: Arc<Rules>,
    /// The file, among the pack's.
    pub file: FileId,
}

impl PlanModel {
    /// Reads a plan and builds its model; no rule is asked yet.
    pub fn read(rules: Arc<Rules>, name: &str, text: &str) -> PlanModel {
        let nothing = Options { rules: Some(Vec::new()), ..Options::default() };
        let checked = check(&rules, name, text, &nothing);
        let problems = problems_of_plan(&checked).into_iter().map(|p| here(p, &checked)).collect();
        let facts = facts(&checked);
        PlanModel { rules, checked, problems, findings: Vec::new(), facts }
    }

    /// Asks every rule.
    pub fn judge(&mut self) {
        self.checked.verdicts = law::judge(&self.rules.code, &self.checked.shop, &Options::default());
        self.findings = Report::of(&self.rules, &self.checked, Depth::Verdicts).findings;
    }

    /// The facts that the innermost phrase around a byte states, and where it stands.
    pub fn facts_at(&self, byte: u32) -> Option<(Span, Vec<(ItemRef, NameId)>)> {
        let until = self.facts.partition_point(|(span, ..)| span.start <= byte);
        let around = self.facts.get(..until)?.iter().filter(|(span, ..)| span.end >= byte);
        let place = around.map(|(span, ..)| *span).min_by_key(|s| s.end.saturating_sub(s.start))?;
        let at = self.facts.iter().filter(|(span, ..)| *span == place).map(|(_, item, name)| (*item, *name));
        Some((place, at.collect()))
    }

    /// What needs attention or an answer.
    pub fn open(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|f| matches!(f.verdict, Outcome::Attention | Outcome::Unknown))
    }
}

/// What is wrong with a layer is told where the plan names it, or at the plan's beginning.
fn here(problem: Problem, checked: &Checked) -> Problem {
    if problem.span.file == checked.file {
        return problem;
    }
    let name = checked.sources.get(problem.span.file).map_or("", |source| &source.name);
    let named = checked.shop.layers.iter().find(|layer| is_named(&layer.node, "", name));
    let span = named.map_or(Span::new(checked.file, 0, 0), |layer| layer.span);
    let message = format!("{}: {}", at(&checked.sources, problem.span), problem.message);
    Problem { span, message, instead: None, ..problem }
}

/// Every fact that the plan states, by the place that states it.
fn facts(checked: &Checked) -> Vec<(Span, ItemRef, NameId)> {
    let shop = &checked.shop;
    let mut facts = Vec::new();
    for (kind, name, sources) in shop.sources() {
        for (index, source) in (0..).zip(sources) {
            let is_stated = !matches!(source.how, How::Unsaid | How::Derived | How::Unread);
            if is_stated && source.place.file == checked.file && source.place.end > source.place.start {
                facts.push((source.place, ItemRef { kind, index }, name));
            }
        }
    }
    facts.sort_unstable();
    facts
}

impl RuleModel {
    /// What is wrong with the file.
    pub fn problems(&self) -> impl Iterator<Item = &Problem> {
        self.rules.problems.iter().chain(&self.rules.amiss).filter(|p| p.span.file == self.file)
    }
}

/// A word's sentence and how a plan says it, for each kind that has it.
pub fn meanings(rules: &Rules, name: NameId) -> Vec<(Kind, &str, &str)> {
    let words = rules.code.vocabulary.words().iter().filter(|w| w.name == name);
    words.flat_map(|w| w.kinds.iter().map(|k| (k, w.doc.as_str(), w.phrase.as_str()))).collect()
}

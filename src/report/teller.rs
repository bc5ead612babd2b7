use super::citation::citations;
use super::loose::Bounds;
use super::{About, Depth, Finding, Missing};
use crate::law::Told;
use crate::law::code::{Code, Rule};
use crate::law::verdict::{self, Lean, Outcome, Verdict, World};
use crate::quantity::{Rational, day_text};
use crate::shop::{How, ItemRef, List, Range, Shop, Value};
use crate::text::Span;
use crate::words::{NameId, Word, name};
use crate::{Checked, Rules, law};
use std::sync::{Arc, OnceLock};

/// What all findings of a rule say alike.
#[derive(Clone)]
struct RuleWords {
    name: Arc<str>,
    title: Arc<str>,
    why: Arc<str>,
    cites: Arc<[String]>,
}

/// Puts verdicts into words. All wording that is no rule's own stands here.
pub(super) struct Teller<'a> {
    pub code: &'a Code,
    pub rules: &'a Rules,
    pub checked: &'a Checked,
    /// The words of each rule, made when it is first told.
    words: Vec<OnceLock<RuleWords>>,
}

impl<'a> Teller<'a> {
    pub fn new(rules: &'a Rules, checked: &'a Checked) -> Teller<'a> {
        let words = rules.code.rules.iter().map(|_| OnceLock::new()).collect();
        Teller { code: &rules.code, rules, checked, words }
    }

    pub fn shop(&self) -> &'a Shop {
        &self.checked.shop
    }

    pub fn rule(&self, verdict: &Verdict) -> Option<&'a Rule> {
        self.code.rules.get(verdict.rule.0 as usize)
    }

    pub fn word(&self, fact: verdict::Missing) -> Option<&'a Word> {
        self.code.vocabulary.word(fact.item.kind, fact.name)
    }

    pub fn plan_name(&self) -> &'a str {
        self.checked.sources.get(self.checked.file).map_or("", |s| s.name.as_str())
    }

    /// The edition that the plan names.
    pub fn edition(&self) -> Option<i64> {
        match self.shop().value(Shop::PERMIT, name::EDITION) {
            Value::Number(year) => Some(year.floor()),
            _ => None,
        }
    }

    /// The editions that were tried.
    pub fn editions(&self) -> Vec<i64> {
        self.edition().map_or_else(|| self.code.editions.clone(), |year| vec![year])
    }

    /// The verdict as a finding, with its derivation where that is wanted.
    pub fn finding(&self, verdict: &Verdict, depth: Depth) -> Option<Finding> {
        let with_why = depth == Depth::Derivations;
        let rule = self.rule(verdict)?;
        let words = self.words(verdict, rule);
        let shop = self.shop();
        let say = |message| law::message(self.code, shop, message, verdict);
        let is_attention = verdict.outcome == Outcome::Attention;
        let may_fail = is_attention || verdict.outcome == Outcome::Unknown;
        let place = self.place(verdict.place, verdict.item);
        let mut also: Vec<Span> = verdict.also.iter().copied().filter(|s| self.is_in_plan(*s) && *s != place).collect();
        also.dedup();
        Some(Finding {
            rule: words.name,
            title: words.title,
            hazard: words.why,
            verdict: verdict.outcome,
            level: rule.level,
            stage: rule.stage,
            about: vec![self.about(verdict.item)],
            message: self.message(verdict, rule),
            place,
            also,
            cites: self.citations(verdict, words.cites),
            is_memory: rule.is_memory,
            missing: match depth {
                Depth::Overview => Vec::new(),
                _ => verdict.missing.iter().map(|m| self.missing(*m, verdict)).collect(),
            },
            leans_on: self.leans_on(verdict),
            editions: editions(&verdict.worlds),
            edits: self.edits(verdict),
            remedy: rule.texts.remedy.as_ref().filter(|_| is_attention).map(say),
            caution: rule.texts.caution.as_ref().filter(|_| may_fail).map(say),
            why: with_why.then(|| law::explain(self.code, shop, verdict)),
            changes: if with_why { self.changes(verdict) } else { Vec::new() },
        })
    }

    fn citations(&self, verdict: &Verdict, of_rule: Arc<[String]>) -> Arc<[String]> {
        let local = self.local_citations(verdict);
        if local.is_empty() { of_rule } else { of_rule.iter().cloned().chain(local).collect() }
    }

    fn words(&self, verdict: &Verdict, rule: &Rule) -> RuleWords {
        let make = || RuleWords {
            name: rule.name.as_str().into(),
            title: rule.texts.title.as_str().into(),
            why: rule.texts.why.as_str().into(),
            cites: citations(&rule.texts.cites, &self.editions()).into(),
        };
        self.words.get(verdict.rule.0 as usize).map_or_else(make, |words| words.get_or_init(make).clone())
    }

    fn changes(&self, verdict: &Verdict) -> Vec<(String, Outcome)> {
        let changes = law::what_would_change(self.code, self.shop(), verdict);
        changes.into_iter().map(|c| (c.text, c.outcome)).collect()
    }

    pub fn about(&self, item: ItemRef) -> About {
        About { kind: item.kind, name: self.shop().head(item).name.clone(), called: self.shop().called(item) }
    }

    fn message(&self, verdict: &Verdict, rule: &Rule) -> String {
        let called = self.shop().called(verdict.item);
        let title = &rule.texts.title;
        match verdict.outcome {
            Outcome::Attention => law::message(self.code, self.shop(), &rule.texts.otherwise, verdict),
            Outcome::Unknown if verdict.missing.is_empty() => format!("{called}: {title}: it can't be told"),
            Outcome::Unknown => format!("{called}: {title}: it hangs on what the plan doesn't say"),
            Outcome::NotApplicable => format!("{called}: {title}: this rule has nothing to say here"),
            Outcome::Pass => match verdict.exception.and_then(|i| rule.excepts.get(i)) {
                Some(except) => format!("{called}: {title}: let off, {}", except.title),
                None => format!("{called}: {title}"),
            },
        }
    }

    /// Where to point: the verdict's place, or where the item stands, or the plan's first words.
    /// Never at a rule file.
    pub fn place(&self, span: Span, item: ItemRef) -> Span {
        let owners = std::iter::successors(Some(item), |item| self.shop().head(*item).of);
        let heads = owners.chain([Shop::SHOP]).map(|item| self.shop().head(item).place);
        std::iter::once(span).chain(heads).find(|s| self.is_in_plan(*s)).unwrap_or_else(|| self.first_words())
    }

    fn is_in_plan(&self, span: Span) -> bool {
        span.file == self.checked.file && span.end > span.start
    }

    fn first_words(&self) -> Span {
        let text = self.checked.sources.get(self.checked.file).map_or("", |s| &s.text);
        let start = text.len().saturating_sub(text.trim_start().len());
        let end = text.get(start..).and_then(|t| t.find('\n')).map_or(text.len(), |i| start.saturating_add(i));
        Span::new(self.checked.file, start, end)
    }

    fn missing(&self, fact: verdict::Missing, verdict: &Verdict) -> Missing {
        Missing {
            fact: format!("{} of {}", self.code.vocabulary.text(fact.name), self.shop().head(fact.item).name),
            ask: law::question(self.code, self.shop(), verdict, fact),
            place: self.answer_place(fact),
        }
    }

    /// The question for one fact of a sheet, outside any verdict.
    pub fn ask(&self, item: ItemRef, name: NameId) -> Missing {
        let missing = verdict::Missing { item, name };
        Missing {
            fact: format!("{} of {}", self.code.vocabulary.text(name), self.shop().head(item).name),
            ask: law::question_of(self.code, self.shop(), missing),
            place: self.answer_place(missing),
        }
    }

    /// A fact or figure as text; none where nothing is known of it.
    pub fn known(&self, item: ItemRef, name: NameId) -> Option<String> {
        let text = match law::figure_of(self.code, self.shop(), item, name)? {
            Told::Fact { text, .. } => text,
            Told::Figure(figure) => figure.text,
        };
        (text != "unknown").then_some(text)
    }

    /// A fact or figure as a number in base units; none where it is not known exactly.
    pub fn amount(&self, item: ItemRef, name: NameId) -> Option<Rational> {
        match law::figure_of(self.code, self.shop(), item, name)? {
            Told::Fact { value, .. } => value.map(|q| q.value),
            Told::Figure(figure) => figure.value.map(|q| q.value),
        }
    }

    /// A fact or figure between two ends; none where one of them is not known.
    pub fn bounds(&self, item: ItemRef, name: NameId) -> Option<Bounds> {
        match law::figure_of(self.code, self.shop(), item, name)? {
            Told::Fact { .. } => match self.shop().value(item, name) {
                Value::Number(amount) => Some(Bounds::exact(amount)),
                Value::Range(Range { low: Some(least), high: Some(most), .. }) => Some(Bounds { least, most }),
                _ => None,
            },
            Told::Figure(figure) => figure.bounds.map(|(a, b)| Bounds { least: a.value, most: b.value }),
        }
    }

    /// A stated or derived whole number.
    pub fn whole(&self, item: ItemRef, name: NameId) -> Option<i64> {
        match self.shop().value(item, name) {
            Value::Number(n) if n.is_whole() => Some(n.floor()),
            _ => None,
        }
    }

    /// A list; empty and open where nobody said.
    pub fn members(&self, item: ItemRef, name: NameId) -> List {
        match self.shop().value(item, name) {
            Value::List(id) => self.shop().list(id).clone(),
            _ => List { is_open: true, ..List::default() },
        }
    }

    /// Whether it is known to be so.
    pub fn is(&self, item: ItemRef, name: NameId) -> bool {
        self.shop().value(item, name) == Value::YesNo(true)
    }

    /// Where the answer to a missing fact goes: the phrase that leaves it open, or the item's head.
    pub fn answer_place(&self, fact: verdict::Missing) -> Span {
        self.place(self.shop().source(fact.item, fact.name).place, fact.item)
    }

    fn leans_on(&self, verdict: &Verdict) -> Vec<String> {
        let mut all: Vec<String> = verdict.leans_on.iter().map(|lean| self.lean(lean)).collect();
        let mut unread: Vec<String> = verdict
            .missing
            .iter()
            .map(|m| self.shop().source(m.item, m.name))
            .filter(|s| s.how == How::Unread)
            .map(|s| format!("line {} could not be read and may say it", self.line(s.place)))
            .collect();
        all.append(&mut unread);
        let mut seen = std::collections::HashSet::new();
        all.retain(|lean| seen.insert(lean.clone()));
        all
    }

    /// A guess, a claim or an ordinary answer in words.
    pub fn lean(&self, lean: &Lean) -> String {
        match lean {
            Lean::Assumed(_, _, span) => {
                format!("assumed on line {}: {}", self.line(*span), self.checked.sources.text(*span).replace('\t', " "))
            }
            Lean::Claim(number) => match self.shop().claims.get(*number as usize) {
                Some(claim) => format!("line {}, said of many: {}", self.line(claim.place), claim.text),
                None => "a claim for many".to_string(),
            },
            Lean::Ordinary(item, name) => {
                let called = self.shop().called(*item);
                let fact = verdict::Missing { item: *item, name: *name };
                match self.word(fact) {
                    Some(word) => format!("unless {called}: {}", word.doc),
                    None => format!("unless {called}: {}", self.code.vocabulary.text(*name)),
                }
            }
        }
    }

    fn line(&self, span: Span) -> u32 {
        self.checked.sources.place(span).line
    }

    /// `torqued`, `not torqued`: phrases that state a fact, as the plan writes them.
    pub fn phrases(&self, item: ItemRef, name: NameId) -> Vec<String> {
        super::phrase::phrases(&self.code.vocabulary, item.kind, name)
    }
}

/// What each possible edition gives, where they differ, editions that agree together.
fn editions(worlds: &[(World, Outcome)]) -> Vec<String> {
    let mut parts: Vec<(String, String, Outcome)> = Vec::new();
    for (world, outcome) in worlds {
        let day = world.day.map(|d| format!(" with a permit of {}", day_text(d))).unwrap_or_default();
        let name = format!("NEC {}{day}", world.edition);
        match parts.last_mut() {
            Some((_, last, same)) if same == outcome => *last = name,
            _ => parts.push((name.clone(), name, *outcome)),
        }
    }
    parts
        .into_iter()
        .map(|(first, last, outcome)| match first == last {
            true => format!("{first}: {}", super::text::outcome(outcome)),
            false => format!("{first} to {last}: {}", super::text::outcome(outcome)),
        })
        .collect()
}

//! What a run has to say: one [`Report`] value in, one file for each way to show it.
//!
//! Invariant: nothing here judges. A report holds what verdicts say, in plain words and with
//! places; the outputs only lay it out. None knows rules or the reading of plans.

mod answer;
mod assemble;
mod citation;
pub mod compare;
pub mod directory;
pub mod drawing;
mod excerpt;
pub mod figures;
pub mod in_force;
pub mod json;
mod layers;
pub mod loose;
pub mod pack;
pub mod packet;
mod page;
mod phrase;
mod printable;
pub mod problems;
mod question;
mod remark;
#[cfg(test)]
mod sample;
pub mod sarif;
pub mod schemas;
pub mod takeoff;
mod teller;
pub mod text;
pub mod wires;

pub use assemble::{Depth, finding, problems_of_plan};
pub use layers::{EditLine, LayerLine};
pub use page::{Ink, Look, Page};
pub use phrase::{phrases, shape};
pub use printable::printable;

use crate::law::code::{Level, Stage};
use crate::law::verdict::{Outcome, Why};
use crate::text::{FileId, Problem, Severity, Span};
use crate::words::Kind;
use std::sync::Arc;

/// Everything that one plan's check gives, ready to be shown.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// The plan's file, as the user named it.
    pub plan: String,
    /// The same, among the sources.
    pub file: FileId,
    /// The shop's label.
    pub title: Option<String>,
    /// Lines of the plan.
    pub line_count: u32,
    /// The edition it was held against, by year; none where the plan doesn't say.
    pub edition: Option<i64>,
    /// Every edition that was tried, oldest first.
    pub editions: Vec<i64>,
    /// The day of the permit, as written in JSON: `2026-09-01`.
    pub permit_date: Option<String>,
    /// What could not be read in the plan, or says what can't be.
    pub problems: Vec<Problem>,
    /// Counts by stage, in the order of the work; every stage that was judged.
    pub counts: Vec<(Stage, Counts)>,
    /// Attention, then unknown, then pass; each by stage, then in the order of the plan.
    pub findings: Vec<Finding>,
    /// What the unknown findings hang on, the question that settles most rules first.
    pub questions: Vec<Question>,
    /// Passes that are just enough, or by an exception.
    pub remarks: Vec<Remark>,
    /// What whoever decides is called.
    pub authority: String,
    /// Local texts over the rules, in the order in which they were applied.
    pub layers: Vec<LayerLine>,
    /// What each of their edits came to.
    pub edits: Vec<EditLine>,
}

/// How often each verdict came out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Plan and rule agree.
    pub pass: usize,
    /// They don't, and the rule is required.
    pub attention: usize,
    /// They don't, and the rule is advice.
    pub advice: usize,
    /// It can't be told.
    pub unknown: usize,
    /// The rule has nothing to say.
    pub not_applicable: usize,
}

/// One verdict in words.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The rule's id, shared among its findings as the next two are: a large plan has a quarter of a million.
    pub rule: Arc<str>,
    /// The rule's title.
    pub title: Arc<str>,
    /// The hazard that the rule is about.
    pub hazard: Arc<str>,
    /// What came out; never "not applicable".
    pub verdict: Outcome,
    /// How much the rule weighs.
    pub level: Level,
    /// When its work is looked at.
    pub stage: Stage,
    /// What it is about.
    pub about: Vec<About>,
    /// What is wrong, or what was asked, in one sentence.
    pub message: String,
    /// The place to point at.
    pub place: Span,
    /// Further places of the plan that decided it.
    pub also: Vec<Span>,
    /// Where the code says so: `NEC 2023 210.8(A)(2)`.
    pub cites: Arc<[String]>,
    /// Whether the rule's figures are from memory.
    pub is_memory: bool,
    /// Facts that can still change an unknown.
    pub missing: Vec<Missing>,
    /// What it leans on: guesses, claims for many, ordinary answers.
    pub leans_on: Vec<String>,
    /// What the possible editions give, where they differ: `NEC 2020: does not apply`.
    pub editions: Vec<String>,
    /// What to do.
    pub remedy: Option<String>,
    /// The hazard of doing it.
    pub caution: Option<String>,
    /// How it came about; none where nobody asked for it.
    pub why: Option<Why>,
    /// Edits of layers that it rests on, by their places in [`Report::edits`].
    pub edits: Vec<usize>,
    /// What would change it, where its derivation was asked for: `cover of stretch 2 of F1: at
    /// least 18 in` and what would come out.
    pub changes: Vec<(String, Outcome)>,
}

/// An item that a finding is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct About {
    /// Its kind.
    pub kind: Kind,
    /// Its tag.
    pub name: String,
    /// As sentences call it: `receptacle R1`.
    pub called: String,
}

/// A fact that is not known, its question, and where the answer goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Missing {
    /// `has-gfci of breaker of C1`.
    pub fact: String,
    /// The question.
    pub ask: String,
    /// Where the answer goes.
    pub place: Span,
}

/// One question, for all the items that it is to be answered for; one fact, or some that are
/// found out together.
#[derive(Clone, Debug)]
pub struct Question {
    /// `A`, `B` … `Z`, `AA`.
    pub letter: String,
    /// The question.
    pub ask: String,
    /// The items that it is asked for.
    pub items: Vec<About>,
    /// What the items belong to: a breaker's circuit, a stretch's feeder; the plan's own items.
    pub owners: Vec<String>,
    /// Rules that the answer may settle, with how many checks of each.
    pub settles: Vec<(String, usize)>,
    /// How many checks wait for nothing but this answer.
    pub alone: usize,
    /// The earliest stage that waits for it.
    pub stage: Stage,
    /// Where the answer goes: each item's line.
    pub places: Vec<Span>,
    /// For each fact that is asked for, the phrases that give the answer, as the plan writes them.
    pub write: Vec<Vec<String>>,
    /// What each possible answer would do, where there are few.
    pub answers: Vec<Answer>,
}

/// What one answer to a question would do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The answer, as the plan writes it.
    pub text: String,
    /// `4 pass; attention: gfci-shop at receptacle R1`.
    pub effect: String,
}

/// A pass that deserves a line.
#[derive(Clone, Debug)]
pub struct Remark {
    /// Why it deserves one.
    pub reason: Reason,
    /// The rule.
    pub rule: String,
    /// The item.
    pub about: About,
    /// What there is to say: `21.0 of 21.0 in3`, the exception's title.
    pub text: String,
}

/// Why a pass deserves a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// It is exactly at a limit.
    JustEnough,
    /// An exception lets it off.
    ByException,
}

impl Question {
    /// How many checks the answer may settle.
    pub fn checks(&self) -> usize {
        self.settles.iter().map(|(_, n)| n).sum()
    }
}

impl Report {
    /// All stages together.
    pub fn total(&self) -> Counts {
        let add = |a: Counts, (_, b): &(Stage, Counts)| Counts {
            pass: a.pass.saturating_add(b.pass),
            attention: a.attention.saturating_add(b.attention),
            advice: a.advice.saturating_add(b.advice),
            unknown: a.unknown.saturating_add(b.unknown),
            not_applicable: a.not_applicable.saturating_add(b.not_applicable),
        };
        self.counts.iter().fold(Counts::default(), add)
    }

    /// What the plan says on lines that could not be used.
    pub fn unread(&self) -> impl Iterator<Item = &Problem> {
        self.problems.iter().filter(|p| p.severity == Severity::Error)
    }

    /// Findings of one outcome; advice is apart from what is required.
    pub fn with(&self, verdict: Outcome, is_advice: bool) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |f| f.verdict == verdict && (f.level == Level::Advised) == is_advice)
    }

    /// Every caution, each once, in the order of the findings that they belong to.
    pub fn cautions(&self) -> Vec<&str> {
        let mut all: Vec<&str> = Vec::new();
        for caution in self.findings.iter().filter(|f| f.verdict != Outcome::Pass).filter_map(|f| f.caution.as_deref())
        {
            if !all.contains(&caution) {
                all.push(caution);
            }
        }
        all
    }
}

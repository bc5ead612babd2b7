//! What judging a shop gives.

use crate::law::code::RuleId;
use crate::shop::ItemRef;
use crate::text::Span;
use crate::words::NameId;
use serde::Serialize;

/// What came of one rule at one item.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The rule.
    pub rule: RuleId,
    /// The item.
    pub item: ItemRef,
    /// What came out.
    pub outcome: Outcome,
    /// Parts of `needs` that failed or are unknown, by index.
    pub parts: Vec<usize>,
    /// The exception that let it pass, by index.
    pub exception: Option<usize>,
    /// Facts that can still change an unknown, the likeliest to settle it first.
    pub missing: Vec<Missing>,
    /// Assumptions, claims and ordinary answers that it leans on.
    pub leans_on: Vec<Lean>,
    /// What each possible edition or day gives, where they differ.
    pub worlds: Vec<(World, Outcome)>,
    /// The place to point at.
    pub place: Span,
    /// Further places: other facts that decided it.
    pub also: Vec<Span>,
}

/// What came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Plan and rule agree.
    Pass,
    /// They don't.
    Attention,
    /// It can't be told.
    Unknown,
    /// The rule has nothing to say here (`where`, or not in this edition).
    NotApplicable,
}

/// A fact that is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Missing {
    /// Whose.
    pub item: ItemRef,
    /// Which word. For a list word: whether there are others.
    pub name: NameId,
}

/// One edition and one stretch of days in which nothing changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct World {
    /// The edition's year.
    pub edition: i64,
    /// A day of the stretch; none where no rule turns on the day.
    pub day: Option<i64>,
}

/// Something that a verdict leans on.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Lean {
    /// A fact that the plan guesses on purpose.
    Assumed(ItemRef, NameId, Span),
    /// A claim for many, by its number in [`crate::shop::Shop::claims`].
    Claim(u32),
    /// An ordinary answer: `unless R2 supplies an alarm`.
    Ordinary(ItemRef, NameId),
}

/// One step of a derivation: a sentence, the places it comes from, and the steps below it.
#[derive(Clone, Debug, Serialize)]
pub struct Why {
    /// As a sentence or a clause: `R1 is not a GFCI receptacle`.
    pub text: String,
    /// What it came to: `yes`, `no`, `unknown`, `52 A`.
    pub value: String,
    /// Lines of the plan, or of the rule file.
    #[serde(skip)]
    pub places: Vec<Span>,
    /// A table row or a section.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// What it follows from.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub from: Vec<Why>,
}

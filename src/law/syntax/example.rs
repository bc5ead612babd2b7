//! Examples of rules and formulas, and the plan lines that they share.

use super::{Define, Given, Pack, Rule};
use crate::text::{Span, Spanned};
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

/// `example …`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Example {
    /// What must come out.
    pub expected: Expected,
    /// In quotes.
    pub title: Option<String>,
    /// The lines under it.
    pub body: ExampleBody,
    /// The `example` line.
    pub span: Span,
}

/// What an example must give.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Expected {
    /// `example pass`: at least one verdict, and every one is pass.
    Pass,
    /// `example pass except NAME`: pass, by this exception.
    PassExcept(Spanned<String>),
    /// `example attention [at NAME]`: attention, at this item.
    Attention(Option<Spanned<String>>),
    /// `example unknown [missing WORD [of NAME], …]`: unknown, and each of these facts is listed as missing.
    Unknown(Vec<Missing>),
    /// `example not applicable [at NAME]`: the rule meets nothing, or `where` says no; with a name, at this item.
    NotApplicable(Option<Spanned<String>>),
}

/// `example C1 gives 40 A "title"`: what a formula must come to for an item.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct FigureExample {
    /// The item's tag.
    pub item: Spanned<String>,
    /// A figure as digits and unit, a choice's value, `yes`, `no` or `unknown`.
    pub value: Spanned<String>,
    /// In quotes.
    pub title: Option<String>,
    /// The lines under it.
    pub body: ExampleBody,
    /// The `example` line.
    pub span: Span,
}

/// `WORD of NAME`, as an example's `missing` writes it.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Missing {
    /// The word.
    pub word: Spanned<String>,
    /// The item's tag; none for any item.
    pub item: Option<Spanned<String>>,
}

/// The lines under an example or a `given`.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct ExampleBody {
    /// Plan lines, indentation to the body cut off. Inside an example they take the place of what
    /// a `given` says of the same fact.
    pub plan: Vec<Spanned<String>>,
    /// `unsaid WORD [of NAME], …`: facts of the given lines that are taken away.
    pub unsaid: Vec<Missing>,
    /// `set NAME.word = VALUE`: what topology or a formula gives, stated to keep the example short.
    pub sets: Vec<Set>,
}

/// `set NAME.word = VALUE`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Set {
    /// The item's tag (`P1-B1` for an unnamed run).
    pub item: Spanned<String>,
    /// The word.
    pub word: Spanned<String>,
    /// An amount, `yes`, `no`, a value of a choice, or names with commas.
    pub value: Spanned<String>,
}

/// The examples of a pack, kept apart so that a run that checks no rules does not load them.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Examples {
    rules: Vec<(Span, Vec<Example>)>,
    defines: Vec<(Span, Vec<FigureExample>)>,
    givens: Vec<Given>,
}

impl Examples {
    /// Takes the examples out of a pack, and the plan lines that they share.
    pub fn taken_from(pack: &mut Pack) -> Examples {
        let taken = |rule: &mut Rule| (rule.name.span, std::mem::take(&mut rule.examples));
        let rules = pack.rules.iter_mut().filter(|rule| !rule.examples.is_empty()).map(taken).collect();
        let taken = |define: &mut Define| (define.name.span, std::mem::take(&mut define.examples));
        let defines = pack.defines.iter_mut().filter(|define| !define.examples.is_empty()).map(taken).collect();
        Examples { rules, defines, givens: std::mem::take(&mut pack.givens) }
    }

    /// Puts them back: each to the rule or formula that stands where it stood.
    pub fn put_back(self, pack: &mut Pack) {
        let mut by_place: HashMap<Span, Vec<Example>> = self.rules.into_iter().collect();
        for rule in &mut pack.rules {
            if let Some(examples) = by_place.remove(&rule.name.span) {
                rule.examples = examples;
            }
        }
        let mut by_place: HashMap<Span, Vec<FigureExample>> = self.defines.into_iter().collect();
        for define in &mut pack.defines {
            if let Some(examples) = by_place.remove(&define.name.span) {
                define.examples = examples;
            }
        }
        pack.givens.splice(0..0, self.givens);
    }
}

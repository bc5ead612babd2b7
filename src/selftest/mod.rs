//! Rule packs test themselves: every `example` in a rule file is a small plan and what the rule
//! must say of it, or what the formula must come to. One is run the way a plan is checked: read, built, completed, judged.

#![expect(clippy::arithmetic_side_effects, reason = "numbers of examples and of changes to them")]

mod expect;
mod figure;
mod layers;
mod set;
mod strict;

pub use layers::{layer_strictness, run_layer};
pub use strict::{Strictness, Unnoticed, strictness};

use crate::law::code::{Code, RuleId};
use crate::law::syntax::{Define, Example, ExampleBody, FigureExample, Given, Missing, Pack};
use crate::plan::syntax::Plan;
use crate::shop::Shop;
use crate::text::{Problem, Severity, Span, Spanned};
use crate::{law, parallel, plan, shop, wiring};
use std::collections::{HashMap, HashSet};

/// What came of one example.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The rule's or formula's name.
    pub block: String,
    /// The `example` line.
    pub span: Span,
    /// What went otherwise than it says; none where all is well.
    pub failure: Option<Problem>,
    /// Whether its rule had something to say; of a formula's example always.
    pub is_met: bool,
}

/// Runs every example of a pack, in the order of its files, on all threads. `code` is the same
/// pack, compiled; examples of rules that did not compile are left out, since their problem is
/// told already.
pub fn run(pack: &Pack, code: &Code) -> Vec<Outcome> {
    parallel::map(&cases(pack, code), |case| {
        let (failure, is_met) = case.came_out(code);
        Outcome { block: case.block.to_string(), span: case.span, failure, is_met }
    })
}

/// Rules that have something to say in none of their examples: what they do was never seen.
pub fn idle(pack: &Pack, outcomes: &[Outcome]) -> Vec<Problem> {
    let mut met: HashMap<&str, bool> = HashMap::new();
    for outcome in outcomes {
        *met.entry(outcome.block.as_str()).or_default() |= outcome.is_met || outcome.failure.is_some();
    }
    let never = |rule: &&crate::law::syntax::Rule| met.get(rule.name.node.as_str()) == Some(&false);
    let problem = |rule: &crate::law::syntax::Rule| {
        let message = format!("rule `{}` has something to say in none of its examples", rule.name.node);
        Problem::warning(rule.name.span, message)
            .help("its `where` may never hold: add an example that passes and one that asks for attention")
    };
    pack.rules.iter().filter(never).map(problem).collect()
}

/// An example, read and built.
struct Case<'a> {
    block: &'a str,
    wanted: Wanted<'a>,
    span: Span,
    shop: Result<Shop, Problem>,
}

/// What an example asks for.
#[derive(Clone, Copy)]
enum Wanted<'a> {
    Verdict(RuleId, &'a Example),
    Figure(&'a Define, &'a FigureExample),
}

/// Every example of a pack whose rule or formula did compile, built on all threads.
fn cases<'a>(pack: &'a Pack, code: &Code) -> Vec<Case<'a>> {
    let rules: HashMap<&str, RuleId> =
        code.rules.iter().enumerate().map(|(i, rule)| (rule.name.as_str(), RuleId(i as u32))).collect();
    let formulas: HashSet<&str> = code.defines.iter().map(|define| define.name.as_str()).collect();
    let givens: HashMap<&str, (&Given, Plan)> = pack
        .givens
        .iter()
        .map(|given| (given.name.node.as_str(), (given, plan::read_lines(&given.body.plan))))
        .collect();
    let verdicts = pack
        .rules
        .iter()
        .filter_map(|rule| Some((rule, *rules.get(rule.name.node.as_str())?)))
        .flat_map(|(rule, id)| rule.examples.iter().map(move |example| (rule, Wanted::Verdict(id, example))))
        .map(|(rule, wanted)| (rule.name.node.as_str(), rule.given.as_slice(), wanted));
    let figures = pack
        .defines
        .iter()
        .filter(|define| formulas.contains(define.name.node.as_str()))
        .flat_map(|define| define.examples.iter().map(move |example| (define, Wanted::Figure(define, example))))
        .map(|(define, wanted)| (define.name.node.as_str(), define.given.as_slice(), wanted));
    let examples: Vec<(&str, &[Spanned<String>], Wanted)> = verdicts.chain(figures).collect();
    parallel::map(&examples, |(block, given, wanted)| {
        let (body, span) = match wanted {
            Wanted::Verdict(_, example) => (&example.body, example.span),
            Wanted::Figure(_, example) => (&example.body, example.span),
        };
        let used: Vec<&(&Given, Plan)> = given.iter().filter_map(|name| givens.get(name.node.as_str())).collect();
        Case { block, wanted: *wanted, span, shop: shop(code, body, span, &used) }
    })
}

impl Case<'_> {
    /// What goes otherwise than the example says when `code` judges it.
    fn failure(&self, code: &Code) -> Option<Problem> {
        self.came_out(code).0
    }

    /// The same, and whether the rule had something to say.
    fn came_out(&self, code: &Code) -> (Option<Problem>, bool) {
        let shop = match &self.shop {
            Ok(shop) => shop,
            Err(problem) => return (Some(problem.clone()), false),
        };
        match self.wanted {
            Wanted::Verdict(id, example) => {
                let options = law::Options { rules: Some(vec![id]), ..law::Options::default() };
                let verdicts = law::judge(code, shop, &options);
                let is_met = verdicts.iter().any(|v| v.outcome != law::verdict::Outcome::NotApplicable);
                (expect::failure(code, id, shop, &verdicts, example), is_met)
            }
            Wanted::Figure(define, example) => (figure::failure(code, shop, &define.name.node, example), true),
        }
    }
}

/// The shop that an example describes.
fn shop(code: &Code, body: &ExampleBody, span: Span, used: &[&(&Given, Plan)]) -> Result<Shop, Problem> {
    let own = plan::read_lines(&body.plan);
    let given: Vec<&Plan> = used.iter().map(|(_, plan)| plan).collect();
    let bodies: Vec<&ExampleBody> = used.iter().map(|(g, _)| &g.body).chain([body]).collect();
    let unsaid: Vec<Missing> = bodies.iter().flat_map(|b| b.unsaid.iter().cloned()).collect();
    let in_example = |problem: &Problem| problem.clone().also(span, "in this example");
    if let Some(problem) = given.iter().copied().chain([&own]).flat_map(|p| &p.problems).find(|p| is_error(p)) {
        return Err(in_example(problem));
    }
    let mut shop = shop::build_with(&own, &given, &unsaid, code.phrases());
    wiring::complete(&mut shop);
    for set in bodies.iter().flat_map(|b| &b.sets) {
        set::apply(set, &mut shop).map_err(|problem| in_example(&problem))?;
    }
    match shop.problems.iter().find(|p| is_error(p)) {
        Some(problem) => Err(in_example(problem)),
        None => Ok(shop),
    }
}

fn is_error(problem: &Problem) -> bool {
    problem.severity == Severity::Error
}

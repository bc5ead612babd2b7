//! Rule packs test themselves: every `example` in a rule file is a small plan and what the rule
//! must say of it. One is run the way a plan is checked: read, built, completed, judged.

mod expect;
mod set;
mod strict;

pub use strict::{Strictness, Unnoticed, strictness};

use crate::law::code::{Code, RuleId};
use crate::law::syntax::{Example, ExampleBody, Given, Missing, Pack, Rule};
use crate::plan::syntax::Plan;
use crate::shop::Shop;
use crate::text::{Problem, Severity, Span};
use crate::{law, parallel, plan, shop, wiring};
use std::collections::HashMap;

/// What came of one example.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The rule's name.
    pub rule: String,
    /// The `example` line.
    pub span: Span,
    /// What went otherwise than it says; none where all is well.
    pub failure: Option<Problem>,
}

/// Runs every example of a pack, in the order of its files, on all threads. `code` is the same
/// pack, compiled; examples of rules that did not compile are left out, since their problem is
/// told already.
pub fn run(pack: &Pack, code: &Code) -> Vec<Outcome> {
    parallel::map(&cases(pack, code), |case| Outcome {
        rule: case.rule.name.node.clone(),
        span: case.example.span,
        failure: case.failure(code),
    })
}

/// An example, read and built.
struct Case<'a> {
    rule: &'a Rule,
    id: RuleId,
    example: &'a Example,
    shop: Result<Shop, Problem>,
}

/// Every example of a pack whose rule did compile, built on all threads.
fn cases<'a>(pack: &'a Pack, code: &Code) -> Vec<Case<'a>> {
    let ids: HashMap<&str, RuleId> =
        code.rules.iter().enumerate().map(|(i, rule)| (rule.name.as_str(), RuleId(i as u32))).collect();
    let givens: HashMap<&str, (&Given, Plan)> = pack
        .givens
        .iter()
        .map(|given| (given.name.node.as_str(), (given, plan::read_lines(&given.body.plan))))
        .collect();
    let examples: Vec<(&Rule, RuleId, &Example)> = pack
        .rules
        .iter()
        .filter_map(|rule| Some((rule, *ids.get(rule.name.node.as_str())?)))
        .flat_map(|(rule, id)| rule.examples.iter().map(move |example| (rule, id, example)))
        .collect();
    parallel::map(&examples, |(rule, id, example)| Case {
        rule,
        id: *id,
        example,
        shop: shop(code, rule, example, &givens),
    })
}

impl Case<'_> {
    /// What goes otherwise than the example says when `code` judges it.
    fn failure(&self, code: &Code) -> Option<Problem> {
        let shop = match &self.shop {
            Ok(shop) => shop,
            Err(problem) => return Some(problem.clone()),
        };
        let options = law::Options { rules: Some(vec![self.id]), ..law::Options::default() };
        let verdicts = law::judge(code, shop, &options);
        expect::failure(code, self.id, shop, &verdicts, self.example)
    }
}

/// The shop that an example describes.
fn shop(code: &Code, rule: &Rule, example: &Example, givens: &HashMap<&str, (&Given, Plan)>) -> Result<Shop, Problem> {
    let own = plan::read_lines(&example.body.plan);
    let used: Vec<&(&Given, Plan)> = rule.given.iter().filter_map(|name| givens.get(name.node.as_str())).collect();
    let given: Vec<&Plan> = used.iter().map(|(_, plan)| plan).collect();
    let bodies: Vec<&ExampleBody> = used.iter().map(|(g, _)| &g.body).chain([&example.body]).collect();
    let unsaid: Vec<Missing> = bodies.iter().flat_map(|b| b.unsaid.iter().cloned()).collect();
    if let Some(problem) = given.iter().copied().chain([&own]).flat_map(|p| &p.problems).find(|p| is_error(p)) {
        return Err(in_example(problem, example));
    }
    let mut shop = shop::build(&own, &given, &unsaid, code.vocabulary.clone());
    wiring::complete(&mut shop);
    for set in bodies.iter().flat_map(|b| &b.sets) {
        set::apply(set, &mut shop).map_err(|problem| in_example(&problem, example))?;
    }
    match shop.problems.iter().find(|p| is_error(p)) {
        Some(problem) => Err(in_example(problem, example)),
        None => Ok(shop),
    }
}

fn is_error(problem: &Problem) -> bool {
    problem.severity == Severity::Error
}

fn in_example(problem: &Problem, example: &Example) -> Problem {
    problem.clone().also(example.span, "in this example")
}

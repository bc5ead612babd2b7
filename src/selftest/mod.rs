//! Rule packs test themselves: every `example` in a rule file is a small plan and what the rule
//! must say of it. One is run the way a plan is checked: read, built, completed, judged.

mod expect;
mod set;

use crate::law::code::{Code, RuleId};
use crate::law::syntax::{Example, ExampleBody, Given, Missing, Pack, Rule};
use crate::plan::syntax::Plan;
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
    parallel::map(&examples, |(rule, id, example)| Outcome {
        rule: rule.name.node.clone(),
        span: example.span,
        failure: failure(code, rule, *id, example, &givens),
    })
}

fn failure(
    code: &Code,
    rule: &Rule,
    id: RuleId,
    example: &Example,
    givens: &HashMap<&str, (&Given, Plan)>,
) -> Option<Problem> {
    let own = plan::read_lines(&example.body.plan);
    let used: Vec<&(&Given, Plan)> = rule.given.iter().filter_map(|name| givens.get(name.node.as_str())).collect();
    let given: Vec<&Plan> = used.iter().map(|(_, plan)| plan).collect();
    let bodies: Vec<&ExampleBody> = used.iter().map(|(g, _)| &g.body).chain([&example.body]).collect();
    let unsaid: Vec<Missing> = bodies.iter().flat_map(|b| b.unsaid.iter().cloned()).collect();
    if let Some(problem) = given.iter().copied().chain([&own]).flat_map(|p| &p.problems).find(|p| is_error(p)) {
        return Some(in_example(problem, example));
    }
    let mut shop = shop::build(&own, &given, &unsaid, code.vocabulary.clone());
    wiring::complete(&mut shop);
    for set in bodies.iter().flat_map(|b| &b.sets) {
        if let Err(problem) = set::apply(set, &mut shop) {
            return Some(in_example(&problem, example));
        }
    }
    if let Some(problem) = shop.problems.iter().find(|p| is_error(p)) {
        return Some(in_example(problem, example));
    }
    let options = law::Options { rules: Some(vec![id]), ..law::Options::default() };
    let verdicts = law::judge(code, &shop, &options);
    expect::failure(code, id, &shop, &verdicts, example)
}

fn is_error(problem: &Problem) -> bool {
    problem.severity == Severity::Error
}

fn in_example(problem: &Problem, example: &Example) -> Problem {
    problem.clone().also(example.span, "in this example")
}

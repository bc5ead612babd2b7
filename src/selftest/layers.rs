//! The examples of a layer: what comes out with it, and what came out without.

use super::{Outcome, Strictness, Unnoticed, expect, shop};
use crate::law::code::{Code, Level, RuleId};
use crate::law::syntax::layer::{
    Action, Adopt, CameOut, Change, Layer, LayerExample, Quoted, RuleGuard, Standing, Target, Was,
};
use crate::law::syntax::{Example, Expected, Expr, Message, MessagePiece, Node, Pack, Step};
use crate::law::{self, layer::amend};
use crate::plan::syntax::Plan;
use crate::text::{Problem, Severity, Spanned};
use crate::{parallel, plan, shelf};
use std::collections::{HashMap, HashSet};

/// Runs every example of a layer over a pack that has its own examples' plan lines. `others` are
/// layers that an example may name with `amended by`.
pub fn run_layer(base: &Pack, layer: &Layer, others: &[Layer]) -> Vec<Outcome> {
    let runner = Runner::new(base, layer, others);
    let mut outcomes = runner.outcomes(layer);
    // New rules bring examples of their own kind.
    let own = runner.code(layer, &[], true);
    let names: HashSet<&str> = layer.pack.rules.iter().map(|rule| rule.name.node.as_str()).collect();
    let mut pack = own.0;
    pack.rules.retain(|rule| names.contains(rule.name.node.as_str()));
    let formulas: HashSet<&str> = layer.pack.defines.iter().map(|define| define.name.node.as_str()).collect();
    pack.defines.retain(|define| formulas.contains(define.name.node.as_str()));
    outcomes.extend(super::run(&pack, &own.1));
    outcomes
}

/// Drops each edit, each bound and each adopted edition of a layer, and spoils each guard, one at a time: which of these
/// changes no example and no guard notices.
pub fn layer_strictness(base: &Pack, layer: &Layer, others: &[Layer]) -> Strictness {
    let runner = Runner::new(base, layer, others);
    let changes = spoilt(layer);
    let tried = changes.len();
    let unnoticed = parallel::map(&changes, |(layer, unnoticed)| {
        let problems = amend(&runner.base, std::slice::from_ref(layer)).problems;
        let is_refused = problems.iter().any(|problem| problem.severity == Severity::Error);
        let is_noticed = is_refused || runner.outcomes(layer).iter().any(|outcome| outcome.failure.is_some());
        (!is_noticed).then(|| unnoticed.clone())
    });
    Strictness { tried, unnoticed: unnoticed.into_iter().flatten().collect() }
}

/// What the examples of one layer run against.
struct Runner<'a> {
    base: Pack,
    others: &'a [Layer],
    givens: HashMap<&'a str, (&'a crate::law::syntax::Given, Plan)>,
}

impl<'a> Runner<'a> {
    fn new(base: &'a Pack, layer: &'a Layer, others: &'a [Layer]) -> Runner<'a> {
        let given = base.givens.iter().chain(&layer.pack.givens);
        let givens =
            given.map(|given| (given.name.node.as_str(), (given, plan::read_lines(&given.body.plan)))).collect();
        let mut bare = base.clone();
        // Compiling what nobody asks for would take most of the time.
        let wanted = wanted(layer);
        if let Some(wanted) = wanted {
            bare.rules.retain(|rule| {
                wanted.contains(rule.name.node.as_str())
                    || rule.aliases.iter().any(|a| wanted.contains(a.node.as_str()))
            });
            bare.groups.clear();
        }
        bare.rules.iter_mut().for_each(|rule| rule.examples.clear());
        Runner { base: bare, others, givens }
    }

    /// The pack with the layer, or without it but with its facts, so that the plan lines of an example are understood.
    fn code(&self, layer: &Layer, named: &[&Layer], is_with: bool) -> (Pack, Code) {
        let mut layers: Vec<Layer> = named.iter().map(|layer| (*layer).clone()).collect();
        let mut base = self.base.clone();
        if is_with {
            layers.push(layer.clone());
        } else {
            base.facts.extend(layer.pack.facts.iter().cloned());
            base.choices.extend(layer.pack.choices.iter().cloned());
        }
        let pack = amend(&base, &layers).pack;
        let code = law::compile(&pack).0;
        (pack, code)
    }

    fn outcomes(&self, layer: &Layer) -> Vec<Outcome> {
        let examples: Vec<(&Change, &LayerExample)> = layer
            .changes
            .iter()
            .flat_map(|change| change.examples.iter().map(move |example| (change, example)))
            .collect();
        let mut codes: HashMap<Vec<String>, [(Pack, Code); 2]> = HashMap::new();
        for (_, example) in &examples {
            let names = named_in(example);
            codes.entry(names.clone()).or_insert_with(|| {
                let named = self.named(&names);
                [self.code(layer, &named, true), self.code(layer, &named, false)]
            });
        }
        let mut outcomes = Vec::new();
        for (change, example) in examples {
            let Some([with, without]) = codes.get(&named_in(example)) else { continue };
            if let (Target::Name(name), CameOut::Called(now), CameOut::Called(was)) =
                (&change.target, &example.now, &example.was)
            {
                let wrong = |pack: &Pack, wanted: &str| {
                    let title = pack.titles.iter().find(|title| title.name == *name).map(|title| &title.title);
                    title.filter(|title| *title != wanted).map(|title| {
                        Problem::error(example.span, format!("`{}` is not called so", name.node))
                            .help(format!("it is called \"{title}\""))
                    })
                };
                let failure = wrong(&with.0, now).or_else(|| wrong(&without.0, was).map(before));
                outcomes.push(Outcome { block: name.node.clone(), span: example.span, failure, is_met: true });
                continue;
            }
            let rule = match (&example.rule, &change.target) {
                (Some(rule), _) | (None, Target::Rule(rule)) => rule,
                _ => {
                    let problem = Problem::error(example.span, "which rule is asked here?");
                    let failure = Some(problem.help("write `example pass of rule NAME, was …`"));
                    outcomes.push(Outcome {
                        block: layer.name.node.clone(),
                        span: example.span,
                        failure,
                        is_met: true,
                    });
                    continue;
                }
            };
            let lost = named_in(example).into_iter().find(|name| self.named(std::slice::from_ref(name)).is_empty());
            let failure = match lost {
                Some(name) => {
                    Some(Problem::error(example.span, format!("the layer `{name}` of this example was not found")))
                }
                None => self
                    .failure(with, rule, example, &example.now, layer)
                    .or_else(|| self.failure(without, rule, example, &example.was, layer).map(before)),
            };
            outcomes.push(Outcome { block: rule.node.clone(), span: example.span, failure, is_met: true });
        }
        outcomes
    }

    fn named(&self, names: &[String]) -> Vec<&'a Layer> {
        let is_one =
            |layer: &&Layer| names.iter().any(|name| shelf::is_named(name, &layer.name.node, &layer.name.node));
        self.others.iter().filter(is_one).collect()
    }

    fn failure(
        &self,
        (pack, code): &(Pack, Code),
        name: &Spanned<String>,
        example: &LayerExample,
        wanted: &CameOut,
        layer: &Layer,
    ) -> Option<Problem> {
        let rules: Vec<(RuleId, &crate::law::code::Rule)> = code
            .rules
            .iter()
            .enumerate()
            .filter(|(_, rule)| is_of(rule, &name.node, layer))
            .map(|(i, rule)| (RuleId(i as u32), rule))
            .collect();
        let Some((first, of)) = rules.first() else {
            let is_there = pack.rules.iter().any(|rule| rule.name == *name);
            return match (wanted, is_there) {
                (CameOut::NoRule, false) => None,
                (_, true) => Some(Problem::error(example.span, format!("`{}` could not be compiled", name.node))),
                (_, false) => Some(Problem::error(example.span, format!("there is no rule `{}` here", name.node))),
            };
        };
        if let CameOut::Stage(stage) = wanted {
            let is_met = rules.iter().any(|(_, rule)| rule.stage.name() == stage.node);
            return (!is_met).then(|| {
                let help = format!("it is looked at in {}", of.stage.name());
                Problem::error(example.span, format!("the stage is not {}", stage.node)).help(help)
            });
        }
        let expected = match wanted {
            CameOut::Verdict(expected) => expected.clone(),
            CameOut::Advice(at) => Expected::Attention(at.clone()),
            _ => Expected::NotApplicable(None),
        };
        let plain = Example { expected, title: example.title.clone(), body: example.body.clone(), span: example.span };
        let source = pack.rules.iter().find(|rule| rule.name.node == of.name)?;
        let used: Vec<_> = source.given.iter().filter_map(|name| self.givens.get(name.node.as_str())).collect();
        let shop = match shop(code, &plain.body, plain.span, &used) {
            Ok(shop) => shop,
            Err(problem) => return Some(problem),
        };
        let ids: Vec<RuleId> = rules.iter().map(|(id, _)| *id).collect();
        let options = law::Options { rules: Some(ids), ..law::Options::default() };
        let verdicts = law::judge(code, &shop, &options);
        // An exception is looked for in the text that has it: the base's, or the layer's beside it.
        let asked = match &plain.expected {
            Expected::PassExcept(name) => {
                rules.iter().find(|(_, rule)| rule.excepts.iter().any(|e| e.name == name.node)).map(|(id, _)| *id)
            }
            _ => None,
        };
        let failure = expect::failure(code, asked.unwrap_or(*first), &shop, &verdicts, &plain);
        if failure.is_some() {
            return failure;
        }
        let is_advice = match wanted {
            CameOut::Advice(_) => true,
            CameOut::Verdict(Expected::Attention(_)) => false,
            _ => return None,
        };
        let level = |id: RuleId| code.rules.get(id.0 as usize).map(|rule| rule.level);
        let is_met = verdicts.iter().any(|verdict| {
            let is_required = level(verdict.rule) == Some(Level::Required);
            verdict.outcome == crate::law::verdict::Outcome::Attention && is_required != is_advice
        });
        (!is_met).then(|| {
            let message = if is_advice { "this is asked for, not advised" } else { "this is advice, not asked for" };
            Problem::error(example.span, message).help("attention of an advised rule is `advice` here")
        })
    }
}

/// A rule of a name, or the copy of it that a layer made.
fn is_of(rule: &crate::law::code::Rule, name: &str, layer: &Layer) -> bool {
    rule.is_called(name)
        || rule
            .name
            .strip_prefix(name)
            .and_then(|rest| rest.strip_prefix('-'))
            .is_some_and(|rest| rest == layer.name.node)
}

fn before(problem: Problem) -> Problem {
    let message = format!("without the layer: {}", problem.message);
    Problem { message, ..problem }
}

fn named_in(example: &LayerExample) -> Vec<String> {
    shelf::named(&plan::read_lines(&example.body.plan))
}

/// The rules that a layer and its examples speak of; none where they may be any.
fn wanted(layer: &Layer) -> Option<HashSet<&str>> {
    let mut wanted: HashSet<&str> = HashSet::new();
    let is_whole =
        |layer: &Layer| layer.changes.iter().any(|c| matches!(c.target, Target::Group(_) | Target::EveryRule(_)));
    if is_whole(layer) {
        return None;
    }
    for change in &layer.changes {
        if let Target::Rule(name) = &change.target {
            wanted.insert(&name.node);
        }
        wanted
            .extend(change.examples.iter().filter_map(|example| example.rule.as_ref()).map(|name| name.node.as_str()));
    }
    Some(wanted)
}

/// Every layer that differs from this one in one edit, bound or guard.
fn spoilt(layer: &Layer) -> Vec<(Layer, Unnoticed)> {
    let mut all = Vec::new();
    let block = layer.name.node.clone();
    for (i, change) in layer.changes.iter().enumerate() {
        // What is not law, or what the base says by itself, changes nothing that could be noticed.
        let status = change.scope.status.as_ref().or(layer.scope.status.as_ref()).map(|status| &status.node.standing);
        if matches!(status, Some(Standing::Proposed | Standing::Withdrawn(None) | Standing::Absorbed(_))) {
            continue;
        }
        let mut with = |change: Change, span, what: String| {
            let mut spoilt = layer.clone();
            if let Some(place) = spoilt.changes.get_mut(i) {
                *place = change;
            }
            all.push((spoilt, Unnoticed { block: block.clone(), span, change: what }));
        };
        for (j, edit) in change.edits.iter().enumerate() {
            let mut less = change.clone();
            less.edits.remove(j);
            with(less, edit.span, "that this edit is dropped".into());
            let mut wrong = change.clone();
            if wrong.edits.get_mut(j).is_some_and(|edit| spoil(&mut edit.action)) {
                with(wrong, edit.span, "that what this edit quotes is not there".into());
            }
        }
        if change.only_where.is_some() {
            with(Change { only_where: None, ..change.clone() }, change.span, "that `only where` is dropped".into());
        }
        for (has, what) in [(change.scope.from.is_some(), "from"), (change.scope.before.is_some(), "before")] {
            let mut less = change.clone();
            if what == "from" {
                less.scope.from = None
            } else {
                less.scope.before = None
            }
            if has {
                with(less, change.span, format!("that `{what}` is dropped"));
            }
        }
    }
    for (i, adopt) in layer.adopts.iter().enumerate() {
        let mut with = |changed: Option<Adopt>, what: String| {
            let mut spoilt = layer.clone();
            spoilt.adopts.splice(i..=i, changed);
            all.push((spoilt, Unnoticed { block: block.clone(), span: adopt.span, change: what }));
        };
        with(None, "that this `adopt` is dropped".into());
        let parts: [(&str, bool, fn(&mut Adopt)); 5] = [
            ("as of", adopt.as_of.is_some(), |adopt| adopt.as_of = None),
            ("from", adopt.from.is_some(), |adopt| adopt.from = None),
            ("before", adopt.before.is_some(), |adopt| adopt.before = None),
            ("where", adopt.test.is_some(), |adopt| adopt.test = None),
            ("floating", adopt.floating_from.is_some(), |adopt| adopt.floating_from = None),
        ];
        for (part, _, drop) in parts.into_iter().filter(|(_, is_there, _)| *is_there) {
            let mut less = adopt.clone();
            drop(&mut less);
            with(Some(less), format!("that `{part}` is dropped"));
        }
    }
    for (has, what) in [(layer.scope.from.is_some(), "from"), (layer.scope.before.is_some(), "before")] {
        let mut less = layer.clone();
        if what == "from" {
            less.scope.from = None
        } else {
            less.scope.before = None
        }
        if has {
            all.push((
                less,
                Unnoticed { block: block.clone(), span: layer.span, change: format!("that `{what}` is dropped") },
            ));
        }
    }
    all
}

/// Makes a guard quote something that is not there; false where an edit has none.
fn spoil(action: &mut Action) -> bool {
    const WRONG: &str = "not what is there";
    match action {
        Action::SetValue(_, _, was) | Action::BorrowValue(_, _, was) => spoil_steps(was),
        Action::SetTest(_, _, was) | Action::StrikeTest(_, was) | Action::Limit(_, _, was) => {
            was.found = Quoted::Title(WRONG.into());
        }
        Action::SetLevel(_, was) | Action::SetStage(_, was) | Action::StrikeEvidence(_, was) => {
            was.found = WRONG.into()
        }
        Action::SetRows(_, was) | Action::SetRule(_, was) => was.found = WRONG.into(),
        Action::SetList(_, was) => was.found.push(WRONG.into()),
        Action::SetCell(_, _, was) => was.found = None,
        Action::StrikeRow(_, was) => was.found.clear(),
        Action::SetReach(_, was) => was.found = !was.found,
        Action::SetBody(_, _, was) => {
            was.found = Expr { node: Box::new(Node::Name("not-there".into())), span: was.span }
        }
        Action::SetText(_, _, was) => {
            was.found = Message { pieces: vec![MessagePiece::Text(WRONG.into())], span: was.span };
        }
        Action::SetCites(_, was) => was.found.push(WRONG.into()),
        Action::StrikeRule(was) | Action::BorrowRule(_, was) => {
            was.found = match was.found {
                RuleGuard::Count(count) => RuleGuard::Count(count.saturating_add(1)),
                _ => RuleGuard::Title(WRONG.into()),
            };
        }
        Action::AddItem(..)
        | Action::AddExcept(_)
        | Action::AddNeeds(_)
        | Action::AddWhere(_)
        | Action::AddValue(_)
        | Action::AddList(_)
        | Action::AddRow(_)
        | Action::AddEvidence(_)
        | Action::AddAsk(_)
        | Action::AddMeaning(..)
        | Action::Defer(..) => return false,
    }
    true
}

fn spoil_steps(was: &mut Was<Vec<Step>>) {
    let limit =
        crate::law::syntax::Limit::Plain(Expr { node: Box::new(Node::Name("not-there".into())), span: was.span });
    was.found = vec![Step { from: None, limit }];
}

use super::message::moment_of;
use super::show::{self, Digits};
use super::tree::{Teller, rule_of};
use super::words::{clause, noun};
use crate::law::code::{Code, NumberNode, Rule, Test, TestNode};
use crate::law::evaluate::cuts::Cuts;
use crate::law::evaluate::ground::Ground;
use crate::law::evaluate::machine::Machine;
use crate::law::evaluate::memo::Memo;
use crate::law::evaluate::moment::Now;
use crate::law::evaluate::reader::{Careful, Fact, Noting};
use crate::law::evaluate::search::Search;
use crate::law::evaluate::split::{PRESENT, split};
use crate::law::evaluate::{Interval, Truth};
use crate::law::syntax::Comparison;
use crate::law::verdict::{Missing, Outcome, Verdict};
use crate::quantity::{Rational, Scale, Toward};
use crate::shop::{Range, Shop, Value};
use crate::words::{Kind, NameId, name};

/// Most facts whose other values are tried.
const FACTS_CAP: usize = 12;

/// Most sets of values of one fact that are tried.
pub(super) const PIECES_CAP: usize = 96;

/// Most facts and rows that are read to find what the values of one fact would give. What is not
/// settled by then is told as unknown.
const WORK_CAP: usize = 40_000;

/// Something that would change a verdict, or for an unknown one what an answer would give.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The fact; none where it is a quantity that several facts make.
    pub fact: Option<Missing>,
    /// What is changed: `cover of stretch 2 of F1`.
    pub what: String,
    /// To what: `at least 18 in`, `yes`, `garage or workshop`.
    pub answer: String,
    /// Both in a sentence: `receptacle R1 has a GFCI`, `cover of stretch 2 of F1 at least 18 in`.
    pub text: String,
    /// What would come out.
    pub outcome: Outcome,
}

/// For an unknown: what each answer to each missing fact would give. For attention: the values of
/// facts with which it would pass. For a pass: those with which it would not, the nearest limits.
pub fn what_would_change(code: &Code, shop: &Shop, verdict: &Verdict) -> Vec<Change> {
    changes(code, shop, verdict, None)
}

/// What each answer to one word of one kind would give for an unknown that lacks it.
pub fn what_answers_give(code: &Code, shop: &Shop, verdict: &Verdict, word: (Kind, NameId)) -> Vec<Change> {
    let mut changes = changes(code, shop, verdict, Some(word));
    changes.retain(|change| change.fact.is_some_and(|f| (f.item.kind, f.name) == word));
    changes
}

fn changes(code: &Code, shop: &Shop, verdict: &Verdict, word: Option<(Kind, NameId)>) -> Vec<Change> {
    let Some(rule) = rule_of(code, verdict.rule) else { return Vec::new() };
    let ground = Ground::new(code, shop);
    let Some(now) = moment_of(&ground, rule, verdict) else { return Vec::new() };
    let mut changes = by_moment(&ground, rule, verdict);
    let mut memo = Memo::new();
    let cuts = Cuts::of(code, rule);
    let facts = match verdict.outcome {
        Outcome::Unknown => verdict.missing.iter().map(|m| (m.item, m.name)).collect(),
        _ => stated(&ground, &mut memo, now, rule, verdict),
    };
    let is_asked = |(item, name): &Fact| {
        (item.kind != Kind::Permit || !is_moment(&(*item, *name))) && word.is_none_or(|word| word == (item.kind, *name))
    };
    for fact in facts.into_iter().filter(is_asked).take(FACTS_CAP) {
        let mut machine = trial(&ground, &mut memo, now, rule);
        if verdict.outcome != Outcome::Unknown {
            machine.reader.masked.push(fact);
        }
        let mut pieces = Vec::new();
        explore(&mut machine, (rule, &cuts), verdict, fact, None, &mut pieces);
        changes.extend(told(&ground, fact, verdict, merge(pieces)));
    }
    if verdict.outcome == Outcome::Attention {
        let mut teller = Teller::new(&ground, &mut memo, now, rule);
        changes.extend(computed_limit(&mut teller, rule, verdict));
    }
    changes
}

fn is_moment(fact: &Fact) -> bool {
    matches!(fact.1, name::EDITION | name::DATE)
}

/// What each edition or day gives, where they differ.
fn by_moment(ground: &Ground, rule: &Rule, verdict: &Verdict) -> Vec<Change> {
    let by_day = rule.turns_on_day && !ground.moments.has_one_stretch();
    let mut changes: Vec<Change> = Vec::new();
    for (world, outcome) in &verdict.worlds {
        let edition = Scale::Edition.show(Rational::whole(world.edition));
        let answer = match world.day.filter(|_| by_day) {
            Some(day) => format!("{edition}, permit of {}", crate::quantity::day_text(day)),
            None => edition,
        };
        let name = if ground.moments.has_one_edition() { name::DATE } else { name::EDITION };
        let fact = Some(Missing { item: Shop::PERMIT, name });
        let what = if name == name::DATE { "day of the permit" } else { "edition in force" };
        changes.push(Change { fact, what: what.into(), text: answer.clone(), answer, outcome: *outcome });
    }
    changes
}

/// The stated facts that the parts in question read: those that failed, or for a pass all.
fn stated(ground: &Ground, memo: &mut Memo, now: Now, rule: &Rule, verdict: &Verdict) -> Vec<Fact> {
    memo.forget();
    let mut machine = Machine::new(ground, now, Careful::new(&[], &[], Noting::Stated), memo, None);
    machine.enter_rule(rule.slots.max(1), verdict.item);
    let is_pass = verdict.outcome == Outcome::Pass;
    for (number, part) in rule.needs.iter().enumerate().filter(|(_, part)| now.is_in(&part.bounds)) {
        if is_pass || verdict.parts.contains(&number) {
            machine.test(&part.test);
        }
    }
    let mut facts: Vec<Fact> = Vec::new();
    for note in &machine.reader.notes {
        if !facts.contains(&note.fact) && !note.is_list {
            facts.push(note.fact);
        }
    }
    facts
}

fn trial<'m, 'a, 'r>(
    ground: &'m Ground<'a>,
    memo: &'m mut Memo,
    now: Now,
    rule: &'r Rule,
) -> Machine<'m, 'a, Careful<'r>> {
    Machine::new(ground, now, Careful::new(&rule.evidence, &rule.presumed, Noting::Undecided), memo, None)
}

/// Parts the values of one fact until each set gives one outcome, or no longer can be parted.
fn explore(
    machine: &mut Machine<'_, '_, Careful<'_>>,
    (rule, cuts): (&Rule, &Cuts),
    verdict: &Verdict,
    fact: Fact,
    value: Option<Value>,
    pieces: &mut Vec<(Value, Outcome)>,
) {
    machine.reader.clear();
    machine.memo.forget();
    let outcome = machine.rule(rule, verdict.item, Truth::Yes).outcome;
    if outcome == Outcome::Unknown {
        let notes = std::mem::take(&mut machine.reader.notes);
        let note = notes.iter().find(|note| note.fact == fact);
        let values = note.and_then(|note| split(machine.ground, cuts, &machine.reader, note));
        if let Some(values) = values.filter(|_| pieces.len() < PIECES_CAP) {
            for value in values {
                machine.reader.completed.push((fact, value));
                explore(machine, (rule, cuts), verdict, fact, Some(value), pieces);
                machine.reader.completed.pop();
            }
            return;
        }
    }
    let Some(value) = value else { return };
    let outcome = match outcome {
        Outcome::Unknown => {
            let left = WORK_CAP.saturating_sub(machine.reader.work);
            Search::new(machine, (rule, cuts), verdict.item, Truth::Yes).within(left).outcome()
        }
        decided => decided,
    };
    pieces.push((value, outcome));
}

/// Joins sets with the same outcome: values of a choice all together, stretches where they meet.
pub(super) fn merge<T: PartialEq>(pieces: Vec<(Value, T)>) -> Vec<(Value, T)> {
    let mut merged: Vec<(Value, T)> = Vec::new();
    for (value, outcome) in pieces {
        let same = match value {
            Value::Choice(_) => merged.iter_mut().find(|(v, o)| *o == outcome && matches!(v, Value::Choice(_))),
            Value::Number(_) | Value::Range(_) => merged.last_mut().filter(|(_, o)| *o == outcome),
            _ => None,
        };
        match (same, value) {
            (Some((Value::Choice(bits), _)), Value::Choice(more)) => *bits |= more,
            (Some((stretch, _)), value) if joined(stretch, &value).is_some() => {
                *stretch = joined(stretch, &value).unwrap_or(value);
            }
            _ => merged.push((value, outcome)),
        }
    }
    merged
}

fn joined(a: &Value, b: &Value) -> Option<Value> {
    let is_stretch = |v: &Value| matches!(v, Value::Number(_) | Value::Range(_));
    if !is_stretch(a) || !is_stretch(b) {
        return None;
    }
    let hull = Interval::of_value(a).hull(Interval::of_value(b));
    let bound = |end| if let crate::law::evaluate::End::At(n) = end { Some(n) } else { None };
    Some(Value::Range(Range {
        low: bound(hull.low),
        high: bound(hull.high),
        low_is_open: hull.low_is_open,
        high_is_open: hull.high_is_open,
    }))
}

/// The pieces worth telling: all answers to what is missing, else those that turn the verdict.
fn told(ground: &Ground, fact: Fact, verdict: &Verdict, pieces: Vec<(Value, Outcome)>) -> Vec<Change> {
    let (item, name) = fact;
    let ty = ground.type_of(item.kind, name);
    let wanted = |outcome: Outcome| match verdict.outcome {
        Outcome::Unknown => true,
        Outcome::Attention => matches!(outcome, Outcome::Pass | Outcome::NotApplicable),
        Outcome::Pass | Outcome::NotApplicable => outcome == Outcome::Attention,
    };
    let what = format!("{} of {}", noun(ground.code.vocabulary.text(name)), ground.shop.called(item));
    let pieces = pieces.into_iter().filter(|(_, outcome)| wanted(*outcome));
    let (called, word) = (ground.shop.called(item), ground.code.vocabulary.text(name));
    let changes = pieces.map(|(value, outcome)| {
        let answer = show::value(ground.code, ground.shop, ty, &value);
        let text = match value {
            Value::YesNo(yes) => clause(&called, word, yes),
            Value::Absent => clause(&called, &format!("has-{word}"), false),
            PRESENT => clause(&called, &format!("has-{word}"), true),
            Value::Choice(_) => format!("{what} is {answer}"),
            _ => format!("{what} {answer}"),
        };
        Change { fact: Some(Missing { item, name }), what: what.clone(), answer, text, outcome }
    });
    changes.collect()
}

/// Where one comparison of computed quantities is all that fails: the limit that it has to reach.
fn computed_limit(teller: &mut Teller, rule: &Rule, verdict: &Verdict) -> Option<Change> {
    let [part] = verdict.parts.as_slice() else { return None };
    teller.enter_rule(rule, verdict.item);
    let test = only_failing(teller, &rule.needs.get(*part)?.test)?;
    let TestNode::Compare(comparison, left, right, scale) = &test.node else { return None };
    let is_computed = match &left.node {
        NumberNode::Word(owner, name) => {
            teller.machine.item(owner).is_some_and(|item| teller.machine.ground.define_of(item, *name).is_some())
        }
        NumberNode::Call(_) | NumberNode::Lookup(_) => true,
        _ => false,
    };
    let limit = teller.machine.number(right);
    if !is_computed || !limit.is_decided() {
        return None;
    }
    // What would pass must not be rounded out of its limit.
    let toward = match comparison {
        Comparison::AtMost | Comparison::Less => Toward::Down,
        Comparison::AtLeast | Comparison::More => Toward::Up,
        Comparison::Equal => Toward::Nearest,
    };
    let found = teller.machine.number(left);
    let digits = Digits { more: show::digits_apart(Some(*scale), &found, &limit), toward, is_limit: true };
    let bound = match comparison {
        Comparison::AtMost => "at most ",
        Comparison::AtLeast => "at least ",
        Comparison::Less => "under ",
        Comparison::More => "over ",
        Comparison::Equal => "",
    };
    let answer = format!("{bound}{}", show::interval(Some(*scale), &limit, digits));
    let what = teller.number_text(left, Some(*scale));
    Some(Change { fact: None, text: format!("{what} {answer}"), what, answer, outcome: Outcome::Pass })
}

/// The one condition of an `and` that says no.
fn only_failing<'t>(teller: &mut Teller, test: &'t Test) -> Option<&'t Test> {
    let TestNode::All(tests) = &test.node else { return Some(test) };
    let failing: Vec<&Test> = tests.iter().filter(|t| teller.machine.test(t) != Truth::Yes).collect();
    match failing.as_slice() {
        [one] => only_failing(teller, one),
        _ => None,
    }
}

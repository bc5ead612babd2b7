use super::cuts::Cuts;
use super::machine::Machine;
use super::reader::{Careful, Fact, Note};
use super::rule::Ruling;
use super::split::split;
use super::{Interval, Truth};
use crate::hash::ShortSet;
use crate::law::code::Rule;
use crate::law::verdict::{Missing, Outcome};
use crate::shop::{ItemRef, Value};

/// Most completions that are tried for one verdict in one moment. Past it the verdict stays unknown.
const COMPLETIONS_CAP: usize = 4096;

/// Most facts and rows that are read for it. A rule that goes through long lists and tables for one
/// answer gets fewer completions, so that no plan can make it slow.
const WORK_CAP: usize = 200_000;

/// Most that are read on once it is clear that the verdict is unknown.
const PRUNING_WORK_CAP: usize = 50_000;

/// Most completions that are tried on once it is clear that the verdict is unknown: what is left to
/// find is only which of the missing facts can still change it.
const PRUNING_CAP: usize = 256;

/// Most members and calls that are gone through for it, whether they are read or not.
const STEPS_CAP: usize = 4_000_000;

/// Most facts that are filled in together.
const DEPTH_CAP: usize = 64;

/// Most steps for finding out whether two answers to one question come to the same.
const COMPARISON_CAP: usize = 4096;

/// Most missing facts that are put in order by trying their answers one by one.
const ORDER_CAP: usize = 16;

/// What came of trying the completions of an unknown.
#[derive(Debug)]
pub(in crate::law) struct Settled {
    /// What comes out for every completion; unknown where they differ.
    pub outcome: Outcome,
    /// The plan as it is, met with care.
    pub ruling: Ruling,
    /// Facts that can still change it.
    pub missing: Vec<Missing>,
    /// Ordinary answers that it needs.
    pub ordinary: Vec<Fact>,
}

/// Outcomes by the completions of facts. Equal branches are joined, so that a fact stands in it
/// only where it makes a difference.
#[derive(Debug)]
enum Tree {
    /// Pass in some completion, else not applicable: nothing to do.
    Fine { is_pass: bool },
    /// Attention.
    Attention,
    /// Unknown whatever is tried, for want of these.
    Open(Vec<Fact>),
    /// By one fact.
    Split(Fact, Vec<(Value, Tree)>),
}

/// Tries the completions of what a rule reads at an item.
pub(in crate::law) struct Search<'s, 'm, 'a, 'r> {
    machine: &'s mut Machine<'m, 'a, Careful<'r>>,
    rule: &'s Rule,
    cuts: &'s Cuts,
    item: ItemRef,
    belongs: Truth,
    tried: usize,
    limit: usize,
    work_limit: usize,
    steps_limit: usize,
    is_outcome_only: bool,
    has_fine: bool,
    has_attention: bool,
    ordinary: Vec<Fact>,
}

impl<'s, 'm, 'a, 'r> Search<'s, 'm, 'a, 'r> {
    pub fn new(
        machine: &'s mut Machine<'m, 'a, Careful<'r>>,
        (rule, cuts): (&'s Rule, &'s Cuts),
        item: ItemRef,
        belongs: Truth,
    ) -> Search<'s, 'm, 'a, 'r> {
        let work_limit = machine.reader.work + WORK_CAP;
        let steps_limit = machine.memo.spent().saturating_add(STEPS_CAP);
        Search {
            machine,
            rule,
            cuts,
            item,
            belongs,
            tried: 0,
            limit: COMPLETIONS_CAP,
            work_limit,
            steps_limit,
            is_outcome_only: false,
            has_fine: false,
            has_attention: false,
            ordinary: Vec::new(),
        }
    }

    /// With so much work at most, after which it stays unknown.
    pub fn within(mut self, work: usize) -> Self {
        self.work_limit = self.work_limit.min(self.machine.reader.work.saturating_add(work));
        self
    }

    /// Only what comes out, for one of many trials: ends as soon as that is clear.
    pub fn outcome(mut self) -> Outcome {
        self.is_outcome_only = true;
        self.run().outcome
    }

    /// What every completion gives, or what is missing.
    pub fn run(mut self) -> Settled {
        self.machine.memo.begin_trials();
        self.machine.reader.begin_root();
        let ruling = self.machine.rule(self.rule, self.item, self.belongs);
        // What the first trial worked out serves the others, where they replace nothing that it hangs on.
        self.machine.reader.end_root();
        // Only where nothing is tried may there be too many to put them aside.
        let seen = if self.is_spent() { Vec::new() } else { facts(&self.machine.reader.notes) };
        let tree = self.grow(ruling, 0);
        let outcome = match &tree {
            Tree::Fine { is_pass: true } => Outcome::Pass,
            Tree::Fine { is_pass: false } => Outcome::NotApplicable,
            Tree::Attention => Outcome::Attention,
            Tree::Open(_) | Tree::Split(..) => Outcome::Unknown,
        };
        let mut missing = Vec::new();
        if outcome == Outcome::Unknown && !self.is_outcome_only {
            tree.collect(&mut missing);
            missing = each_once(missing);
            if missing.is_empty() {
                missing = seen;
            }
            self.put_in_order(&mut missing);
        }
        self.machine.memo.end_trials();
        let missing = missing.into_iter().map(|(item, name)| Missing { item, name }).collect();
        let ordinary = if outcome == Outcome::Attention { self.ordinary } else { Vec::new() };
        Settled { outcome, ruling, missing, ordinary }
    }

    fn evaluate(&mut self) -> Ruling {
        self.tried += 1;
        self.machine.reader.clear();
        self.machine.memo.forget();
        self.machine.rule(self.rule, self.item, self.belongs)
    }

    fn grow(&mut self, ruling: Ruling, depth: usize) -> Tree {
        match ruling.outcome {
            Outcome::Pass | Outcome::NotApplicable => {
                self.has_fine = true;
                self.be_brief();
                return Tree::Fine { is_pass: ruling.outcome == Outcome::Pass };
            }
            Outcome::Attention => {
                self.has_attention = true;
                self.be_brief();
                for fact in &self.machine.reader.taken {
                    if !self.ordinary.contains(fact) {
                        self.ordinary.push(*fact);
                    }
                }
                return Tree::Attention;
            }
            Outcome::Unknown => {}
        }
        let notes = std::mem::take(&mut self.machine.reader.notes);
        let parted = if self.is_spent() || depth >= DEPTH_CAP {
            None
        } else {
            let (ground, reader) = (self.machine.ground, &self.machine.reader);
            notes.iter().find_map(|note| Some((note.fact, split(ground, self.cuts, reader, note)?)))
        };
        let Some((fact, values)) = parted else {
            self.prune_only();
            return Tree::Open(facts(&notes));
        };
        let mut branches = Vec::with_capacity(values.len());
        for value in values {
            self.machine.reader.completed.push((fact, value));
            let ruling = self.evaluate();
            branches.push((value, self.grow(ruling, depth + 1)));
            self.machine.reader.completed.pop();
        }
        join(fact, branches)
    }

    /// Once two outcomes are possible, or one completion stays open, the verdict is unknown; the rest only prunes.
    fn be_brief(&mut self) {
        if self.has_fine && self.has_attention {
            self.prune_only();
        }
    }

    fn prune_only(&mut self) {
        if self.is_outcome_only {
            self.limit = 0;
        }
        self.limit = self.limit.min(self.tried + PRUNING_CAP);
        self.work_limit = self.work_limit.min(self.machine.reader.work + PRUNING_WORK_CAP);
    }

    fn is_spent(&self) -> bool {
        let (work, steps) = (self.machine.reader.work, self.machine.memo.spent());
        self.tried >= self.limit || work >= self.work_limit || steps >= self.steps_limit
    }

    /// The likeliest to settle it first: by the share of a fact's answers after which nothing is open.
    fn put_in_order(&mut self, missing: &mut Vec<Fact>) {
        if missing.len() < 2 || missing.len() > ORDER_CAP || self.is_spent() {
            return;
        }
        let mut ranked: Vec<(u64, Fact)> = Vec::with_capacity(missing.len());
        for fact in missing.iter() {
            ranked.push((self.share_settled(*fact), *fact));
        }
        ranked.sort_by_key(|(share, _)| std::cmp::Reverse(*share));
        *missing = ranked.into_iter().map(|(_, fact)| fact).collect();
    }

    fn share_settled(&mut self, fact: Fact) -> u64 {
        self.evaluate();
        let notes = std::mem::take(&mut self.machine.reader.notes);
        let note = notes.iter().find(|note| note.fact == fact);
        let values =
            note.and_then(|note| split(self.machine.ground, self.cuts, &self.machine.reader, note)).unwrap_or_default();
        let mut settled = 0;
        for value in &values {
            self.machine.reader.completed.push((fact, *value));
            settled += u64::from(self.evaluate().outcome != Outcome::Unknown);
            self.machine.reader.completed.pop();
        }
        settled * 64 / (values.len() as u64).max(1)
    }
}

impl Tree {
    /// Facts that make a difference somewhere, in the order in which they were read; some repeatedly.
    fn collect(&self, into: &mut Vec<Fact>) {
        match self {
            Tree::Fine { .. } | Tree::Attention => {}
            Tree::Open(facts) => into.extend(facts),
            Tree::Split(fact, branches) => {
                into.push(*fact);
                branches.iter().for_each(|(_, branch)| branch.collect(into));
            }
        }
    }
}

/// One branch for all where they are the same whatever the other facts are.
fn join(fact: Fact, mut branches: Vec<(Value, Tree)>) -> Tree {
    let is_pass = branches.iter().any(|(_, tree)| matches!(tree, Tree::Fine { is_pass: true }));
    let is_same = branches.windows(2).all(|pair| match pair {
        [(_, a), (_, b)] => !Comparison { fact, path: Vec::new(), steps: 0 }.differ(a, b),
        _ => true,
    });
    match branches.pop() {
        Some((_, Tree::Fine { .. })) if is_same => Tree::Fine { is_pass },
        Some((_, tree)) if is_same => tree,
        Some(last) => {
            branches.push(last);
            Tree::Split(fact, branches)
        }
        None => Tree::Open(vec![fact]),
    }
}

/// Compares two trees path by path. Only paths count that the same other facts can take in both.
struct Comparison {
    /// The fact by which the two are parted.
    fact: Fact,
    path: Vec<(Fact, Value)>,
    steps: usize,
}

impl Comparison {
    /// Whether some values of the other facts come out differently. Past the cap they are taken to.
    fn differ(&mut self, a: &Tree, b: &Tree) -> bool {
        self.steps += 1;
        if self.steps > COMPARISON_CAP {
            return true;
        }
        match (a, b) {
            (Tree::Split(fact, branches), _) => branches.iter().any(|(value, tree)| {
                self.path.push((*fact, *value));
                let differ = self.differ(tree, b);
                self.path.pop();
                differ
            }),
            (_, Tree::Split(fact, branches)) => {
                branches.iter().any(|(value, tree)| self.may_be(*fact, value) && self.differ(a, tree))
            }
            (Tree::Fine { .. }, Tree::Fine { .. }) | (Tree::Attention, Tree::Attention) => false,
            (Tree::Open(a), Tree::Open(b)) => a.len() != b.len() || !a.iter().all(|fact| b.contains(fact)),
            _ => true,
        }
    }

    fn may_be(&self, fact: Fact, value: &Value) -> bool {
        fact == self.fact || self.path.iter().filter(|(f, _)| *f == fact).all(|(_, v)| overlap(v, value))
    }
}

/// Whether two sets of values of one fact have one in common.
fn overlap(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Absent, b) => *b == Value::Absent,
        (a, Value::Absent) => *a == Value::Absent,
        (Value::Choice(a), Value::Choice(b)) => a & b != 0,
        (Value::Number(_) | Value::Range(_), Value::Number(_) | Value::Range(_)) => {
            Interval::of_value(a).meets(&Interval::of_value(b))
        }
        (Value::YesNo(a), Value::YesNo(b)) => a == b,
        _ => true,
    }
}

fn facts(notes: &[Note]) -> Vec<Fact> {
    each_once(notes.iter().map(|note| note.fact).collect())
}

fn each_once(mut facts: Vec<Fact>) -> Vec<Fact> {
    // Few are soon compared with each other.
    if facts.len() < 16 {
        let mut kept = 0;
        for at in 0..facts.len() {
            let Some(fact) = facts.get(at).copied() else { break };
            if !facts.iter().take(kept).any(|before| *before == fact) {
                facts.swap(kept, at);
                kept += 1;
            }
        }
        facts.truncate(kept);
        return facts;
    }
    let mut seen = ShortSet::with_capacity_and_hasher(facts.len(), Default::default());
    facts.retain(|fact| seen.insert(*fact));
    facts
}

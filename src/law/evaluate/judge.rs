use super::Truth;
use super::alike::{Alike, LOOKS_CAP, Start, Trail};
use super::cuts::Cuts;
use super::finish::{lean_on, places};
use super::ground::Ground;
use super::machine::Machine;
use super::memo::Memo;
use super::moment::Now;
use super::quick::Quick;
use super::reader::{Careful, Giant, Noting};
use super::rule::Ruling;
use super::search::{Search, Settled};
use crate::hash::ShortSet;
use crate::law::code::{Code, Rule, RuleId, Stage};
use crate::law::verdict::{Lean, Missing, Outcome, Verdict};
use crate::parallel;
use crate::shop::{ItemRef, Shop};
use crate::words::{Kind, name};

/// What to judge.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Rules of these stages only; none is every stage.
    pub stages: Option<Vec<Stage>>,
    /// These rules only; none is every rule.
    pub rules: Option<Vec<RuleId>>,
    /// Passes are only counted: what they lean on, nearly half of judging the demo, is not looked for.
    pub counts_passes: bool,
}

/// Meets every rule on every item that it is for, in the order of the rules and of the plan. No rule's verdicts
/// hang on another's, so a large shop is judged on every core, each with its share of the rules.
pub fn judge(code: &Code, shop: &Shop, options: &Options) -> Vec<Verdict> {
    let is_asked = |id: &RuleId, rule: &Rule| {
        options.rules.as_ref().is_none_or(|rules| rules.contains(id))
            && options.stages.as_ref().is_none_or(|stages| stages.contains(&rule.stage))
    };
    let all = code.rules.iter().enumerate().map(|(number, rule)| (RuleId(number as u32), rule));
    let asked: Vec<(RuleId, &Rule)> = all.filter(|(id, rule)| is_asked(id, rule)).collect();
    let parts = parallel::parts(Kind::ALL.into_iter().map(|kind| shop.count(kind)).sum());
    let firsts: Vec<usize> = (0..parts).collect();
    let mut found = parallel::map(&firsts, |first| {
        let mut judge = Judge::new(code, shop);
        judge.counts_passes = options.counts_passes;
        let own = asked.iter().skip(*first).step_by(parts);
        let verdicts = own.map(|(id, rule)| {
            let mut verdicts = Vec::new();
            judge.rule(*id, rule, &mut verdicts);
            verdicts
        });
        verdicts.collect::<Vec<_>>().into_iter()
    });
    let in_turn = (0..asked.len()).filter_map(|number| found.get_mut(number % parts)?.next());
    in_turn.flatten().collect()
}

/// Judges one shop by one pack and remembers what formulas gave.
pub struct Judge<'a> {
    ground: Ground<'a>,
    memo: Memo,
    trial: Memo,
    /// Of the rule that is judged, once it is needed.
    cuts: Option<Cuts>,
    /// Searches of the rule that is judged, where it meets several items and no word that a formula gives was
    /// stated: what was stated is not looked at.
    alike: Option<Alike>,
    has_stated_formula: bool,
    counts_passes: bool,
    pub(super) caps: Caps,
    /// Of the caps, what each item gets that the rule meets.
    share: usize,
    named: usize,
    /// What all items share that the rule meets.
    giants: Vec<Giant>,
}

/// Most facts and rows that are read for trying the completions of one rule, in one moment: a rule that meets
/// thousands of items gets less for each, all the same, so that the order of lines never matters. With a
/// shop's dozen or two of items it is not felt.
const RULE_WORK_CAP: usize = 4_000_000;

/// Most missing facts that are named of one rule: where thousands of circuits each hang on the load of the same
/// panel, with thousands of loads not said, naming all at each would take their number times itself. A rule that
/// meets a thousand items names two thousand at each, more than anybody goes through.
const RULE_NAMED_CAP: usize = 2_000_000;

/// How much one rule may cost. Only tests have others than these.
#[derive(Clone, Copy, Debug)]
pub(super) struct Caps {
    pub work: usize,
    pub named: usize,
    pub looks: usize,
}

const CAPS: Caps = Caps { work: RULE_WORK_CAP, named: RULE_NAMED_CAP, looks: LOOKS_CAP };

/// A rule met on an item in one moment, with what is behind it.
struct Tried {
    now: Now,
    settled: Settled,
    /// Whether an assumption or claim was read.
    is_weak: bool,
}

impl<'a> Judge<'a> {
    /// For one shop and one pack.
    pub fn new(code: &'a Code, shop: &'a Shop) -> Judge<'a> {
        let ground = Ground::for_judging(code, shop);
        let (memo, trial) = (Memo::new(), Memo::new());
        let has_stated_formula = shop.sources().any(|(kind, name, _)| code.define_of(kind, name).is_some());
        Judge {
            ground,
            memo,
            trial,
            cuts: None,
            alike: None,
            has_stated_formula,
            counts_passes: false,
            caps: CAPS,
            share: CAPS.work,
            named: CAPS.named,
            giants: Vec::new(),
        }
    }

    /// What a rule gives for items by plain three-valued logic, in the first possible edition: the
    /// part of judging that runs for every item. For benches.
    pub fn quick_outcomes(&mut self, rule: RuleId, items: &[ItemRef], mut each: impl FnMut(Outcome)) {
        let rule = self.ground.code.rules.get(rule.0 as usize);
        let now = self.ground.moments.that_matter(false, false).next();
        if let (Some(rule), Some(now)) = (rule, now) {
            let mut machine = Machine::new(&self.ground, now, Quick::default(), &mut self.memo, None);
            items.iter().for_each(|item| each(machine.rule(rule, *item, Truth::Yes).outcome));
        }
    }

    pub(super) fn rule(&mut self, id: RuleId, rule: &Rule, verdicts: &mut Vec<Verdict>) {
        self.cuts = None;
        let subjects = self.subjects(rule);
        if subjects.is_empty() {
            verdicts.extend(self.waiting(id, rule));
            return;
        }
        let moments: Vec<Now> = self.ground.moments.that_matter(rule.turns_on_edition, rule.turns_on_day).collect();
        self.share = self.caps.work / subjects.len();
        self.named = (self.caps.named / subjects.len()).max(1);
        self.giants.clear();
        self.trial.forget_giants();
        self.alike = (subjects.len() > 1 && !self.has_stated_formula).then(Alike::default);
        verdicts.reserve(subjects.len());
        let mut tried = Vec::with_capacity(moments.len());
        for (item, belongs) in subjects {
            tried.clear();
            tried.extend(moments.iter().map(|now| self.moment(rule, item, belongs, *now)));
            verdicts.push(self.item(id, rule, (item, belongs), &tried));
        }
    }

    #[cfg(test)]
    pub(super) fn take_none_as_alike(&mut self) {
        self.has_stated_formula = true;
    }

    /// How many verdicts of the last rule came from an item that is alike.
    #[cfg(test)]
    pub(super) fn count_of_alike(&self) -> usize {
        self.alike.as_ref().map_or(0, |alike| alike.found.get())
    }

    /// How many results of the last rule all its items shared.
    #[cfg(test)]
    pub(super) fn count_of_giants(&self) -> usize {
        self.giants.len()
    }

    /// An item the quick way, and whether an assumption or claim was read.
    fn quick(&mut self, rule: &Rule, item: ItemRef, belongs: Truth, now: Now) -> (Ruling, bool) {
        // What needs better evidence is met with care only.
        if !rule.evidence.is_empty() {
            return (Ruling::unknown(), true);
        }
        let mut machine = Machine::new(&self.ground, now, Quick::default(), &mut self.memo, None);
        (machine.rule(rule, item, belongs), machine.reader.is_weak)
    }

    fn verdict(&self, rule: RuleId, item: ItemRef, outcome: Outcome) -> Verdict {
        Verdict {
            rule,
            item,
            outcome,
            parts: Vec::new(),
            exception: None,
            missing: Vec::new(),
            leans_on: Vec::new(),
            worlds: Vec::new(),
            place: self.ground.shop.head(item).place,
            also: Vec::new(),
        }
    }

    /// The items that a rule is for, and whether they are in its list.
    fn subjects(&mut self, rule: &Rule) -> Vec<(ItemRef, Truth)> {
        let shop = self.ground.shop;
        let Some(within) = &rule.within else {
            return rule.kinds.iter().flat_map(|kind| shop.items(kind)).map(|item| (item, Truth::Yes)).collect();
        };
        let Some(now) = self.ground.moments.that_matter(false, false).next() else { return Vec::new() };
        let mut machine = Machine::new(&self.ground, now, Quick::default(), &mut self.memo, None);
        let Some(list) = machine.members(within).list else { return Vec::new() };
        let sure = list.sure.iter().map(|item| (*item, Truth::Yes));
        let possible = list.possible.iter().map(|item| (*item, Truth::Unknown));
        sure.chain(possible).filter(|(item, _)| rule.kinds.has(item.kind)).collect()
    }

    /// A rule that meets nothing is unknown while a list that it awaits may have more members.
    fn waiting(&mut self, id: RuleId, rule: &Rule) -> Option<Verdict> {
        let moments: Vec<Now> = self.ground.moments.that_matter(rule.turns_on_edition, rule.turns_on_day).collect();
        let now = *moments.iter().find(|now| now.is_in(&rule.bounds))?;
        let mut machine = Machine::new(&self.ground, now, Quick::default(), &mut self.memo, None);
        let mut missing = Vec::new();
        for (owner, name) in &rule.awaits {
            let Some(item) = machine.item(owner) else { continue };
            if machine.members_of((item, *name)).is_open {
                missing.push(Missing { item, name: *name });
            }
        }
        let item = missing.first()?.item;
        Some(Verdict { missing, ..self.verdict(id, item, Outcome::Unknown) })
    }

    /// One verdict from what each possible moment gives.
    fn item(&mut self, id: RuleId, rule: &Rule, (item, belongs): (ItemRef, Truth), tried: &[Tried]) -> Verdict {
        let outcome = combine(tried.iter().map(|t| t.settled.outcome));
        let differs = tried.windows(2).any(|pair| matches!(pair, [a, b] if a.settled.outcome != b.settled.outcome));
        let mut verdict = self.verdict(id, item, outcome);
        if outcome == Outcome::Unknown {
            verdict.missing = self.missing(rule, tried, differs);
        }
        if outcome == Outcome::Unknown && differs {
            verdict.worlds = tried.iter().map(|t| (t.now.world(rule.turns_on_day), t.settled.outcome)).collect();
        }
        if outcome != Outcome::Pass || !self.counts_passes {
            verdict.leans_on = self.leans(rule, (item, belongs), tried);
        }
        let Some(chosen) = tried.iter().find(|t| t.settled.outcome == outcome).or(tried.first()) else {
            return verdict;
        };
        let ruling = &chosen.settled.ruling;
        match outcome {
            Outcome::Attention | Outcome::Unknown => {
                let bits = if outcome == Outcome::Attention { ruling.failed } else { ruling.failed | ruling.open };
                verdict.parts = (0..rule.needs.len()).filter(|part| bits & (1u64 << (*part).min(63)) != 0).collect();
                places(&self.ground, &mut self.trial, rule, chosen.now, &mut verdict);
            }
            Outcome::Pass => verdict.exception = ruling.exception,
            Outcome::NotApplicable => {}
        }
        verdict
    }

    /// What one moment gives: what it gave for an item that is like this one, else the quick way, with care
    /// where that left something open or read an assumption.
    fn moment(&mut self, rule: &Rule, item: ItemRef, belongs: Truth, now: Now) -> Tried {
        let known = self.alike.as_ref().and_then(|alike| alike.find(&self.ground, (now, belongs, item)));
        let (settled, is_weak) = known.unwrap_or_else(|| {
            let (ruling, is_weak) = self.quick(rule, item, belongs, now);
            if ruling.outcome == Outcome::Unknown {
                self.completed(rule, (now, belongs, item), is_weak)
            } else {
                (Settled { outcome: ruling.outcome, ruling, missing: Vec::new(), ordinary: Vec::new() }, is_weak)
            }
        });
        Tried { now, settled, is_weak }
    }

    /// What one verdict leans on, each once.
    fn leans(&mut self, rule: &Rule, subject: (ItemRef, Truth), tried: &[Tried]) -> Vec<Lean> {
        let mut leans = Vec::new();
        for Tried { now, settled, is_weak } in tried {
            for (item, name) in &settled.ordinary {
                let lean = Lean::Ordinary(*item, *name);
                if !leans.contains(&lean) {
                    leans.push(lean);
                }
            }
            if *is_weak && settled.outcome != Outcome::NotApplicable {
                let trial = (&mut self.trial, &self.memo);
                lean_on(&self.ground, trial, rule, subject, *now, settled.outcome, &mut leans);
            }
        }
        leans
    }

    /// What comes of trying completions.
    fn completed(&mut self, rule: &Rule, (now, belongs, item): Start, is_weak: bool) -> (Settled, bool) {
        let Judge { ground, trial, cuts, alike, caps, share, named, giants, .. } = self;
        let cuts = cuts.get_or_insert_with(|| Cuts::of(ground.code, rule));
        let mut reader = Careful::new(&rule.evidence, &rule.presumed, Noting::Undecided);
        reader.trail = alike.is_some().then(|| Trail::within(caps.looks));
        (reader.share, reader.named, reader.giants) = (*share, *named, std::mem::take(giants));
        let mut machine = Machine::new(ground, now, reader, trial, None);
        let mut settled = Search::new(&mut machine, (rule, cuts), item, belongs).within(*share).run();
        settled.missing.truncate(*named);
        *giants = std::mem::take(&mut machine.reader.giants);
        if let (Some(alike), Some(trail)) = (alike, &machine.reader.trail) {
            alike.keep(ground, (now, belongs, item), trail, (&settled, is_weak));
        }
        (settled, is_weak)
    }

    fn missing(&self, rule: &Rule, tried: &[Tried], told_apart: bool) -> Vec<Missing> {
        let mut seen = ShortSet::default();
        let all = tried.iter().flat_map(|t| &t.settled.missing).copied();
        // One moment names each fact once.
        let mut missing: Vec<Missing> = all.filter(|fact| tried.len() == 1 || seen.insert(*fact)).collect();
        if told_apart {
            let differ = |same: fn(&Now) -> usize| {
                tried.iter().enumerate().any(|(i, a)| {
                    let others = tried.iter().skip(i + 1);
                    others.into_iter().any(|b| same(&a.now) == same(&b.now) && a.settled.outcome != b.settled.outcome)
                })
            };
            let by_edition = rule.turns_on_edition && !self.ground.moments.has_one_edition();
            let by_day = rule.turns_on_day && !self.ground.moments.has_one_stretch();
            if by_day && differ(|now| now.edition_index) {
                missing.insert(0, Missing { item: Shop::PERMIT, name: name::DATE });
            }
            if by_edition && differ(|now| now.day_index) {
                missing.insert(0, Missing { item: Shop::PERMIT, name: name::EDITION });
            }
        }
        missing
    }
}

impl Ruling {
    /// Before anything was looked at.
    fn unknown() -> Ruling {
        Ruling {
            outcome: Outcome::Unknown,
            applies: Truth::Unknown,
            failed: 0,
            open: 0,
            exception: None,
            is_presuming: false,
        }
    }
}

/// One outcome for several possible moments: nothing to do in any is a pass, or not applicable;
/// else they have to agree.
fn combine(outcomes: impl Iterator<Item = Outcome>) -> Outcome {
    outcomes
        .reduce(|a, b| match (a, b) {
            (a, b) if a == b => a,
            (Outcome::Pass, Outcome::NotApplicable) | (Outcome::NotApplicable, Outcome::Pass) => Outcome::Pass,
            _ => Outcome::Unknown,
        })
        .unwrap_or(Outcome::NotApplicable)
}

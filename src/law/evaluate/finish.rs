use super::Truth;
use super::ground::Ground;
use super::machine::Machine;
use super::memo::Memo;
use super::moment::Now;
use super::reader::{Careful, Fact, Noting};
use crate::law::code::Rule;
use crate::law::verdict::{Lean, Outcome, Verdict};
use crate::shop::{How, ItemRef, Shop};
use crate::text::Span;

/// Most further places that a finding shows.
const ALSO_CAP: usize = 8;

/// Where a finding points, and what else decided it: the first of `points` that somebody stated,
/// else what was stated of the facts that the failing parts read, else the item itself.
pub(in crate::law) fn places(ground: &Ground, trial: &mut Memo, rule: &Rule, now: Now, verdict: &mut Verdict) {
    let mut found: Vec<Span> = Vec::new();
    let mut add = |place: Span| {
        if place != Span::default() && !found.contains(&place) {
            found.push(place);
        }
    };
    trial.forget();
    let reader = Careful::new(&[], &[], Noting::Stated);
    let mut machine = Machine::new(ground, now, reader, trial, None);
    machine.enter_rule(rule.slots.max(1), verdict.item);
    for (owner, name) in &rule.points {
        let fact = machine.item(owner).map(|item| (item, *name)).filter(|fact| ground.is_stated(*fact));
        if let Some((item, name)) = fact {
            add(ground.shop.source(item, name).place);
            break;
        }
    }
    for missing in &verdict.missing {
        let source = ground.shop.source(missing.item, missing.name);
        if matches!(source.how, How::Unread | How::Conflict) {
            add(source.place);
        }
    }
    if verdict.outcome == Outcome::Attention {
        machine.reader.clear();
        for part in verdict.parts.iter().filter_map(|part| rule.needs.get(*part)) {
            machine.test(&part.test);
        }
        for note in &machine.reader.notes {
            add(ground.shop.source(note.fact.0, note.fact.1).place);
        }
    }
    let mut found = found.into_iter();
    if let Some(first) = found.next() {
        verdict.place = first;
        verdict.also = found.take(ALSO_CAP).collect();
    }
}

/// The assumptions and claims without which an outcome would not stand: each is taken away in turn,
/// and stays away where the outcome stands without it. For an unknown, all that were read.
pub(in crate::law) fn lean_on(
    ground: &Ground,
    (trial, base): (&mut Memo, &Memo),
    rule: &Rule,
    (item, belongs): (ItemRef, Truth),
    now: Now,
    outcome: Outcome,
    leans: &mut Vec<Lean>,
) {
    let reader = Careful::new(&rule.evidence, &rule.presumed, Noting::Weak);
    let mut machine = Machine::new(ground, now, reader, trial, Some(base));
    let mut read = |masked: Vec<Fact>| {
        machine.reader.masked = masked;
        machine.reader.clear();
        machine.memo.forget();
        let ruling = machine.rule(rule, item, belongs);
        let mut facts: Vec<Fact> = Vec::new();
        for note in &machine.reader.notes {
            if !facts.contains(&note.fact) {
                facts.push(note.fact);
            }
        }
        (ruling.outcome, facts)
    };
    let (mut masked, mut kept): (Vec<Fact>, Vec<Fact>) = (Vec::new(), Vec::new());
    let (first, mut facts) = read(Vec::new());
    if outcome == Outcome::Unknown || first != outcome {
        // An unknown, or one that only its completions settle: whatever it read may count.
        kept = facts;
    } else {
        while let Some(fact) = facts.iter().find(|f| !masked.contains(*f) && !kept.contains(*f)).copied() {
            let without = masked.iter().copied().chain([fact]).collect();
            let (outcome_without, facts_without) = read(without);
            if outcome_without == outcome {
                masked.push(fact);
                facts = facts_without;
            } else {
                kept.push(fact);
            }
        }
    }
    for (item, name) in kept {
        let lean = lean_of(ground.shop, (item, name));
        if !leans.contains(&lean) {
            leans.push(lean);
        }
    }
}

/// What stands in a verdict for a weak fact.
pub(in crate::law) fn lean_of(shop: &Shop, (item, name): Fact) -> Lean {
    let source = shop.source(item, name);
    match source.claim {
        Some(claim) => Lean::Claim(claim),
        None => Lean::Assumed(item, name, source.place),
    }
}

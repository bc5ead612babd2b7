use super::message::moment_of;
use super::tree::{Teller, rule_of};
use crate::law::code::Code;
use crate::law::evaluate::Truth;
use crate::law::evaluate::ground::Ground;
use crate::law::evaluate::memo::Memo;
use crate::law::verdict::Verdict;
use crate::shop::Shop;

/// The edits of layers that a verdict rests on, by their numbers, and whether each counts for its
/// item: unknown where that hangs on what the plan doesn't say. Those that don't count are left out.
pub fn edits_of(code: &Code, shop: &Shop, verdict: &Verdict) -> Vec<(u32, Truth)> {
    let Some(rule) = rule_of(code, verdict.rule).filter(|rule| !rule.touched.is_empty()) else { return Vec::new() };
    let ground = Ground::new(code, shop);
    let mut memo = Memo::new();
    let Some(now) = moment_of(&ground, rule, verdict) else { return Vec::new() };
    let mut teller = Teller::new(&ground, &mut memo, now, rule);
    teller.enter_rule(rule, verdict.item);
    let counts = rule
        .touched
        .iter()
        .map(|(edit, when)| (*edit, when.as_ref().map_or(Truth::Yes, |when| teller.machine.test(when))));
    counts.filter(|(_, truth)| *truth != Truth::No).collect()
}

use super::message::moment_of;
use super::tree::{Teller, rule_of};
use crate::law::code::{Code, Number, Test, TestNode};
use crate::law::evaluate::ground::Ground;
use crate::law::evaluate::memo::Memo;
use crate::law::syntax::Comparison;
use crate::law::verdict::Verdict;
use crate::quantity::{Dimension, Rational, Scale};
use crate::shop::Shop;

/// Finds what passes with nothing to spare, in one shop: what formulas gave is kept from one verdict to the next.
pub struct Limits<'a> {
    ground: Ground<'a>,
    memo: Memo,
}

impl<'a> Limits<'a> {
    /// For the verdicts of one shop and pack.
    pub fn new(code: &'a Code, shop: &'a Shop) -> Limits<'a> {
        Limits { ground: Ground::new(code, shop), memo: Memo::new() }
    }

    /// Measured quantities that a passing rule meets exactly at a limit: `21 in3 of 21 in3`. Ratings
    /// and counts are left out: they are steps, and meeting one is what they are for.
    pub fn met(&mut self, verdict: &Verdict) -> Vec<String> {
        let Some(rule) = rule_of(self.ground.code, verdict.rule) else { return Vec::new() };
        // Most rules hold nothing against a limit.
        if !rule.needs.iter().any(|part| has_limit(&part.test)) {
            return Vec::new();
        }
        let Some(now) = moment_of(&self.ground, rule, verdict) else { return Vec::new() };
        let mut teller = Teller::new(&self.ground, &mut self.memo, now, rule);
        teller.enter_rule(rule, verdict.item);
        let mut met = Vec::new();
        for part in rule.needs.iter().filter(|part| now.is_in(&part.bounds)) {
            collect(&mut teller, &part.test, &mut met);
        }
        met.dedup();
        met
    }
}

/// Whether [`collect`] would look at anything.
fn has_limit(test: &Test) -> bool {
    match &test.node {
        TestNode::All(tests) => tests.iter().any(has_limit),
        TestNode::Compare(Comparison::AtMost | Comparison::AtLeast, _, _, scale) => is_measured(*scale),
        TestNode::Within(_, _, scale) => is_measured(*scale),
        _ => false,
    }
}

fn collect(teller: &mut Teller<'_, '_, '_>, test: &Test, met: &mut Vec<String>) {
    match &test.node {
        TestNode::All(tests) => tests.iter().for_each(|test| collect(teller, test, met)),
        TestNode::Compare(Comparison::AtMost | Comparison::AtLeast, left, right, scale) if is_measured(*scale) => {
            met.extend(touching(teller, left, right, *scale));
        }
        TestNode::Within(number, limit, scale) if is_measured(*scale) => {
            let now = teller.machine.now;
            if let Some((_, ends)) = limit.steps.iter().rev().find(|(bounds, _)| now.is_in(bounds)) {
                let ends = [&ends.low, &ends.high].into_iter().flatten();
                met.extend(ends.filter_map(|end| touching(teller, number, end, *scale)).collect::<Vec<_>>());
            }
        }
        _ => {}
    }
}

/// Both known and the same, and not nothing at all.
fn touching(teller: &mut Teller<'_, '_, '_>, a: &Number, b: &Number, scale: Scale) -> Option<String> {
    let a = teller.machine.number(a).point()?;
    let b = teller.machine.number(b).point()?;
    (a == b && a != Rational::ZERO).then(|| format!("{} of {}", scale.show(a), scale.show(b)))
}

fn is_measured(scale: Scale) -> bool {
    [Dimension::LENGTH, Dimension::AREA, Dimension::VOLUME, Dimension::ANGLE].map(Scale::Ratio).contains(&scale)
}

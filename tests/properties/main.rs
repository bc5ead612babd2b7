//! What must hold of every rule and every plan, tried on small ones made at random.
//!
//! `fragment` makes rules, `reference` judges complete shops the obvious way. Where a plan leaves
//! things open, the reference fills them in in every way; the evaluator has to agree with all of them.

mod fragment;
mod order;
mod pack;
mod plans;
mod reference;

use fragment::{Cond, Fragment, Num, RARE, code, fragment as any_fragment};
use proptest::prelude::*;
use reference::{Facts, completions, facts as any_facts, outcome, receptacle, shop, that_matter};
use ringout::law::code::Code;
use ringout::law::verdict::{Lean, Outcome, Verdict};
use ringout::law::{Options, judge};

/// The verdict at the first receptacle.
fn verdict(code: &Code, facts: &Facts) -> Verdict {
    let verdicts = judge(code, &shop(code, facts), &Options::default());
    verdicts.into_iter().find(|v| v.item == receptacle(0)).unwrap()
}

/// Pass and not applicable are both "nothing to do".
fn is_fine(outcome: Outcome) -> bool {
    matches!(outcome, Outcome::Pass | Outcome::NotApplicable)
}

/// Whether the verdict presumes that the first receptacle is ordinary.
fn presumes(verdict: &Verdict) -> bool {
    verdict.leans_on.iter().any(|lean| matches!(lean, Lean::Ordinary(..)))
}

/// 100 cases unless `PROPTEST_CASES` asks for more.
fn config() -> ProptestConfig {
    let asked = std::env::var("PROPTEST_CASES").is_ok();
    let default = ProptestConfig::default();
    ProptestConfig { cases: if asked { default.cases } else { 100 }, failure_persistence: None, ..default }
}

proptest! {
    #![proptest_config(config())]

    /// A decided verdict is what every completion gives; an assumption of the ordinary is held to be true.
    #[test]
    fn decided_means_whatever_is_filled_in(fragment in any_fragment(true, true), facts in any_facts(true)) {
        let code = code(&fragment);
        let verdict = verdict(&code, &facts);
        let presumes = presumes(&verdict);
        for full in completions(&facts).iter().filter(|f| !presumes || !f.receptacles[0].rare) {
            let wanted = outcome(&fragment, full);
            match verdict.outcome {
                Outcome::Unknown => {}
                Outcome::Attention => prop_assert_eq!(wanted, Outcome::Attention, "{:?}", full),
                Outcome::Pass => prop_assert!(is_fine(wanted), "{:?}", full),
                Outcome::NotApplicable => prop_assert_eq!(wanted, Outcome::NotApplicable, "{:?}", full),
            }
        }
    }

    /// Where every fact has few values, an unknown means that completions differ, and what is
    /// missing is what makes the difference: no more and no less.
    #[test]
    fn unknown_is_tight(fragment in any_fragment(false, false), mut facts in any_facts(false)) {
        facts.receptacles.iter_mut().for_each(|known| known.rare = Some(known.rare.unwrap_or(false)));
        let code = code(&fragment);
        let verdict = verdict(&code, &facts);
        let full = completions(&facts);
        let fine = full.iter().filter(|f| is_fine(outcome(&fragment, f))).count();
        let wanted = if fine == full.len() { "fine" } else if fine == 0 { "attention" } else { "unknown" };
        let got = match verdict.outcome {
            Outcome::Pass | Outcome::NotApplicable => "fine",
            Outcome::Attention => "attention",
            Outcome::Unknown => "unknown",
        };
        prop_assert_eq!(got, wanted);
        let mut missing = verdict.missing.clone();
        missing.sort();
        let mut matter = that_matter(&fragment, &code, &facts);
        matter.sort();
        prop_assert_eq!(missing, matter);
    }

    /// Leaving a fact out never turns pass into attention or back, unless the fact contradicts what
    /// the verdict says that it presumes.
    #[test]
    fn a_new_fact_never_turns_a_verdict(fragment in any_fragment(true, true), facts in any_facts(true)) {
        let code = code(&fragment);
        let with = verdict(&code, &facts);
        for fewer in without_one(&facts) {
            let less = verdict(&code, &fewer);
            if is_fine(with.outcome) && less.outcome == Outcome::Attention {
                prop_assert!(presumes(&less) && facts.receptacles[0].rare == Some(true), "{:?}", fewer);
            }
            if with.outcome == Outcome::Attention {
                prop_assert!(!is_fine(less.outcome), "{:?}", fewer);
            }
        }
    }

    /// The order of `and`, `or`, `least of` and of the parts never matters.
    #[test]
    fn order_does_not_matter(fragment in any_fragment(true, true), facts in any_facts(true)) {
        let (a, b) = (verdict(&code(&fragment), &facts), verdict(&code(&turned(&fragment)), &facts));
        prop_assert_eq!(a.outcome, b.outcome);
    }
}

/// The same facts with one taken away, in every way.
fn without_one(facts: &Facts) -> Vec<Facts> {
    let mut all = Vec::new();
    let mut without = |change: &dyn Fn(&mut Facts)| {
        let mut fewer = facts.clone();
        change(&mut fewer);
        all.push(fewer);
    };
    for index in 0..facts.receptacles.len() {
        for flag in 0..3 {
            without(&|f| f.receptacles[index].flags[flag] = None);
        }
        without(&|f| f.receptacles[index].bay = None);
        without(&|f| f.receptacles[index].rare = None);
        without(&|f| f.receptacles[index].cover = 0b1111);
        without(&|f| f.receptacles[index].amps = (None, None));
        without(&|f| f.receptacles[index].amps.1 = None);
    }
    without(&|f| f.is_open = true);
    without(&|f| f.edition = None);
    all
}

/// The same rule with every order turned round.
fn turned(fragment: &Fragment) -> Fragment {
    let parts = fragment.needs.len();
    let mut turned = Fragment {
        terms: fragment.terms.iter().map(turned_cond).collect(),
        wheres: fragment.wheres.iter().map(turned_cond).rev().collect(),
        needs: fragment.needs.iter().map(|(c, turns)| (turned_cond(c), *turns)).rev().collect(),
        excepts: fragment.excepts.iter().map(|(c, part)| (turned_cond(c), *part)).rev().collect(),
    };
    for (_, part) in &mut turned.excepts {
        // A part keeps its exceptions; one that frees no part of this rule goes on freeing none.
        *part = part.map(|p| if p < parts { parts - 1 - p } else { p });
    }
    turned
}

fn turned_cond(condition: &Cond) -> Cond {
    let all = |parts: &[Cond]| parts.iter().map(turned_cond).rev().collect();
    match condition {
        Cond::And(parts) => Cond::And(all(parts)),
        Cond::Or(parts) => Cond::Or(all(parts)),
        Cond::Not(inner) => Cond::Not(Box::new(turned_cond(inner))),
        Cond::If(parts) => Cond::If(Box::new([turned_cond(&parts[0]), turned_cond(&parts[1]), turned_cond(&parts[2])])),
        Cond::Quantified { is_all, filter, body } => Cond::Quantified {
            is_all: *is_all,
            filter: filter.as_ref().map(|f| Box::new(turned_cond(f))),
            body: Box::new(turned_cond(body)),
        },
        Cond::Compare(c, a, b) => Cond::Compare(*c, turned_num(a), turned_num(b)),
        Cond::Fits(who, most) => Cond::Fits(*who, turned_num(most)),
        Cond::Is(..) | Cond::HasBay(_) | Cond::Rare | Cond::OneOf(..) | Cond::Term(..) => condition.clone(),
    }
}

fn turned_num(num: &Num) -> Num {
    match num {
        Num::Plus(pair) => Num::Plus(Box::new([turned_num(&pair[1]), turned_num(&pair[0])])),
        Num::Least(candidates) => Num::Least(candidates.iter().map(turned_num).rev().collect()),
        Num::Largest(candidates) => Num::Largest(candidates.iter().map(turned_num).rev().collect()),
        Num::If(parts) => Num::If(Box::new((turned_cond(&parts.0), turned_num(&parts.1), turned_num(&parts.2)))),
        Num::Constant(_) | Num::Amps(_) | Num::Row(_) | Num::Count(_) | Num::Sum(_) => num.clone(),
    }
}

/// The rare word is one that the fragments' vocabulary knows, else exceptions would test nothing.
#[test]
fn the_rare_word_is_known() {
    let made = code(&Fragment { terms: vec![], wheres: vec![], needs: vec![(Cond::Rare, false)], excepts: vec![] });
    assert!(made.vocabulary.name(RARE).is_some());
}

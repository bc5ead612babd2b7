//! The same promises over the demo plans and all built-in rules: facts are left out one at a time.

use ringout::law::verdict::{Lean, Outcome, Verdict};
use ringout::law::{Options, judge};
use ringout::shop::{How, ItemRef, Shop, Source, Value, build};
use ringout::text::FileId;
use ringout::words::{Kind, NameId};
use ringout::{Rules, plan, wiring};
use std::collections::HashMap;

const PLANS: [(&str, &str); 3] = [
    ("larkspur", include_str!("../../examples/larkspur.shop")),
    ("sound", include_str!("../../examples/sound.shop")),
    ("half-known", include_str!("../../examples/half-known.shop")),
];

/// Every how many facts of a plan one is left out, so that the test takes seconds; `PROPTEST_CASES`
/// leaves out each.
fn stride() -> usize {
    if std::env::var("PROPTEST_CASES").is_ok() { 1 } else { 97 }
}

/// What was stated of things that a plan names. What topology makes is left to topology.
fn stated(rules: &Rules, shop: &Shop) -> Vec<(ItemRef, NameId)> {
    let made = [Kind::Entry, Kind::Conductor];
    let items = Kind::ALL.into_iter().filter(|kind| !made.contains(kind)).flat_map(|kind| shop.items(kind));
    let names = || (0..rules.code.vocabulary.name_count()).map(|n| NameId(n as u16));
    let facts = items.flat_map(|item| names().map(move |name| (item, name)));
    facts.filter(|(item, name)| shop.source(*item, *name).how == How::Planned).collect()
}

/// Verdicts by rule and item; items that topology makes have no name that lasts, so they are left out.
fn verdicts(rules: &Rules, mut shop: Shop) -> HashMap<(u32, ItemRef), Verdict> {
    wiring::complete(&mut shop);
    let lasts = |v: &Verdict| !matches!(v.item.kind, Kind::Entry | Kind::Conductor);
    let all = judge(&rules.code, &shop, &Options::default()).into_iter().filter(lasts);
    all.map(|v| ((v.rule.0, v.item), v)).collect()
}

/// Leaving a stated fact out never turns pass into attention or back, unless the verdict without it
/// says that it presumes the opposite.
#[test]
fn a_fact_left_out_never_turns_a_verdict() {
    let rules = Rules::builtin();
    let mut turned = Vec::new();
    for (plan_name, text) in PLANS {
        let read = plan::read(FileId(999), text);
        let whole = build(&read, &[], &[], rules.code.vocabulary.clone());
        let with = verdicts(&rules, whole.clone());
        for (item, name) in stated(&rules, &whole).into_iter().step_by(stride()) {
            let mut fewer = whole.clone();
            fewer.set(item, name, Value::Unknown, Source::default());
            for (key, without) in verdicts(&rules, fewer) {
                let Some(with) = with.get(&key) else { continue };
                let is_fine = |o: Outcome| matches!(o, Outcome::Pass | Outcome::NotApplicable);
                let presumes = without.leans_on.contains(&Lean::Ordinary(item, name));
                let turns = is_fine(with.outcome) && without.outcome == Outcome::Attention && !presumes
                    || with.outcome == Outcome::Attention && is_fine(without.outcome);
                if turns {
                    turned.push(format!(
                        "{plan_name}: {} at {}: {:?}, but {:?} without {} of {}",
                        rules.code.rules[key.0 as usize].name,
                        whole.called(key.1),
                        with.outcome,
                        without.outcome,
                        rules.code.vocabulary.text(name),
                        whole.called(item),
                    ));
                }
            }
        }
    }
    assert!(turned.is_empty(), "{}", turned.join("\n"));
}

/// Where passes are only counted, nothing is missing but what they lean on: the report in words is made of such
/// verdicts.
#[test]
fn counting_passes_changes_no_verdict() {
    let rules = Rules::builtin();
    for (plan_name, text) in PLANS {
        let read = plan::read(FileId(999), text);
        let mut shop = build(&read, &[], &[], rules.code.vocabulary.clone());
        wiring::complete(&mut shop);
        let whole = judge(&rules.code, &shop, &Options::default());
        let counted = judge(&rules.code, &shop, &Options { counts_passes: true, ..Options::default() });
        assert!(
            whole.iter().any(|v| v.outcome == Outcome::Pass && !v.leans_on.is_empty()),
            "{plan_name} shows nothing"
        );
        let wanted = whole.into_iter().map(|v| match v.outcome {
            Outcome::Pass => Verdict { leans_on: Vec::new(), ..v },
            _ => v,
        });
        assert_eq!(counted, wanted.collect::<Vec<_>>(), "{plan_name}");
    }
}

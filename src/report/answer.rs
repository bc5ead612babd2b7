use super::Answer;
use super::question::Gap;
use super::teller::Teller;
use super::text::listed;
use crate::law;
use crate::law::verdict::Outcome;

/// More answers than this aren't told apart.
const MOST_ANSWERS: usize = 8;
/// How many rules are named for one answer.
const RULES_SHOWN: usize = 3;

/// What each possible answer would do to the checks that wait for it. Where rules part the
/// possible values at different limits, each part is an answer of its own.
pub(super) fn answers(teller: &Teller<'_>, gap: &Gap<'_>) -> Vec<Answer> {
    let mut told: Vec<(String, Vec<(Outcome, String)>)> = Vec::new();
    for verdict in &gap.verdicts {
        let Some(rule) = teller.rule(verdict) else { continue };
        for change in law::what_would_change(teller.code, teller.shop(), verdict) {
            let is_ours = change.fact.is_some_and(|f| f.name == gap.name && f.item.kind == gap.kind);
            if !is_ours {
                continue;
            }
            let effect = (change.outcome, rule.name.clone());
            match told.iter_mut().find(|(answer, _)| *answer == change.answer) {
                Some((_, effects)) if effects.contains(&effect) => {}
                Some((_, effects)) => effects.push(effect),
                None => told.push((change.answer, vec![effect])),
            }
        }
    }
    // An answer that leaves all as it is helps nobody to decide what to look at.
    told.retain(|(_, effects)| effects.iter().any(|(outcome, _)| *outcome != Outcome::Unknown));
    if told.len() > MOST_ANSWERS {
        return Vec::new();
    }
    told.into_iter().map(|(text, effects)| Answer { text, effect: effect(&effects) }).collect()
}

/// `attention: gfci-shop; pass: feeder-size and 2 more`.
fn effect(effects: &[(Outcome, String)]) -> String {
    let kinds =
        [(Outcome::Attention, "attention"), (Outcome::Pass, "pass"), (Outcome::NotApplicable, "does not apply")];
    let parts = kinds.iter().filter_map(|(outcome, word)| {
        let rules: Vec<&str> = effects.iter().filter(|(o, _)| o == outcome).map(|(_, rule)| rule.as_str()).collect();
        (!rules.is_empty()).then(|| format!("{word}: {}", listed(&rules, RULES_SHOWN)))
    });
    parts.collect::<Vec<_>>().join("; ")
}

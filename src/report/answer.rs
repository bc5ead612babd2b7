use super::Answer;
use super::phrases;
use super::question::Gap;
use super::teller::Teller;
use super::text::listed;
use crate::law;
use crate::law::verdict::Outcome;
use crate::words::Type;

/// More answers than this aren't told apart.
const MOST_ANSWERS: usize = 8;
/// How many rules are named for one answer.
const RULES_SHOWN: usize = 3;

/// What each possible answer would do to the checks that wait for it. Where rules part the
/// possible values at different limits, each part is an answer of its own. Where several facts
/// are asked for together, each answer says which one it is to; yes and no are said as the plan
/// says them.
pub(super) fn answers(teller: &Teller<'_>, gaps: &[Gap<'_>]) -> Vec<Answer> {
    gaps.iter().flat_map(|gap| answers_to(teller, gap, gaps.len() > 1)).collect()
}

fn answers_to(teller: &Teller<'_>, gap: &Gap<'_>, is_one_of_several: bool) -> Vec<Answer> {
    let mut told: Vec<(String, Vec<(Outcome, String)>)> = Vec::new();
    let is_yes_no = teller.code.vocabulary.word(gap.kind, gap.name).is_some_and(|w| w.ty == Type::YesNo);
    let said = if is_yes_no { phrases(&teller.code.vocabulary, gap.kind, gap.name) } else { Vec::new() };
    for verdict in &gap.verdicts {
        let Some(rule) = teller.rule(verdict) else { continue };
        for change in law::what_answers_give(teller.code, teller.shop(), verdict, (gap.kind, gap.name)) {
            let answer = match (said.as_slice(), change.answer.as_str()) {
                ([yes, ..], "yes") => yes.clone(),
                ([_, no, ..], "no") => no.clone(),
                (_, answer) if is_one_of_several => format!("{}: {answer}", change.what),
                (_, answer) => answer.to_string(),
            };
            let effect = (change.outcome, rule.name.clone());
            match told.iter_mut().find(|(known, _)| *known == answer) {
                Some((_, effects)) if effects.contains(&effect) => {}
                Some((_, effects)) => effects.push(effect),
                None => told.push((answer, vec![effect])),
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

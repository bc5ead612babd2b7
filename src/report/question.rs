use super::answer::answers;
use super::teller::Teller;
use super::{About, Question, text};
use crate::hash::{ShortMap, ShortSet};
use crate::law;
use crate::law::code::{RuleId, Stage};
use crate::law::verdict::{Missing, Outcome, Verdict};
use crate::shop::ItemRef;
use crate::text::Span;
use crate::words::{Kind, NameId};
use std::collections::{BTreeMap, BTreeSet};

/// What is to be found out: one word of one kind, for all the items that it is missing for.
pub(super) struct Gap<'a> {
    pub kind: Kind,
    pub name: NameId,
    /// In the order of the plan, each once.
    pub items: Vec<ItemRef>,
    /// Checks that could turn on it.
    pub verdicts: Vec<&'a Verdict>,
}

impl Gap<'_> {
    pub fn facts(&self) -> impl Iterator<Item = Missing> {
        self.items.iter().map(|item| Missing { item: *item, name: self.name })
    }
}

/// How many items a question names.
const NAMES_SHOWN: usize = 6;
/// More facts than this aren't asked for in one breath.
const MOST_FACTS: usize = 4;

/// The questions behind every unknown: each missing fact once, what is to be found out in one
/// place together, the one that settles most rules first, at a tie the one whose work is covered
/// up first. `with_answers` adds what each possible answer would do.
pub(super) fn questions(teller: &Teller<'_>, with_answers: bool) -> Vec<Question> {
    let mut gaps: Vec<(Weight, Gap<'_>)> = gaps(teller).into_iter().map(|gap| (weight(teller, &gap), gap)).collect();
    #[allow(clippy::unnecessary_sort_by, reason = "the key borrows from what is sorted")]
    gaps.sort_by(|(a, _), (b, _)| a.cmp(b));
    let together = together(teller, gaps.into_iter().map(|(_, gap)| gap));
    together
        .iter()
        .enumerate()
        .map(|(i, gaps)| {
            let mut question = question(teller, gaps);
            question.letter = letter(i);
            if with_answers {
                question.answers = answers(teller, gaps);
            }
            question
        })
        .collect()
}

fn rules_of(gap: &Gap<'_>) -> BTreeSet<RuleId> {
    // Verdicts of one rule come one after the other.
    let mut rules: Vec<RuleId> = gap.verdicts.iter().map(|v| v.rule).collect();
    rules.dedup();
    rules.into_iter().collect()
}

/// What a question is sorted by, the weightiest first.
type Weight = (std::cmp::Reverse<usize>, Stage, std::cmp::Reverse<usize>, Option<Span>);

fn weight(teller: &Teller<'_>, gap: &Gap<'_>) -> Weight {
    let rules = rules_of(gap);
    let stages = rules.iter().filter_map(|id| teller.code.rules.get(id.0 as usize)).map(|rule| rule.stage);
    let place = gap.facts().map(|fact| teller.answer_place(fact)).min();
    let stage = stages.min().unwrap_or(Stage::Final);
    (std::cmp::Reverse(rules.len()), stage, std::cmp::Reverse(gap.verdicts.len()), place)
}

/// Things that one look takes in whole: what stands at one place, and the papers.
const LOOKED_AT: [Kind; 9] = [
    Kind::Permit,
    Kind::Panel,
    Kind::Disconnect,
    Kind::Electrode,
    Kind::Box,
    Kind::Receptacle,
    Kind::Switch,
    Kind::Light,
    Kind::Equipment,
];

/// Puts a gap to an earlier one: of the same things, where the earlier one's checks hold all of its own
/// (who looks at the water pipe for one fact sees the others too); of whatever, where both only serve
/// one check; of one thing that a look takes in whole, where each settles one rule of the same stage.
fn together<'a>(teller: &Teller<'_>, gaps: impl Iterator<Item = Gap<'a>>) -> Vec<Vec<Gap<'a>>> {
    type Checks = ShortSet<(RuleId, ItemRef)>;
    let checks =
        |gaps: &[Gap<'_>]| -> Checks { gaps.iter().flat_map(|gap| &gap.verdicts).map(|v| (v.rule, v.item)).collect() };
    let mut all: Vec<Vec<Gap<'a>>> = Vec::new();
    // Made where somebody compares with them.
    let mut held: Vec<Option<Checks>> = Vec::new();
    let mut by_owners: BTreeMap<Vec<ItemRef>, Vec<usize>> = BTreeMap::new();
    let mut by_check: BTreeMap<(RuleId, ItemRef), usize> = BTreeMap::new();
    let mut by_look: BTreeMap<(ItemRef, Stage), usize> = BTreeMap::new();
    for gap in gaps {
        let mut owners: Vec<ItemRef> = gap.items.iter().map(|item| owner(teller, *item)).collect();
        owners.sort();
        owners.dedup();
        let alone = match gap.verdicts.as_slice() {
            [one] => Some((one.rule, one.item)),
            _ => None,
        };
        let rules: BTreeSet<RuleId> = rules_of(&gap);
        let stage = rules.first().and_then(|id| teller.code.rules.get(id.0 as usize)).map(|rule| rule.stage);
        let looked_at = owners.first().copied().filter(|o| owners.len() == 1 && LOOKED_AT.contains(&o.kind));
        let look = looked_at.zip(stage).filter(|_| rules.len() == 1);
        let known = by_owners.entry(owners).or_default();
        let has_room = |i: &usize| all.get(*i).is_some_and(|gaps| gaps.len() < MOST_FACTS);
        let holds_all = |i: &usize| {
            let (Some(gaps), Some(host)) = (all.get(*i), held.get_mut(*i)) else { return false };
            let host = host.get_or_insert_with(|| checks(gaps));
            gap.verdicts.iter().all(|v| host.contains(&(v.rule, v.item)))
        };
        let of_same = known.iter().copied().filter(has_room).find(holds_all);
        let of_check = alone.and_then(|check| by_check.get(&check).copied());
        let of_look = look.and_then(|look| by_look.get(&look).copied());
        match of_same.into_iter().chain(of_check).chain(of_look).find(has_room) {
            Some(i) => {
                if let (Some(gaps), Some(host)) = (all.get_mut(i), held.get_mut(i)) {
                    host.iter_mut().for_each(|host| host.extend(gap.verdicts.iter().map(|v| (v.rule, v.item))));
                    gaps.push(gap);
                }
            }
            None => {
                let i = all.len();
                known.push(i);
                if let Some(check) = alone {
                    by_check.insert(check, i);
                }
                if let Some(look) = look {
                    by_look.insert(look, i);
                }
                all.push(vec![gap]);
                held.push(None);
            }
        }
    }
    all
}

fn gaps<'a>(teller: &Teller<'a>) -> Vec<Gap<'a>> {
    let mut gaps: Vec<Gap<'a>> = Vec::new();
    let mut places: ShortMap<(Kind, NameId), usize> = ShortMap::default();
    // The same word of many items often comes in a row.
    let mut last: Option<((Kind, NameId), usize)> = None;
    for verdict in teller.checked.verdicts.iter().filter(|v| v.outcome == Outcome::Unknown) {
        for Missing { item, name } in &verdict.missing {
            let key = (item.kind, *name);
            let at = match last {
                Some((known, at)) if known == key => at,
                _ => *places.entry(key).or_insert(gaps.len()),
            };
            last = Some((key, at));
            if at == gaps.len() {
                gaps.push(Gap { kind: item.kind, name: *name, items: Vec::new(), verdicts: Vec::new() });
            }
            let Some(gap) = gaps.get_mut(at) else { continue };
            gap.items.push(*item);
            // Verdicts come one after the other, so the same one again is the last one.
            if gap.verdicts.last().is_none_or(|last| !std::ptr::eq(*last, verdict)) {
                gap.verdicts.push(verdict);
            }
        }
    }
    for gap in &mut gaps {
        gap.items.sort();
        gap.items.dedup();
    }
    gaps.sort_by_key(|gap| (gap.kind, gap.name));
    gaps
}

/// One question for facts that are found out together.
fn question(teller: &Teller<'_>, gaps: &[Gap<'_>]) -> Question {
    let mut known: ShortSet<(RuleId, ItemRef)> = ShortSet::default();
    let is_new = |v: &&Verdict| gaps.len() == 1 || known.insert((v.rule, v.item));
    let verdicts: Vec<&Verdict> = gaps.iter().flat_map(|gap| gap.verdicts.iter().copied()).filter(is_new).collect();
    let items = gaps.first().map(|gap| gap.items.clone()).unwrap_or_default();
    let mut settles: Vec<(RuleId, usize)> = Vec::new();
    let mut index: ShortMap<RuleId, usize> = ShortMap::default();
    for verdict in &verdicts {
        let at = *index.entry(verdict.rule).or_insert(settles.len());
        match settles.get_mut(at) {
            Some((_, count)) => *count = count.saturating_add(1),
            None => settles.push((verdict.rule, 1)),
        }
    }
    let is_asked = |m: &Missing| gaps.iter().any(|gap| m.item.kind == gap.kind && m.name == gap.name);
    let stages = verdicts.iter().filter_map(|v| teller.rule(v)).map(|r| r.stage);
    let about: Vec<About> = items.iter().map(|item| teller.about(*item)).collect();
    let mut places: Vec<_> = gaps.iter().flat_map(Gap::facts).map(|fact| teller.answer_place(fact)).collect();
    places.sort();
    places.dedup();
    let mut owners: Vec<String> = items.iter().map(|item| teller.shop().called(owner(teller, *item))).collect();
    owners.dedup();
    let of_gap = |gap: &Gap<'_>| gap.items.iter().map(|item| teller.about(*item)).collect::<Vec<About>>();
    let asked = |(n, gap)| if n == 0 { ask(teller, gap, &about) } else { ask(teller, gap, &of_gap(gap)) };
    let mut asks: Vec<String> = gaps.iter().enumerate().filter_map(asked).collect();
    let mut seen = BTreeSet::new();
    asks.retain(|ask| seen.insert(ask.clone()));
    let phrases = gaps.iter().filter_map(|gap| gap.facts().next()).map(|fact| teller.phrases(fact.item, fact.name));
    Question {
        letter: String::new(),
        ask: asks.join(" "),
        items: about,
        owners,
        settles: settles
            .into_iter()
            .filter_map(|(id, n)| Some((teller.code.rules.get(id.0 as usize)?.name.clone(), n)))
            .collect(),
        alone: verdicts.iter().filter(|v| v.missing.iter().all(is_asked)).count(),
        stage: stages.min().unwrap_or(Stage::Final),
        places,
        write: phrases.filter(|p| !p.is_empty()).collect(),
        answers: Vec::new(),
    }
}

/// The item of the plan that an item is a part of, or itself.
fn owner(teller: &Teller<'_>, item: ItemRef) -> ItemRef {
    // A part of a part of a part is the deepest there is.
    (0..4).fold(item, |at, _| teller.shop().head(at).of.unwrap_or(at))
}

/// The question about the first item; for several with all their names in its place.
fn ask(teller: &Teller<'_>, gap: &Gap<'_>, about: &[About]) -> Option<String> {
    let first = gap.facts().next()?;
    let verdict = gap.verdicts.iter().find(|v| v.missing.contains(&first))?;
    let question = law::question(teller.code, teller.shop(), verdict, first);
    let several = match about {
        [one, _, ..] if question.contains(one.called.as_str()) => {
            question.replacen(one.called.as_str(), &text::items(about, NAMES_SHOWN), 1)
        }
        [_, rest @ ..] if !rest.is_empty() => format!("{question} The same for {}?", text::items(rest, NAMES_SHOWN)),
        _ => question,
    };
    Some(text::sentence(&several))
}

/// `A` to `Z`, then `AA`, `AB` and so on.
fn letter(index: usize) -> String {
    let of = |i: usize| ('A'..='Z').nth(i % 26).unwrap_or('A');
    match index / 26 {
        0 => of(index).to_string(),
        more => format!("{}{}", letter(more.saturating_sub(1)), of(index)),
    }
}

#[cfg(test)]
mod tests {
    use super::letter;

    #[test]
    fn letters_go_on_after_z() {
        let shown: Vec<String> = [0, 25, 26, 27, 701, 702].into_iter().map(letter).collect();
        assert_eq!(shown, ["A", "Z", "AA", "AB", "ZZ", "AAA"]);
    }
}

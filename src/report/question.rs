use super::answer::answers;
use super::teller::Teller;
use super::{Question, text};
use crate::law;
use crate::law::code::{RuleId, Stage};
use crate::law::verdict::{Missing, Outcome, Verdict};
use crate::shop::ItemRef;
use crate::words::{Kind, NameId};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What is to be found out: one word of one kind, for all the items that it is missing for.
pub(super) struct Gap<'a> {
    pub kind: Kind,
    pub name: NameId,
    /// In the order of the plan.
    pub items: BTreeSet<ItemRef>,
    /// Checks that could turn on it.
    pub verdicts: Vec<&'a Verdict>,
}

impl Gap<'_> {
    pub fn facts(&self) -> impl Iterator<Item = Missing> {
        self.items.iter().map(|item| Missing { item: *item, name: self.name })
    }
}

/// The questions behind every unknown: each missing fact once, the one that settles most rules
/// first, at a tie the one whose work is covered up first. `with_answers`
/// adds what each possible answer would do.
pub(super) fn questions(teller: &Teller<'_>, with_answers: bool) -> Vec<Question> {
    let mut all: Vec<(Gap<'_>, Question)> = gaps(teller)
        .into_iter()
        .map(|gap| {
            let question = question(teller, &gap);
            (gap, question)
        })
        .collect();
    all.sort_by(|(_, a), (_, b)| {
        let key = |q: &Question| (std::cmp::Reverse(q.settles.len()), q.stage, std::cmp::Reverse(q.checks()));
        key(a).cmp(&key(b)).then_with(|| a.places.first().cmp(&b.places.first()))
    });
    all.into_iter()
        .enumerate()
        .map(|(i, (gap, mut question))| {
            question.letter = letter(i);
            if with_answers {
                question.answers = answers(teller, &gap);
            }
            question
        })
        .collect()
}

fn gaps<'a>(teller: &Teller<'a>) -> Vec<Gap<'a>> {
    let mut gaps: BTreeMap<(Kind, NameId), Gap<'a>> = BTreeMap::new();
    for verdict in teller.checked.verdicts.iter().filter(|v| v.outcome == Outcome::Unknown) {
        for Missing { item, name } in &verdict.missing {
            let gap = gaps.entry((item.kind, *name)).or_insert_with(|| Gap {
                kind: item.kind,
                name: *name,
                items: BTreeSet::new(),
                verdicts: Vec::new(),
            });
            gap.items.insert(*item);
            // Verdicts come one after the other, so the same one again is the last one.
            if gap.verdicts.last().is_none_or(|last| !std::ptr::eq(*last, verdict)) {
                gap.verdicts.push(verdict);
            }
        }
    }
    gaps.into_values().collect()
}

fn question(teller: &Teller<'_>, gap: &Gap<'_>) -> Question {
    let mut settles: Vec<(RuleId, usize)> = Vec::new();
    let mut index: HashMap<RuleId, usize> = HashMap::new();
    for verdict in &gap.verdicts {
        let at = *index.entry(verdict.rule).or_insert(settles.len());
        match settles.get_mut(at) {
            Some((_, count)) => *count += 1,
            None => settles.push((verdict.rule, 1)),
        }
    }
    let is_all_here = |v: &&&Verdict| v.missing.iter().all(|m| m.item.kind == gap.kind && m.name == gap.name);
    let stages = gap.verdicts.iter().filter_map(|v| teller.rule(v)).map(|r| r.stage);
    let called: Vec<String> = gap.items.iter().map(|item| teller.shop().called(*item)).collect();
    let mut places: Vec<_> = gap.facts().map(|fact| teller.answer_place(fact)).collect();
    places.sort();
    places.dedup();
    let mut owners: Vec<String> = gap.items.iter().map(|item| teller.shop().called(owner(teller, *item))).collect();
    owners.dedup();
    let first = gap.facts().next();
    Question {
        letter: String::new(),
        ask: first.map_or_else(String::new, |fact| ask(teller, gap, fact, &called)),
        items: called,
        owners,
        settles: settles
            .into_iter()
            .filter_map(|(id, n)| Some((teller.code.rules.get(id.0 as usize)?.name.clone(), n)))
            .collect(),
        alone: gap.verdicts.iter().filter(is_all_here).count(),
        stage: stages.min().unwrap_or(Stage::Final),
        places,
        write: first.map_or_else(Vec::new, |fact| teller.phrases(fact.item, fact.name)),
        answers: Vec::new(),
    }
}

/// The item of the plan that an item is a part of, or itself.
fn owner(teller: &Teller<'_>, item: ItemRef) -> ItemRef {
    // A part of a part of a part is the deepest there is.
    (0..4).fold(item, |at, _| teller.shop().head(at).of.unwrap_or(at))
}

/// The question about the first item; for several with all their names in its place.
fn ask(teller: &Teller<'_>, gap: &Gap<'_>, first: Missing, called: &[String]) -> String {
    let Some(verdict) = gap.verdicts.iter().find(|v| v.missing.contains(&first)) else { return String::new() };
    let question = law::question(teller.code, teller.shop(), verdict, first);
    let several = match called {
        [_] => question,
        [one, ..] if question.contains(one.as_str()) => {
            let names: Vec<&str> = called.iter().map(String::as_str).collect();
            question.replacen(one.as_str(), &text::listed(&names, 6), 1)
        }
        [_, rest @ ..] => {
            let names: Vec<&str> = rest.iter().map(String::as_str).collect();
            format!("{question} The same for {}?", text::listed(&names, 6))
        }
        [] => question,
    };
    text::sentence(&several)
}

/// `A` to `Z`, then `AA`, `AB` and so on.
fn letter(index: usize) -> String {
    let of = |i: usize| char::from(b'A' + (i % 26) as u8);
    match index / 26 {
        0 => of(index).to_string(),
        more => format!("{}{}", letter(more - 1), of(index)),
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

//! A bad line never helps: with any phrase of a plan made unreadable, nothing is known that the
//! whole plan does not say.

#![allow(clippy::unwrap_used, clippy::panic)] // a test fails by panicking

use ringout::plan;
use ringout::shop::{self, ItemRef, Shop, Value};
use ringout::text::{FileId, Span};
use ringout::words::{Kind, Vocabulary};
use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::sync::Arc;

/// An item as both plans have it: its kind, its name (its place where items are numbered), and which
/// of those called so it is.
type Key = (Kind, String, u32);

fn keys(shop: &Shop) -> HashMap<ItemRef, Key> {
    let mut keys = HashMap::new();
    let mut seen: HashMap<(Kind, String), u32> = HashMap::new();
    for item in Kind::ALL.into_iter().flat_map(|kind| shop.items(kind)) {
        let is_stretch = |i: ItemRef| i.kind == Kind::Run && shop.head(i).of.is_some();
        let stretch = Some(item).filter(|i| is_stretch(*i)).or(shop.head(item).of.filter(|i| is_stretch(*i)));
        let by_place = matches!(item.kind, Kind::Pulled | Kind::Test).then_some(item);
        let name = match stretch.or(by_place) {
            Some(placed) => format!("at {}", shop.head(placed).place.start),
            None => shop.head(item).name.clone(),
        };
        let count = seen.entry((item.kind, name.clone())).or_insert(0);
        keys.insert(item, (item.kind, name, *count));
        *count += 1;
    }
    keys
}

/// What is known of each fact, lists left out.
fn known(shop: &Shop) -> BTreeMap<(Key, String), Known> {
    let keys = keys(shop);
    let mut facts = BTreeMap::new();
    for (item, key) in &keys {
        for word in shop.vocabulary.words().iter().filter(|w| w.kinds.has(item.kind)) {
            let known = match shop.value(*item, word.name) {
                Value::Unknown | Value::List(_) => continue,
                Value::Choice(bits) => Known::Any(bits),
                Value::Item(other) => Known::One(format!("{:?}", keys[&other])),
                Value::Name(n) => Known::One(shop.proper_name(n).to_string()),
                value => Known::One(format!("{value:?}")),
            };
            facts.insert((key.clone(), shop.vocabulary.text(word.name).to_string()), known);
        }
    }
    facts
}

#[derive(Debug, PartialEq)]
enum Known {
    One(String),
    /// Any of these values of a choice.
    Any(u64),
}

impl Known {
    /// Whether it says no more than the other.
    fn is_within(&self, other: Option<&Known>) -> bool {
        match (self, other) {
            (Known::Any(mine), Some(Known::Any(theirs))) => mine & theirs == *theirs,
            (mine, theirs) => Some(mine) == theirs,
        }
    }
}

/// Lists that claim to be complete, with their members.
fn closed(shop: &Shop) -> BTreeMap<(Key, String), Vec<Key>> {
    let keys = keys(shop);
    let mut lists = BTreeMap::new();
    for (item, key) in &keys {
        for word in shop.vocabulary.words().iter().filter(|w| w.kinds.has(item.kind)) {
            if let Value::List(id) = shop.value(*item, word.name)
                && !shop.list(id).is_open
            {
                let mut members: Vec<Key> = shop.list(id).sure.iter().map(|i| keys[i].clone()).collect();
                members.sort();
                lists.insert((key.clone(), shop.vocabulary.text(word.name).to_string()), members);
            }
        }
        if item.kind == Kind::Circuit && !shop.feeds[item.index as usize].is_open {
            let stages = shop.feeds[item.index as usize].branches.iter().flat_map(|b| &b.stages);
            let fed = stages.flat_map(|s| s.loads.iter().filter_map(|l| l.item).chain(s.through.iter().copied()));
            let mut members: Vec<Key> = fed.map(|i| keys[&i].clone()).collect();
            members.sort();
            lists.insert((key.clone(), "feeds".into()), members);
        }
    }
    lists
}

/// The plan with one stretch of its text made unreadable, every other byte where it was.
fn garbled(text: &str, span: Span) -> String {
    let (start, end) = (span.start as usize, span.end as usize);
    let bad: String = text[start..end].chars().map(|c| if c.is_ascii_alphanumeric() { 'q' } else { c }).collect();
    format!("{}{bad}{}", &text[..start], &text[end..])
}

fn check(path: &Path, wrong: &mut Vec<String>) -> usize {
    let vocabulary = vocabulary();
    let text = std::fs::read_to_string(path).unwrap();
    if !text.is_ascii() {
        return 0;
    }
    let whole_plan = plan::read(FileId(0), &text);
    let whole = shop::build(&whole_plan, &[], &[], vocabulary.clone());
    let (facts, lists) = (known(&whole), closed(&whole));
    let phrases: Vec<Span> =
        whole_plan.items.iter().flat_map(|i| &i.lines).flat_map(|l| &l.phrases).map(|p| p.span).collect();
    let heads: Vec<Span> = whole_plan.items.iter().map(|i| i.keyword_span).collect();
    for span in phrases.iter().chain(&heads) {
        let bad = garbled(&text, *span);
        let shop = shop::build(&plan::read(FileId(0), &bad), &[], &[], vocabulary.clone());
        let what = &text[span.start as usize..span.end as usize];
        let name = path.file_name().unwrap().to_string_lossy();
        if shop.problems.is_empty() && !what.starts_with("note") {
            wrong.push(format!("{name}: `{what}` made unreadable is no problem"));
        }
        for (fact, value) in known(&shop) {
            // That a way may have parts that are not named is no knowledge.
            let is_openness = fact.1 == "has-open-stretches" && value == Known::One("YesNo(true)".into());
            // Without the line of its first circuit a shared breaker is called after the second; without
            // the use of the shop its garage is an area of its own.
            let is_renamed = (what == "circuit" && (fact.0.0 == Kind::Breaker || fact.1 == "breaker"))
                || ((what == "shop" || what.starts_with("use ")) && (fact.0.0 == Kind::Area || fact.1 == "area"));
            if !is_openness && !is_renamed && !value.is_within(facts.get(&fact)) {
                wrong.push(format!("{name}: without `{what}` {fact:?} is {value:?}, not {:?}", facts.get(&fact)));
            }
        }
        for (list, members) in closed(&shop) {
            if lists.get(&list) != Some(&members) {
                wrong.push(format!(
                    "{name}: without `{what}` {list:?} is closed with {members:?}, not {:?}",
                    lists.get(&list)
                ));
            }
        }
        for kind in shop.listed.keys() {
            if !whole.listed.contains_key(kind) || shop.count(*kind) != whole.count(*kind) {
                wrong.push(format!("{name}: without `{what}` every {kind} is listed"));
            }
        }
    }
    phrases.len() + heads.len()
}

/// The words of the built-in pack: the demo plans state its facts too.
fn vocabulary() -> Arc<Vocabulary> {
    let pack = ringout::law::builtin(&mut ringout::text::Sources::default());
    ringout::law::compile(&pack).0.vocabulary
}

#[test]
fn a_bad_line_never_helps() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<_> =
        std::fs::read_dir(root.join("tests/cases/scenarios")).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    // The demo plans, and every twelfth scenario: some hundred phrases.
    let mut chosen: Vec<_> =
        paths.into_iter().filter(|p| p.extension().is_some_and(|e| e == "shop")).step_by(12).collect();
    chosen.extend(["larkspur", "half-known"].map(|n| root.join(format!("examples/{n}.shop"))));
    let mut wrong = Vec::new();
    let count: usize = chosen.iter().map(|path| check(path, &mut wrong)).sum();
    assert!(count > 400, "only {count} phrases were tried");
    assert!(wrong.is_empty(), "{} of {count} phrases:\n{}", wrong.len(), wrong[..wrong.len().min(60)].join("\n"));
}

/// Words of the language thrown together at random, as heads and as phrases: whatever is written,
/// there is a model and each problem has a place in the file.
#[test]
fn any_words_give_a_model() {
    let vocabulary = vocabulary();
    let mut pool: Vec<String> =
        vocabulary.words().iter().flat_map(|w| w.phrase.split([' ', '/'])).map(String::from).collect();
    pool.extend(vocabulary.choices().iter().flat_map(|c| c.forms()).map(String::from));
    pool.extend(plan::syntax::Keyword::ALL.iter().map(|k| k.text().to_string()));
    let more = "R1 R2 B1 P1 C1 C2 F1 E1 N1 20 3/4 2-1/8 12/2 2-2-2-4 A V in ft AWG x to from and or then through , , , : no not \
                unknown nothing none at least about under every seen tested pulled all unless said listed 2027-04-10 \"text\" \
                R1 to R999999999 -5 0 99999999999999999999 feeds holds by way of common trip with half of stretch";
    pool.extend(more.split(' ').map(String::from));
    pool.retain(|w| !w.is_empty());
    let mut state = 7u64;
    let mut random = |below: usize| {
        state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        ((state >> 33) as usize) % below
    };
    for _ in 0..300 {
        let mut text = String::new();
        for _ in 0..1 + random(8) {
            let is_item = random(3) > 0;
            if is_item {
                text.push_str(plan::syntax::Keyword::ALL[random(plan::syntax::Keyword::ALL.len())].text());
            } else {
                text.push(' ');
            }
            for _ in 0..random(12) {
                text.push(' ');
                text.push_str(&pool[random(pool.len())]);
            }
            text.push('\n');
        }
        let read = plan::read(FileId(0), &text);
        let shop = shop::build(&read, &[&read], &[], vocabulary.clone());
        for problem in &shop.problems {
            assert!(problem.span.end as usize <= text.len(), "{text}: {problem:?}");
        }
        known(&shop);
    }
}

//! Rules and shops made by hand, small enough to see the answer. What is tested is the logic of
//! values and verdicts as the design of the rule language states it, so no figure here is one of a code.

use super::lookup::KeySet;
use super::*;
use crate::law::code::*;
use crate::law::syntax::{Bounds, Comparison, Meet, Moment};
use crate::law::verdict::{Lean, Missing, Outcome, Verdict};
use crate::quantity::{Dimension, Rational, Scale};
use crate::shop::{Head, How, ItemRef, List, Range, Shop, Source, Value};
use crate::text::{FileId, Span};
use crate::words::{Kind, Kinds, NameId, Ordinary, Origin, Type, Vocabulary, Word, choice, name};
use std::sync::Arc;

pub(in crate::law) const AMPS: Scale = Scale::Ratio(Dimension::CURRENT);

pub(in crate::law) fn test(node: TestNode) -> Test {
    Test { node, span: Span::default() }
}

pub(in crate::law) fn number(node: NumberNode) -> Number {
    Number { node, span: Span::default() }
}

pub(in crate::law) fn word(name: NameId) -> TestNode {
    TestNode::Word(Box::new(Item::Letter(Slot(0))), name)
}

pub(in crate::law) fn amount(name: NameId) -> Number {
    number(NumberNode::Word(Box::new(Item::Letter(Slot(0))), name))
}

pub(in crate::law) fn part(node: TestNode) -> Part {
    Part { name: String::new(), title: String::new(), bounds: Bounds::default(), test: test(node) }
}

pub(in crate::law) fn or(tests: Vec<TestNode>) -> TestNode {
    let way =
        |node| Alternative { name: String::new(), title: String::new(), bounds: Bounds::default(), test: test(node) };
    TestNode::Any(tests.into_iter().map(way).collect())
}

pub(in crate::law) fn whole(n: i64) -> Rational {
    Rational::whole(n)
}

pub(in crate::law) fn compare(left: Number, comparison: Comparison, right: i64) -> TestNode {
    let right = number(NumberNode::Constant(whole(right)));
    TestNode::Compare(comparison, Box::new(left), Box::new(right), AMPS)
}

pub(in crate::law) fn rule(kind: Kind, wheres: Vec<TestNode>, needs: Vec<TestNode>) -> Rule {
    Rule {
        name: "trial".into(),
        texts: Default::default(),
        is_memory: false,
        bounds: Bounds::default(),
        stage: Stage::Final,
        level: Level::Required,
        kinds: Kinds::of(kind),
        within: None,
        wheres: wheres.into_iter().map(part).collect(),
        needs: needs.into_iter().map(part).collect(),
        excepts: Vec::new(),
        evidence: Vec::new(),
        awaits: Vec::new(),
        points: Vec::new(),
        turns_on_edition: false,
        turns_on_day: false,
        slots: 2,
        span: Span::default(),
        presumed: Vec::new(),
        touched: Vec::new(),
    }
}

pub(in crate::law) fn except(node: TestNode) -> Except {
    let Part { name, title, bounds, test } = part(node);
    Except { name, title, part: None, bounds, test }
}

pub(in crate::law) fn code(rule: Rule) -> Code {
    let mut vocabulary = Vocabulary::core();
    #[allow(clippy::single_element_loop, reason = "more rare words may follow")]
    for text in ["is-rare"] {
        let name = vocabulary.name_or_new(text);
        let added = vocabulary.add(Word {
            kinds: Kinds::of(Kind::Receptacle),
            name,
            ty: Type::YesNo,
            is_part: false,
            origin: Origin::Fact,
            doc: String::new(),
            phrase: String::new(),
            ordinary: Some(Ordinary::No),
            question: None,
        });
        assert!(added.is_ok());
    }
    Code {
        words_by_define: vec![[None; crate::words::KINDS]; vocabulary.name_count()],
        vocabulary: Arc::new(vocabulary),
        rules: vec![rule].into(),
        defines: Vec::new(),
        tables: Vec::new(),
        sheets: Vec::new(),
        authority: String::new(),
        editions: vec![2014, 2017, 2020, 2023, 2026],
        days: Vec::new(),
        proper_names: Vec::new(),
        index: Default::default(),
    }
}

/// A shop with `count` receptacles.
pub(in crate::law) fn shop(code: &Code, count: u32) -> Shop {
    let mut shop = Shop::new(code.vocabulary.clone());
    for n in 0..count {
        shop.add(Kind::Receptacle, Head { name: format!("R{n}"), ..Head::default() });
    }
    shop
}

pub(in crate::law) const R0: ItemRef = ItemRef { kind: Kind::Receptacle, index: 0 };

pub(in crate::law) fn said(shop: &mut Shop, name: NameId, value: Value, how: How, at: usize) {
    let place = Span::new(FileId(0), at, at + 1);
    shop.set(R0, name, value, Source { how, place, ..Source::default() });
}

pub(in crate::law) fn one(code: &Code, shop: &Shop) -> Verdict {
    let mut verdicts = judge(code, shop, &Options::default());
    assert_eq!(verdicts.len(), 1);
    verdicts.remove(0)
}

/// Every combination of what three facts may be, and what comes out by the table of the design.
#[test]
fn verdicts_follow_where_and_needs() {
    let code = code(rule(Kind::Receptacle, vec![word(name::IS_LOCKING)], vec![word(name::HAS_GFCI)]));
    for (where_, needs, wanted) in [
        (Some(true), Some(true), Outcome::Pass),
        (Some(true), Some(false), Outcome::Attention),
        (Some(true), None, Outcome::Unknown),
        (Some(false), Some(false), Outcome::NotApplicable),
        (Some(false), None, Outcome::NotApplicable),
        (None, Some(true), Outcome::Pass),
        (None, Some(false), Outcome::Unknown),
        (None, None, Outcome::Unknown),
    ] {
        let mut shop = shop(&code, 1);
        for (name, value) in [(name::IS_LOCKING, where_), (name::HAS_GFCI, needs)] {
            if let Some(value) = value {
                said(&mut shop, name, Value::YesNo(value), How::Planned, 0);
            }
        }
        assert_eq!(one(&code, &shop).outcome, wanted, "where {where_:?}, needs {needs:?}");
    }
}

/// `where` unknown and `needs` denied: only the fact of `where` can still change it.
#[test]
fn only_facts_that_matter_are_missing() {
    let needs = or(vec![word(name::HAS_GFCI), word(name::HAS_AFCI)]);
    let code = code(rule(Kind::Receptacle, vec![word(name::IS_LOCKING)], vec![needs]));
    let mut shop = shop(&code, 1);
    said(&mut shop, name::HAS_GFCI, Value::YesNo(false), How::Planned, 10);
    let verdict = one(&code, &shop);
    let missing: Vec<NameId> = verdict.missing.iter().map(|m| m.name).collect();
    assert_eq!(missing, [name::IS_LOCKING, name::HAS_AFCI], "one answer of two settles it for either");
    said(&mut shop, name::HAS_AFCI, Value::YesNo(false), How::Planned, 20);
    assert_eq!(one(&code, &shop).missing, [Missing { item: R0, name: name::IS_LOCKING }]);
}

/// `x or not x` holds whatever `x` is, though neither side is known: completions settle it.
#[test]
fn completions_settle_what_logic_leaves_open() {
    let gfci = || word(name::HAS_GFCI);
    let needs = or(vec![gfci(), TestNode::Not(Box::new(test(gfci())))]);
    let made = code(rule(Kind::Receptacle, vec![], vec![needs]));
    assert_eq!(one(&made, &shop(&made, 1)).outcome, Outcome::Pass);

    let both =
        vec![compare(amount(name::AMPS), Comparison::AtMost, 20), compare(amount(name::AMPS), Comparison::More, 15)];
    let made = code(rule(Kind::Receptacle, vec![], vec![or(both)]));
    assert_eq!(one(&made, &shop(&made, 1)).outcome, Outcome::Pass, "at most 20 or over 15 holds for every current");

    let apart =
        vec![compare(amount(name::AMPS), Comparison::Less, 15), compare(amount(name::AMPS), Comparison::More, 20)];
    let made = code(rule(Kind::Receptacle, vec![], vec![or(apart)]));
    let mut bare = shop(&made, 1);
    let verdict = one(&made, &bare);
    assert_eq!((verdict.outcome, verdict.missing.len()), (Outcome::Unknown, 1));
    let range = Range::between(whole(16), whole(20));
    said(&mut bare, name::AMPS, Value::Range(range), How::Planned, 0);
    assert_eq!(one(&made, &bare).outcome, Outcome::Attention, "bounds settle it");
}

/// A rare exception that nobody speaks of is taken as denied, and the verdict says so. It lets nothing pass.
#[test]
fn rare_facts_are_presumed_only_against_the_plan() {
    let mut made = rule(Kind::Receptacle, vec![], vec![word(name::HAS_GFCI)]);
    let vocabulary = code(rule(Kind::Receptacle, vec![], vec![])).vocabulary;
    let rare = vocabulary.name("is-rare").unwrap();
    made.excepts = vec![except(word(rare))];
    made.presumed = vec![(Kinds::of(Kind::Receptacle), rare)];
    let code = code(made);
    let mut shop = shop(&code, 1);
    assert_eq!(one(&code, &shop).missing, [Missing { item: R0, name: name::HAS_GFCI }]);
    said(&mut shop, name::HAS_GFCI, Value::YesNo(false), How::Planned, 7);
    let verdict = one(&code, &shop);
    assert_eq!((verdict.outcome, verdict.leans_on), (Outcome::Attention, vec![Lean::Ordinary(R0, rare)]));
    assert_eq!(verdict.place.start, 7, "it points at what was said of GFCI");
    said(&mut shop, rare, Value::YesNo(true), How::Planned, 9);
    let verdict = one(&code, &shop);
    assert_eq!((verdict.outcome, verdict.exception), (Outcome::Pass, Some(0)));
    said(&mut shop, rare, Value::Unknown, How::Unread, 9);
    assert_eq!(one(&code, &shop).outcome, Outcome::Unknown, "a line that could not be read is not silence");
}

/// An assumption is leant on only where the outcome would not stand without it.
#[test]
fn leans_only_on_what_carries() {
    let code = code(rule(Kind::Receptacle, vec![], vec![or(vec![word(name::HAS_GFCI), word(name::HAS_AFCI)])]));
    let mut shop = shop(&code, 1);
    said(&mut shop, name::HAS_GFCI, Value::YesNo(true), How::Assumed, 1);
    said(&mut shop, name::HAS_AFCI, Value::YesNo(true), How::Planned, 2);
    assert_eq!(one(&code, &shop).leans_on, []);
    said(&mut shop, name::HAS_AFCI, Value::YesNo(false), How::Planned, 2);
    let leans = one(&code, &shop).leans_on;
    assert!(matches!(leans.as_slice(), [Lean::Assumed(_, name::HAS_GFCI, _)]), "{leans:?}");
}

/// With the edition unsaid each is tried; pass and not applicable are no quarrel, attention is one.
#[test]
fn editions_are_tried() {
    let mut made = rule(Kind::Receptacle, vec![], vec![word(name::HAS_GFCI)]);
    made.bounds.from = Some(Moment::Edition(2020));
    made.turns_on_edition = true;
    let code = code(made);
    let mut shop = shop(&code, 1);
    said(&mut shop, name::HAS_GFCI, Value::YesNo(true), How::Planned, 0);
    assert_eq!(one(&code, &shop).outcome, Outcome::Pass);
    said(&mut shop, name::HAS_GFCI, Value::YesNo(false), How::Planned, 0);
    let verdict = one(&code, &shop);
    assert_eq!(verdict.outcome, Outcome::Unknown);
    assert_eq!(verdict.missing, [Missing { item: Shop::PERMIT, name: name::EDITION }]);
    let by_edition: Vec<(i64, Outcome)> = verdict.worlds.iter().map(|(w, o)| (w.edition, *o)).collect();
    assert_eq!(by_edition.first(), Some(&(2014, Outcome::NotApplicable)));
    assert_eq!(by_edition.last(), Some(&(2026, Outcome::Attention)));
    let from_2020 = Value::Range(Range::at_least(whole(2020)));
    shop.set(Shop::PERMIT, name::EDITION, from_2020, Source::default());
    assert_eq!(one(&code, &shop).outcome, Outcome::Attention, "a stated range narrows what is tried");
}

/// The truth table of lists: members for sure, perhaps, and others that nobody named.
#[test]
fn lists_are_open_until_closed() {
    let each = || {
        Box::new(Each {
            slot: Slot(1),
            over: Over::Items(Items::Word(Item::Only(Kind::Shop), name::RECEPTACLES)),
            filter: None,
        })
    };
    let member = || Box::new(test(TestNode::Word(Box::new(Item::Letter(Slot(1))), name::HAS_GFCI)));
    let a = ItemRef { kind: Kind::Receptacle, index: 0 };
    let b = ItemRef { kind: Kind::Receptacle, index: 1 };
    for (sure, possible, is_open, any, all, fewest, most) in [
        (vec![a], vec![], false, Truth::Yes, Truth::Yes, 1, Some(1)),
        (vec![a], vec![b], false, Truth::Yes, Truth::Unknown, 1, Some(2)),
        (vec![b], vec![a], true, Truth::Unknown, Truth::No, 1, None),
        (vec![], vec![b], false, Truth::No, Truth::Unknown, 0, Some(1)),
        (vec![], vec![], true, Truth::Unknown, Truth::Unknown, 0, None),
        (vec![], vec![], false, Truth::No, Truth::Yes, 0, Some(0)),
    ] {
        let any_rule = TestNode::Quantified { is_all: false, each: each(), body: member() };
        let all_rule = TestNode::Quantified { is_all: true, each: each(), body: member() };
        let made = code(rule(Kind::Shop, vec![], vec![]));
        let mut shop = shop(&made, 2);
        shop.set(a, name::HAS_GFCI, Value::YesNo(true), Source::default());
        shop.set(b, name::HAS_GFCI, Value::YesNo(false), Source::default());
        shop.derive_list(Shop::SHOP, name::RECEPTACLES, List { sure, possible, is_open, choices: 0 });
        let ground = super::ground::Ground::new(&made, &shop);
        let now = ground.moments.that_matter(false, false).next().unwrap();
        let mut memo = super::memo::Memo::new();
        let mut machine = super::machine::Machine::new(&ground, now, super::quick::Quick::default(), &mut memo, None);
        machine.enter_rule(2, Shop::SHOP);
        assert_eq!(machine.test(&test(any_rule)), any);
        assert_eq!(machine.test(&test(all_rule)), all);
        let count = machine.number(&number(NumberNode::Count(each())));
        let high = most.map_or(End::NoLimit, |n| End::At(whole(n)));
        assert_eq!((count.low, count.high), (End::At(whole(fewest)), high));
    }
}

/// One key up, one exact: the row met, the hull for a key with bounds, and what lies beyond.
#[test]
fn look_ups_meet_rows() {
    let bits = |n: u8| 1u64 << n;
    let row = |amps: i64, metal: u8, value: i64| Row {
        keys: [Cell::Number(whole(amps)), Cell::Choice(metal)].into(),
        values: [Some(Cell::Number(whole(value)))].into(),
        bounds: Bounds::default(),
        is_memory: false,
        span: Span::default(),
    };
    let table = |beyond| Table {
        name: "steps".into(),
        title: String::new(),
        source: String::new(),
        cites: Vec::new(),
        keys: vec![
            ("amps".into(), Type::Quantity(AMPS), Meet::Up),
            ("metal".into(), Type::Choice(choice::METAL), Meet::Exact),
        ],
        columns: vec![("value".into(), Type::Quantity(AMPS))],
        beyond,
        rows: vec![row(15, 0, 1), row(20, 0, 2), row(30, 0, 3), row(20, 1, 8)],
        span: Span::default(),
        index: Default::default(),
    };
    let at = |n: i64| Interval::of(whole(n));
    let between = |a: i64, b: i64| Interval::between(End::At(whole(a)), End::At(whole(b)));
    for (amps, metal, beyond, wanted) in [
        (at(15), bits(0), Beyond::Unknown, at(1)),
        (at(16), bits(0), Beyond::Unknown, at(2)),
        (at(15), bits(1), Beyond::Unknown, at(8)),
        (at(31), bits(0), Beyond::Unknown, Interval::ANYTHING),
        (at(31), bits(0), Beyond::LastRow, at(3)),
        (at(21), bits(1), Beyond::LastRow, at(8)),
        (at(31), bits(0), Beyond::Cell(Cell::NoLimit), Interval::NO_LIMIT),
        (between(16, 25), bits(0), Beyond::Unknown, between(2, 3)),
        (between(15, 20), bits(0), Beyond::Unknown, between(1, 2)),
        (Interval { low_is_open: true, ..between(15, 20) }, bits(0), Beyond::Unknown, at(2)),
        (between(16, 20), bits(0) | bits(1), Beyond::Unknown, between(2, 8)),
        (between(25, 35), bits(0), Beyond::Cell(Cell::Number(whole(9))), between(3, 9)),
    ] {
        let mut made = code(rule(Kind::Receptacle, vec![], vec![]));
        made.tables = vec![table(beyond).into()];
        let shop = shop(&made, 1);
        let ground = super::ground::Ground::new(&made, &shop);
        let now = ground.moments.that_matter(false, false).next().unwrap();
        let mut memo = super::memo::Memo::new();
        let mut machine = super::machine::Machine::new(&ground, now, super::quick::Quick::default(), &mut memo, None);
        machine.enter_rule(2, R0);
        machine.bind(Slot(0), super::machine::Letter::Number(amps));
        machine.bind(Slot(1), super::machine::Letter::Choice(metal));
        let keys = [
            Key::Number(number(NumberNode::Letter(Slot(0)))),
            Key::Choice(Choice { node: ChoiceNode::Letter(Slot(1)), span: Span::default() }),
        ];
        let lookup = Lookup { table: TableId(0), column: 0, keys: keys.into() };
        assert_eq!(machine.lookup_number(&lookup), wanted, "{amps:?} {metal:b} {beyond:?}");
        let set = [KeySet::Number(amps), KeySet::Choice(metal)];
        let met = machine.rows_met(&made.tables[0], &set);
        let rows: Vec<Interval> = met.rows.iter().map(|r| at([1, 2, 3, 8][*r as usize])).collect();
        if !met.is_beyond {
            let searched = rows.into_iter().reduce(Interval::hull);
            assert_eq!(searched, Some(wanted), "a search along the rows finds what the index finds");
        }
    }
}

/// What needs a measurement is not known from a plan; what was measured counts.
#[test]
fn evidence_is_asked_for() {
    let mut made = rule(Kind::Receptacle, vec![], vec![word(name::HAS_GFCI)]);
    made.evidence = vec![(Kinds::of(Kind::Receptacle), name::HAS_GFCI, How::Measured)];
    let code = code(made);
    let mut shop = shop(&code, 1);
    for (how, wanted) in
        [(How::Planned, Outcome::Unknown), (How::Seen, Outcome::Unknown), (How::Measured, Outcome::Pass)]
    {
        said(&mut shop, name::HAS_GFCI, Value::YesNo(true), how, 0);
        let verdict = one(&code, &shop);
        assert_eq!(verdict.outcome, wanted, "{how:?}");
        assert_eq!(verdict.missing.len(), usize::from(wanted == Outcome::Unknown));
    }
}

/// A rule that meets nothing is silent, unless it awaits a list that may have more members.
#[test]
fn waits_for_an_open_list() {
    let mut made = rule(Kind::Receptacle, vec![], vec![word(name::HAS_GFCI)]);
    made.awaits = vec![(Item::Only(Kind::Shop), name::RECEPTACLES)];
    let code = code(made);
    let mut shop = shop(&code, 0);
    let verdict = one(&code, &shop);
    assert_eq!(verdict.missing, [Missing { item: Shop::SHOP, name: name::RECEPTACLES }]);
    shop.derive_list(Shop::SHOP, name::RECEPTACLES, List::default());
    assert!(judge(&code, &shop, &Options::default()).is_empty());
}

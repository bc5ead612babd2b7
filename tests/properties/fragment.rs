//! Small rules and shops, made at random: a tree that both the evaluator and the reference read.

use proptest::prelude::*;
use ringout::law::code::*;
use ringout::law::syntax::{Aggregate, Bounds, Comparison, Meet, Moment, Operator};
use ringout::quantity::{Dimension, Rational, Scale};
use ringout::text::Span;
use ringout::words::{KINDS, Kind, Kinds, NameId, Ordinary, Origin, Type, Vocabulary, Word, choice, name};
use std::sync::Arc;

/// Yes/no words of a receptacle that fragments read; the last is rare and stands in exceptions only.
pub const FLAGS: [NameId; 3] = [name::HAS_GFCI, name::IS_DUPLEX, name::IS_REPLACEMENT];
/// The rare word.
pub const RARE: &str = "is-rare";
/// The edition at which parts come into force.
pub const TURN: i64 = 2020;

const AMPS: Scale = Scale::Ratio(Dimension::CURRENT);

/// Whose fact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Who {
    /// The item that the rule is met on.
    Subject,
    /// The member that a quantifier goes through.
    Member,
}

/// A condition.
#[derive(Clone, Debug)]
pub enum Cond {
    Is(Who, usize),
    HasBay(Who),
    Rare,
    OneOf(Who, u64),
    /// A term of the rule's own.
    Term(Who, usize),
    /// A formula with two arguments: a GFCI, or a current of at most so much.
    Fits(Who, Num),
    Compare(Comparison, Num, Num),
    Not(Box<Cond>),
    And(Vec<Cond>),
    Or(Vec<Cond>),
    If(Box<[Cond; 3]>),
    Quantified {
        is_all: bool,
        filter: Option<Box<Cond>>,
        body: Box<Cond>,
    },
}

/// A quantity.
#[derive(Clone, Debug)]
pub enum Num {
    Constant(i64),
    Amps(Who),
    /// A look-up: the choice exact, the current up.
    Row(Who),
    Plus(Box<[Num; 2]>),
    Least(Vec<Num>),
    Largest(Vec<Num>),
    Count(Option<Box<Cond>>),
    Sum(Option<Box<Cond>>),
    If(Box<(Cond, Num, Num)>),
}

/// A rule.
#[derive(Clone, Debug)]
pub struct Fragment {
    /// Conditions of one item with a name of their own.
    pub terms: Vec<Cond>,
    pub wheres: Vec<Cond>,
    /// Each with whether it holds from [`TURN`] on only.
    pub needs: Vec<(Cond, bool)>,
    /// Each with the part that it frees.
    pub excepts: Vec<(Cond, Option<usize>)>,
}

/// A condition; `deep` ones may go through the list and calculate.
fn cond(deep: bool) -> BoxedStrategy<Cond> {
    cond_of(deep, deep, TERMS, vec![Who::Subject])
}

/// How many terms a fragment has.
const TERMS: usize = 2;

fn cond_of(lists: bool, calculates: bool, terms: usize, who: Vec<Who>) -> BoxedStrategy<Cond> {
    let someone = prop::sample::select(who.clone());
    let comparison = prop::sample::select(vec![
        Comparison::Less,
        Comparison::AtMost,
        Comparison::Equal,
        Comparison::More,
        Comparison::AtLeast,
    ]);
    let amount = prop::sample::select(vec![10i64, 15, 20, 25]);
    let plain = (comparison.clone(), someone.clone(), amount)
        .prop_map(|(c, who, n)| Cond::Compare(c, Num::Amps(who), Num::Constant(n)));
    let leaf = prop_oneof![
        3 => (someone.clone(), 0..FLAGS.len()).prop_map(|(who, flag)| Cond::Is(who, flag)),
        1 => someone.clone().prop_map(Cond::HasBay),
        1 => (someone, 1u64..15).prop_map(|(who, bits)| Cond::OneOf(who, bits)),
        2 => plain,
    ];
    let leaf = match terms {
        0 => leaf.boxed(),
        terms => {
            let term = (prop::sample::select(who.clone()), 0..terms).prop_map(|(who, term)| Cond::Term(who, term));
            prop_oneof![5 => leaf, 1 => term].boxed()
        }
    };
    let leaf = if calculates {
        let fits =
            (prop::sample::select(who.clone()), num_of(false, terms, who.clone())).prop_map(|(w, n)| Cond::Fits(w, n));
        let leaf = prop_oneof![8 => leaf, 1 => fits];
        let num = num_of(lists, terms, who);
        prop_oneof![3 => leaf, 1 => (comparison, num.clone(), num).prop_map(|(c, a, b)| Cond::Compare(c, a, b))].boxed()
    } else {
        leaf.boxed()
    };
    let tree = leaf.prop_recursive(3, 12, 3, |inner| {
        prop_oneof![
            inner.clone().prop_map(|c| Cond::Not(Box::new(c))),
            prop::collection::vec(inner.clone(), 2..4).prop_map(Cond::And),
            prop::collection::vec(inner.clone(), 2..4).prop_map(Cond::Or),
            [inner.clone(), inner.clone(), inner].prop_map(|parts| Cond::If(Box::new(parts))),
        ]
    });
    if !lists {
        return tree.boxed();
    }
    let member = cond_of(false, false, terms, vec![Who::Subject, Who::Member]);
    let quantified = (any::<bool>(), prop::option::of(member.clone()), member).prop_map(|(is_all, filter, body)| {
        Cond::Quantified { is_all, filter: filter.map(Box::new), body: Box::new(body) }
    });
    let joined = (tree.clone(), quantified.clone()).prop_map(|(a, b)| Cond::And(vec![a, b]));
    prop_oneof![3 => tree, 1 => quantified, 1 => joined].boxed()
}

fn num_of(lists: bool, terms: usize, who: Vec<Who>) -> BoxedStrategy<Num> {
    let someone = prop::sample::select(who.clone());
    let plain = prop_oneof![
        2 => (0i64..40).prop_map(Num::Constant),
        2 => someone.clone().prop_map(Num::Amps),
        1 => someone.prop_map(Num::Row),
    ]
    .boxed();
    let leaf = if lists {
        let filter =
            move || prop::option::of(cond_of(false, false, terms, vec![Who::Subject, Who::Member]).prop_map(Box::new));
        prop_oneof![3 => plain, 1 => filter().prop_map(Num::Count), 1 => filter().prop_map(Num::Sum)].boxed()
    } else {
        plain
    };
    let condition = cond_of(false, false, 0, who);
    leaf.prop_recursive(2, 6, 2, move |inner| {
        prop_oneof![
            [inner.clone(), inner.clone()].prop_map(|pair| Num::Plus(Box::new(pair))),
            prop::collection::vec(inner.clone(), 2..3).prop_map(Num::Least),
            prop::collection::vec(inner.clone(), 2..3).prop_map(Num::Largest),
            (condition.clone(), inner.clone(), inner).prop_map(|parts| Num::If(Box::new(parts))),
        ]
    })
    .boxed()
}

/// A rule; `deep` as for conditions.
pub fn fragment(deep: bool, by_edition: bool) -> BoxedStrategy<Fragment> {
    let except = prop_oneof![2 => cond(deep), 1 => Just(Cond::Rare), 1 => cond(deep).prop_map(|c| Cond::And(vec![Cond::Rare, c]))];
    let turns = if by_edition { any::<bool>().boxed() } else { Just(false).boxed() };
    let wheres = prop::collection::vec(cond(deep), 0..2);
    let needs = prop::collection::vec((cond(deep), turns), 1..3);
    let excepts = prop::collection::vec((except, prop::option::of(0usize..2)), 0..2);
    let terms = prop::collection::vec(cond_of(deep, deep, 0, vec![Who::Subject]), TERMS);
    (terms, wheres, needs, excepts)
        .prop_map(|(terms, wheres, needs, excepts)| Fragment { terms, wheres, needs, excepts })
        .boxed()
}

/// The fragment as the compiler would give it, for receptacles.
pub fn code(fragment: &Fragment) -> Code {
    let mut vocabulary = Vocabulary::core();
    let rare = vocabulary.name_or_new(RARE);
    let word = Word {
        kinds: Kinds::of(Kind::Receptacle),
        name: rare,
        ty: Type::YesNo,
        is_part: false,
        origin: Origin::Fact,
        doc: String::new(),
        phrase: String::new(),
        ordinary: Some(Ordinary::No),
        question: None,
    };
    vocabulary.add(word).unwrap();
    let bounds = |turns: bool| Bounds { from: turns.then_some(Moment::Edition(TURN)), before: None };
    let part = |condition: &Cond, turns: bool| Part {
        name: String::new(),
        title: String::new(),
        bounds: bounds(turns),
        test: test(condition, rare),
    };
    let rule = Rule {
        name: "fragment".into(),
        texts: Default::default(),
        is_memory: false,
        bounds: Bounds::default(),
        stage: Stage::Final,
        level: Level::Required,
        kinds: Kinds::of(Kind::Receptacle),
        within: None,
        wheres: fragment.wheres.iter().map(|c| part(c, false)).collect(),
        needs: fragment.needs.iter().map(|(c, turns)| part(c, *turns)).collect(),
        excepts: fragment
            .excepts
            .iter()
            .map(|(c, freed)| Except {
                name: String::new(),
                title: String::new(),
                part: *freed,
                bounds: Bounds::default(),
                test: test(c, rare),
            })
            .collect(),
        evidence: Vec::new(),
        awaits: Vec::new(),
        points: Vec::new(),
        turns_on_edition: fragment.needs.iter().any(|(_, turns)| *turns),
        turns_on_day: false,
        slots: 2,
        span: Span::default(),
        presumed: vec![(Kinds::of(Kind::Receptacle), rare)],
        touched: Vec::new(),
    };
    let names: Vec<NameId> = (0..TERMS).map(|n| vocabulary.name_or_new(&format!("is-term-{n}"))).collect();
    let mut words_by_define = vec![[None; KINDS]; vocabulary.name_count()];
    for (number, name) in names.iter().enumerate() {
        words_by_define[name.0 as usize][Kind::Receptacle as usize] = Some(DefineId(number as u32));
    }
    let define = |name: &str, parameters: Vec<Type>, body: Test| Define {
        name: name.into(),
        doc: String::new(),
        note: None,
        cites: Vec::new(),
        source: None,
        parameters,
        result: Type::YesNo,
        is_percent: false,
        body: Body::Test(body),
        slots: 2,
        turns_on_edition: false,
        turns_on_day: false,
        span: Span::default(),
    };
    let receptacle = Type::Item(Kinds::of(Kind::Receptacle));
    let mut defines: Vec<Define> =
        fragment.terms.iter().map(|c| define("is-term", vec![receptacle], test(c, rare))).collect();
    defines.push(define("fits", vec![receptacle, Type::Quantity(AMPS)], fits(rare)));
    Code {
        words_by_define,
        vocabulary: Arc::new(vocabulary),
        rules: vec![rule].into(),
        defines: defines.into_iter().map(Later::now).collect(),
        tables: vec![table().into()],
        sheets: Vec::new(),
        authority: String::new(),
        editions: vec![2014, 2017, 2020, 2023, 2026],
        days: Vec::new(),
        proper_names: Vec::new(),
        index: Default::default(),
    }
}

/// The value of a row: by the choice and the first step at or over the current; 99 beyond the last.
pub fn row_value(cover: u32, amps: i64) -> i64 {
    STEPS.iter().find(|step| **step >= amps).map_or(99, |step| step + 7 * i64::from(cover))
}

const STEPS: [i64; 3] = [10, 20, 30];

fn table() -> Table {
    let whole = |n: i64| Cell::Number(Rational::whole(n));
    let row = |cover: u32, step: i64| Row {
        keys: [Cell::Choice(cover as u8), whole(step)].into(),
        values: [Some(whole(row_value(cover, step)))].into(),
        bounds: Bounds::default(),
        is_memory: false,
        span: Span::default(),
    };
    Table {
        name: "steps".into(),
        title: String::new(),
        source: String::new(),
        cites: Vec::new(),
        keys: vec![
            ("cover".into(), Type::Choice(choice::COVER_KIND), Meet::Exact),
            ("amps".into(), Type::Quantity(AMPS), Meet::Up),
        ],
        columns: vec![("value".into(), Type::Quantity(AMPS))],
        beyond: Beyond::Cell(whole(99)),
        rows: (0..4).flat_map(|cover| STEPS.map(|step| row(cover, step))).collect(),
        span: Span::default(),
        index: Default::default(),
    }
}

/// `r.has-gfci or r.amps <= a`.
fn fits(rare: NameId) -> Test {
    let letter = Number { node: NumberNode::Letter(Slot(1)), span: Span::default() };
    let amps = number(&Num::Amps(Who::Subject), rare);
    let under = TestNode::Compare(Comparison::AtMost, Box::new(amps), Box::new(letter), AMPS);
    let ways = [test(&Cond::Is(Who::Subject, 0), rare), Test { node: under, span: Span::default() }];
    Test { node: TestNode::Any(ways.into_iter().map(way).collect()), span: Span::default() }
}

fn way(test: Test) -> Alternative {
    Alternative { name: String::new(), title: String::new(), bounds: Bounds::default(), test }
}

fn item(who: Who) -> Item {
    Item::Letter(Slot(if who == Who::Subject { 0 } else { 1 }))
}

fn each(filter: &Option<Box<Cond>>, rare: NameId) -> Each {
    Each {
        slot: Slot(1),
        over: Over::Items(Items::Word(Item::Only(Kind::Shop), name::RECEPTACLES)),
        filter: filter.as_ref().map(|c| test(c, rare)),
    }
}

fn test(condition: &Cond, rare: NameId) -> Test {
    let all = |conditions: &[Cond]| conditions.iter().map(|c| test(c, rare)).collect::<Vec<_>>();
    let node = match condition {
        Cond::Is(who, flag) => TestNode::Word(Box::new(item(*who)), FLAGS[*flag]),
        Cond::HasBay(who) => TestNode::Has(Box::new(item(*who)), name::BAY),
        Cond::Rare => TestNode::Word(Box::new(item(Who::Subject)), rare),
        Cond::OneOf(who, bits) => {
            let node = ChoiceNode::Word(Box::new(item(*who)), name::COVER);
            TestNode::IsOneOf(Box::new(Choice { node, span: Span::default() }), *bits, choice::COVER_KIND)
        }
        Cond::Compare(c, a, b) => TestNode::Compare(*c, Box::new(number(a, rare)), Box::new(number(b, rare)), AMPS),
        Cond::Not(inner) => TestNode::Not(Box::new(test(inner, rare))),
        Cond::And(parts) => TestNode::All(all(parts).into()),
        Cond::Or(parts) => TestNode::Any(all(parts).into_iter().map(way).collect()),
        Cond::Term(who, term) => {
            // Terms come right after the core names and the rare word.
            TestNode::Word(Box::new(item(*who)), NameId(rare.0 + 1 + *term as u16))
        }
        Cond::Fits(who, most) => TestNode::Call(Box::new(Call {
            define: DefineId(TERMS as u32),
            arguments: [Any::Item(item(*who)), Any::Number(number(most, rare), AMPS)].into(),
        })),
        Cond::If(parts) => {
            TestNode::If(Box::new((test(&parts[0], rare), test(&parts[1], rare), test(&parts[2], rare))))
        }
        Cond::Quantified { is_all, filter, body } => TestNode::Quantified {
            is_all: *is_all,
            each: Box::new(each(filter, rare)),
            body: Box::new(test(body, rare)),
        },
    };
    Test { node, span: Span::default() }
}

fn number(num: &Num, rare: NameId) -> Number {
    let extreme = |is_largest, candidates: &[Num]| NumberNode::Extreme {
        is_largest,
        candidates: candidates.iter().map(|c| number(c, rare)).collect(),
    };
    let node = match num {
        Num::Constant(n) => NumberNode::Constant(Rational::whole(*n)),
        Num::Amps(who) => NumberNode::Word(Box::new(item(*who)), name::AMPS),
        Num::Row(who) => NumberNode::Lookup(Box::new(Lookup {
            table: TableId(0),
            column: 0,
            keys: [
                Key::Choice(Choice {
                    node: ChoiceNode::Word(Box::new(item(*who)), name::COVER),
                    span: Span::default(),
                }),
                Key::Number(number(&Num::Amps(*who), rare)),
            ]
            .into(),
        })),
        Num::Plus(pair) => {
            NumberNode::Arithmetic(Operator::Plus, Box::new(number(&pair[0], rare)), Box::new(number(&pair[1], rare)))
        }
        Num::Least(candidates) => extreme(false, candidates),
        Num::Largest(candidates) => extreme(true, candidates),
        Num::Count(filter) => NumberNode::Count(Box::new(each(filter, rare))),
        Num::Sum(filter) => NumberNode::Aggregate {
            kind: Aggregate::Sum,
            each: Box::new(each(filter, rare)),
            body: Box::new(number(&Num::Amps(Who::Member), rare)),
        },
        Num::If(parts) => {
            NumberNode::If(Box::new((test(&parts.0, rare), number(&parts.1, rare), number(&parts.2, rare))))
        }
    };
    Number { node, span: Span::default() }
}

use super::change::{PIECES_CAP, merge};
use super::quantity::in_the_same_words;
use super::show::{self, Digits};
use super::tree::{Teller, leaf};
use super::words::{clause, noun, plain};
use crate::law::code::{Body, Code, DefineId};
use crate::law::evaluate::End;
use crate::law::evaluate::cuts::Cuts;
use crate::law::evaluate::finish::lean_of;
use crate::law::evaluate::ground::Ground;
use crate::law::evaluate::machine::Machine;
use crate::law::evaluate::memo::{Memo, Out};
use crate::law::evaluate::moment::Now;
use crate::law::evaluate::reader::{Careful, Fact, Noting};
use crate::law::evaluate::split::split;
use crate::law::verdict::{Lean, Missing, Why};
use crate::quantity::{Quantity, Rational, Scale};
use crate::shop::{ItemRef, Range, Shop, Value};
use crate::text::Span;
use crate::words::{NameId, Type, name};

/// Most candidates that are told of one figure.
const CANDIDATES_CAP: usize = 12;

/// A computed figure of one item.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Which.
    pub define: DefineId,
    /// Of which item.
    pub item: ItemRef,
    /// The value, where one is left; in base units.
    pub value: Option<Quantity>,
    /// The least and the most that it can be, where both are known; in base units. Equal where there is a value.
    pub bounds: Option<(Quantity, Quantity)>,
    /// The value or what is known of it, as text: `52 A`, `55 A to 65 A`, `unknown`.
    pub text: String,
    /// How it comes about.
    pub why: Why,
    /// Facts that it hangs on and that are not known.
    pub missing: Vec<Missing>,
    /// Assumptions and claims that went into it.
    pub leans_on: Vec<Lean>,
    /// What it would be with one more answer, where there are few.
    pub candidates: Vec<Candidate>,
}

/// What a figure would be with one answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// What is answered: `terminal marking of feeder F1`, or the edition.
    pub what: String,
    /// The answer.
    pub answer: String,
    /// The figure then.
    pub text: String,
}

/// What a word of an item comes to: a formula, or what the plan or the drawing gives. None where
/// the item has no such word.
pub fn figure_of(code: &Code, shop: &Shop, item: ItemRef, name: NameId) -> Option<Told> {
    if let Some(define) = code.define_of(item.kind, name) {
        return Some(Told::Figure(Box::new(figure(code, shop, define, item))));
    }
    let word = code.vocabulary.word(item.kind, name)?;
    let value = shop.value(item, name);
    let text = match value {
        Value::List(id) => match shop.list(id) {
            list if list.is_open || !list.possible.is_empty() => format!("{} or more", list.sure.len()),
            list => list.sure.len().to_string(),
        },
        _ => show::value(code, shop, Some(word.ty), &value),
    };
    let quantity = match (value, word.ty) {
        (Value::Number(value), Type::Quantity(scale)) => Some(Quantity { value, scale }),
        (Value::List(id), _) => {
            let list = shop.list(id);
            let is_known = !list.is_open && list.possible.is_empty();
            let value = Rational::whole(list.sure.len() as i64);
            is_known.then_some(Quantity { value, scale: Scale::NUMBER })
        }
        _ => None,
    };
    Some(Told::Fact { value: quantity, text, place: shop.source(item, name).place })
}

/// A figure of the calculation sheet.
#[derive(Clone, Debug)]
pub enum Told {
    /// A formula's.
    Figure(Box<Figure>),
    /// What the plan says, or the drawing gives.
    Fact {
        /// In base units, where it is one.
        value: Option<Quantity>,
        /// As text; `unknown` where nobody said.
        text: String,
        /// Where the plan says it; empty where it follows from the drawing.
        place: Span,
    },
}

/// What a define with one item gives for an item, and how.
pub fn figure(code: &Code, shop: &Shop, define: DefineId, item: ItemRef) -> Figure {
    let ground = Ground::new(code, shop);
    let mut memo = Memo::new();
    let (by_edition, by_day) = code.define(define).map_or((false, false), |d| (d.turns_on_edition, d.turns_on_day));
    let moments: Vec<Now> = ground.moments.that_matter(by_edition, by_day).collect();
    let mut outs: Vec<(Now, Out, Vec<Fact>)> = Vec::with_capacity(moments.len());
    for now in moments {
        let (out, facts) = run(&ground, &mut memo, now, (define, item), Noting::Undecided);
        outs.push((now, out, facts));
    }
    let differs = outs.windows(2).any(|pair| matches!(pair, [a, b] if a.1 != b.1));
    let Some((now, out, facts)) = outs.last().cloned() else { return nothing(define, item) };
    let mut figure = nothing(define, item);
    figure.text = text_of(&ground, define, &out);
    figure.value = value_of(&ground, define, &out);
    figure.bounds = bounds_of(&ground, define, &out);
    figure.missing = facts.iter().map(|(item, name)| Missing { item: *item, name: *name }).collect();
    if differs {
        (figure.text, figure.value, figure.bounds) = ("unknown".into(), None, None);
        figure.missing.insert(0, Missing { item: Shop::PERMIT, name: name::EDITION });
        figure.candidates = outs.iter().map(|(now, out, _)| by_edition_of(&ground, define, now, out)).collect();
    } else if !out.is_decided() {
        figure.candidates = candidates(&ground, &mut memo, now, (define, item), &facts);
    }
    let (_, weak) = run(&ground, &mut memo, now, (define, item), Noting::Weak);
    for fact in weak {
        let lean = lean_of(shop, fact);
        if !figure.leans_on.contains(&lean) {
            figure.leans_on.push(lean);
        }
    }
    figure.why = why(&ground, &mut memo, now, (define, item), figure.text.clone());
    figure
}

fn nothing(define: DefineId, item: ItemRef) -> Figure {
    Figure {
        define,
        item,
        value: None,
        bounds: None,
        text: "unknown".into(),
        why: leaf(String::new(), "unknown".into()),
        missing: Vec::new(),
        leans_on: Vec::new(),
        candidates: Vec::new(),
    }
}

fn run(
    ground: &Ground,
    memo: &mut Memo,
    now: Now,
    (define, item): (DefineId, ItemRef),
    noting: Noting,
) -> (Out, Vec<Fact>) {
    memo.forget();
    let mut machine = Machine::new(ground, now, Careful::new(&[], &[], noting), memo, None);
    machine.enter_rule(1, item);
    let out = machine.define(define, item);
    let mut facts: Vec<Fact> = Vec::new();
    for note in &machine.reader.notes {
        if !facts.contains(&note.fact) {
            facts.push(note.fact);
        }
    }
    (out, facts)
}

/// The answers to the first missing fact that can be parted, and what each gives.
fn candidates(
    ground: &Ground,
    memo: &mut Memo,
    now: Now,
    (define, item): (DefineId, ItemRef),
    facts: &[Fact],
) -> Vec<Candidate> {
    let cuts = Cuts::of_define(ground.code, define);
    let mut machine = Machine::new(ground, now, Careful::new(&[], &[], Noting::Undecided), memo, None);
    // What the figure hangs on is worked out once; an answer changes only what hangs on its fact.
    machine.memo.begin_trials();
    machine.reader.begin_root();
    machine.enter_rule(1, item);
    machine.define(define, item);
    machine.reader.end_root();
    let told = changes(&mut machine, &cuts, (define, item), facts);
    machine.memo.end_trials();
    told
}

/// The answers to the first of the facts that is told, with what is worked out already at hand.
fn changes(
    machine: &mut Machine<'_, '_, Careful<'_>>,
    cuts: &Cuts,
    (define, item): (DefineId, ItemRef),
    facts: &[Fact],
) -> Vec<Candidate> {
    let ground = machine.ground;
    for fact in facts {
        let mut pieces = Vec::new();
        explore(machine, cuts, (define, item), *fact, None, &mut pieces);
        let pieces = merge(pieces);
        if (2..=CANDIDATES_CAP).contains(&pieces.len()) {
            let ty = ground.type_of(fact.0.kind, fact.1);
            let (called, word) = (ground.shop.called(fact.0), ground.code.vocabulary.text(fact.1));
            let what = match ty {
                Some(Type::YesNo) => clause(&called, word, true),
                _ => format!("{} of {called}", noun(word)),
            };
            let told = pieces.into_iter().filter(|(value, _)| !is_between_counts(ty, value)).map(|(value, text)| {
                Candidate { what: what.clone(), answer: show::value(ground.code, ground.shop, ty, &value), text }
            });
            return told.collect();
        }
    }
    Vec::new()
}

/// Whether it lies between two neighboring whole numbers, of which both are answers of their own: nobody counts so.
fn is_between_counts(ty: Option<Type>, value: &Value) -> bool {
    match value {
        Value::Range(Range { low: Some(low), high: Some(high), low_is_open: true, high_is_open: true }) => {
            ty == Some(Type::Quantity(Scale::NUMBER)) && low.is_whole() && low.plus(Rational::ONE) == Some(*high)
        }
        _ => false,
    }
}

/// Parts the values of one fact until each set gives one figure, or no longer can be parted.
fn explore(
    machine: &mut Machine<'_, '_, Careful<'_>>,
    cuts: &Cuts,
    (define, item): (DefineId, ItemRef),
    fact: Fact,
    value: Option<Value>,
    pieces: &mut Vec<(Value, String)>,
) {
    machine.reader.clear();
    machine.memo.forget();
    machine.enter_rule(1, item);
    let out = machine.define(define, item);
    if !out.is_decided() && pieces.len() < PIECES_CAP {
        let notes = std::mem::take(&mut machine.reader.notes);
        let note = notes.iter().find(|note| note.fact == fact);
        if let Some(values) = note.and_then(|note| split(machine.ground, cuts, &machine.reader, note)) {
            for value in values {
                machine.reader.completed.push((fact, value));
                explore(machine, cuts, (define, item), fact, Some(value), pieces);
                machine.reader.completed.pop();
            }
            return;
        }
    }
    pieces.extend(value.map(|value| (value, text_of(machine.ground, define, &out))));
}

fn by_edition_of(ground: &Ground, define: DefineId, now: &Now, out: &Out) -> Candidate {
    let answer = Scale::Edition.show(Rational::whole(now.edition));
    Candidate { what: "edition in force".into(), answer, text: text_of(ground, define, out) }
}

fn result_of(ground: &Ground, define: DefineId) -> Option<Type> {
    ground.code.define(define).map(|d| d.result)
}

fn text_of(ground: &Ground, define: DefineId, out: &Out) -> String {
    let formula = ground.code.define(define);
    let is_percent = formula.is_some_and(|d| d.is_percent);
    let digits = formula.map_or(Digits::USUAL, |d| Digits::of_figure(&d.name));
    match (out, result_of(ground, define)) {
        (Out::Number(n), _) if is_percent => show::percent(n, digits),
        (Out::Number(n), Some(Type::Quantity(scale))) => show::interval(Some(scale), n, digits),
        (Out::Number(n), _) => show::interval(None, n, digits),
        (Out::Test(truth), _) => super::tree::truth_text(*truth),
        (Out::Choice(bits), Some(Type::Choice(id))) => show::choice(ground.code, Some(id), *bits),
        (Out::Item(Some(item)), _) => ground.shop.called(*item),
        (Out::Choice(_) | Out::Item(None), _) => "unknown".into(),
    }
}

fn value_of(ground: &Ground, define: DefineId, out: &Out) -> Option<Quantity> {
    match (out, result_of(ground, define)) {
        (Out::Number(n), Some(Type::Quantity(scale))) if n.is_decided() => match n.low {
            End::At(value) => Some(Quantity { value, scale }),
            End::Below | End::NoLimit => None,
        },
        _ => None,
    }
}

fn bounds_of(ground: &Ground, define: DefineId, out: &Out) -> Option<(Quantity, Quantity)> {
    match (out, result_of(ground, define)) {
        (Out::Number(n), Some(Type::Quantity(scale))) => match (n.low, n.high) {
            (End::At(low), End::At(high)) => Some((Quantity { value: low, scale }, Quantity { value: high, scale })),
            _ => None,
        },
        _ => None,
    }
}

fn why(ground: &Ground, memo: &mut Memo, now: Now, (id, item): (DefineId, ItemRef), text: String) -> Why {
    let mut teller = Teller::with_reader(ground, memo, now, Careful::new(&[], &[], Noting::Undecided));
    teller.machine.enter_rule(1, item);
    let Some(define) = ground.code.define(id) else { return leaf(String::new(), text) };
    let scale = if let Type::Quantity(scale) = define.result { Some(scale) } else { None };
    let mut why = leaf(format!("{} of {}", plain(&define.name), ground.shop.called(item)), text);
    why.source = show::source_of(define, now.edition);
    why.from = teller
        .inside(id, item, |teller, define| match &define.body {
            Body::Choice(choice) => match define.result {
                Type::Choice(id) => teller.choice_step(choice, id).into_iter().collect(),
                _ => Vec::new(),
            },
            _ => teller.body(define, scale),
        })
        .unwrap_or_default();
    if let Body::Number(_) = define.body {
        in_the_same_words(&mut why);
    }
    why
}

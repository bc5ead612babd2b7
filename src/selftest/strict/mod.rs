//! Spoils a pack in one place after the other and looks whether an example notices.
//!
//! An example that comes out the same whichever way a limit points proves nothing. Each figure is
//! moved a step up and down, each comparison turned round, each condition, exception and list item
//! left out. A change that no example notices is told to the author with its place.

mod spots;

use super::{Case, Wanted, cases};
use crate::law::code::{Code, Define, DefineId, Later, Test, TestNode};
use crate::law::syntax::{Comparison, Pack};
use crate::quantity::{Dimension, Rational, Scale};
use crate::text::Span;
use crate::{law, parallel};
use spots::{Spot, Walk};
use std::collections::{BTreeSet, HashMap, HashSet};
use std::mem;

/// What came of spoiling a pack.
#[derive(Clone, Debug, Default)]
pub struct Strictness {
    /// How many changes were tried.
    pub tried: usize,
    /// Those that no example noticed, in the order of their places.
    pub unnoticed: Vec<Unnoticed>,
}

/// A change that no example notices.
#[derive(Clone, Debug)]
pub struct Unnoticed {
    /// The rule or formula.
    pub block: String,
    /// Where.
    pub span: Span,
    /// What was changed: `250 V moved to 500 V`.
    pub change: String,
}

/// A rule or a formula of the code.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Block {
    Rule(usize),
    Define(usize),
}

/// Which way a spot is spoiled.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    First,
    Second,
}

/// What was taken out of a spot, to be put back.
enum Taken {
    Comparison(Comparison),
    Figure(Rational),
    Condition(Test),
}

/// Tries every change. Examples that come out otherwise already can't notice anything and are
/// left out.
pub fn strictness(pack: &Pack) -> Strictness {
    let (mut code, _) = law::compile(pack);
    let cases: Vec<Case> = cases(pack, &code).into_iter().filter(|case| case.failure(&code).is_none()).collect();
    let heard = heard(&mut code, &cases);
    let blocks: Vec<Block> =
        (0..code.rules.len()).map(Block::Rule).chain((0..code.defines.len()).map(Block::Define)).collect();
    // Each thread spoils a code of its own; the same pack always compiles to the same code.
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let shares: Vec<usize> = (0..threads).collect();
    let found = parallel::map(&shares, |share| {
        let (mut code, _) = law::compile(pack);
        let mut found = Strictness::default();
        for block in blocks.iter().skip(*share).step_by(threads) {
            let heard = heard.get(block).map_or(&[][..], Vec::as_slice);
            spoil_block(&mut code, *block, heard, &cases, &mut found);
        }
        found
    });
    let mut all = Strictness::default();
    for share in found {
        all.tried += share.tried;
        all.unnoticed.extend(share.unnoticed);
    }
    all.unnoticed.sort_by_key(|u| u.span);
    all
}

fn spoil_block(code: &mut Code, block: Block, heard: &[usize], cases: &[Case], found: &mut Strictness) {
    let mut spots = 0;
    walk(code, block, |spot, _| spots += usize::from(is_spoilable(&spot)));
    for spot in 0..spots {
        for way in [Way::First, Way::Second] {
            let Some((span, change, taken)) = spoil(code, block, spot, way) else { continue };
            found.tried += 1;
            let is_noticed = heard.iter().any(|index| cases.get(*index).is_some_and(|c| c.failure(code).is_some()));
            put_back(code, block, spot, taken);
            if !is_noticed {
                let name = match block {
                    Block::Rule(rule) => code.rules.get(rule).map(|r| r.name.clone()),
                    Block::Define(define) => code.defines.get(define).map(|d| d.name.clone()),
                };
                found.unnoticed.push(Unnoticed { block: name.unwrap_or_default(), span, change });
            }
        }
    }
}

fn walk(code: &mut Code, block: Block, see: impl FnMut(Spot<'_>, Span)) {
    let mut walk = Walk { see };
    match block {
        Block::Rule(rule) => {
            code.rules.get_mut().and_then(|rules| rules.get_mut(rule)).into_iter().for_each(|r| walk.rule(r));
        }
        Block::Define(define) => {
            code.defines.get_mut(define).and_then(Later::get_mut).into_iter().for_each(|d| walk.define(d));
        }
    }
}

/// Spoils one spot; none where there is no such spot, or no such way.
fn spoil(code: &mut Code, block: Block, wanted: usize, way: Way) -> Option<(Span, String, Taken)> {
    let mut number = 0;
    let mut done = None;
    walk(code, block, |spot, span| {
        if !is_spoilable(&spot) {
            return;
        }
        number += 1;
        if number != wanted + 1 || done.is_some() {
            return;
        }
        done = match spot {
            Spot::Comparison(comparison) if way == Way::First => {
                let turned = turned(*comparison);
                let change = format!("`{}` turned to `{}`", comparison.sign(), turned.sign());
                Some((span, change, Taken::Comparison(mem::replace(comparison, turned))))
            }
            Spot::Figure(value, scale) => moved(*value, scale, way).map(|new| {
                let change = match scale {
                    Some(scale) => format!("{} moved to {}", scale.show(*value), scale.show(new)),
                    None => {
                        format!("this figure {}", if way == Way::First { "made half as large again" } else { "halved" })
                    }
                };
                (span, change, Taken::Figure(mem::replace(value, new)))
            }),
            Spot::Condition(test, absent, title) if way == Way::First => {
                let new = Test { node: TestNode::Constant(absent), span: test.span };
                Some((span, format!("{title} left out"), Taken::Condition(mem::replace(test, new))))
            }
            _ => None,
        };
    });
    done
}

fn put_back(code: &mut Code, block: Block, wanted: usize, taken: Taken) {
    let mut number = 0;
    let mut taken = Some(taken);
    walk(code, block, |spot, _| {
        if !is_spoilable(&spot) {
            return;
        }
        number += 1;
        if number != wanted + 1 {
            return;
        }
        match (spot, taken.take()) {
            (Spot::Comparison(place), Some(Taken::Comparison(old))) => *place = old,
            (Spot::Figure(place, _), Some(Taken::Figure(old))) => *place = old,
            (Spot::Condition(place, ..), Some(Taken::Condition(old))) => *place = old,
            _ => {}
        }
    });
}

fn is_spoilable(spot: &Spot<'_>) -> bool {
    !matches!(spot, Spot::Word(_) | Spot::Formula(_))
}

fn turned(comparison: Comparison) -> Comparison {
    match comparison {
        Comparison::Less => Comparison::AtLeast,
        Comparison::AtLeast => Comparison::Less,
        Comparison::More => Comparison::AtMost,
        Comparison::AtMost => Comparison::More,
        Comparison::Equal => Comparison::More,
    }
}

/// A figure one step on: the next size or count, half or double the voltage and half as much
/// current (the trade's lie that far apart), else a fifth.
fn moved(value: Rational, scale: Option<Scale>, way: Way) -> Option<Rational> {
    let is_up = way == Way::First;
    let step = match scale {
        Some(Scale::WireSize | Scale::Edition | Scale::Date) => Rational::ONE,
        Some(Scale::TradeSize) => Rational::new(1, 4)?,
        Some(Scale::NUMBER) if value.is_whole() && value <= Rational::whole(20) => Rational::ONE,
        Some(Scale::Ratio(Dimension::VOLTAGE)) if is_up => value,
        None | Some(Scale::Ratio(Dimension::VOLTAGE | Dimension::CURRENT)) => value.over(Rational::whole(2))?,
        _ => value.over(Rational::whole(5))?,
    };
    let new = if is_up { value.plus(step)? } else { value.minus(step)? };
    // Nothing is less than none, and a step that stands still is none.
    (new != value && new >= Rational::ZERO).then_some(new)
}

/// For each rule and formula the cases that could notice a change of it: its own, and those of the
/// rules and formulas that lean on it, directly or through others.
fn heard(code: &mut Code, cases: &[Case]) -> HashMap<Block, Vec<usize>> {
    let by_word: Vec<BTreeSet<usize>> =
        code.words_by_define.iter().map(|row| row.iter().flatten().map(|d| d.0 as usize).collect()).collect();
    let said = |code: &mut Code, block: Block| {
        let mut found: BTreeSet<usize> = BTreeSet::new();
        walk(code, block, |spot, _| match spot {
            Spot::Word(name) => found.extend(by_word.get(name.0 as usize).into_iter().flatten()),
            Spot::Formula(DefineId(define)) => {
                found.insert(define as usize);
            }
            _ => {}
        });
        found
    };
    let direct: Vec<BTreeSet<usize>> = (0..code.defines.len()).map(|d| said(code, Block::Define(d))).collect();
    let mut leans: HashMap<Block, Vec<Block>> = HashMap::new();
    let mut heard: HashMap<Block, Vec<usize>> = HashMap::new();
    for (index, case) in cases.iter().enumerate() {
        for top in tops(code, case) {
            let below = leans.entry(top).or_insert_with(|| {
                let mut open: Vec<usize> = said(code, top).into_iter().collect();
                let mut all = HashSet::from([top]);
                while let Some(define) = open.pop() {
                    if all.insert(Block::Define(define)) {
                        open.extend(direct.get(define).into_iter().flatten());
                    }
                }
                all.into_iter().collect()
            });
            for block in below {
                heard.entry(*block).or_default().push(index);
            }
        }
    }
    heard
}

/// What a case runs: its rule, or the formulas of its name (one for each kind of item).
fn tops(code: &Code, case: &Case) -> Vec<Block> {
    match case.wanted {
        Wanted::Verdict(rule, _) => vec![Block::Rule(rule.0 as usize)],
        Wanted::Figure(define, _) => {
            let is_same = |(_, d): &(usize, &Later<Define>)| d.name == define.name.node;
            code.defines.iter().enumerate().filter(is_same).map(|(i, _)| Block::Define(i)).collect()
        }
    }
}

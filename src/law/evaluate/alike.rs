//! Items that are alike are tried once.
//!
//! Trying completions takes thousands of times as long as reading a few facts, and a large plan has
//! many circuits that differ in their names alone. So what a search looked at is kept, in order, with
//! its result, and items as numbers in the order in which they were met. Another item for which every
//! look gives the same gets the same result: the search has nothing else to go by.

use super::Truth;
use super::ground::Ground;
use super::moment::Now;
use super::search::Settled;
use crate::hash::ShortSet;
use crate::law::verdict::Missing;
use crate::shop::{How, ItemRef, List, Shop, Value};
use crate::words::{Kind, NameId};

/// Most looks that are kept of one search, and most items that they meet. A search past it is not kept.
pub(in crate::law) const LOOKS_CAP: usize = 4096;
const ITEMS_CAP: usize = 256;

/// Most answers that are kept to one look: where items differ this much, few are alike.
const ANSWERS_CAP: usize = 64;

/// Something that the result of a search may hang on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(in crate::law) enum Look {
    /// A fact, and how it is known.
    Fact(ItemRef, NameId),
    /// A list.
    List(ItemRef, NameId),
    /// Which of two items comes first in the plan.
    Order(ItemRef, ItemRef),
}

/// The looks of one search, each once, in order.
#[derive(Debug, Default)]
pub(in crate::law) struct Trail {
    seen: ShortSet<Look>,
    looks: Vec<Look>,
    cap: usize,
    is_ended: bool,
}

impl Trail {
    /// With so many looks at most.
    pub fn within(cap: usize) -> Trail {
        Trail { cap, ..Trail::default() }
    }

    /// Notes a look.
    pub fn push(&mut self, look: Look) {
        if !self.is_over() && self.seen.insert(look) {
            self.looks.push(look);
        }
    }

    /// Whether there are more looks than are kept.
    pub fn is_over(&self) -> bool {
        self.looks.len() > self.cap || self.is_ended
    }

    /// That there were more looks, which are not told.
    pub fn end(&mut self) {
        self.is_ended = true;
    }
}

/// What a look gives.
enum Seen<'a> {
    Fact(&'a Value, How),
    List(Option<&'a List>),
    Order(bool),
}

/// The same as it is kept: the index of an item is its number among the items met.
#[derive(Debug)]
enum Answer {
    Fact(Value, How),
    List(Option<List>),
    Order(bool),
}

/// What a search begins with: the moment, whether the item is in the rule's list, the item.
pub(in crate::law) type Start = (Now, Truth, ItemRef);

/// The searches of one rule, as trees of looks.
#[derive(Debug, Default)]
pub(in crate::law) struct Alike {
    /// Where a search begins: the moment, whether the item is in the rule's list, its kind.
    roots: Vec<((Now, Truth, Kind), usize)>,
    nodes: Vec<Node>,
    #[cfg(test)]
    pub found: std::cell::Cell<usize>,
}

#[derive(Debug)]
enum Node {
    Open,
    Look(Look, Vec<(Answer, usize)>),
    Result(Settled, bool),
}

/// The items that a search met, by their numbers.
struct Met(Vec<ItemRef>);

impl Alike {
    /// What a search gave for an item that is like this one.
    pub fn find(&self, ground: &Ground, (now, belongs, item): Start) -> Option<(Settled, bool)> {
        let mut met = Met::of(item);
        let mut at = self.roots.iter().find(|(start, _)| *start == (now, belongs, item.kind))?.1;
        loop {
            match self.nodes.get(at)? {
                Node::Open => return None,
                Node::Result(settled, is_weak) => {
                    #[cfg(test)]
                    self.found.set(self.found.get() + 1);
                    return Some((with_items(settled, |item| met.item(item))?, *is_weak));
                }
                Node::Look(look, answers) => {
                    let seen = see(ground, look.with(|item| met.item(item))?);
                    at = answers.iter().find(|(answer, _)| met.fits(answer, &seen))?.1;
                }
            }
        }
    }

    /// Keeps what a search gave, and whether an assumption or claim was read; gives nothing where it can't be kept.
    pub fn keep(
        &mut self,
        ground: &Ground,
        (now, belongs, item): Start,
        trail: &Trail,
        (settled, is_weak): (&Settled, bool),
    ) -> Option<()> {
        if trail.is_over() {
            return None;
        }
        let mut met = Met::of(item);
        let mut at = self.root((now, belongs, item.kind));
        for look in &trail.looks {
            let next = self.nodes.len();
            let kept = look.with(|item| met.number(item))?;
            let node = self.nodes.get_mut(at)?;
            if let Node::Open = node {
                *node = Node::Look(kept, Vec::new());
            }
            let Node::Look(known, answers) = node else { return None };
            let seen = see(ground, *look);
            at = match answers.iter().find(|(answer, _)| met.fits(answer, &seen)) {
                _ if *known != kept => return None,
                Some((_, next)) => *next,
                None if answers.len() >= ANSWERS_CAP => return None,
                None => {
                    answers.push((met.answer(&seen)?, next));
                    self.nodes.push(Node::Open);
                    next
                }
            };
        }
        *self.nodes.get_mut(at)? = Node::Result(with_items(settled, |item| met.number(item))?, is_weak);
        Some(())
    }

    fn root(&mut self, start: (Now, Truth, Kind)) -> usize {
        if let Some((_, at)) = self.roots.iter().find(|(known, _)| *known == start) {
            return *at;
        }
        let at = self.nodes.len();
        self.nodes.push(Node::Open);
        self.roots.push((start, at));
        at
    }
}

/// What a look gives in this plan.
fn see<'a>(ground: &Ground<'a>, look: Look) -> Seen<'a> {
    let shop = ground.shop;
    match look {
        Look::Fact(item, name) => Seen::Fact(shop.fact(item, name), shop.source(item, name).how),
        Look::List(item, name) => Seen::List(match shop.fact(item, name) {
            Value::List(id) => Some(shop.list(*id)),
            _ => None,
        }),
        Look::Order(a, b) => Seen::Order(a < b),
    }
}

impl Look {
    /// The same look at other items.
    fn with(self, item: impl Fn(ItemRef) -> Option<ItemRef>) -> Option<Look> {
        Some(match self {
            Look::Fact(of, name) => Look::Fact(item(of)?, name),
            Look::List(of, name) => Look::List(item(of)?, name),
            Look::Order(a, b) => Look::Order(item(a)?, item(b)?),
        })
    }
}

impl Met {
    /// At first these are met: the item, and what every rule can name.
    fn of(item: ItemRef) -> Met {
        Met(vec![item, Shop::SHOP, Shop::PERMIT])
    }

    /// An item that was met, for its number.
    fn item(&self, number: ItemRef) -> Option<ItemRef> {
        self.0.get(number.index as usize).copied()
    }

    /// The number of an item that was met.
    fn number(&self, item: ItemRef) -> Option<ItemRef> {
        let index = self.0.iter().position(|met| *met == item)? as u32;
        Some(ItemRef { kind: item.kind, index })
    }

    /// The number of an item that is met now; none where there are too many.
    fn meet(&mut self, item: ItemRef) -> Option<ItemRef> {
        self.number(item).or_else(|| {
            let index = self.0.len() as u32;
            self.0.push(item);
            (self.0.len() <= ITEMS_CAP).then_some(ItemRef { kind: item.kind, index })
        })
    }

    /// Whether a look gave what is kept. Then its items are met.
    fn fits(&mut self, kept: &Answer, seen: &Seen) -> bool {
        let before = self.0.len();
        let is_same = match (kept, seen) {
            (Answer::Fact(a, a_how), Seen::Fact(b, b_how)) => {
                a_how == b_how
                    && match (a, b) {
                        (Value::Item(a), Value::Item(b)) => self.meet(*b) == Some(*a),
                        (a, b) => a == *b,
                    }
            }
            (Answer::List(Some(a)), Seen::List(Some(b))) => {
                a.is_open == b.is_open
                    && a.choices == b.choices
                    && a.sure.len() == b.sure.len()
                    && a.possible.len() == b.possible.len()
                    && a.sure.iter().zip(&b.sure).all(|(a, b)| self.meet(*b) == Some(*a))
                    && a.possible.iter().zip(&b.possible).all(|(a, b)| self.meet(*b) == Some(*a))
            }
            (Answer::List(None), Seen::List(None)) => true,
            (Answer::Order(a), Seen::Order(b)) => a == b,
            _ => false,
        };
        if !is_same {
            self.0.truncate(before);
        }
        is_same
    }

    /// What a look gave, to be kept.
    fn answer(&mut self, seen: &Seen) -> Option<Answer> {
        Some(match seen {
            Seen::Fact(Value::Item(item), how) => Answer::Fact(Value::Item(self.meet(*item)?), *how),
            Seen::Fact(value, how) => Answer::Fact(**value, *how),
            Seen::List(None) => Answer::List(None),
            Seen::List(Some(list)) => Answer::List(Some(List {
                sure: list.sure.iter().map(|item| self.meet(*item)).collect::<Option<_>>()?,
                possible: list.possible.iter().map(|item| self.meet(*item)).collect::<Option<_>>()?,
                is_open: list.is_open,
                choices: list.choices,
            })),
            Seen::Order(is_before) => Answer::Order(*is_before),
        })
    }
}

/// A result with other items.
fn with_items(settled: &Settled, item: impl Fn(ItemRef) -> Option<ItemRef>) -> Option<Settled> {
    let missing = settled.missing.iter().map(|m| Some(Missing { item: item(m.item)?, name: m.name }));
    let ordinary = settled.ordinary.iter().map(|(of, name)| Some((item(*of)?, *name)));
    Some(Settled {
        outcome: settled.outcome,
        ruling: settled.ruling,
        missing: missing.collect::<Option<_>>()?,
        ordinary: ordinary.collect::<Option<_>>()?,
    })
}

#[cfg(test)]
mod tests {
    use crate::law::code::RuleId;
    use crate::law::evaluate::Judge;
    use crate::law::evaluate::judge::Caps;
    use crate::text::FileId;
    use crate::{Rules, plan, shop, wiring};
    use std::fmt::Write;

    /// Circuits of four makes in turn, each make several times, so that some are alike and some nearly so.
    fn rows() -> String {
        let mut text = String::from("shop\n  code NEC 2023\nfeeder F1 from house to P1\npanel P1: main 100 A\n");
        for n in 0..12 {
            let make = ["20 A", "20 A, wire 12 AWG Cu", "30 A", "15 A, 30 ft long"][n % 4];
            _ = writeln!(text, "circuit C{n}: breaker {make}\n  feeds R{n} then Q{n}");
            let hung = if n == 5 { ", GFCI" } else { "" };
            _ = writeln!(text, "receptacle R{n}: 5-20R{hung}\nreceptacle Q{n}: 5-20R");
        }
        text
    }

    /// What an item gets from one that is like it is what it gets by itself: by every rule, on plans whose items
    /// are alike, nearly alike and not at all.
    #[test]
    fn alike_items_get_what_each_gets_alone() {
        let rules = Rules::builtin();
        let rows = rows();
        let known = [include_str!("../../../examples/half-known.shop"), include_str!("../../../examples/sound.shop")];
        let mut met = 0;
        for text in [rows.as_str()].into_iter().chain(known) {
            let read = plan::read(FileId(999), text);
            let mut built = shop::build(&read, &[], &[], rules.code.vocabulary.clone());
            wiring::complete(&mut built);
            let (mut shared, mut alone) = (Judge::new(&rules.code, &built), Judge::new(&rules.code, &built));
            alone.take_none_as_alike();
            for (number, rule) in rules.code.rules.iter().enumerate() {
                let id = RuleId(number as u32);
                let (mut given, mut own) = (Vec::new(), Vec::new());
                shared.rule(id, rule, &mut given);
                alone.rule(id, rule, &mut own);
                for (a, b) in given.iter().zip(&own) {
                    assert_eq!(format!("{a:?}"), format!("{b:?}"), "{}", rule.name);
                }
                assert_eq!(given.len(), own.len());
                met += shared.count_of_alike();
            }
        }
        assert!(met > 100, "only {met} verdicts came from items that are alike");
    }

    /// What thousands of circuits share of their panel's load gives each what it gets by itself, facts named
    /// and all; caps are lowered here until a small plan meets them.
    #[test]
    fn shared_giants_give_what_each_gets_alone() {
        let rules = Rules::builtin();
        let mut text = String::from("shop\n  code NEC 2023\nfeeder F1 from house to P1\npanel P1: main 100 A\n");
        for n in 0..40 {
            _ = writeln!(text, "circuit C{n}: breaker 20 A, feeds R{n}\nreceptacle R{n}: 5-20R");
        }
        let read = plan::read(FileId(999), &text);
        let mut built = shop::build(&read, &[], &[], rules.code.vocabulary.clone());
        wiring::complete(&mut built);
        let (mut shared, mut alone) = (Judge::new(&rules.code, &built), Judge::new(&rules.code, &built));
        let caps = Caps { work: 4_000, named: 800, looks: 48 };
        (shared.caps, alone.caps) = (caps, caps);
        alone.take_none_as_alike();
        let mut giants = 0;
        for (number, rule) in rules.code.rules.iter().enumerate() {
            let id = RuleId(number as u32);
            let (mut given, mut own) = (Vec::new(), Vec::new());
            shared.rule(id, rule, &mut given);
            alone.rule(id, rule, &mut own);
            assert_eq!(format!("{given:#?}"), format!("{own:#?}"), "{}", rule.name);
            giants += shared.count_of_giants();
            assert_eq!(alone.count_of_giants(), 0);
        }
        assert!(giants > 0, "nothing was shared");
    }
}

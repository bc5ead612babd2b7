//! Which parts are known to be there. A thing that may be absent is read only behind its `has-`
//! word, so that nothing in the language is null.

use super::frame::Frame;
use crate::law::code::{Item, Test, TestNode};
use crate::law::syntax::Bounds;
use crate::words::NameId;

/// A part that is known to be there, as the way to it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Guard {
    way: Way,
    part: NameId,
    bounds: Bounds,
}

/// An item as the way to it.
#[derive(Clone, Debug, PartialEq)]
struct Way {
    base: Base,
    words: Vec<NameId>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Base {
    Letter(u8),
    Only(u8),
}

impl Frame<'_> {
    /// Whether a part of an item may be read here.
    pub fn is_guarded(&self, item: &Item, part: NameId) -> bool {
        // After a slip the guards are not whole: better no second problem than a wrong one.
        if self.is_unguarded || self.is_lost {
            return true;
        }
        let way = Way::to(item);
        let counts = |guard: &Guard| guard.bounds == Bounds::default() || guard.bounds == self.bounds;
        self.guards.iter().any(|guard| guard.part == part && guard.way == way && counts(guard))
    }

    /// Takes what follows from `test` being yes (or no) as known.
    pub fn assume(&mut self, test: &Test, is_yes: bool) {
        let mut found = Vec::new();
        follow(test, is_yes, &mut found);
        let bounds = self.bounds;
        self.guards.extend(found.into_iter().map(|(way, part)| Guard { way, part, bounds }));
    }
}

impl Way {
    fn to(item: &Item) -> Way {
        match item {
            Item::Letter(slot) => Way { base: Base::Letter(slot.0), words: Vec::new() },
            Item::Only(kind) => Way { base: Base::Only(*kind as u8), words: Vec::new() },
            Item::Word(owner, name) => {
                let mut way = Way::to(owner);
                way.words.push(*name);
                way
            }
        }
    }
}

/// The parts that are there if `test` is yes, or no.
fn follow(test: &Test, is_yes: bool, found: &mut Vec<(Way, NameId)>) {
    match (&test.node, is_yes) {
        (TestNode::Has(item, part), true) => found.push((Way::to(item), *part)),
        (TestNode::Not(inner), _) => follow(inner, !is_yes, found),
        (TestNode::All(tests), true) => tests.iter().for_each(|t| follow(t, true, found)),
        // Of several ways only what all of them have in common.
        (TestNode::All(tests), false) => common(tests.iter(), false, found),
        (TestNode::Any(ways), true) => common(ways.iter().map(|way| &way.test), true, found),
        (TestNode::Any(ways), false) => {
            // A way that does not count in this edition was not denied.
            let counted = ways.iter().filter(|way| way.bounds == Bounds::default());
            counted.for_each(|way| follow(&way.test, false, found));
        }
        _ => {}
    }
}

fn common<'t>(tests: impl Iterator<Item = &'t Test>, is_yes: bool, found: &mut Vec<(Way, NameId)>) {
    let mut shared: Option<Vec<(Way, NameId)>> = None;
    for test in tests {
        let mut own = Vec::new();
        if !shared.as_ref().is_some_and(Vec::is_empty) {
            follow(test, is_yes, &mut own);
        }
        shared = Some(match shared {
            None => own,
            Some(mut before) => {
                before.retain(|guard| own.contains(guard));
                before
            }
        });
    }
    found.extend(shared.unwrap_or_default());
}

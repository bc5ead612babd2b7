//! What an expression sees while it is compiled: letters, values, lists, guards.

use super::Turns;
use super::guards::Guard;
use super::rare::{Rare, Sign};
use crate::law::code::{Slot, TableId};
use crate::law::syntax::{Bounds, List, Value};
use crate::quantity::Scale;
use crate::words::{ChoiceId, Kinds};

/// Most letters that may stand at once, and most expressions in one another, defines that they
/// call included: what runs the code never runs out of stack.
pub(super) const MAX_SLOTS: u8 = 200;
/// See [`MAX_SLOTS`].
pub(super) const MAX_DEPTH: usize = 200;

/// The surroundings of one rule or define.
#[derive(Default)]
pub(super) struct Frame<'a> {
    /// Letters in force, innermost last.
    pub letters: Vec<(&'a str, Slot, Letter)>,
    /// How many of them lists and values may read: the rule's own, not those of `any` and `all`.
    pub base: usize,
    /// Values of its own.
    pub values: &'a [Value],
    /// Lists of its own.
    pub lists: &'a [List],
    /// Parts that are known to be there.
    pub guards: Vec<Guard>,
    /// When the part that is compiled counts.
    pub bounds: Bounds,
    /// Whether parts may be read without a guard: in messages, which say `none`.
    pub is_unguarded: bool,
    /// Whether a condition that might have guarded a part did not compile.
    pub is_lost: bool,
    /// What a yes at this place does to the whole.
    pub sign: Sign,
    /// Words with an ordinary answer that were met.
    pub rare: Vec<Rare>,
    /// What it turns on.
    pub turns: Turns,
    /// The next free slot.
    pub next_slot: u8,
    /// The most slots that stood at once.
    pub slots: usize,
    /// How many expressions this one stands in.
    pub depth: usize,
    /// The deepest that was met, defines included.
    pub deepest: usize,
}

/// What a letter stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Letter {
    /// An item of these kinds.
    Item(Kinds),
    /// A quantity.
    Number(Scale),
    /// A value of a choice.
    Choice(ChoiceId),
    /// Yes or no.
    YesNo,
    /// A row of a table.
    Row(TableId),
}

/// A place to come back to.
#[derive(Clone, Copy)]
pub(super) struct Mark {
    letters: usize,
    guards: usize,
    is_lost: bool,
    next_slot: u8,
}

impl<'a> Frame<'a> {
    /// The letter of a name, the innermost first.
    pub fn letter(&self, name: &str) -> Option<(Slot, Letter)> {
        self.letters.iter().rev().find(|(n, ..)| *n == name).map(|(_, slot, letter)| (*slot, *letter))
    }

    /// Puts a letter in force. None where too many stand at once.
    pub fn push(&mut self, name: &'a str, letter: Letter) -> Option<Slot> {
        let slot = self.take_slot()?;
        self.letters.push((name, slot, letter));
        Some(slot)
    }

    /// A slot without a letter.
    pub fn take_slot(&mut self) -> Option<Slot> {
        let slot = self.next_slot;
        if slot >= MAX_SLOTS {
            return None;
        }
        self.next_slot = slot.saturating_add(1);
        self.slots = self.slots.max(usize::from(self.next_slot));
        Some(Slot(slot))
    }

    /// Where letters and guards stand now.
    pub fn mark(&self) -> Mark {
        Mark {
            letters: self.letters.len(),
            guards: self.guards.len(),
            is_lost: self.is_lost,
            next_slot: self.next_slot,
        }
    }

    /// Ends the letters and guards since a mark.
    pub fn reset(&mut self, mark: Mark) {
        self.letters.truncate(mark.letters);
        self.guards.truncate(mark.guards);
        self.is_lost = mark.is_lost;
        self.next_slot = mark.next_slot;
    }

    /// Sets the sign, and gives the one before.
    pub fn set_sign(&mut self, sign: Sign) -> Sign {
        std::mem::replace(&mut self.sign, sign)
    }
}

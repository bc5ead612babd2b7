use crate::law::code::{Slot, TableId};
use crate::law::syntax::{List, Value};
use crate::quantity::Scale;
use crate::words::{ChoiceId, Kinds};
use std::collections::{BTreeSet, HashSet};

/// What names mean where an expression stands.
#[derive(Default)]
pub(super) struct Scope<'a> {
    letters: Vec<(String, Letter)>,
    /// Values and lists of the block, searched before those of the pack.
    pub values: Vec<&'a Value>,
    pub lists: Vec<&'a List>,
    /// Parts that are known to be there: `p.main`.
    guards: Vec<String>,
    /// Whether parts may be read without guard: in messages, which print what is there.
    pub is_free: bool,
    /// Most slots that stood side by side.
    pub slots: usize,
    /// Whether something here turns on the edition, or on the day of the permit.
    pub turns_on_edition: bool,
    pub turns_on_day: bool,
    /// Defines that are called here.
    pub calls: BTreeSet<u32>,
}

/// What a letter stands for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Letter {
    pub slot: Slot,
    pub ty: LetterType,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum LetterType {
    Item(Kinds),
    Row(TableId),
    Number(Scale),
    Choice(ChoiceId),
    YesNo,
}

/// Names of the pack that something used, for the warnings about the rest.
#[derive(Default)]
pub(super) struct Used {
    pub values: HashSet<String>,
    pub lists: HashSet<String>,
}

impl<'a> Scope<'a> {
    pub fn letter(&self, name: &str) -> Option<Letter> {
        self.letters.iter().rev().find(|(n, _)| n == name).map(|(_, l)| *l)
    }

    pub fn letter_names(&self) -> impl Iterator<Item = &str> {
        self.letters.iter().map(|(n, _)| n.as_str())
    }

    /// Takes in a letter; slots are handed out as on a stack.
    pub fn push(&mut self, name: &str, ty: LetterType) -> Slot {
        let slot = Slot(self.letters.len().min(255) as u8);
        self.letters.push((name.to_string(), Letter { slot, ty }));
        self.slots = self.slots.max(self.letters.len());
        slot
    }

    pub fn pop(&mut self) {
        self.letters.pop();
    }

    pub fn is_guarded(&self, path: &str) -> bool {
        self.is_free || self.guards.iter().any(|g| g == path)
    }

    /// How many guards hold, to go back to with [`Scope::forget`].
    pub fn mark(&self) -> usize {
        self.guards.len()
    }

    pub fn guard(&mut self, paths: impl IntoIterator<Item = String>) {
        self.guards.extend(paths);
    }

    pub fn forget(&mut self, mark: usize) {
        self.guards.truncate(mark);
    }
}

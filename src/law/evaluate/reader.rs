use super::alike::{Look, Trail};
use super::ground::Ground;
use crate::hash::ShortMap;
use crate::quantity::Rational;
use crate::shop::{How, ItemRef, Value};
use crate::words::{Kinds, NameId};

/// A fact of an item.
pub(in crate::law) type Fact = (ItemRef, NameId);

/// How facts are read, and what is kept of it.
///
/// The evaluator is generic over it, so that the quick way keeps one bit and allocates nothing,
/// while the careful way tries completions and remembers what an unknown hangs on.
pub(in crate::law) trait Reader {
    /// Whether a fact that stands in exceptions only is taken in its ordinary way.
    const CAN_PRESUME: bool;
    /// Whether it reads the plan as it is and keeps no notes, so that what is one value needs no interval.
    const IS_PLAIN: bool;

    /// That a word is read straight from the plan, of which some items of the kind may have an assumption or claim.
    fn read_plainly(&mut self, is_weak: bool);
    /// The possible values of a fact.
    fn value(&mut self, ground: &Ground, fact: Fact) -> Value;
    /// That a list may have members beside the sure ones, and that it mattered.
    fn loose(&mut self, ground: &Ground, fact: Fact);
    /// Whether a list counts as open whatever the plan says.
    fn is_opened(&mut self, ground: &Ground, fact: Fact) -> bool;
    /// Where the notes stand.
    fn mark(&self) -> usize;
    /// What was noted since `mark` led to one value.
    fn settle(&mut self, mark: usize);
    /// What was noted since `from` decided alone; what was noted between `mark` and `from` did not matter.
    fn only(&mut self, mark: usize, from: usize);
    /// What was noted between two marks did not matter.
    fn discard(&mut self, from: usize, to: usize);
    /// How the facts noted since `mark` may be split usefully.
    fn hint(&mut self, mark: usize, split: Split);
    /// Whether ordinary answers count from here on; gives what was before.
    fn presume(&mut self, yes: bool) -> bool;
    /// How many ordinary answers were taken.
    fn taken(&self) -> usize;
    /// Forgets the ordinary answers taken since.
    fn give_back(&mut self, taken: usize);
    /// Whether what base memo keeps may be used: `is_weak` says that an assumption or claim went into it.
    fn may_recall(&self, is_weak: bool) -> bool;
    /// Begins something that is remembered as a whole.
    fn begin(&mut self) -> Begun;
    /// Ends it: what to keep beside the result.
    fn end(&mut self, begun: Begun) -> Kept;
    /// Notes again what was kept.
    fn recall(&mut self, kept: Kept);
    /// Whether a result hangs on no fact that is replaced now.
    fn is_untouched(&self, kept: Kept) -> bool;
    /// That so much more was done; trials end when it is too much.
    fn work(&mut self, steps: usize);
    /// That the result may hang on this.
    fn looked(&mut self, look: Look);
}

/// Where a remembered computation began.
#[derive(Clone, Copy, Debug)]
pub(in crate::law) struct Begun {
    /// How many notes there were.
    pub(super) mark: usize,
    /// Whether an assumption or claim had been read.
    pub(super) was_weak: bool,
    /// What had been spent.
    pub(super) work: usize,
}

/// What is kept beside a remembered result.
#[derive(Clone, Copy, Debug, Default)]
pub(in crate::law) struct Kept {
    /// Whether an assumption or claim went into it.
    pub is_weak: bool,
    /// The first of its notes.
    pub from: u32,
    /// One past the last of its notes.
    pub to: u32,
}

/// In place of the first note of a result that is kept among the [`Giant`]s.
const GIANT: u32 = u32::MAX;

impl Kept {
    /// Whether it is kept for all items that a rule meets: `to` is its place among them.
    pub fn is_giant(&self) -> bool {
        self.from == GIANT
    }
}

/// What is kept beside a result that costs more than all that an item may spend on trying completions, such as
/// the load of a panel with thousands of circuits. Whoever meets it tries none, so that only the plan as it is
/// counts, and every item that a rule meets shares it.
#[derive(Debug)]
pub(in crate::law) struct Giant {
    notes: Vec<Note>,
    work: usize,
}

/// How the possible values of a fact can be parted so that something gets decided.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::law) enum Split {
    /// Nobody knows.
    None,
    /// These values of a choice from the others.
    Values(u64),
    /// What is under, at and over a quantity.
    At(Rational),
}

/// Which facts the careful way notes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::law) enum Noting {
    /// Those that may still be several values.
    Undecided,
    /// Those that somebody stated.
    Stated,
    /// Assumptions and claims.
    Weak,
}

/// A noted fact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::law) struct Note {
    /// The fact.
    pub fact: Fact,
    /// How it may be split.
    pub split: Split,
    /// For a list word: that there may be others.
    pub is_list: bool,
}

/// The careful way: reads the plan with some facts replaced, and notes what it reads.
#[derive(Debug)]
pub(in crate::law) struct Careful<'r> {
    /// Facts replaced by one of their possible values, the last first.
    pub completed: Vec<(Fact, Value)>,
    /// Assumptions and claims that are taken away for a trial.
    pub masked: Vec<Fact>,
    /// Words that need better evidence.
    pub evidence: &'r [(Kinds, NameId, How)],
    /// Words that have an ordinary answer in exceptions.
    pub presumed: &'r [(Kinds, NameId)],
    /// What is noted.
    pub noting: Noting,
    /// The notes.
    pub notes: Vec<Note>,
    /// Ordinary answers that were taken.
    pub taken: Vec<Fact>,
    /// Whether ordinary answers count now.
    is_presuming: bool,
    /// Notes of remembered computations.
    arena: Vec<Note>,
    /// How many of them are of the first trial.
    root: usize,
    /// How much was done.
    pub work: usize,
    /// What was looked at, where that is kept.
    pub trail: Option<Trail>,
    /// What may be spent on trying completions.
    pub share: usize,
    /// How many missing facts are named.
    pub named: usize,
    /// Results that all items share which the rule meets.
    pub giants: Vec<Giant>,
}

impl<'r> Careful<'r> {
    pub fn new(evidence: &'r [(Kinds, NameId, How)], presumed: &'r [(Kinds, NameId)], noting: Noting) -> Careful<'r> {
        Careful {
            completed: Vec::new(),
            masked: Vec::new(),
            evidence,
            presumed,
            noting,
            notes: Vec::new(),
            taken: Vec::new(),
            is_presuming: false,
            arena: Vec::new(),
            root: 0,
            work: 0,
            trail: None,
            share: usize::MAX,
            named: usize::MAX,
            giants: Vec::new(),
        }
    }

    /// Forgets the notes of the last trial.
    pub fn clear(&mut self) {
        self.notes.clear();
        self.taken.clear();
        self.arena.truncate(self.root);
    }

    /// Forgets everything; what is remembered next is of the first trial.
    pub fn begin_root(&mut self) {
        self.root = 0;
        self.clear();
    }

    /// What was remembered up to here is of the first trial and stays.
    pub fn end_root(&mut self) {
        self.root = self.arena.len();
    }

    /// What a fact may be in this trial, without a note.
    pub fn current(&self, ground: &Ground, fact: Fact) -> Value {
        match self.completed.iter().rev().find(|(f, _)| *f == fact) {
            Some((_, value)) => *value,
            None if self.masked.contains(&fact) || self.lacks_evidence(ground, fact) => Value::Unknown,
            None => *ground.shop.fact(fact.0, fact.1),
        }
    }

    /// Drops repeated notes since a mark: a formula that goes through a table reads the same facts
    /// for each row, and a formula above it would multiply them.
    fn note_once(&mut self, mark: usize) {
        if self.notes.len().saturating_sub(mark) > FEW {
            return self.note_once_of_many(mark);
        }
        let mut last = mark;
        for at in mark..self.notes.len() {
            let Some(note) = self.notes.get(at).copied() else { break };
            self.work = self.work.saturating_add(1);
            let seen = self.notes.get_mut(mark..last).unwrap_or_default();
            match seen.iter_mut().find(|n| n.fact == note.fact && n.is_list == note.is_list) {
                Some(same) if same.split == Split::None => same.split = note.split,
                Some(_) => {}
                None => {
                    self.notes.swap(last, at);
                    last += 1;
                }
            }
        }
        self.notes.truncate(last);
    }

    /// The same where looking through all notes for each would take too long, as in a sum over a large plan.
    fn note_once_of_many(&mut self, mark: usize) {
        let mut places: ShortMap<(Fact, bool), usize> = ShortMap::default();
        let mut last = mark;
        for at in mark..self.notes.len() {
            let Some(note) = self.notes.get(at).copied() else { break };
            self.work = self.work.saturating_add(1);
            let place = *places.entry((note.fact, note.is_list)).or_insert(last);
            if place == last {
                self.notes.swap(last, at);
                last += 1;
            } else if let Some(same) = self.notes.get_mut(place).filter(|n| n.split == Split::None) {
                same.split = note.split;
            }
        }
        self.notes.truncate(last);
    }

    /// Whether a result counts for every item: it cost more than one may spend, and nothing is replaced.
    fn is_giant(&self, begun: Begun) -> bool {
        self.work.saturating_sub(begun.work) > self.share
            && self.trail.as_ref().is_some_and(Trail::is_over)
            && self.is_as_planned()
    }

    fn is_as_planned(&self) -> bool {
        self.completed.is_empty() && self.masked.is_empty() && !self.is_presuming
    }

    /// Of a giant's notes so many as to name enough facts together with those noted so far.
    fn enough(&self, mark: usize) -> usize {
        self.named.saturating_add(mark.min(self.named))
    }

    fn note(&mut self, fact: Fact, is_list: bool) {
        self.notes.push(Note { fact, split: Split::None, is_list });
    }

    fn note_value(&mut self, ground: &Ground, fact: Fact, value: &Value) {
        match self.noting {
            Noting::Undecided if !value.is_known() => self.note(fact, false),
            Noting::Stated if ground.is_stated(fact) => self.note(fact, false),
            Noting::Weak if ground.is_weak_fact(fact) => self.note(fact, false),
            _ => {}
        }
    }

    fn lacks_evidence(&self, ground: &Ground, (item, name): Fact) -> bool {
        self.evidence.iter().any(|(kinds, n, how)| {
            let is_this = *n == name && kinds.has(item.kind);
            is_this && !suffices(ground.shop.source(item, name).how, *how)
        })
    }
}

/// So many notes are looked through faster than they are hashed.
const FEW: usize = 48;

/// Whether a fact known in one way counts where another way is asked for. A measurement is a look, too.
fn suffices(known: How, asked: How) -> bool {
    known == asked || asked == How::Seen && known == How::Measured
}

impl Reader for Careful<'_> {
    const CAN_PRESUME: bool = true;
    const IS_PLAIN: bool = false;

    fn read_plainly(&mut self, _: bool) {}

    fn value(&mut self, ground: &Ground, fact: Fact) -> Value {
        self.work += 1;
        self.looked(Look::Fact(fact.0, fact.1));
        let value = self.current(ground, fact);
        if self.is_presuming && value == Value::Unknown {
            let is_rare = self.presumed.iter().any(|(kinds, name)| *name == fact.1 && kinds.has(fact.0.kind));
            if let Some(ordinary) = ground.ordinary(fact).filter(|_| is_rare) {
                if !self.taken.contains(&fact) {
                    self.taken.push(fact);
                }
                return ordinary;
            }
        }
        self.note_value(ground, fact, &value);
        value
    }

    fn loose(&mut self, _: &Ground, fact: Fact) {
        if self.noting == Noting::Undecided {
            self.note(fact, true);
        }
    }

    fn is_opened(&mut self, ground: &Ground, fact: Fact) -> bool {
        self.looked(Look::List(fact.0, fact.1));
        if self.noting == Noting::Weak && ground.is_weak_fact(fact) {
            self.note(fact, true);
        }
        self.masked.contains(&fact)
    }

    fn mark(&self) -> usize {
        self.notes.len()
    }

    fn settle(&mut self, mark: usize) {
        if self.noting == Noting::Undecided {
            self.notes.truncate(mark);
        }
    }

    fn only(&mut self, mark: usize, from: usize) {
        if self.noting == Noting::Undecided {
            self.notes.truncate(mark);
        } else {
            self.discard(mark, from);
        }
    }

    fn discard(&mut self, from: usize, to: usize) {
        if from < to && to <= self.notes.len() {
            self.notes.drain(from..to);
        }
    }

    fn hint(&mut self, mark: usize, split: Split) {
        for note in self.notes.iter_mut().skip(mark).filter(|n| n.split == Split::None) {
            note.split = split;
        }
    }

    fn presume(&mut self, yes: bool) -> bool {
        std::mem::replace(&mut self.is_presuming, yes)
    }

    fn taken(&self) -> usize {
        self.taken.len()
    }

    fn give_back(&mut self, taken: usize) {
        self.taken.truncate(taken);
    }

    fn may_recall(&self, is_weak: bool) -> bool {
        self.noting == Noting::Undecided && self.evidence.is_empty() && (self.masked.is_empty() || !is_weak)
    }

    fn begin(&mut self) -> Begun {
        Begun { mark: self.notes.len(), was_weak: false, work: self.work }
    }

    fn is_untouched(&self, kept: Kept) -> bool {
        if kept.is_giant() {
            // Who looks for places or assumptions takes other notes, and has no giants.
            return self.is_as_planned() && (kept.to as usize) < self.giants.len();
        }
        let notes = self.arena.get(kept.from as usize..kept.to as usize).unwrap_or_default();
        let is_replaced = |note: &Note| self.completed.iter().any(|(fact, _)| *fact == note.fact);
        !self.is_presuming && !notes.iter().any(is_replaced)
    }

    fn work(&mut self, steps: usize) {
        self.work = self.work.saturating_add(steps);
    }

    #[inline]
    fn looked(&mut self, look: Look) {
        if let Some(trail) = &mut self.trail {
            trail.push(look);
        }
    }

    fn end(&mut self, begun: Begun) -> Kept {
        self.note_once(begun.mark);
        if self.is_giant(begun) {
            let notes = self.notes.iter().skip(begun.mark).take(self.named.saturating_mul(2)).copied().collect();
            self.giants.push(Giant { notes, work: self.work.saturating_sub(begun.work) });
            self.notes.truncate(begun.mark.saturating_add(self.enough(begun.mark)));
            return Kept { is_weak: false, from: GIANT, to: self.giants.len() as u32 - 1 };
        }
        let from = self.arena.len() as u32;
        self.arena.extend(self.notes.iter().skip(begun.mark));
        Kept { is_weak: false, from, to: self.arena.len() as u32 }
    }

    fn recall(&mut self, kept: Kept) {
        if kept.is_giant() {
            let enough = self.enough(self.notes.len());
            let Some(giant) = self.giants.get(kept.to as usize) else { return };
            self.work = self.work.saturating_add(giant.work);
            self.notes.extend(giant.notes.iter().take(enough));
            self.trail.iter_mut().for_each(Trail::end);
            return;
        }
        let notes = self.arena.get(kept.from as usize..kept.to as usize).unwrap_or_default();
        self.work = self.work.saturating_add(notes.len());
        self.notes.extend(notes);
    }
}

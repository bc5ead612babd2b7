//! Stating a fact: what was said before of the same fact decides what happens.

use super::Builder;
use crate::shop::{How, ItemRef, ListId, Range, Shop, Source, Value};
use crate::text::{Problem, Span};
use crate::words::NameId;

/// How something is said: what goes into the [`Source`] of every fact that a phrase states.
#[derive(Clone, Copy, Debug)]
pub(super) struct Said {
    pub how: How,
    pub place: Span,
    pub claim: Option<u32>,
    pub day: Option<i32>,
    /// `unless said`: an item that says otherwise is as it says.
    pub yields: bool,
}

impl Said {
    pub fn planned(place: Span) -> Said {
        Said { how: How::Planned, place, claim: None, day: None, yields: false }
    }

    pub fn at(self, place: Span) -> Said {
        Said { place, ..self }
    }

    pub fn guess_if(self, is_guess: bool) -> Said {
        if is_guess { Said { how: How::Assumed, ..self } } else { self }
    }

    fn source(self) -> Source {
        Source { how: self.how, place: self.place, claim: self.claim, day: self.day }
    }
}

impl Builder {
    /// States a fact. The same fact said twice must agree; where two sayings leave one value, that is it.
    pub fn state(&mut self, item: ItemRef, name: NameId, value: Value, said: Said) {
        let old_source = self.shop.source(item, name);
        let old = self.shop.value(item, name);
        let new_source = said.source();
        let is_new = matches!(old_source.how, How::Unsaid | How::Derived | How::Unread);
        let old_rank = self.rank_of(item, name);
        if !is_new && self.rank > old_rank {
            // Lines that give way say nothing of a fact that stronger lines state.
            return;
        }
        if self.rank > 0 {
            self.weak_facts.insert((item, name), self.rank);
        }
        if !is_new && self.rank < old_rank {
            self.weak_facts.remove(&(item, name));
            return self.shop.set(item, name, value, new_source);
        }
        if is_new && said.yields && old_source.how == How::Unread {
            // Perhaps the item did say otherwise, on a line that could not be read.
            return;
        }
        if is_new {
            return self.shop.set(item, name, value, new_source);
        }
        if old_source.how == How::Conflict {
            return;
        }
        let joined = match (old, value) {
            (Value::List(a), Value::List(b)) => Some(self.join_lists(a, b)),
            _ => join(old, value),
        };
        if said.yields {
            if let Some(narrower) = joined.filter(|j| *j != old) {
                self.shop.set(item, name, narrower, new_source);
            }
            return;
        }
        if let (Some(before), Some(now)) = (old_source.day, new_source.day)
            && before != now
        {
            // A later look or test overtakes an earlier one.
            if now > before {
                self.shop.set(item, name, value, new_source);
            }
            return;
        }
        match (joined, rank(old_source.how), rank(new_source.how)) {
            (Some(j), before, now) => {
                let newer = if j != old { true } else { value == old && now > before };
                let source = if newer { new_source } else { old_source };
                self.shop.set(item, name, j, source);
            }
            // A guess gives way to what is known.
            (None, 1, now) if now > 1 => self.shop.set(item, name, value, new_source),
            (None, before, 1) if before > 1 => {}
            (None, ..) => self.conflict(item, name, old_source, new_source),
        }
    }

    /// The rank of the lines that stated a fact; 0 for the plan itself.
    pub fn rank_of(&self, item: ItemRef, name: NameId) -> usize {
        if self.weak_facts.is_empty() { 0 } else { self.weak_facts.get(&(item, name)).copied().unwrap_or(0) }
    }

    /// Two lists of one fact add up.
    fn join_lists(&mut self, a: ListId, b: ListId) -> Value {
        let (mut all, more) = (self.shop.list(a).clone(), self.shop.list(b).clone());
        all.sure.extend(more.sure.iter().filter(|i| !self.shop.list(a).sure.contains(i)));
        all.possible.extend(more.possible);
        all.is_open |= more.is_open;
        all.choices |= more.choices;
        Value::List(self.shop.add_list(all))
    }

    fn conflict(&mut self, item: ItemRef, name: NameId, old: Source, new: Source) {
        let what = self.shop.vocabulary.text(name).replace('-', " ");
        let called = self.shop.called(item);
        self.shop.problems.push(
            Problem::error(new.place, format!("the plan says two different things about the {what} of {called}"))
                .help("keep the one that is right; until then neither counts")
                .also(old.place, "said here too, and different"),
        );
        self.shop.set(item, name, Value::Unknown, Source { how: How::Conflict, ..new });
    }
}

fn rank(how: How) -> u8 {
    match how {
        How::Assumed => 1,
        How::OnPaper => 3,
        How::Seen => 4,
        How::Measured => 5,
        _ => 2,
    }
}

/// What two sayings leave together; none where they exclude each other.
pub(super) fn join(a: Value, b: Value) -> Option<Value> {
    match (a, b) {
        (Value::Unknown, other) | (other, Value::Unknown) => Some(other),
        (Value::Choice(a), Value::Choice(b)) => Some(a & b).filter(|bits| *bits != 0).map(Value::Choice),
        (Value::Number(_) | Value::Range(_), Value::Number(_) | Value::Range(_)) => join_ranges(range(a)?, range(b)?),
        (a, b) if a == b => Some(a),
        _ => None,
    }
}

fn range(value: Value) -> Option<Range> {
    match value {
        Value::Number(n) => Some(Range::between(n, n)),
        Value::Range(r) => Some(r),
        _ => None,
    }
}

fn join_ranges(a: Range, b: Range) -> Option<Value> {
    let (low, low_is_open) = match (a.low, b.low) {
        (Some(x), Some(y)) if x == y => (Some(x), a.low_is_open || b.low_is_open),
        (Some(x), y) if y.is_none_or(|y| x > y) => (Some(x), a.low_is_open),
        (_, y) => (y, b.low_is_open),
    };
    let (high, high_is_open) = match (a.high, b.high) {
        (Some(x), Some(y)) if x == y => (Some(x), a.high_is_open || b.high_is_open),
        (Some(x), y) if y.is_none_or(|y| x < y) => (Some(x), a.high_is_open),
        (_, y) => (y, b.high_is_open),
    };
    if let (Some(low), Some(high)) = (low, high) {
        if low > high || (low == high && (low_is_open || high_is_open)) {
            return None;
        }
        if low == high {
            return Some(Value::Number(low));
        }
    }
    Some(Value::Range(Range { low, high, low_is_open, high_is_open }))
}

/// Clears a fact, as `unsaid` in an example does.
pub(super) fn unsay(shop: &mut Shop, item: ItemRef, name: NameId) {
    shop.set(item, name, Value::Unknown, Source::default());
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Rational;

    #[test]
    fn two_sayings_leave_what_both_allow() {
        let n = |i| Value::Number(Rational::whole(i));
        let least = |i| Value::Range(Range::at_least(Rational::whole(i)));
        let most = |i| Value::Range(Range::at_most(Rational::whole(i)));
        assert_eq!(join(least(18), n(20)), Some(n(20)));
        assert_eq!(join(n(16), least(18)), None);
        assert_eq!(join(least(18), most(18)), Some(n(18)));
        assert_eq!(join(least(18), least(20)), Some(least(20)));
        assert_eq!(join(Value::Choice(0b110), Value::Choice(0b011)), Some(Value::Choice(0b010)));
        assert_eq!(join(Value::Choice(0b100), Value::Choice(0b011)), None);
    }
}

use super::Truth;
use super::machine::Machine;
use super::reader::Reader;
use crate::law::code::{Level, Part, Rule};
use crate::law::verdict::Outcome;
use crate::shop::ItemRef;

/// What a rule gives for one item in one moment, without its reasons.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::law) struct Ruling {
    /// What came out.
    pub outcome: Outcome,
    /// Whether the item is met at all, as far as `where` says.
    pub applies: Truth,
    /// Parts of `needs` that do not hold, as bits; a part past the 64th shares the last.
    pub failed: u64,
    /// Parts of `needs` that may not hold, likewise.
    pub open: u64,
    /// The exception that let it pass.
    pub exception: Option<usize>,
    /// Whether ordinary answers were needed.
    pub is_presuming: bool,
}

impl<R: Reader> Machine<'_, '_, R> {
    /// Meets a rule on an item. `belongs` says whether the item is in the list that the rule goes through.
    pub fn rule(&mut self, rule: &Rule, item: ItemRef, belongs: Truth) -> Ruling {
        self.enter_rule(rule.slots.max(1), item);
        let mut ruling = Ruling {
            outcome: Outcome::NotApplicable,
            applies: Truth::No,
            failed: 0,
            open: 0,
            exception: None,
            is_presuming: false,
        };
        if !self.now.is_in(&rule.bounds) {
            return ruling;
        }
        ruling.applies = self.applies(&rule.wheres, belongs);
        if ruling.applies == Truth::No {
            return ruling;
        }
        let mark = self.reader.mark();
        let holds = self.holds_up(rule, &mut ruling);
        ruling.outcome = match (rule.level, ruling.applies, holds) {
            (_, _, Truth::Yes) => Outcome::Pass,
            (Level::Note, _, _) => Outcome::NotApplicable,
            (_, Truth::Yes, Truth::No) => Outcome::Attention,
            // Whether it applies is all that is open: what failed is no longer of interest.
            (_, _, Truth::No) => {
                self.reader.settle(mark);
                Outcome::Unknown
            }
            _ => Outcome::Unknown,
        };
        if ruling.outcome != Outcome::Unknown {
            self.reader.settle(0);
        }
        ruling
    }

    fn applies(&mut self, wheres: &[Part], belongs: Truth) -> Truth {
        let now = self.now;
        let start = self.reader.mark();
        let mut out = belongs;
        for part in wheres.iter().filter(|part| now.is_in(&part.bounds)) {
            let mark = self.reader.mark();
            out = out.and(self.test(&part.test));
            if out == Truth::No {
                self.reader.only(start, mark);
                return out;
            }
        }
        self.decided(start, out)
    }

    /// Whether every part of `needs` holds or is freed, or an exception frees them all.
    fn holds_up(&mut self, rule: &Rule, ruling: &mut Ruling) -> Truth {
        let now = self.now;
        let mut out = Truth::Yes;
        for (number, part) in rule.needs.iter().enumerate().filter(|(_, part)| now.is_in(&part.bounds)) {
            let mark = self.reader.mark();
            let mut truth = self.test(&part.test);
            if truth != Truth::Yes && !rule.excepts.is_empty() {
                truth = truth.or(self.excepted(rule, Some(number), ruling));
            }
            let bit = 1u64 << number.min(63);
            match self.decided(mark, truth) {
                Truth::Yes => {}
                Truth::No => ruling.failed |= bit,
                Truth::Unknown => ruling.open |= bit,
            }
            out = out.and(truth);
        }
        if out == Truth::Yes {
            return out;
        }
        out.or(self.excepted(rule, None, ruling))
    }

    /// Whether an exception for a part, or for the whole rule, holds. One that hangs on rare facts
    /// of which nobody said anything is taken as denied, if their ordinary answers deny it. That an
    /// ordinary answer would let it hold counts for nothing.
    fn excepted(&mut self, rule: &Rule, part: Option<usize>, ruling: &mut Ruling) -> Truth {
        let now = self.now;
        let start = self.reader.mark();
        let mut out = Truth::No;
        let excepts = rule.excepts.iter().enumerate();
        for (number, except) in excepts.filter(|(_, e)| e.part == part && now.is_in(&e.bounds)) {
            let mark = self.reader.mark();
            let mut truth = self.test(&except.test);
            if truth == Truth::Unknown && R::CAN_PRESUME && !rule.presumed.is_empty() {
                let middle = self.reader.mark();
                if self.presumably(&except.test) == Truth::No {
                    self.reader.discard(mark, self.reader.mark());
                    ruling.is_presuming = true;
                    truth = Truth::No;
                } else if self.reader.mark() > middle {
                    self.reader.discard(mark, middle);
                }
            }
            if truth == Truth::Yes {
                self.reader.only(start, mark);
                ruling.exception = ruling.exception.or(Some(number));
                return truth;
            }
            out = out.or(truth);
        }
        self.decided(start, out)
    }

    /// A condition with ordinary answers for rare facts. They are kept only where they deny it.
    fn presumably(&mut self, test: &crate::law::code::Test) -> Truth {
        self.memo.forget();
        let taken = self.reader.taken();
        let before = self.reader.presume(true);
        let truth = self.test(test);
        self.reader.presume(before);
        self.memo.forget();
        if truth != Truth::No {
            self.reader.give_back(taken);
        }
        truth
    }
}

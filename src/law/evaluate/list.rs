use super::alike::Look;
use super::machine::{Letter, Machine, Members};
use super::reader::Reader;
use super::{End, Interval, Truth};
use crate::law::code::{Each, Item, Items, Number, Over, Slot, Test};
use crate::law::syntax::Aggregate;
use crate::quantity::Rational;
use crate::shop::ItemRef;
use crate::words::NameId;
use std::ops::ControlFlow;

/// How a member stands in a list: for sure, or perhaps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::law) enum Standing {
    /// For sure.
    Sure,
    /// Perhaps.
    Perhaps,
}

impl<R: Reader> Machine<'_, '_, R> {
    /// `any x in L where Q: P`, `all x in L where Q: P`. An `all` is the denial of an `any` of the denial.
    pub fn quantified(&mut self, is_all: bool, each: &Each, body: &Test) -> Truth {
        let start = self.reader.mark();
        let mut out = Truth::No;
        let mut is_loose = false;
        let (members, is_open) = self.for_each(each, |machine, standing| {
            let mark = machine.reader.mark();
            let filter = each.filter.as_ref().map_or(Truth::Yes, |filter| machine.test(filter));
            let found = if filter == Truth::No {
                Truth::No
            } else {
                let body = machine.test(body);
                filter.and(if is_all { body.not() } else { body })
            };
            match (found, standing) {
                (Truth::No, _) => machine.reader.settle(mark),
                (Truth::Yes, Standing::Sure) => {
                    machine.reader.only(start, mark);
                    out = Truth::Yes;
                    return ControlFlow::Break(());
                }
                (Truth::Unknown, Standing::Sure) => out = Truth::Unknown,
                (_, Standing::Perhaps) => {
                    is_loose = true;
                    out = Truth::Unknown;
                }
            }
            ControlFlow::Continue(())
        });
        if out != Truth::Yes && (is_open || is_loose) {
            self.note_loose(&members);
            out = Truth::Unknown;
        }
        let out = if is_all { out.not() } else { out };
        self.decided(start, out)
    }

    /// `count of L`, `count of x in L where Q`: from the sure members to all that may be in it.
    pub fn count(&mut self, each: &Each) -> Interval {
        if let Over::Choices(owner, name) = &each.over {
            return self.count_values(owner, *name);
        }
        let start = self.reader.mark();
        let (mut sure, mut most) = (0i64, 0i64);
        let mut is_loose = false;
        let (members, is_open) = self.for_each(each, |machine, standing| {
            let mark = machine.reader.mark();
            match each.filter.as_ref().map_or(Truth::Yes, |filter| machine.test(filter)) {
                Truth::No => machine.reader.settle(mark),
                truth => {
                    most += 1;
                    is_loose |= standing == Standing::Perhaps;
                    sure += i64::from(truth == Truth::Yes && standing == Standing::Sure);
                }
            }
            ControlFlow::Continue(())
        });
        if is_open || is_loose {
            self.note_loose(&members);
        }
        let high = if is_open { End::NoLimit } else { End::At(Rational::whole(most)) };
        self.known(start, Interval::between(End::At(Rational::whole(sure)), high))
    }

    fn count_values(&mut self, owner: &Item, name: NameId) -> Interval {
        let Some(item) = self.item(owner) else { return Interval::ANYTHING };
        let members = self.members_of((item, name));
        let all = self.ground.values_of(item.kind, name).count_ones();
        let sure = members.list.map_or(0, |list| list.choices.count_ones());
        if members.is_open {
            self.loose(&members);
        }
        let at = |n: u32| End::At(Rational::whole(i64::from(n)));
        Interval::between(at(sure), at(if members.is_open { all.max(sure) } else { sure }))
    }

    /// Whether a list of values holds one of some.
    pub fn holds(&mut self, owner: &Item, name: NameId, wanted: u64) -> Truth {
        let Some(item) = self.item(owner) else { return Truth::Unknown };
        let members = self.members_of((item, name));
        if members.list.is_some_and(|list| list.choices & wanted != 0) {
            Truth::Yes
        } else if members.is_open {
            self.loose(&members);
            Truth::Unknown
        } else {
            Truth::No
        }
    }

    /// `sum`, `least` and `largest` of an expression over a list. A term whose filter is not known,
    /// or whose member is in the list only perhaps, may be left out.
    pub fn aggregate(&mut self, kind: Aggregate, each: &Each, body: &Number) -> Interval {
        let start = self.reader.mark();
        let none = match kind {
            Aggregate::Sum => Interval::ZERO,
            Aggregate::Least => Interval::NO_LIMIT,
            Aggregate::Largest => Interval::BELOW,
        };
        let mut out = none;
        let mut is_loose = false;
        let (members, is_open) = self.for_each(each, |machine, standing| {
            let mark = machine.reader.mark();
            let filter = each.filter.as_ref().map_or(Truth::Yes, |filter| machine.test(filter));
            if filter == Truth::No {
                machine.reader.settle(mark);
                return ControlFlow::Continue(());
            }
            is_loose |= standing == Standing::Perhaps;
            let is_sure = filter == Truth::Yes && standing == Standing::Sure;
            let value = machine.number(body);
            out = match kind {
                Aggregate::Sum => {
                    let term = value.not_negative();
                    out.plus(if is_sure { term } else { term.or_zero() })
                }
                Aggregate::Least => out.least(if is_sure { value } else { value.hull(none) }),
                Aggregate::Largest => out.largest(if is_sure { value } else { value.hull(none) }),
            };
            ControlFlow::Continue(())
        });
        if is_open || is_loose {
            self.note_loose(&members);
        }
        if is_open {
            out = match kind {
                Aggregate::Sum | Aggregate::Largest => out.hull(Interval::NO_LIMIT),
                Aggregate::Least => out.hull(Interval::BELOW),
            };
        }
        self.known(start, out)
    }

    /// Rank of an item in a list by a quantity, 1 the largest; those with the same rank in the order of the plan.
    pub fn rank(&mut self, item: Slot, list: &Items, by: &Number, member: Slot) -> Interval {
        let start = self.reader.mark();
        let Letter::Item(Some(item)) = *self.letter(item) else { return Interval::ANYTHING };
        self.bind(member, Letter::Item(Some(item)));
        let own = self.number(by);
        let members = self.members(list);
        let (mut sure, mut most) = (1i64, 1i64);
        let mut is_loose = false;
        let mut is_cut = false;
        for (other, standing) in standing_of(&members) {
            is_cut = !self.memo.spend(1);
            if is_cut {
                break;
            }
            if other == item {
                continue;
            }
            let mark = self.reader.mark();
            self.bind(member, Letter::Item(Some(other)));
            let value = self.number(by);
            self.reader.looked(Look::Order(other, item));
            let comparison = if other < item {
                crate::law::syntax::Comparison::AtMost
            } else {
                crate::law::syntax::Comparison::Less
            };
            match (own.compare(comparison, &value), standing) {
                (Truth::No, _) => self.reader.settle(mark),
                (Truth::Yes, Standing::Sure) => (sure, most) = (sure + 1, most + 1),
                (_, standing) => {
                    most += 1;
                    is_loose |= standing == Standing::Perhaps;
                }
            }
        }
        if members.is_open || is_loose {
            self.loose(&members);
        }
        let high = if members.is_open || is_cut { End::NoLimit } else { End::At(Rational::whole(most)) };
        self.known(start, Interval::between(End::At(Rational::whole(sure)), high))
    }

    /// Lets the letter of `each` go through its list or table; the filter is the caller's. Gives the
    /// members and whether there may be others; where the steps are used up there may be.
    fn for_each(
        &mut self,
        each: &Each,
        mut visit: impl FnMut(&mut Self, Standing) -> ControlFlow<()>,
    ) -> (Option<MembersOf>, bool) {
        match &each.over {
            Over::Items(items) => {
                let members = self.members(items);
                let mut is_cut = false;
                for (item, standing) in standing_of(&members) {
                    is_cut = !self.memo.spend(1);
                    self.bind(each.slot, Letter::Item(Some(item)));
                    if is_cut || visit(self, standing).is_break() {
                        break;
                    }
                }
                (members.fact.map(MembersOf), members.is_open || is_cut)
            }
            Over::Rows(table) => {
                let code = self.ground.code;
                let now = self.now;
                let rows = code.table(*table).map_or(&[][..], |t| &t.rows);
                let mut is_cut = false;
                for (number, _) in rows.iter().enumerate().filter(|(_, row)| now.is_in(&row.bounds)) {
                    is_cut = !self.memo.spend(1);
                    self.bind(each.slot, Letter::Row(*table, number as u32));
                    if is_cut || visit(self, Standing::Sure).is_break() {
                        break;
                    }
                }
                (None, is_cut)
            }
            Over::Choices(..) => (None, true),
        }
    }

    fn note_loose(&mut self, members: &Option<MembersOf>) {
        if let Some(MembersOf(fact)) = members {
            self.reader.loose(self.ground, *fact);
        }
    }
}

/// The word that gives a list.
struct MembersOf(super::reader::Fact);

/// The members of a list and how each stands in it.
pub(in crate::law) fn standing_of<'a>(members: &Members<'a>) -> impl Iterator<Item = (ItemRef, Standing)> + use<'a> {
    let (sure, possible) = members.list.map_or((&[][..], &[][..]), |list| (&list.sure[..], &list.possible[..]));
    let sure = sure.iter().map(|item| (*item, Standing::Sure));
    sure.chain(possible.iter().map(|item| (*item, Standing::Perhaps)))
}

use super::{End, Interval};
use crate::law::code::Code;
use crate::law::syntax::{Bounds, Moment};
use crate::law::verdict::World;
use crate::quantity::Rational;
use crate::shop::Shop;
use crate::words::name;

/// The edition and the stretch of days in which a rule is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::law) struct Now {
    /// The edition's year.
    pub edition: i64,
    /// First day of the stretch; none where it has no beginning.
    pub first_day: Option<i64>,
    /// Last day of the stretch; none where it has no end.
    pub last_day: Option<i64>,
    /// Place among the possible editions.
    pub edition_index: usize,
    /// Place among the possible stretches.
    pub day_index: usize,
}

/// Every edition and stretch of days that the plan leaves possible.
#[derive(Debug)]
pub(in crate::law) struct Moments {
    editions: Vec<i64>,
    stretches: Vec<(Option<i64>, Option<i64>)>,
}

impl Now {
    /// Whether something with these bounds counts now. No stretch has a bound inside it.
    #[inline]
    pub fn is_in(&self, bounds: &Bounds) -> bool {
        bounds.from.is_none_or(|m| self.has_come(m)) && bounds.before.is_none_or(|m| !self.has_come(m))
    }

    fn has_come(&self, moment: Moment) -> bool {
        match moment {
            Moment::Edition(year) => self.edition >= year,
            Moment::Day(day) => self.first_day.is_some_and(|first| first >= day),
        }
    }

    /// The permit's day as a quantity.
    pub fn day(&self) -> Interval {
        let end = |day: Option<i64>, far| day.map_or(far, |d| End::At(Rational::whole(d)));
        Interval::between(end(self.first_day, End::Below), end(self.last_day, End::NoLimit))
    }

    /// As reports name it.
    pub fn world(&self, turns_on_day: bool) -> World {
        World { edition: self.edition, day: self.first_day.or(self.last_day).filter(|_| turns_on_day) }
    }
}

impl Moments {
    /// What the plan's `code` and `permit` leave open.
    pub fn of(code: &Code, shop: &Shop) -> Moments {
        Moments { editions: editions(code, shop), stretches: stretches(code, shop) }
    }

    /// Those that tell apart what differs by edition, by day, or by both; at least one. The newest
    /// stands for all where they are not told apart.
    pub fn that_matter(&self, by_edition: bool, by_day: bool) -> impl Iterator<Item = Now> + '_ {
        let editions =
            self.editions.iter().enumerate().skip(if by_edition { 0 } else { self.editions.len().saturating_sub(1) });
        editions.flat_map(move |(edition_index, edition)| {
            self.stretches_that_matter(by_day).map(move |(day_index, (first_day, last_day))| Now {
                edition: *edition,
                first_day,
                last_day,
                edition_index,
                day_index,
            })
        })
    }

    /// Each stretch, or all of them as one.
    fn stretches_that_matter(&self, by_day: bool) -> impl Iterator<Item = (usize, (Option<i64>, Option<i64>))> + '_ {
        let whole = (self.stretches.first().and_then(|s| s.0), self.stretches.last().and_then(|s| s.1));
        let count = if by_day { self.stretches.len() } else { 1 };
        let stretches = self.stretches.iter().copied().take(count).enumerate();
        stretches.map(move |(index, stretch)| (index, if by_day { stretch } else { whole }))
    }

    /// Whether the plan settles the edition.
    pub fn has_one_edition(&self) -> bool {
        self.editions.len() == 1
    }

    /// Whether the plan settles the day, as far as any rule cares.
    pub fn has_one_stretch(&self) -> bool {
        self.stretches.len() == 1
    }

    /// Place of a moment for the memo of something that turns on edition, day, both or neither.
    #[inline]
    pub fn place(&self, now: &Now, by_edition: bool, by_day: bool) -> usize {
        let edition = if by_edition { now.edition_index } else { 0 };
        let day = if by_day { now.day_index } else { 0 };
        edition * self.stretches.len() + day
    }
}

fn editions(code: &Code, shop: &Shop) -> Vec<i64> {
    let stated = Interval::of_value(shop.fact(Shop::PERMIT, name::EDITION));
    if let Some(year) = stated.point() {
        return vec![year.floor()];
    }
    let is_possible = |year: &i64| stated.meets(&Interval::of(Rational::whole(*year)));
    let possible: Vec<i64> = code.editions.iter().copied().filter(is_possible).collect();
    // Bounds between which no edition lies are a slip of the plan: then every edition is tried.
    match (possible.is_empty(), code.editions.is_empty()) {
        (false, _) => possible,
        (true, false) => code.editions.clone(),
        (true, true) => vec![0],
    }
}

fn stretches(code: &Code, shop: &Shop) -> Vec<(Option<i64>, Option<i64>)> {
    let stated = Interval::of_value(shop.fact(Shop::PERMIT, name::DATE));
    if let Some(day) = stated.point() {
        return vec![(Some(day.floor()), Some(day.floor()))];
    }
    let mut all = Vec::with_capacity(code.days.len() + 1);
    let mut first = None;
    for cut in &code.days {
        all.push((first, Some(cut.saturating_sub(1))));
        first = Some(*cut);
    }
    all.push((first, None));
    all.retain(|(first, last)| {
        let now = Now { edition: 0, first_day: *first, last_day: *last, edition_index: 0, day_index: 0 };
        stated.meets(&now.day())
    });
    if all.is_empty() { vec![(None, None)] } else { all }
}

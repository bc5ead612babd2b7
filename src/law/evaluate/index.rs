use super::lookup::{KeySet, end, holds, misses_choice, misses_number, sliding};
use crate::law::code::{Beyond, Cell, Row, Table};
use crate::law::syntax::{Bounds, Meet};
use crate::quantity::Rational;

/// Most combinations of keys for which a row's place is kept ready.
const DENSE_CAP: usize = 1 << 16;

/// How a look-up with known keys finds its row: each key has a rank among the distinct keys of the
/// table, the ranks together a place, and the place holds the row.
///
/// Tables whose rows come and go with editions and that are met up or down are searched instead,
/// since which row is the next one differs by edition; so are tables met up or down by two keys.
#[derive(Debug, Default)]
pub struct TableIndex {
    keys: Vec<Ranks>,
    /// Place to row, counted from 1; 0 is none.
    places: Vec<u32>,
    /// Row to the next row with the same keys, counted from 1.
    next: Vec<u32>,
    is_dense: bool,
}

/// Tables with more keys are searched.
const KEYS_CAP: usize = 8;

/// Some of the ranks of a key.
#[derive(Clone, Copy, Debug)]
enum Set {
    /// From one up to another, that one left out.
    Range(usize, usize),
    /// By bits.
    Bits(u64),
}

/// The distinct cells of one key, in order.
#[derive(Debug)]
struct Ranks {
    cells: Vec<Cell>,
    /// For keys that are small whole numbers or values of a choice: rank by value, counted from 1.
    small: Vec<u8>,
    meet: Meet,
    /// Whether what lies past the last of them meets it.
    has_last_row: bool,
}

impl Table {
    /// How a look-up finds its row.
    #[inline]
    pub(in crate::law) fn indexed(&self) -> &TableIndex {
        self.index.get_or_init(|| TableIndex::of(self))
    }
}

impl TableIndex {
    pub(in crate::law) fn of(table: &Table) -> TableIndex {
        let keys: Vec<Ranks> = (0..table.keys.len()).map(|key| Ranks::of(table, key)).collect();
        let size = keys.iter().try_fold(1usize, |size, key| size.checked_mul(key.cells.len()));
        let sliding = table.keys.iter().filter(|(_, _, meet)| *meet != Meet::Exact).count();
        let has_bounds = table.rows.iter().any(|row| row.bounds != Bounds::default());
        let is_dense =
            sliding <= 1 && !(sliding == 1 && has_bounds) && size.is_some_and(|s| s <= DENSE_CAP) && !keys.is_empty();
        let mut index = TableIndex { keys, places: Vec::new(), next: Vec::new(), is_dense };
        if is_dense {
            index.places = vec![0; size.unwrap_or(0)];
            index.next = vec![0; table.rows.len()];
            index.place_rows(table);
            index.fill(table);
        }
        index
    }

    /// Whether [`TableIndex::rank`] and [`TableIndex::row`] can be used.
    pub(in crate::law) fn is_dense(&self) -> bool {
        self.is_dense
    }

    /// Adds a key's rank to a place; none where no row has such a key.
    #[inline]
    pub(in crate::law) fn rank(&self, key: usize, cell: Cell, place: usize) -> Option<usize> {
        let ranks = self.keys.get(key)?;
        let rank = match ranks.meet {
            Meet::Exact => ranks.exact(cell)?,
            Meet::Up => match ranks.cells.partition_point(|c| order(c, &cell).is_lt()) {
                past if past < ranks.cells.len() => past,
                past if ranks.has_last_row => past.checked_sub(1)?,
                _ => return None,
            },
            Meet::Down => ranks.cells.partition_point(|c| order(c, &cell).is_le()).checked_sub(1)?,
        };
        Some(place * ranks.cells.len() + rank)
    }

    /// Every place that some value of the keys meets, each once; and whether some value of a key meets none.
    pub(in crate::law) fn places(&self, table: &Table, keys: &[KeySet], mut visit: impl FnMut(usize)) -> Option<bool> {
        let mut sets = [Set::Range(0, 0); KEYS_CAP];
        let mut is_beyond = false;
        let sets = sets.get_mut(..keys.len())?;
        for (number, key) in keys.iter().enumerate() {
            let (set, misses) = self.set(table, number, key)?;
            is_beyond |= misses;
            *sets.get_mut(number)? = set;
        }
        self.visit(sets, 0, &mut visit);
        Some(is_beyond)
    }

    fn visit(&self, sets: &[Set], place: usize, visit: &mut impl FnMut(usize)) {
        let Some((set, rest)) = sets.split_first() else { return visit(place) };
        let count = self.keys.get(self.keys.len() - sets.len()).map_or(1, |k| k.cells.len());
        let mut at = |rank: usize| self.visit(rest, place * count + rank, visit);
        match *set {
            Set::Range(from, to) => (from..to).for_each(&mut at),
            Set::Bits(bits) => (0..64).filter(|rank| bits & (1u64 << rank) != 0).for_each(&mut at),
        }
    }

    /// The ranks that a key may have, and whether it may be something that no row has.
    fn set(&self, table: &Table, number: usize, key: &KeySet) -> Option<(Set, bool)> {
        let ranks = self.keys.get(number)?;
        let cells = &ranks.cells;
        let meet = table.keys.get(number)?.2;
        if let (KeySet::Number(n), Meet::Up | Meet::Down) = (key, meet) {
            let (from, to, misses) = sliding(n, cells, meet == Meet::Up);
            // Beyond the last row meets the last row where the table says so.
            let to_last = misses && table.beyond == Beyond::LastRow && meet == Meet::Up && !cells.is_empty();
            let from = if to_last { from.min(cells.len() - 1) } else { from };
            return Some((Set::Range(from, to), misses && !to_last));
        }
        if meet != Meet::Exact {
            return None;
        }
        if let KeySet::Number(n) = key {
            let under = |cell: &Cell| end(cell) < n.low || end(cell) == n.low && n.low_is_open;
            let from = cells.partition_point(under);
            let to = cells.partition_point(|c| end(c) < n.high || end(c) == n.high && !n.high_is_open);
            return Some((
                Set::Range(from, to.max(from)),
                misses_number(table, n, cells.get(from..to).unwrap_or_default()),
            ));
        }
        if cells.len() > 64 {
            return None;
        }
        let bits = (0..cells.len()).filter(|rank| cells.get(*rank).is_some_and(|cell| holds(key, cell)));
        let bits = bits.fold(0u64, |bits, rank| bits | 1 << rank);
        Some((Set::Bits(bits), misses_choice(key, bits.count_ones() as usize)))
    }

    /// The row at a place that counts now.
    #[inline]
    pub(in crate::law) fn row<'t>(
        &self,
        table: &'t Table,
        place: usize,
        is_in: impl Fn(&Bounds) -> bool,
    ) -> Option<(u32, &'t Row)> {
        let mut at = *self.places.get(place)?;
        loop {
            let index = at.checked_sub(1)?;
            let row = table.rows.get(index as usize)?;
            if is_in(&row.bounds) {
                return Some((index, row));
            }
            at = *self.next.get(index as usize)?;
        }
    }

    fn place_rows(&mut self, table: &Table) {
        // From the last row to the first, so that chains run in the order of the file.
        for (number, row) in table.rows.iter().enumerate().rev() {
            let place = self.keys.iter().zip(&row.keys).try_fold(0usize, |place, (ranks, cell)| {
                let rank = ranks.cells.iter().position(|c| c == cell)?;
                Some(place * ranks.cells.len() + rank)
            });
            if let Some(slot) = place.and_then(|p| self.places.get_mut(p)) {
                if let Some(next) = self.next.get_mut(number) {
                    *next = *slot;
                }
                *slot = number as u32 + 1;
            }
        }
    }

    /// Lets every place without a row show the row that meeting up or down finds from there.
    fn fill(&mut self, table: &Table) {
        let Some(key) = table.keys.iter().position(|(_, _, meet)| *meet != Meet::Exact) else { return };
        let is_up = table.keys.get(key).is_some_and(|k| k.2 == Meet::Up);
        let count = self.keys.get(key).map_or(1, |k| k.cells.len());
        let step: usize = self.keys.iter().skip(key + 1).map(|k| k.cells.len()).product();
        let starts = (0..self.places.len()).filter(|place| (place / step.max(1)).is_multiple_of(count.max(1)));
        for start in starts.collect::<Vec<_>>() {
            let line: Vec<usize> = (0..count).map(|i| start + i * step).collect();
            let mut last = 0;
            let mut visit = |places: &mut Vec<u32>, place: usize| {
                if let Some(slot) = places.get_mut(place) {
                    if *slot == 0 {
                        *slot = last;
                    }
                    last = *slot;
                }
            };
            if is_up {
                line.iter().rev().for_each(|place| visit(&mut self.places, *place));
                if table.beyond == Beyond::LastRow {
                    line.iter().for_each(|place| visit(&mut self.places, *place));
                }
            } else {
                line.iter().for_each(|place| visit(&mut self.places, *place));
            }
        }
    }
}

impl Ranks {
    fn of(table: &Table, key: usize) -> Ranks {
        let mut cells: Vec<Cell> = table.rows.iter().filter_map(|row| row.keys.get(key).copied()).collect();
        cells.sort_by(order);
        cells.dedup();
        let small = if cells.len() < 255 && cells.iter().all(|c| small(c).is_some()) {
            let mut by_value = vec![0; 64];
            for (rank, cell) in cells.iter().enumerate() {
                if let Some(slot) = small(cell).and_then(|value| by_value.get_mut(value)) {
                    *slot = rank as u8 + 1;
                }
            }
            by_value
        } else {
            Vec::new()
        };
        let meet = table.keys.get(key).map_or(Meet::Exact, |key| key.2);
        Ranks { cells, small, meet, has_last_row: table.beyond == Beyond::LastRow }
    }

    #[inline]
    fn exact(&self, cell: Cell) -> Option<usize> {
        if !self.small.is_empty() {
            return (*self.small.get(small(&cell)?)? as usize).checked_sub(1);
        }
        self.cells.binary_search_by(|c| order(c, &cell)).ok()
    }
}

#[inline]
fn small(cell: &Cell) -> Option<usize> {
    match cell {
        Cell::Number(n) if n.is_whole() => usize::try_from(n.numerator()).ok().filter(|v| *v < 64),
        Cell::Choice(value) => Some(*value as usize).filter(|v| *v < 64),
        Cell::YesNo(yes) => Some(*yes as usize),
        Cell::Name(_) | Cell::NoLimit | Cell::Number(_) => None,
    }
}

/// Order of cells of one key: all of one type, `no limit` above every quantity.
pub(in crate::law) fn order(a: &Cell, b: &Cell) -> std::cmp::Ordering {
    fn rank(cell: &Cell) -> (u8, Rational) {
        match cell {
            Cell::Number(n) => (0, *n),
            Cell::NoLimit => (1, Rational::ZERO),
            Cell::Choice(v) => (2, Rational::whole(i64::from(*v))),
            Cell::YesNo(yes) => (3, Rational::whole(i64::from(*yes))),
            Cell::Name(n) => (4, Rational::whole(i64::from(*n))),
        }
    }
    rank(a).cmp(&rank(b))
}

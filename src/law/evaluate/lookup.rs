use super::index::{TableIndex, order};
use super::machine::Machine;
use super::reader::Reader;
use super::{End, Interval, Truth};
use crate::law::code::{Beyond, Cell, Key, Lookup, Row, Table};
use crate::law::syntax::Meet;
use crate::quantity::Rational;
use crate::shop::Value;
use crate::words::Type;

/// The possible values of a key.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::law) enum KeySet {
    /// A quantity.
    Number(Interval),
    /// Values of a choice.
    Choice(u64),
    /// Yes or no.
    Test(Truth),
    /// A proper name of the pack; none where the table can't hold it.
    Name(Option<u32>),
    /// A proper name that nobody said.
    AnyName,
}

/// The rows that a look-up may meet.
#[derive(Debug, Default)]
pub(in crate::law) struct Met {
    /// Their numbers.
    pub rows: Vec<u32>,
    /// Whether it may end beyond the rows.
    pub is_beyond: bool,
}

impl<'a, R: Reader> Machine<'_, 'a, R> {
    /// A look-up in a column of quantities.
    pub fn lookup_number(&mut self, lookup: &Lookup) -> Interval {
        let mark = self.reader.mark();
        let out = self.look_up(lookup, Self::cell_number, Interval::hull);
        self.known(mark, out)
    }

    /// A look-up in a column of values of a choice.
    pub fn lookup_choice(&mut self, lookup: &Lookup) -> u64 {
        let mark = self.reader.mark();
        let bits = |cell: Option<Cell>| match cell {
            Some(Cell::Choice(value)) => 1u64.checked_shl(value.into()).unwrap_or(u64::MAX),
            _ => u64::MAX,
        };
        let out = self.look_up(lookup, bits, |a, b| a | b);
        if out.count_ones() == 1 {
            self.reader.settle(mark);
        }
        out
    }

    /// A look-up in a column of yes and no.
    pub fn lookup_test(&mut self, lookup: &Lookup) -> Truth {
        let mark = self.reader.mark();
        let truth = |cell: Option<Cell>| match cell {
            Some(Cell::YesNo(yes)) => yes.into(),
            _ => Truth::Unknown,
        };
        let out = self.look_up(lookup, truth, Truth::hull);
        self.decided(mark, out)
    }

    /// The cell met where all keys are known, else what every cell that may be met comes to together.
    /// No cell, where the table has no value or ends, is any value.
    fn look_up<T: Copy>(&mut self, lookup: &Lookup, of: impl Fn(Option<Cell>) -> T, join: impl Fn(T, T) -> T) -> T {
        if let Some(cell) = self.exact_cell(lookup) {
            return of(Some(*cell));
        }
        let Some(table) = self.table(lookup) else { return of(None) };
        let index = table.indexed();
        let mut place = if index.is_dense() { Ok(Some(0)) } else { Err((0, None)) };
        for (number, key) in lookup.keys.iter().enumerate() {
            let Ok(so_far) = place else { break };
            let key = self.key_of(table, number, key);
            place = match cell_of(key) {
                Some(cell) => Ok(so_far.and_then(|place| index.rank(number, cell, place))),
                None if key == KeySet::Name(None) => Ok(None),
                None => Err((number, Some(key))),
            };
        }
        match place {
            Ok(place) => {
                let now = self.now;
                let row = place.and_then(|place| index.row(table, place, |bounds| now.is_in(bounds)));
                of(match row {
                    Some((_, row)) => row.values.get(lookup.column as usize).copied().flatten(),
                    None => beyond(table, lookup, None),
                })
            }
            Err((number, key)) => {
                // Keys before the first that is open are known: to work them out again is cheap.
                let keys = lookup.keys.iter().enumerate().map(|(n, k)| match key {
                    Some(key) if n == number => key,
                    _ => self.key_of(table, n, k),
                });
                let keys: Vec<KeySet> = keys.collect();
                self.look_up_widely(table, index, lookup, &keys, of, join)
            }
        }
    }

    fn look_up_widely<T: Copy>(
        &mut self,
        table: &Table,
        index: &TableIndex,
        lookup: &Lookup,
        keys: &[KeySet],
        of: impl Fn(Option<Cell>) -> T,
        join: impl Fn(T, T) -> T,
    ) -> T {
        let now = self.now;
        let mut out: Option<T> = None;
        let mut met = 0;
        let mut add = |cell: Option<Cell>| {
            met += 1;
            let value = of(cell);
            out = Some(out.map_or(value, |so_far| join(so_far, value)));
        };
        let value = |row: &Row| row.values.get(lookup.column as usize).copied().flatten();
        let mut is_beyond = false;
        let by_index = index.is_dense().then(|| {
            index.places(table, keys, |place| match index.row(table, place, |bounds| now.is_in(bounds)) {
                Some((_, row)) => add(value(row)),
                None => is_beyond = true,
            })
        });
        match by_index.flatten() {
            Some(misses) => is_beyond |= misses,
            None => {
                self.reader.work(table.rows.len());
                self.memo.spend(table.rows.len());
                let rows = self.rows_met(table, keys);
                rows.rows.iter().filter_map(|row| table.rows.get(*row as usize)).for_each(|row| add(value(row)));
                is_beyond |= rows.is_beyond;
            }
        }
        if is_beyond {
            let last = table.rows.iter().rfind(|row| now.is_in(&row.bounds) && may_be_last(table, row, keys));
            add(beyond(table, lookup, last));
        }
        self.reader.work(met);
        self.memo.spend(met);
        out.unwrap_or(of(None))
    }

    /// The table of a look-up.
    fn table(&self, lookup: &Lookup) -> Option<&'a Table> {
        self.ground.code.table(lookup.table)
    }

    /// The possible values of a key; where nothing is known, all that its type has.
    fn key_of(&mut self, table: &Table, number: usize, key: &Key) -> KeySet {
        match (self.key(key), table.keys.get(number).map(|k| k.1)) {
            (KeySet::Choice(bits), Some(Type::Choice(id))) => KeySet::Choice(bits & self.ground.all_values(id)),
            (key, _) => key,
        }
    }

    /// The possible values of a key.
    pub fn key(&mut self, key: &Key) -> KeySet {
        match key {
            Key::Number(number) => KeySet::Number(self.number(number)),
            Key::Choice(choice) => KeySet::Choice(self.choice(choice)),
            Key::Test(test) => KeySet::Test(self.test(test)),
            Key::Name(owner, name) => match self.item(owner).map(|item| self.value(item, *name)) {
                Some(Value::Name(n)) => KeySet::Name(self.ground.name_in_pack(n)),
                _ => KeySet::AnyName,
            },
        }
    }

    /// Every row that some value of the keys meets. Exact keys come first, since up and down go
    /// along the rows that they leave.
    pub fn rows_met(&self, table: &Table, keys: &[KeySet]) -> Met {
        let rows = table.rows.iter().enumerate().filter(|(_, row)| self.now.is_in(&row.bounds));
        let rows: Vec<u32> = rows.map(|(number, _)| number as u32).collect();
        let exact = table.keys.iter().enumerate().filter(|(_, k)| k.2 == Meet::Exact);
        let sliding = table.keys.iter().enumerate().filter(|(_, k)| k.2 != Meet::Exact);
        let order: Vec<usize> = exact.chain(sliding).map(|(number, _)| number).collect();
        let mut met = Met::default();
        narrow(table, keys, &order, rows, &mut met);
        met
    }
}

/// The one cell of a key that is known.
fn cell_of(key: KeySet) -> Option<Cell> {
    match key {
        KeySet::Number(n) if n.is_decided() => match n.low {
            End::At(n) => Some(Cell::Number(n)),
            End::NoLimit => Some(Cell::NoLimit),
            End::Below => None,
        },
        KeySet::Choice(bits) if bits.count_ones() == 1 => Some(Cell::Choice(bits.trailing_zeros() as u8)),
        KeySet::Test(Truth::Yes) => Some(Cell::YesNo(true)),
        KeySet::Test(Truth::No) => Some(Cell::YesNo(false)),
        KeySet::Name(Some(n)) => Some(Cell::Name(n)),
        _ => None,
    }
}

/// What a look-up gives beyond the rows.
fn beyond(table: &Table, lookup: &Lookup, last: Option<&Row>) -> Option<Cell> {
    match table.beyond {
        Beyond::Unknown => None,
        Beyond::LastRow => last?.values.get(lookup.column as usize).copied().flatten(),
        Beyond::Cell(cell) => Some(cell),
    }
}

/// Whether a row may be the last one along the keys met up or down: its exact keys fit.
fn may_be_last(table: &Table, row: &Row, keys: &[KeySet]) -> bool {
    table
        .keys
        .iter()
        .zip(&row.keys)
        .zip(keys)
        .all(|(((_, _, meet), cell), key)| *meet != Meet::Exact || holds(key, cell))
}

/// Whether a key may be this cell.
pub(in crate::law) fn holds(key: &KeySet, cell: &Cell) -> bool {
    match (key, cell) {
        (KeySet::Number(n), Cell::Number(value)) => {
            n.compare(crate::law::syntax::Comparison::Equal, &Interval::of(*value)) != Truth::No
        }
        (KeySet::Number(n), Cell::NoLimit) => n.high == End::NoLimit,
        (KeySet::Choice(bits), Cell::Choice(value)) => bits & 1u64.checked_shl((*value).into()).unwrap_or(0) != 0,
        (KeySet::Test(truth), Cell::YesNo(yes)) => *truth != Truth::from(!*yes),
        (KeySet::Name(Some(a)), Cell::Name(b)) => a == b,
        (KeySet::AnyName, Cell::Name(_)) => true,
        _ => false,
    }
}

fn narrow(table: &Table, keys: &[KeySet], order_of: &[usize], rows: Vec<u32>, met: &mut Met) {
    let Some((number, rest)) = order_of.split_first() else {
        // Two rows with the same keys: the first counts, as where the keys are known.
        match rows.first() {
            Some(row) => met.rows.push(*row),
            None => met.is_beyond = true,
        }
        return;
    };
    let (Some(key), Some((_, _, meet))) = (keys.get(*number), table.keys.get(*number)) else { return };
    let cell = |row: &u32| table.rows.get(*row as usize).and_then(|r| r.keys.get(*number)).copied();
    let mut cells: Vec<Cell> = rows.iter().filter_map(cell).collect();
    cells.sort_by(order);
    cells.dedup();
    let (chosen, is_beyond) = match meet {
        Meet::Exact => exact(table, key, &cells),
        Meet::Up | Meet::Down => match key {
            KeySet::Number(n) => {
                let (from, to, misses) = sliding(n, &cells, *meet == Meet::Up);
                (cells.get(from..to).unwrap_or_default().to_vec(), misses)
            }
            _ => (cells.clone(), true),
        },
    };
    met.is_beyond |= is_beyond;
    for wanted in chosen {
        let rows = rows.iter().copied().filter(|row| cell(row) == Some(wanted)).collect();
        narrow(table, keys, rest, rows, met);
    }
}

/// The cells that an exact key may be, and whether it may be one that no row has.
fn exact(table: &Table, key: &KeySet, cells: &[Cell]) -> (Vec<Cell>, bool) {
    let chosen: Vec<Cell> = cells.iter().copied().filter(|cell| holds(key, cell)).collect();
    let misses = match key {
        KeySet::Number(n) => misses_number(table, n, &chosen),
        _ => misses_choice(key, chosen.len()),
    };
    (chosen, misses)
}

/// Whether a quantity may be one that no row has. Of several possible values only the rows count,
/// unless the table says what else would be.
pub(in crate::law) fn misses_number(table: &Table, n: &Interval, chosen: &[Cell]) -> bool {
    chosen.is_empty() || !n.is_decided() && table.beyond != Beyond::Unknown && !covers(n, chosen)
}

/// Whether another key may be one that none of the chosen rows has.
pub(in crate::law) fn misses_choice(key: &KeySet, chosen: usize) -> bool {
    match key {
        KeySet::Choice(bits) => bits.count_ones() as usize > chosen,
        KeySet::Test(Truth::Unknown) => chosen < 2,
        KeySet::AnyName => true,
        KeySet::Test(_) | KeySet::Name(_) | KeySet::Number(_) => chosen == 0,
    }
}

/// Whether whole numbers from end to end (ranks of wire sizes) are all among the cells.
fn covers(interval: &Interval, cells: &[Cell]) -> bool {
    match (interval.low, interval.high) {
        (End::At(low), End::At(high)) if low.is_whole() && high.is_whole() => {
            high.minus(low).is_some_and(|n| n <= Rational::whole(cells.len() as i64 - 1))
        }
        _ => false,
    }
}

/// From which to before which of the cells a quantity met up or down may lead, and whether it may
/// lead beyond them.
pub(in crate::law) fn sliding(n: &Interval, cells: &[Cell], is_up: bool) -> (usize, usize, bool) {
    if is_up {
        // The first at or over the lower end, to the first at or over the upper end.
        let from = cells.partition_point(|c| end(c) < n.low || end(c) == n.low && n.low_is_open);
        let last = cells.partition_point(|c| end(c) < n.high);
        (from, (last + 1).min(cells.len()).max(from), last >= cells.len())
    } else {
        // The last at or under the lower end, to the last at or under the upper end.
        let to_low = cells.partition_point(|c| end(c) <= n.low);
        let to = cells.partition_point(|c| end(c) < n.high || end(c) == n.high && !n.high_is_open);
        let from = to_low.saturating_sub(1);
        (from, to.max(from), to_low == 0)
    }
}

/// A key's cell among the quantities.
pub(in crate::law) fn end(cell: &Cell) -> End {
    match cell {
        Cell::Number(n) => End::At(*n),
        _ => End::NoLimit,
    }
}

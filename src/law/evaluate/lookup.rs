use super::index::{TableIndex, order};
use super::machine::Machine;
use super::reader::Reader;
use super::{End, Interval, Truth};
use crate::law::code::{Beyond, Cell, Key, Lookup, Row, Table};
use crate::law::syntax::Meet;
use crate::quantity::Rational;
use crate::shop::Value;

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
        let cell = |cell: Option<Cell>| Self::cell_number(cell);
        match self.look_up(lookup) {
            Ok(found) => cell(found),
            Err(cells) => {
                let out = cells.into_iter().map(cell).reduce(Interval::hull).unwrap_or(Interval::ANYTHING);
                self.known(mark, out)
            }
        }
    }

    /// A look-up in a column of values of a choice.
    pub fn lookup_choice(&mut self, lookup: &Lookup) -> u64 {
        let mark = self.reader.mark();
        let bits = |cell: Option<Cell>| match cell {
            Some(Cell::Choice(value)) => 1u64.checked_shl(value.into()).unwrap_or(u64::MAX),
            _ => u64::MAX,
        };
        match self.look_up(lookup) {
            Ok(found) => bits(found),
            Err(cells) => {
                let out = cells.into_iter().map(bits).reduce(|a, b| a | b).unwrap_or(u64::MAX);
                if out.count_ones() == 1 {
                    self.reader.settle(mark);
                }
                out
            }
        }
    }

    /// A look-up in a column of yes and no.
    pub fn lookup_test(&mut self, lookup: &Lookup) -> Truth {
        let mark = self.reader.mark();
        let truth = |cell: Option<Cell>| match cell {
            Some(Cell::YesNo(yes)) => yes.into(),
            _ => Truth::Unknown,
        };
        match self.look_up(lookup) {
            Ok(found) => truth(found),
            Err(cells) => {
                let out = cells.into_iter().map(truth).reduce(Truth::hull).unwrap_or(Truth::Unknown);
                self.decided(mark, out)
            }
        }
    }

    /// The cell met where all keys are known, else every cell that may be met.
    fn look_up(&mut self, lookup: &Lookup) -> Result<Option<Cell>, Vec<Option<Cell>>> {
        let Some(table) = self.table(lookup) else { return Ok(None) };
        let index = table.index.get_or_init(|| TableIndex::of(table));
        if !index.is_dense() {
            return self.look_up_widely(table, lookup);
        }
        let mut place = Some(0);
        for (number, key) in lookup.keys.iter().enumerate() {
            let mark = self.reader.mark();
            let key = self.key(key);
            let Some(cell) = cell_of(key) else {
                if key == KeySet::Name(None) {
                    place = None;
                    continue;
                }
                self.reader.discard(mark, self.reader.mark());
                return self.look_up_widely(table, lookup);
            };
            place = place.and_then(|place| index.rank(table, number, cell, place));
        }
        let now = self.now;
        let row = place.and_then(|place| index.row(table, place, |bounds| now.is_in(bounds)));
        Ok(match row {
            Some((_, row)) => row.values.get(lookup.column as usize).copied().flatten(),
            None => beyond(table, lookup, None),
        })
    }

    fn look_up_widely(&mut self, table: &Table, lookup: &Lookup) -> Result<Option<Cell>, Vec<Option<Cell>>> {
        let keys: Vec<KeySet> = lookup.keys.iter().map(|key| self.key(key)).collect();
        let met = self.rows_met(table, &keys);
        let mut cells: Vec<Option<Cell>> = Vec::with_capacity(met.rows.len() + 1);
        for row in met.rows.iter().filter_map(|row| table.rows.get(*row as usize)) {
            cells.push(row.values.get(lookup.column as usize).copied().flatten());
        }
        if met.is_beyond {
            let last = table.rows.iter().rfind(|row| self.now.is_in(&row.bounds) && may_be_last(table, row, &keys));
            cells.push(beyond(table, lookup, last));
        }
        match cells.as_slice() {
            [one] => Ok(*one),
            _ => Err(cells),
        }
    }

    /// The table of a look-up.
    fn table(&self, lookup: &Lookup) -> Option<&'a Table> {
        self.ground.code.tables.get(lookup.table.0 as usize)
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
fn holds(key: &KeySet, cell: &Cell) -> bool {
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
        Meet::Up => up(key, &cells),
        Meet::Down => down(key, &cells),
    };
    met.is_beyond |= is_beyond;
    for wanted in chosen {
        let rows = rows.iter().copied().filter(|row| cell(row) == Some(wanted)).collect();
        narrow(table, keys, rest, rows, met);
    }
}

/// The cells that an exact key may be, and whether it may be one that no row has. Of a quantity
/// with several possible values only the rows count, unless the table says what else would be.
fn exact(table: &Table, key: &KeySet, cells: &[Cell]) -> (Vec<Cell>, bool) {
    let chosen: Vec<Cell> = cells.iter().copied().filter(|cell| holds(key, cell)).collect();
    let is_beyond = match key {
        KeySet::Number(n) => {
            chosen.is_empty() || !n.is_decided() && table.beyond != Beyond::Unknown && !covers(n, &chosen)
        }
        KeySet::Choice(bits) => bits.count_ones() as usize > chosen.len(),
        KeySet::Test(Truth::Unknown) => chosen.len() < 2,
        KeySet::AnyName => true,
        KeySet::Test(_) | KeySet::Name(_) => chosen.is_empty(),
    };
    (chosen, is_beyond)
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

/// The rows from the first at or over the lower end to the first at or over the upper end.
fn up(key: &KeySet, cells: &[Cell]) -> (Vec<Cell>, bool) {
    let KeySet::Number(n) = key else { return (cells.to_vec(), true) };
    let under_low = |cell: &&Cell| end(cell) < n.low || end(cell) == n.low && n.low_is_open && !n.is_decided();
    let first = cells.iter().take_while(under_low).count();
    let under_high = |cell: &&Cell| end(cell) < n.high;
    let last = cells.iter().take_while(under_high).count();
    let chosen = cells.iter().enumerate().filter(|(i, _)| (first..=last).contains(i)).map(|(_, cell)| *cell);
    (chosen.collect(), last >= cells.len())
}

/// The rows from the last at or under the lower end to the last at or under the upper end.
fn down(key: &KeySet, cells: &[Cell]) -> (Vec<Cell>, bool) {
    let KeySet::Number(n) = key else { return (cells.to_vec(), true) };
    let to_low = cells.iter().take_while(|cell| end(cell) <= n.low).count();
    let to_high = cells.iter().take_while(|cell| end(cell) < n.high || end(cell) == n.high && !n.high_is_open).count();
    let chosen =
        cells.iter().enumerate().filter(|(i, _)| (to_low.max(1) - 1..to_high).contains(i)).map(|(_, cell)| *cell);
    (chosen.collect(), to_low == 0)
}

fn end(cell: &Cell) -> End {
    match cell {
        Cell::Number(n) => End::At(*n),
        _ => End::NoLimit,
    }
}

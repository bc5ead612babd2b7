use super::ground::Ground;
use super::reader::{Careful, Note, Split};
use super::{End, Interval};
use crate::law::code::{Cell, TableId};
use crate::law::syntax::Meet;
use crate::quantity::{Rational, Scale, WIRE_SIZES};
use crate::shop::{Range, Value};
use crate::words::Type;

/// Widest stretch of whole numbers that is parted number by number.
const COUNT_CAP: i64 = 8;

/// What says of a part that it is there, and nothing more.
pub(in crate::law) const PRESENT: Value =
    Value::Range(Range { low: None, high: None, low_is_open: false, high_is_open: false });

/// Parts the possible values of a fact into two or three sets that hold them all; none where
/// nothing is known by which to part them. Each set is smaller, so parting comes to an end.
pub(in crate::law) fn split(ground: &Ground, reader: &Careful, note: &Note) -> Option<Vec<Value>> {
    if note.is_list {
        return None;
    }
    let (item, name) = note.fact;
    let value = reader.current(ground, note.fact);
    let word = ground.code.vocabulary.word(item.kind, name)?;
    if word.is_part && value == Value::Unknown {
        return Some(vec![Value::Absent, PRESENT]);
    }
    match word.ty {
        Type::YesNo => (value == Value::Unknown).then(|| vec![Value::YesNo(true), Value::YesNo(false)]),
        Type::Choice(id) => {
            let bits = if let Value::Choice(bits) = value { bits } else { ground.all_values(id) };
            split_choice(bits, note.split)
        }
        Type::Quantity(scale) => split_quantity(ground, reader, Interval::of_value(&value), scale, note.split),
        Type::Item(_) | Type::List(_) | Type::Choices(_) | Type::Name => None,
    }
}

fn split_choice(bits: u64, split: Split) -> Option<Vec<Value>> {
    if bits.count_ones() < 2 {
        return None;
    }
    let wanted = if let Split::Values(wanted) = split { bits & wanted } else { 0 };
    let wanted = if wanted == 0 || wanted == bits { bits & bits.wrapping_neg() } else { wanted };
    Some(vec![Value::Choice(wanted), Value::Choice(bits & !wanted)])
}

fn split_quantity(
    ground: &Ground,
    reader: &Careful,
    interval: Interval,
    scale: Scale,
    split: Split,
) -> Option<Vec<Value>> {
    let interval = if scale == Scale::WireSize { within_sizes(interval) } else { interval };
    let is_inside = |cut: &Rational| interval.low < End::At(*cut) && End::At(*cut) < interval.high;
    let by_rows = |table, key| middle(rows(ground, table, key, scale).into_iter().filter(is_inside).collect());
    match split {
        Split::At(cut) if touches(&interval, cut) => return pieces(interval, cut, scale),
        Split::Rows(table, key) => {
            if let Some(cut) = by_rows(table, key) {
                return pieces(interval, cut, scale);
            }
        }
        Split::At(_) | Split::Values(_) | Split::None => {}
    }
    let cut = match scale {
        Scale::WireSize => middle(wholes(&interval, WIRE_SIZES.len() as i64)),
        Scale::TradeSize => reader.tables.iter().find_map(|(table, key)| by_rows(*table, *key)),
        Scale::Ratio(_) if scale == Scale::NUMBER => middle(wholes(&interval, COUNT_CAP)),
        _ => None,
    }?;
    pieces(interval, cut, scale)
}

/// Wire sizes are the places of a closed list.
fn within_sizes(interval: Interval) -> Interval {
    let last = Rational::whole(WIRE_SIZES.len() as i64 - 1);
    let low = interval.low.max(End::At(Rational::ZERO));
    let high = interval.high.min(End::At(last));
    Interval { low, high, ..interval }
}

/// Whole numbers inside a bounded interval, or at its ends where both are whole and no more than `cap` lie between.
fn wholes(interval: &Interval, cap: i64) -> Vec<Rational> {
    match (interval.low, interval.high) {
        (End::At(low), End::At(high))
            if low.is_whole() && high.is_whole() && high.floor().saturating_sub(low.floor()) <= cap =>
        {
            (low.floor()..=high.floor()).map(Rational::whole).filter(|n| pieces_of(interval, *n).len() > 1).collect()
        }
        _ => Vec::new(),
    }
}

fn middle(mut cuts: Vec<Rational>) -> Option<Rational> {
    cuts.sort();
    cuts.get(cuts.len() / 2).copied()
}

/// The keys of a table, where they are quantities of the scale.
fn rows(ground: &Ground, table: TableId, key: usize, scale: Scale) -> Vec<Rational> {
    let Some(table) = ground.code.tables.get(table.0 as usize) else { return Vec::new() };
    match table.keys.get(key) {
        Some((_, Type::Quantity(s), Meet::Exact | Meet::Up | Meet::Down)) if *s == scale => {}
        _ => return Vec::new(),
    }
    let cells = table.rows.iter().filter_map(|row| row.keys.get(key));
    cells.filter_map(|cell| if let Cell::Number(n) = cell { Some(*n) } else { None }).collect()
}

/// Whether the cut is an end of the interval that can be parted from the rest.
fn touches(interval: &Interval, cut: Rational) -> bool {
    pieces_of(interval, cut).len() > 1
}

fn pieces(interval: Interval, cut: Rational, scale: Scale) -> Option<Vec<Value>> {
    let pieces = pieces_of(&interval, cut).into_iter();
    let values: Vec<Value> = pieces.filter_map(|piece| value_of(piece, scale)).collect();
    (values.len() > 1).then_some(values)
}

/// What is under, at and over a cut.
fn pieces_of(interval: &Interval, cut: Rational) -> Vec<Interval> {
    let at = End::At(cut);
    let under = Interval { high: at, high_is_open: true, ..*interval };
    let over = Interval { low: at, low_is_open: true, ..*interval };
    let mut pieces = Vec::with_capacity(3);
    if interval.low < at {
        pieces.push(under);
    }
    if (interval.low < at || interval.low == at && !interval.low_is_open)
        && (at < interval.high || interval.high == at && !interval.high_is_open)
    {
        pieces.push(Interval::of(cut));
    }
    if at < interval.high {
        pieces.push(over);
    }
    pieces
}

/// An interval as what a plan would say; sizes of wire close at the next size, and may leave nothing.
fn value_of(mut piece: Interval, scale: Scale) -> Option<Value> {
    if scale == Scale::WireSize {
        let next = |end: End, is_open: bool, step: i64| match end {
            End::At(n) if is_open => n.plus(Rational::whole(step)).map_or(end, End::At),
            end => end,
        };
        piece.low = next(piece.low, piece.low_is_open, 1);
        piece.high = next(piece.high, piece.high_is_open, -1);
        (piece.low_is_open, piece.high_is_open) = (false, false);
        if piece.low > piece.high {
            return None;
        }
    }
    if let Some(n) = piece.point() {
        return Some(Value::Number(n));
    }
    let bound = |end: End| if let End::At(n) = end { Some(n) } else { None };
    Some(Value::Range(Range {
        low: bound(piece.low),
        high: bound(piece.high),
        low_is_open: piece.low_is_open,
        high_is_open: piece.high_is_open,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Parts of a stretch of sizes hold each size once, and none that is no size.
    #[test]
    fn sizes_part_into_sizes() {
        let all = within_sizes(Interval::ANYTHING);
        let mut open = vec![all];
        let mut single = Vec::new();
        while let Some(interval) = open.pop() {
            let cut = middle(wholes(&interval, 40)).unwrap();
            for value in pieces(interval, cut, Scale::WireSize).unwrap() {
                match value {
                    Value::Number(n) => single.push(n.floor()),
                    value => open.push(Interval::of_value(&value)),
                }
            }
        }
        single.sort();
        assert_eq!(single, (0..WIRE_SIZES.len() as i64).collect::<Vec<_>>());
    }

    #[test]
    fn choices_part_by_what_is_asked() {
        assert_eq!(
            split_choice(0b1110, Split::Values(0b0011)),
            Some(vec![Value::Choice(0b0010), Value::Choice(0b1100)])
        );
        assert_eq!(split_choice(0b1110, Split::None), Some(vec![Value::Choice(0b0010), Value::Choice(0b1100)]));
        assert_eq!(split_choice(0b0100, Split::None), None);
    }
}

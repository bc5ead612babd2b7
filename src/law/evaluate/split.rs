use super::cuts::Cuts;
use super::ground::Ground;
use super::reader::{Careful, Note, Split};
use super::{End, Interval};
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
pub(in crate::law) fn split(ground: &Ground, cuts: &Cuts, reader: &Careful, note: &Note) -> Option<Vec<Value>> {
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
        Type::Quantity(scale) => {
            let cuts: Vec<Rational> = cuts.get(name, scale).collect();
            split_quantity(Interval::of_value(&value), scale, note.split, cuts)
        }
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

fn split_quantity(interval: Interval, scale: Scale, split: Split, mut cuts: Vec<Rational>) -> Option<Vec<Value>> {
    let interval = if scale == Scale::WireSize { within_sizes(interval) } else { interval };
    if let Split::At(cut) = split
        && parts(&interval, cut)
    {
        return pieces(interval, cut, scale);
    }
    if scale == Scale::WireSize {
        cuts = wholes(&interval, WIRE_SIZES.len() as i64);
    } else if scale == Scale::NUMBER {
        cuts.extend(wholes(&interval, COUNT_CAP));
    }
    cuts.retain(|cut| parts(&interval, *cut));
    cuts.sort();
    pieces(interval, *cuts.get(cuts.len() / 2)?, scale)
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
            (low.floor()..=high.floor()).map(Rational::whole).filter(|n| parts(interval, *n)).collect()
        }
        _ => Vec::new(),
    }
}

/// Whether a cut leaves more than one piece.
fn parts(interval: &Interval, cut: Rational) -> bool {
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
            for value in split_quantity(interval, Scale::WireSize, Split::None, Vec::new()).unwrap() {
                match value {
                    Value::Number(n) => single.push(n.floor()),
                    value => open.push(Interval::of_value(&value)),
                }
            }
        }
        single.sort();
        assert_eq!(single, (0..WIRE_SIZES.len() as i64).collect::<Vec<_>>());
    }

    /// A count of nine or fewer possible values is parted to the last; a wider one only where a figure of the rule parts it.
    #[test]
    fn so_wide_counts_are_parted() {
        let from_one = |high: i64| Interval::between(End::At(Rational::ONE), End::At(Rational::whole(high)));
        let parted = |high: i64| split_quantity(from_one(high), Scale::NUMBER, Split::None, Vec::new());
        assert!(parted(1 + COUNT_CAP).is_some_and(|values| values.len() == 3));
        assert_eq!(parted(2 + COUNT_CAP), None);
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

//! Conductors where facts are unsaid: every reading is laid out, and what all of them have is sure.
//!
//! A receptacle that may or may not be a GFCI device splits the conductors behind it off or not;
//! poles, kinds of switches and patterns that nobody gave change roles. Each question is tried both
//! ways. For GFCI devices there is a short way: where all of them or none of them makes no
//! difference to the count in any run, no mixture does, since each split can only add.

#![expect(
    clippy::arithmetic_side_effects,
    reason = "numbers of readings, of which there are some hundreds, and of their wires"
)]

use super::layer::Laid;
use super::make::{Asked, Nets, Reading};
use super::nets::{Net, Role};
use super::spread::{Meeting, Piece, Spread};
use std::collections::BTreeMap;

/// The most devices of unknown kind whose mixtures are all tried.
const MOST_MIXED: usize = 5;
/// The most devices of unknown kind: each has a bit.
const MOST_ASKED: usize = 63;
/// The most layouts for one group of circuits after which all mixtures are still tried.
const MOST_READINGS: usize = 256;

/// Every reading, laid out.
pub(super) struct Readings {
    all: Vec<(Vec<Net>, Laid)>,
    /// Whether some mixtures were not tried, so that entries of boxes are only known within wide bounds.
    is_loose: bool,
}

/// Lays out all readings. None where the questions hang together so that trying them one kind at
/// a time would miss mixtures.
pub(super) fn read(
    first: &Nets,
    nets: impl Fn(Reading) -> Nets,
    mut lay: impl FnMut(&Nets) -> Laid,
) -> Option<Readings> {
    let every = Reading { hots: true, loads: true, neutral: true, sets: true, doubles: true, gfci: u64::MAX };
    let most = nets(every);
    let asked = join(&first.asked, &most.asked);
    if asked.doubles > 1 || asked.gfci.len() > MOST_ASKED {
        return None;
    }
    let mut readings = Readings { all: Vec::new(), is_loose: false };
    let kinds = [asked.hots, asked.loads, asked.neutral, asked.sets, asked.doubles > 0];
    let count = kinds.iter().filter(|k| **k).count();
    for mix in 0..1u32 << count {
        let mut bits = mix;
        let mut next = |is_asked: bool| {
            let bit = is_asked && bits & 1 != 0;
            if is_asked {
                bits >>= 1;
            }
            bit
        };
        let plain = Reading {
            hots: next(asked.hots),
            loads: next(asked.loads),
            neutral: next(asked.neutral),
            sets: next(asked.sets),
            doubles: next(asked.doubles > 0),
            gfci: 0,
        };
        let mut laid = |gfci: u64| {
            let read = nets(Reading { gfci, ..plain });
            let laid = lay(&read);
            (read.nets, laid)
        };
        let all = laid(u64::MAX);
        if asked.gfci.is_empty() {
            readings.all.push(all);
            continue;
        }
        let none = laid(0);
        if counts(&none.1) == counts(&all.1) {
            readings.all.push(all);
            continue;
        }
        let is_few = asked.gfci.len() <= MOST_MIXED && readings.all.len() < MOST_READINGS;
        if is_few {
            for mask in 1..(1u64 << asked.gfci.len()) - 1 {
                readings.all.push(laid(mask));
            }
        } else {
            readings.is_loose = true;
        }
        readings.all.push(none);
        readings.all.push(all);
    }
    Some(readings)
}

fn join(a: &Asked, b: &Asked) -> Asked {
    let mut gfci = a.gfci.clone();
    gfci.extend(b.gfci.iter().filter(|d| !a.gfci.contains(d)));
    Asked {
        hots: a.hots || b.hots,
        loads: a.loads || b.loads,
        neutral: a.neutral || b.neutral,
        sets: a.sets || b.sets,
        doubles: a.doubles.max(b.doubles),
        gfci,
    }
}

/// Conductors by edge and role.
fn counts(laid: &Laid) -> BTreeMap<(u32, Role), usize> {
    let mut counts = BTreeMap::new();
    for (piece, role) in laid.pieces.iter().zip(&laid.roles) {
        *counts.entry((piece.edge, *role)).or_default() += 1;
    }
    counts
}

/// The fullest reading at one place, and the least number that any has there.
struct Place<T> {
    reading: usize,
    items: Vec<T>,
    least: usize,
    /// How many readings have anything here.
    seen: usize,
}

impl Readings {
    /// Adds what all readings have as sure, and what the fullest has more as possible.
    pub fn merge(self, spread: &mut Spread) {
        let total = self.all.len();
        let mut pieces: BTreeMap<(u32, Role), Place<Piece>> = BTreeMap::new();
        let mut meetings: BTreeMap<(u32, Role), Place<Meeting>> = BTreeMap::new();
        let mut nets = Vec::with_capacity(total);
        for (reading, (own, laid)) in self.all.into_iter().enumerate() {
            nets.push(own);
            let mut here: BTreeMap<(u32, Role), Vec<Piece>> = BTreeMap::new();
            for (piece, role) in laid.pieces.into_iter().zip(laid.roles) {
                here.entry((piece.edge, role)).or_default().push(piece);
            }
            for (key, found) in here {
                keep_pieces(&mut pieces, reading, key, found);
            }
            let mut here: BTreeMap<(u32, Role), Vec<Meeting>> = BTreeMap::new();
            for (meeting, role) in laid.meetings.into_iter().zip(laid.meeting_roles) {
                here.entry((meeting.node, role)).or_default().push(meeting);
            }
            for (key, found) in here {
                let least = found.iter().map(|m| m.sure).sum();
                let is_loose = self.is_loose;
                let size = |m: &Meeting| if is_loose { m.edges.len() } else { m.wires() };
                keep(&mut meetings, reading, key, found, least, |all| all.iter().map(size).sum());
            }
        }
        let mut numbers = Numbers { of: nets.iter().map(|n| vec![None; n.len()]).collect() };
        for place in pieces.into_values() {
            let sure = if place.seen == total { place.least } else { 0 };
            for (i, mut piece) in place.items.into_iter().enumerate() {
                piece.is_sure = i < sure;
                piece.net = numbers.net(spread, &nets, place.reading, piece.net);
                spread.pieces.push(piece);
            }
        }
        for place in meetings.into_values() {
            // With mixtures untried, wires may pass where both extremes cut them, and the other way round.
            let sure = if place.seen == total { place.least } else { 0 };
            let mut left = if self.is_loose { sure.div_ceil(2) } else { sure };
            for mut meeting in place.items {
                if self.is_loose && meeting.how == super::JointKind::Unbroken {
                    meeting.how = super::JointKind::Unsaid;
                }
                meeting.sure = left.min(meeting.wires());
                left -= meeting.sure;
                meeting.net = numbers.net(spread, &nets, place.reading, meeting.net);
                spread.meetings.push(meeting);
            }
        }
    }
}

/// Numbers in the spread of the nets that are used of each reading.
struct Numbers {
    of: Vec<Vec<Option<u32>>>,
}

impl Numbers {
    fn net(&mut self, spread: &mut Spread, nets: &[Vec<Net>], reading: usize, net: u32) -> u32 {
        let Some(slot) = self.of.get_mut(reading).and_then(|r| r.get_mut(net as usize)) else { return net };
        if let Some(number) = *slot {
            return number;
        }
        let number = spread.nets.len() as u32;
        *slot = Some(number);
        spread.nets.extend(nets.get(reading).and_then(|n| n.get(net as usize)).cloned());
        number
    }
}

fn keep_pieces(
    places: &mut BTreeMap<(u32, Role), Place<Piece>>,
    reading: usize,
    key: (u32, Role),
    mut found: Vec<Piece>,
) {
    // A neutral is balanced for sure only where it is so in every reading.
    if let Some(place) = places.get_mut(&key) {
        let first = place.items.first().and_then(|p| p.is_balanced);
        let is_alike = |p: &Piece| p.is_balanced == first;
        if !place.items.iter().all(is_alike) || !found.iter().all(is_alike) {
            place.items.iter_mut().chain(&mut found).for_each(|p| p.is_balanced = None);
        }
    }
    let least = found.len();
    keep(places, reading, key, found, least, <[Piece]>::len);
}

fn keep<T>(
    places: &mut BTreeMap<(u32, Role), Place<T>>,
    reading: usize,
    key: (u32, Role),
    found: Vec<T>,
    least: usize,
    size: impl Fn(&[T]) -> usize,
) {
    match places.get_mut(&key) {
        None => {
            places.insert(key, Place { reading, items: found, least, seen: 1 });
        }
        Some(place) => {
            place.seen += 1;
            place.least = place.least.min(least);
            // Later readings have more behind GFCI devices: of two as full, the later one.
            if size(&found) >= size(&place.items) {
                (place.reading, place.items) = (reading, found);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::read as read_all;
    use super::*;
    use crate::shop::ItemRef;
    use crate::words::Kind;
    use std::cell::Cell;

    /// What is read where so many kinds of questions and so many devices are open, each device parting a conductor of its own.
    fn read_with(kinds: usize, devices: u32) -> Option<(usize, bool)> {
        let asked = Asked {
            hots: kinds > 0,
            loads: kinds > 1,
            neutral: kinds > 2,
            sets: kinds > 3,
            doubles: usize::from(kinds > 4),
            gfci: (0..devices).map(|index| ItemRef { kind: Kind::Receptacle, index }).collect(),
        };
        let nets = |asked: &Asked| Nets { nets: Vec::new(), asked: asked.clone() };
        let read = Cell::new(0);
        let laid = |gfci: u64| {
            let pieces = (0..devices.min(63)).filter(|device| gfci & (1 << device) != 0);
            let pieces: Vec<Piece> =
                pieces.map(|edge| Piece { edge, net: 0, is_sure: false, is_balanced: None }).collect();
            Laid { roles: vec![Role::Hot; pieces.len()], pieces, meetings: Vec::new(), meeting_roles: Vec::new() }
        };
        let of = |reading: Reading| {
            read.set(reading.gfci);
            nets(&asked)
        };
        let readings = read_all(&nets(&asked), of, |_: &Nets| laid(read.get()))?;
        Some((readings.all.len(), readings.is_loose))
    }

    /// Five devices are tried in all 32 mixtures, six only all or none; and of five each mixture only until there are 256
    /// layouts. What was not tried widens the bounds. With too many devices nothing is said of the conductors.
    #[test]
    fn so_many_mixtures_are_read() {
        assert_eq!(read_with(0, MOST_MIXED as u32), Some((32, false)));
        assert_eq!(read_with(0, MOST_MIXED as u32 + 1), Some((2, true)));
        assert_eq!(read_with(3, MOST_MIXED as u32), Some((MOST_READINGS, false)));
        assert_eq!(read_with(4, MOST_MIXED as u32), Some((MOST_READINGS + 8 * 2, true)));
        assert_eq!(read_with(0, 63), Some((2, true)));
        assert_eq!(read_with(0, 64), None);
    }
}

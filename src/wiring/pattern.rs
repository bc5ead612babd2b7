//! What the pattern of a receptacle says by its name.
//!
//! The patterns are a published shape standard: the number before the dash tells how it is wired,
//! the number behind it the amperes, an `L` that it locks (from memory, as everybody in the trade
//! knows them; no figure of a code).

use crate::words::{Vocabulary, choice};

/// One pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pattern {
    /// Rated volts between the outermost contacts: 125 or 250.
    pub volts: i64,
    /// Rated amperes.
    pub amps: i64,
    /// Turns to lock.
    pub is_locking: bool,
    /// Has a contact for the equipment ground.
    pub has_ground_contact: bool,
    /// Has two hot contacts.
    pub has_two_hots: bool,
    /// Has a neutral contact.
    pub has_neutral: bool,
    /// Made with one place to plug in only.
    pub is_single: bool,
}

/// The pattern of each value of the choice `configuration`, in its order; a pack's own patterns
/// whose names say nothing are left out at the end.
pub(super) fn patterns(vocabulary: &Vocabulary) -> Vec<Pattern> {
    let values = vocabulary.choice(choice::CONFIGURATION).map(|c| c.values.as_slice()).unwrap_or(&[]);
    values.iter().map_while(|v| read(v)).collect()
}

fn read(text: &str) -> Option<Pattern> {
    let (series, rating) = text.strip_suffix('R')?.split_once('-')?;
    let amps: i64 = rating.parse().ok()?;
    let is_locking = series.len() > 1 && series.starts_with('L');
    let (volts, has_two_hots, has_neutral, has_ground_contact) = match series.strip_prefix('L').unwrap_or(series) {
        "5" | "TT" => (125, false, true, true),
        "6" => (250, true, false, true),
        "10" => (250, true, true, false),
        "14" => (250, true, true, true),
        _ => return None,
    };
    Some(Pattern { volts, amps, is_locking, has_ground_contact, has_two_hots, has_neutral, is_single: amps > 20 })
}

/// What all possible patterns have in common; none where they differ, or one of them is not ours.
pub(super) fn all<T: PartialEq>(patterns: &[Pattern], bits: u64, ask: impl Fn(&Pattern) -> Option<T>) -> Option<T> {
    if bits == u64::MAX {
        return None;
    }
    let mut common = None;
    let mut rest = bits;
    while rest != 0 {
        let place = rest.trailing_zeros() as usize;
        rest &= rest.saturating_sub(1);
        let value = ask(patterns.get(place)?)?;
        if common.as_ref().is_some_and(|c| *c != value) {
            return None;
        }
        common = Some(value);
    }
    common
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every pattern of the core list is understood. Values from memory.
    #[test]
    fn every_pattern_is_read() {
        let vocabulary = Vocabulary::core();
        let all = patterns(&vocabulary);
        let count = vocabulary.choice(choice::CONFIGURATION).map(|c| c.values.len());
        assert_eq!(Some(all.len()), count);
        let of = |text| read(text).expect("a pattern");
        assert_eq!((of("5-20R").volts, of("5-20R").amps, of("5-20R").has_two_hots), (125, 20, false));
        assert_eq!((of("6-50R").volts, of("6-50R").has_neutral, of("6-50R").is_single), (250, false, true));
        assert!(of("14-50R").has_neutral && of("L14-30R").is_locking && !of("10-30R").has_ground_contact);
    }
}

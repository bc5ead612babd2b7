//! Sets and maps by short keys that the program itself makes: items, names, rules.
//!
//! Nobody outside can choose such keys so that they collide, so they need no keyed hash, which took a
//! twelfth of the time of a large plan.

use std::collections::{HashMap, HashSet};
use std::hash::{BuildHasherDefault, Hasher};

/// A set of short keys.
pub(crate) type ShortSet<T> = HashSet<T, BuildHasherDefault<Short>>;
/// A map by short keys.
pub(crate) type ShortMap<K, V> = HashMap<K, V, BuildHasherDefault<Short>>;

/// Multiplies by an odd number near 2^64 over the golden ratio (Knuth, The Art of Computer Programming, 6.4).
#[derive(Clone, Copy, Default)]
pub(crate) struct Short(u64);

impl Short {
    fn add(&mut self, part: u64) {
        self.0 = (self.0.rotate_left(5) ^ part).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
}

impl Hasher for Short {
    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|byte| self.add(u64::from(*byte)));
    }

    fn write_u8(&mut self, part: u8) {
        self.add(u64::from(part));
    }

    fn write_u16(&mut self, part: u16) {
        self.add(u64::from(part));
    }

    fn write_u32(&mut self, part: u32) {
        self.add(u64::from(part));
    }

    fn write_u64(&mut self, part: u64) {
        self.add(part);
    }

    fn write_usize(&mut self, part: usize) {
        self.add(part as u64);
    }

    fn write_isize(&mut self, part: isize) {
        self.add(part as u64);
    }

    fn finish(&self) -> u64 {
        // Tables look at the lowest bits, and a product's highest are the ones that all of its key is in.
        self.0 ^ (self.0 >> 32)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::ItemRef;
    use crate::words::Kind;
    use std::hash::{BuildHasher, Hash};

    /// Items of all kinds spread over a table's places as chance would have them: of 4,096 keys in as many
    /// places chance leaves 37 percent empty.
    #[test]
    fn items_spread() {
        let keys = Kind::ALL.iter().flat_map(|kind| (0..256).map(|index| ItemRef { kind: *kind, index })).take(4_096);
        let build = BuildHasherDefault::<Short>::default();
        let places: HashSet<u64> = keys.map(|key| build.hash_one(key) & 4_095).collect();
        assert!(places.len() > 2_400, "only {} of 4,096 places are used", places.len());
        let one = |part: &str| {
            let mut hasher = Short::default();
            part.hash(&mut hasher);
            hasher.finish()
        };
        assert_ne!(one("ab"), one("ba"));
    }
}

//! Rows of the near misses, found by a word.

use crate::hash::Short;
use std::hash::Hasher;

/// A row that has a word as its first fixed one, and where in it.
#[derive(Clone, Copy)]
pub(super) struct Anchored {
    hash: u64,
    pub index: u16,
    pub anchor: u16,
}

impl Anchored {
    pub fn new(word: &str, index: u16, anchor: u16) -> Anchored {
        Anchored { hash: folded(word), index, anchor }
    }
}

/// Rows by their first fixed words. Every word of a plan is looked up here once or twice, so this is a plain
/// list in the order of hashes and where in it each leading part of a hash begins.
pub(super) struct ByWord {
    all: Vec<Anchored>,
    begins: Vec<u16>,
}

impl ByWord {
    /// Leading parts have so many bits: about twice as many parts as there are words.
    const BITS: u32 = 11;

    pub fn new(mut all: Vec<Anchored>) -> ByWord {
        all.sort_by_key(|word| word.hash);
        let mut begins = vec![0_u16; (1 << ByWord::BITS) + 1];
        for word in &all {
            if let Some(count) = begins.get_mut(ByWord::leading(word.hash) + 1) {
                *count += 1;
            }
        }
        let mut sum = 0;
        for begin in &mut begins {
            sum += *begin;
            *begin = sum;
        }
        ByWord { all, begins }
    }

    fn leading(hash: u64) -> usize {
        (hash >> (u64::BITS - ByWord::BITS)) as usize
    }

    pub fn of(&self, token: &str) -> impl Iterator<Item = Anchored> {
        let hash = folded(token);
        let at = ByWord::leading(hash);
        let begin = |at: usize| self.begins.get(at).map_or(0, |begin| usize::from(*begin));
        let range = begin(at)..begin(at + 1);
        self.all.get(range).unwrap_or(&[]).iter().copied().filter(move |word| word.hash == hash)
    }
}

/// The hash of a word, whatever its case.
fn folded(word: &str) -> u64 {
    let mut hasher = Short::default();
    match word.is_ascii() {
        true => word.bytes().for_each(|byte| hasher.write_u8(byte.to_ascii_lowercase())),
        false => hasher.write(word.to_lowercase().as_bytes()),
    }
    hasher.finish()
}

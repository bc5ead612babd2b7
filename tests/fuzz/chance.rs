//! Chance that can be had again: one number gives one input, on every machine.

/// Steele, Lea and Flood's SplitMix64 (2014): small, and good enough to pick lines with.
pub struct Chance(u64);

impl Chance {
    pub fn new(start: u64) -> Chance {
        Chance(start)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 to `count` - 1; 0 where there is none.
    pub fn below(&mut self, count: usize) -> usize {
        if count == 0 { 0 } else { (self.next() % count as u64) as usize }
    }

    pub fn one_in(&mut self, count: usize) -> bool {
        self.below(count) == 0
    }

    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }
}

//! Where the places of an older text stand in a newer one.

/// What two texts share at their beginning and end: between may lie one edit, or several with all that is between them.
#[derive(Clone, Copy, Debug)]
pub struct Shift {
    /// Bytes at the beginning that are the same.
    before: usize,
    /// Where the same end begins in the older text.
    old: usize,
    /// Where it begins in the newer text.
    new: usize,
}

impl Shift {
    /// Compares two texts.
    pub fn between(old: &str, new: &str) -> Shift {
        let pairs = old.bytes().zip(new.bytes());
        let before = pairs.take_while(|(a, b)| a == b).count();
        let rest = |text: &str| text.len() - before;
        let most = rest(old).min(rest(new));
        let pairs = old.bytes().rev().zip(new.bytes().rev());
        let behind = pairs.take(most).take_while(|(a, b)| a == b).count();
        Shift { before, old: old.len() - behind, new: new.len() - behind }
    }

    /// A byte of the older text in the newer one; none where it was edited away.
    pub fn to_new(&self, byte: usize) -> Option<usize> {
        match byte {
            b if b <= self.before => Some(b),
            b if b >= self.old => self.new.checked_add(b - self.old),
            _ => None,
        }
    }

    /// A byte of the newer text in the older one; none where it was written since.
    pub fn to_old(&self, byte: usize) -> Option<usize> {
        Shift { before: self.before, old: self.new, new: self.old }.to_new(byte)
    }

    /// A stretch of the older text in the newer one; none where any of it was edited.
    pub fn stretch_to_new(&self, start: u32, end: u32) -> Option<(usize, usize)> {
        let (start, end) = (start as usize, end as usize);
        let is_whole = end <= self.before || start >= self.old;
        if is_whole { Some((self.to_new(start)?, self.to_new(end)?)) } else { None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_before_and_behind_moves_along() {
        let shift = Shift::between("panel P1\nbox B1\n", "panel P1: main 60 A\nbox B1\n");
        assert_eq!(shift.to_new(3), Some(3));
        assert_eq!(shift.to_new(9), Some(20), "`box`");
        assert_eq!(shift.to_old(20), Some(9));
        assert_eq!(shift.to_old(12), None, "written since");
        assert_eq!(shift.stretch_to_new(0, 5), Some((0, 5)));
        assert_eq!(shift.stretch_to_new(9, 12), Some((20, 23)));
        assert_eq!(shift.stretch_to_new(6, 12), None, "across the edit");
    }

    #[test]
    fn repeats_are_not_counted_twice() {
        for (old, new) in [("aaa", "aa"), ("aa", "aaa"), ("", "x"), ("x", ""), ("abab", "ab"), ("same", "same")] {
            let shift = Shift::between(old, new);
            for byte in 0..=old.len() {
                if let Some(there) = shift.to_new(byte) {
                    assert_eq!(old.as_bytes().get(byte..byte), new.as_bytes().get(there..there), "{old} {new} {byte}");
                    assert!(shift.to_old(there).is_some(), "{old} {new} {byte}");
                }
            }
        }
    }
}

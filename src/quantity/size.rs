use super::Rational;

/// Wire sizes from thin to thick, as printed. AWG to 4/0, then kcmil.
pub const WIRE_SIZES: [&str; 32] = [
    "18 AWG",
    "16 AWG",
    "14 AWG",
    "12 AWG",
    "10 AWG",
    "8 AWG",
    "6 AWG",
    "4 AWG",
    "3 AWG",
    "2 AWG",
    "1 AWG",
    "1/0 AWG",
    "2/0 AWG",
    "3/0 AWG",
    "4/0 AWG",
    "250 kcmil",
    "300 kcmil",
    "350 kcmil",
    "400 kcmil",
    "500 kcmil",
    "600 kcmil",
    "700 kcmil",
    "750 kcmil",
    "800 kcmil",
    "900 kcmil",
    "1000 kcmil",
    "1100 kcmil",
    "1250 kcmil",
    "1500 kcmil",
    "1600 kcmil",
    "1750 kcmil",
    "2000 kcmil",
];

/// The place in [`WIRE_SIZES`] of a bare size (`12`, `4/0`, `250`) or a full one (`12 AWG`).
pub fn wire_size(text: &str) -> Option<i64> {
    let text = text.trim();
    WIRE_SIZES.iter().position(|s| *s == text || s.split(' ').next() == Some(text)).map(|i| i as i64)
}

/// The printed size at a place in [`WIRE_SIZES`].
pub fn wire_size_text(rank: i64) -> &'static str {
    usize::try_from(rank).ok().and_then(|i| WIRE_SIZES.get(i)).copied().unwrap_or("a size beyond the list")
}

/// A trade size as printed: `3/4`, `1-1/4`, `2`.
pub fn trade_size_text(value: Rational) -> String {
    value.fraction()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Order by copper: each size carries more metal than the one before.
    #[test]
    fn sizes_are_found_by_both_spellings() {
        assert_eq!(wire_size("12"), wire_size("12 AWG"));
        assert!(wire_size("4/0") < wire_size("250 kcmil"));
        assert!(wire_size("14") < wire_size("12"));
        assert_eq!(wire_size("13"), None);
        assert_eq!(wire_size_text(3), "12 AWG");
    }
}

//! How wide text comes out, so that nothing is drawn where it does not fit.
//!
//! Advance widths of the letters from space to `~` in thousandths of the font size, read from Liberation Sans (SIL Open
//! Font License), whose letters are as wide as those of the other faces that the drawings name. Everything else counts
//! as a full square, which no letter of these faces exceeds.

use crate::report::printable;

const REGULAR: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
    556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833,
    722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556,
    556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334,
    260, 334, 584,
];

const BOLD: [u16; 95] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556, 556,
    556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833,
    722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611,
    556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389,
    280, 389, 584,
];

/// Other faces are a little wider; so much is allowed for.
const SPARE: f64 = 1.06;

/// Width in the units of the drawing.
pub fn width(text: &str, size: f64, is_bold: bool) -> f64 {
    let table = if is_bold { &BOLD } else { &REGULAR };
    let one = |c: char| {
        let index = (c as usize).checked_sub(32);
        index.and_then(|i| table.get(i)).map_or(1000.0, |w| f64::from(*w))
    };
    text.chars().map(one).sum::<f64>() / 1000.0 * size * SPARE
}

/// The text, cut and ended by three dots where it is too wide.
pub fn fit(text: &str, most: f64, size: f64, is_bold: bool) -> String {
    let text = printable(text).replace(['\n', '\t'], " ");
    if width(&text, size, is_bold) <= most {
        return text;
    }
    let mut room = most - width("...", size, is_bold);
    let mut kept = String::new();
    for c in text.chars() {
        room -= width(c.encode_utf8(&mut [0; 4]), size, is_bold);
        if room < 0.0 {
            break;
        }
        kept.push(c);
    }
    format!("{}...", kept.trim_end())
}

/// The text in at most so many lines, parted at blanks; what is left over ends in three dots.
pub fn wrap(text: &str, most: f64, size: f64, is_bold: bool, lines: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let longer = if line.is_empty() { word.to_string() } else { format!("{line} {word}") };
        if line.is_empty() || width(&longer, size, is_bold) <= most {
            line = longer;
            continue;
        }
        if out.len() + 1 == lines {
            let rest: Vec<&str> = words.by_ref().collect();
            line = format!("{longer} {}", rest.join(" "));
            break;
        }
        out.push(fit(&line, most, size, is_bold));
        line = word.to_string();
    }
    if !line.is_empty() {
        out.push(fit(&line, most, size, is_bold));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{fit, width, wrap};

    /// Ten digits of 556 thousandths at 11 units, and what is allowed for other faces.
    #[test]
    fn digits_are_as_wide_as_the_face_says() {
        assert!((width("0123456789", 11.0, false) - 10.0 * 0.556 * 11.0 * 1.06).abs() < 1e-9);
        assert!(width("wire", 11.0, true) > width("wire", 11.0, false));
    }

    #[test]
    fn what_is_cut_or_parted_fits() {
        let long = "a name that goes on and on, with\u{202e} a turn and 漢字 and a\tstop";
        for most in [20.0, 45.0, 90.0, 200.0] {
            let cut = fit(long, most, 11.0, false);
            assert!(width(&cut, 11.0, false) <= most && cut.ends_with("..."), "{cut}");
            let lines = wrap(long, most, 11.0, false, 3);
            assert!(lines.len() <= 3 && lines.iter().all(|l| width(l, 11.0, false) <= most), "{lines:?}");
        }
        assert_eq!(fit("B1", 50.0, 11.0, false), "B1");
        assert_eq!(wrap("4 in square, 2-1/8 in deep", 90.0, 11.0, false, 2), ["4 in square,", "2-1/8 in deep"]);
    }
}

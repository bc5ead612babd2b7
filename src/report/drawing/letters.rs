//! How wide text is, and how it is made to fit.

use crate::report::printable;

/// How text looks. Nothing in a drawing is smaller than [`Look::Plain`]: 8 points in print.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// The head of a drawing.
    Head,
    /// Names of items.
    Name,
    /// The same, where there is little room.
    Strong,
    /// All else.
    Plain,
    /// What is guessed, and what is said to the reader.
    Slanted,
}

impl Look {
    /// Every look.
    pub const ALL: [Look; 5] = [Look::Head, Look::Name, Look::Strong, Look::Plain, Look::Slanted];

    /// The class that the style sheet knows.
    pub const fn class(self) -> &'static str {
        match self {
            Look::Head => "head",
            Look::Name => "name",
            Look::Strong => "strong",
            Look::Plain => "plain",
            Look::Slanted => "slanted",
        }
    }

    /// Size in units of 1/96 inch.
    pub const fn size(self) -> f64 {
        match self {
            Look::Head => 15.0,
            Look::Name => 13.3,
            Look::Strong | Look::Plain | Look::Slanted => 11.0,
        }
    }

    const fn is_bold(self) -> bool {
        matches!(self, Look::Head | Look::Name | Look::Strong)
    }
}

/// Fonts differ a little; what is measured is taken for this much wider.
const SPARE: f64 = 1.06;

/// How wide a text is at most, in units of 1/96 inch. Letters outside ASCII count as wide as they are
/// high; where that is too little, the drawing makes the browser keep to it.
pub fn width(text: &str, look: Look) -> f64 {
    let table = if look.is_bold() { &BOLD } else { &REGULAR };
    let of = |c: char| {
        let place = (c as usize).checked_sub(32).and_then(|i| table.get(i));
        place.map_or(1000.0, |thousandths| f64::from(*thousandths))
    };
    text.chars().map(of).sum::<f64>() * look.size() / 1000.0 * SPARE
}

/// Text of a stranger as a drawing shows it: one line, no letter that can't be seen or that turns the
/// direction of writing, no heap of accents that climbs out of its line.
pub fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut was_accent = false;
    for c in printable(text).chars() {
        let is_accent = matches!(c, '\u{300}'..='\u{36F}' | '\u{483}'..='\u{489}' | '\u{1AB0}'..='\u{1AFF}'
            | '\u{1DC0}'..='\u{1DFF}' | '\u{20D0}'..='\u{20FF}' | '\u{FE00}'..='\u{FE0F}' | '\u{FE20}'..='\u{FE2F}');
        match c {
            _ if is_accent && was_accent => {}
            '\t' | '\n' | '\u{2028}' | '\u{2029}' => out.push(' '),
            '\u{AD}'
            | '\u{34F}'
            | '\u{61C}'
            | '\u{180E}'
            | '\u{200B}'..='\u{200D}'
            | '\u{2060}'..='\u{2064}'
            | '\u{FEFF}'
            | '\u{FFF9}'..='\u{FFFB}'
            | '\u{FFFE}'
            | '\u{FFFF}'
            | '\u{E0000}'..='\u{E007F}' => out.push('\u{FFFD}'),
            c => out.push(c),
        }
        was_accent = is_accent;
    }
    out
}

/// The text, cut with an ellipsis where it is wider than `room`.
pub fn fit(text: &str, look: Look, room: f64) -> String {
    let text = clean(text);
    if width(&text, look) <= room {
        return text;
    }
    let mut kept = String::new();
    let mut used = width("…", look);
    for c in text.chars() {
        used += width(c.encode_utf8(&mut [0; 4]), look);
        if used > room {
            break;
        }
        kept.push(c);
    }
    format!("{}…", kept.trim_end())
}

/// The text in at most `most` lines, broken at spaces; what finds no room ends in an ellipsis.
pub fn wrap(text: &str, look: Look, room: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in clean(text).split_whitespace() {
        match lines.last_mut() {
            Some(last) if width(last, look) + width(" ", look) + width(word, look) <= room => {
                last.push(' ');
                last.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    if lines.len() > most {
        let rest = lines.split_off(most.saturating_sub(1)).join(" ");
        lines.push(rest);
    }
    lines.iter().map(|line| fit(line, look, room)).collect()
}

/// Advance widths of ' ' to '~' in thousandths of the size, as common sans serif fonts have them.
#[rustfmt::skip]
const REGULAR: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

/// The same, bold.
#[rustfmt::skip]
const BOLD: [u16; 95] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611,
    975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556,
    333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611,
    611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584,
];

//! Numbers and units that owners write as one, and wire sizes in square millimeters.

use super::grammar::is_number;
use super::near_misses::GLUED_UNITS;
use super::syntax::{Token, TokenKind};
use crate::text::Span;

/// `20A` as `20 A`, `24x30` as `24 x 30`, `2 1/8 in deep` as `2-1/8 in deep`.
pub(super) fn part_glued(tokens: Vec<Token>) -> Vec<Token> {
    let may_be_glued = |t: &Token| t.kind == TokenKind::Word && t.text.starts_with(is_of_number);
    let may_be_mixed = |t: &Token| t.kind == TokenKind::Number && t.text.contains('/');
    if !tokens.iter().any(|t| may_be_glued(t) || may_be_mixed(t)) {
        return tokens;
    }
    let mut parted: Vec<Token> = Vec::with_capacity(tokens.len());
    for token in tokens {
        match token.kind {
            TokenKind::Word => part_word(token, &mut parted),
            _ => parted.push(token),
        }
    }
    while let Some(at) = (0..parted.len()).find(|i| is_mixed(parted.get(*i..).unwrap_or(&[]))) {
        let fraction = parted.remove(at + 1);
        if let Some(whole) = parted.get_mut(at) {
            whole.text = format!("{}-{}", whole.text, fraction.text);
            whole.span = whole.span.to(fraction.span);
        }
    }
    parted
}

/// Whether these begin with a whole number and a fraction that are one amount. `2 1/2 in EMT` may
/// be two pipes of 1/2 in, and `2 5/8 in x 8 ft` two rods: those are left, to be asked about.
fn is_mixed(tokens: &[Token]) -> bool {
    let [whole, fraction, unit, rest @ ..] = tokens else { return false };
    let is_pair = whole.kind == TokenKind::Number
        && is_digits(&whole.text)
        && fraction.kind == TokenKind::Number
        && fraction.text.contains('/')
        && !fraction.text.contains('-');
    let behind = rest.first().map_or("", |t| t.text.as_str());
    is_pair
        && match unit.text.to_lowercase().as_str() {
            "ft" | "feet" | "foot" | "hp" | "horse" | "horsepower" => true,
            "in" | "inch" | "inches" => MEASURED.contains(&behind),
            _ => false,
        }
}

/// What is measured behind inches, and never counted.
const MEASURED: &[&str] = &["deep", "wide", "high", "up", "long", "apart", "square", "octagon", "from", "below"];

fn part_word(token: Token, to: &mut Vec<Token>) {
    let Some((number, unit)) = glued(&token.text) else { return to.push(token) };
    let middle = token.span.start + number.len() as u32;
    let piece = |kind, text: &str, start, end| Token {
        kind,
        text: text.to_string(),
        span: Span { file: token.span.file, start, end },
    };
    // As the grammar would read it by itself: `1/0` of `1/0AWG` is a size, and a word.
    let first = if is_number(number) { TokenKind::Number } else { TokenKind::Word };
    let is_by = unit.strip_prefix(['x', '×']).filter(|rest| first == TokenKind::Number && is_number(rest));
    if let Some(rest) = is_by {
        let after = token.span.end - rest.len() as u32;
        to.push(piece(first, number, token.span.start, middle));
        to.push(piece(TokenKind::Word, "x", middle, after));
        to.push(piece(TokenKind::Number, rest, after, token.span.end));
    } else if unit != "X" && GLUED_UNITS.contains(&unit.to_lowercase().as_str()) {
        to.push(piece(first, number, token.span.start, middle));
        to.push(piece(TokenKind::Word, unit, middle, token.span.end));
    } else {
        to.push(token);
    }
}

/// What a number that is glued to its unit may be made of.
fn is_of_number(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '.' | '/' | '-')
}

/// A number and the letters behind it.
fn glued(text: &str) -> Option<(&str, &str)> {
    let split = text.find(|c| !is_of_number(c))?;
    let (number, unit) = text.split_at(split);
    (number.contains('/') && is_size(number) || crate::quantity::number(number).is_some()).then_some((number, unit))
}

/// Whether it is digits and nothing else.
pub(super) fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// Whether it is a wire's size: `12`, `4/0`.
pub(super) fn is_size(text: &str) -> bool {
    is_digits(text.strip_suffix("/0").unwrap_or(text))
}

/// The gauges next to a cross-section in mm2. By definition (ASTM B258, common knowledge of the
/// trade) gauge n has a diameter of 0.127 mm x 92 to the power of (36 - n) / 39.
pub(super) fn gauges(text: &str) -> String {
    let area = |gauge: i32| {
        let diameter = 0.127 * 92f64.powf(f64::from(36 - gauge) / 39.0);
        std::f64::consts::FRAC_PI_4 * diameter * diameter
    };
    let name = |gauge: i32| match gauge {
        1.. => format!("{gauge} AWG"),
        _ => format!("{}/0 AWG", 1 - gauge),
    };
    let sizes = [18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3].map(|g| (area(g), name(g)));
    let wanted = text.parse::<f64>().unwrap_or(0.0);
    let above = sizes.iter().position(|(area, _)| *area >= wanted);
    let said = |(area, name): &(f64, String)| format!("`{name}` ({area:.1} mm2)");
    match above.map(|i| (i.checked_sub(1).and_then(|i| sizes.get(i)), sizes.get(i))) {
        Some((Some(below), Some(above))) => format!("the nearest are {} and {}", said(below), said(above)),
        Some((None, Some(above))) => format!("the nearest is {}", said(above)),
        _ => "the nearest is a size in kcmil: 250 kcmil is 127 mm2".to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::gauges;

    /// Gauge areas as printed in wire tables everywhere: 12 AWG 3.31 mm2, 4/0 AWG 107.2 mm2 (common knowledge).
    #[test]
    fn metric_sizes_find_their_neighbors() {
        assert_eq!(gauges("3.3"), "the nearest are `14 AWG` (2.1 mm2) and `12 AWG` (3.3 mm2)");
        assert_eq!(gauges("0.5"), "the nearest is `18 AWG` (0.8 mm2)");
        assert_eq!(gauges("95"), "the nearest are `3/0 AWG` (85.0 mm2) and `4/0 AWG` (107.2 mm2)");
        assert!(gauges("120").contains("kcmil"));
    }
}

//! The word around a byte, in a plan or a rule file.

/// Where the word around a byte begins and ends; none where neither side is one. A name, a trade size,
/// a word with hyphens and a unit are words.
pub fn around(text: &str, byte: usize) -> Option<(usize, usize)> {
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '/' | '%' | '+');
    let before = text.get(..byte)?;
    let start = before.char_indices().rev().take_while(|(_, c)| is_word(*c)).last().map_or(byte, |(i, _)| i);
    let behind = text.get(byte..)?;
    let end = byte + behind.find(|c| !is_word(c)).unwrap_or(behind.len());
    (start < end).then_some((start, end))
}

/// Whether a byte of a line stands in a comment, and whether in quotes.
pub fn aside(before: &str) -> (bool, bool) {
    let (mut is_quoted, mut last) = (false, ' ');
    for c in before.chars() {
        match c {
            '"' | '“' | '”' => is_quoted = !is_quoted,
            '#' if !is_quoted && last.is_whitespace() => return (true, false),
            _ => {}
        }
        last = c;
    }
    (false, is_quoted)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_plan() {
        let line = "feeds R1 then north-lights, half of R2  # R3";
        let at = |word: &str| around(line, line.find(word).unwrap()).map(|(a, b)| &line[a..b]);
        assert_eq!(at("R1"), Some("R1"));
        assert_eq!(at("-lights"), Some("north-lights"));
        assert_eq!(around(line, 8).map(|(a, b)| &line[a..b]), Some("R1"), "behind its last letter");
        assert_eq!(around(line, line.len() - 4), None);
        assert_eq!(aside(line.split("R3").next().unwrap()), (true, false));
        assert_eq!(aside("panel P1 \"a # "), (false, true));
    }
}

use std::borrow::Cow;

/// Text of a stranger, fit for a terminal: control characters and marks that turn the direction
/// of writing are replaced by marks of the same length in bytes and the same count of
/// characters, so that every offset and column into it stays right.
pub fn printable(text: &str) -> Cow<'_, str> {
    if text.chars().any(|c| stand_in(c).is_some()) {
        Cow::Owned(text.chars().map(|c| stand_in(c).unwrap_or(c)).collect())
    } else {
        Cow::Borrowed(text)
    }
}

fn stand_in(c: char) -> Option<char> {
    match c {
        '\t' | '\n' => None,
        '\0'..='\x1F' | '\x7F' => Some('?'),
        '\u{80}'..='\u{9F}' => Some('\u{B7}'),
        '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => Some('\u{FFFD}'),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::printable;

    /// An escape sequence in a label would otherwise run in the reader's terminal.
    #[test]
    fn takes_controls_out_and_keeps_lengths() {
        let hostile = "a\x1b[2J\u{9b}1m\u{202e}z\té";
        let shown = printable(hostile);
        assert_eq!(shown, "a?[2J\u{B7}1m\u{FFFD}z\té");
        assert_eq!(shown.len(), hostile.len());
        assert_eq!(shown.chars().count(), hostile.chars().count());
    }
}

//! Bytes of a text and the places that an editor gives for them.

use gen_lsp_types::{Position, PositionEncodingKind, Range};

/// What an editor counts within a line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Encoding {
    /// Bytes.
    Utf8,
    /// Units of UTF-16, which every editor knows: a character outside the first plane is two.
    #[default]
    Utf16,
    /// Characters.
    Utf32,
}

impl Encoding {
    /// The best of what an editor offers, by its own names; UTF-16 where it offers nothing known.
    pub fn best<'n>(offered: impl Iterator<Item = &'n str>) -> Encoding {
        let ours = |name: &str| match name {
            "utf-8" => Some(Encoding::Utf8),
            "utf-16" => Some(Encoding::Utf16),
            "utf-32" => Some(Encoding::Utf32),
            _ => None,
        };
        let rank = |e: &Encoding| match e {
            Encoding::Utf8 => 0,
            Encoding::Utf16 => 1,
            Encoding::Utf32 => 2,
        };
        offered.filter_map(ours).min_by_key(rank).unwrap_or_default()
    }

    /// Its name in the protocol.
    pub fn kind(self) -> PositionEncodingKind {
        match self {
            Encoding::Utf8 => PositionEncodingKind::UTF8,
            Encoding::Utf16 => PositionEncodingKind::UTF16,
            Encoding::Utf32 => PositionEncodingKind::UTF32,
        }
    }

    fn width(self, c: char) -> usize {
        match self {
            Encoding::Utf8 => c.len_utf8(),
            Encoding::Utf16 => c.len_utf16(),
            Encoding::Utf32 => 1,
        }
    }
}

/// A text with an index of its lines, as the protocol counts them: they end with LF, CRLF or a lone CR.
#[derive(Clone, Debug, Default)]
pub struct Text {
    text: String,
    starts: Vec<usize>,
}

impl Text {
    /// Indexes a text.
    pub fn new(text: String) -> Text {
        let bytes = text.as_bytes();
        let ends = |i: usize, b: u8| b == b'\n' || (b == b'\r' && bytes.get(i + 1) != Some(&b'\n'));
        let breaks = bytes.iter().enumerate().filter(|(i, b)| ends(*i, **b)).map(|(i, _)| i + 1);
        let starts = std::iter::once(0).chain(breaks).collect();
        Text { text, starts }
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// The line that a byte stands on, from 0.
    pub fn line_of(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte).saturating_sub(1)
    }

    /// First byte of a line, from 0; behind the last line the end.
    pub fn line_start(&self, line: usize) -> usize {
        self.starts.get(line).copied().unwrap_or(self.text.len())
    }

    /// A line, from 0, without its end.
    pub fn line(&self, line: usize) -> &str {
        let text = self.text.get(self.line_start(line)..self.line_start(line + 1)).unwrap_or("");
        text.trim_end_matches(['\n', '\r'])
    }

    /// The byte of a place. A place behind a line's end is that end; one inside a character its beginning.
    pub fn byte(&self, place: Position, encoding: Encoding) -> usize {
        let start = self.line_start(place.line as usize);
        let mut left = place.character as usize;
        let line = self.line(place.line as usize);
        for (i, c) in line.char_indices() {
            let width = encoding.width(c);
            if left < width {
                return start + i;
            }
            left -= width;
        }
        start + line.len()
    }

    /// The place of a byte. One inside a character counts as its beginning, one behind the end as the end.
    pub fn place(&self, byte: usize, encoding: Encoding) -> Position {
        let byte = byte.min(self.text.len());
        let line = self.line_of(byte);
        let start = self.line_start(line);
        let chars = self.text.get(start..).unwrap_or("").char_indices();
        let before = chars.take_while(|(i, c)| start + i + c.len_utf8() <= byte);
        let character: usize = before.map(|(_, c)| encoding.width(c)).sum();
        Position::new(line as u32, character as u32)
    }

    /// The range of two bytes.
    pub fn range(&self, start: usize, end: usize, encoding: Encoding) -> Range {
        Range::new(self.place(start, encoding), self.place(end.max(start), encoding))
    }

    /// Puts other text in place of a range; of the whole text where there is none.
    pub fn replace(&mut self, range: Option<Range>, new: &str, encoding: Encoding) {
        let mut text = std::mem::take(&mut self.text);
        match range {
            None => text = new.to_string(),
            Some(range) => {
                self.text = text;
                let (start, end) = (self.byte(range.start, encoding), self.byte(range.end, encoding));
                text = std::mem::take(&mut self.text);
                text.replace_range(start..end.max(start), new);
            }
        }
        *self = Text::new(text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AWKWARD: &str = "ab\r\n\t界𝔘e\u{301}x\rlast\n";

    /// Expected by hand: `界` has 3 bytes and 1 unit, `𝔘` 4 bytes and 2 units, the accent 2 bytes and 1 unit.
    #[test]
    fn places_by_each_count() {
        let text = Text::new(AWKWARD.into());
        let at_x = AWKWARD.find('x').unwrap();
        for (encoding, character) in [(Encoding::Utf8, 11), (Encoding::Utf16, 6), (Encoding::Utf32, 5)] {
            assert_eq!(text.place(at_x, encoding), Position::new(1, character), "{encoding:?}");
            assert_eq!(text.byte(Position::new(1, character), encoding), at_x);
            for (byte, _) in AWKWARD.char_indices().filter(|(_, c)| !matches!(c, '\n' | '\r')) {
                assert_eq!(text.byte(text.place(byte, encoding), encoding), byte, "{encoding:?} {byte}");
            }
        }
        assert_eq!(text.place(999, Encoding::Utf16), Position::new(3, 0));
        assert_eq!(text.line(1), "\t界𝔘e\u{301}x");
        assert_eq!(text.line(2), "last");
        assert_eq!(text.starts.len(), 4);
    }

    #[test]
    fn places_that_are_none() {
        let text = Text::new(AWKWARD.into());
        let inside = Position::new(1, 3);
        assert_eq!(text.byte(inside, Encoding::Utf16), AWKWARD.find('𝔘').unwrap(), "between two surrogates");
        assert_eq!(text.byte(Position::new(0, 99), Encoding::Utf16), 2, "before the line's end");
        assert_eq!(text.byte(Position::new(99, 0), Encoding::Utf16), AWKWARD.len());
        assert_eq!(text.byte(Position::new(u32::MAX, u32::MAX), Encoding::Utf8), AWKWARD.len());
    }

    #[test]
    fn edits() {
        let mut text = Text::new(AWKWARD.into());
        let range = Range::new(Position::new(1, 2), Position::new(1, 4));
        text.replace(Some(range), "🔧", Encoding::Utf16);
        assert_eq!(text.as_str(), "ab\r\n\t界🔧e\u{301}x\rlast\n");
        let backward = Range::new(Position::new(1, 4), Position::new(1, 2));
        text.replace(Some(backward), "", Encoding::Utf16);
        assert_eq!(text.as_str(), "ab\r\n\t界🔧e\u{301}x\rlast\n", "nothing stands between");
        text.replace(None, "new", Encoding::Utf16);
        assert_eq!(text.as_str(), "new");
        assert_eq!(text.starts.len(), 1);
    }

    #[test]
    fn the_best_count_that_is_offered() {
        assert_eq!(Encoding::best(["utf-16", "utf-8"].into_iter()), Encoding::Utf8);
        assert_eq!(Encoding::best(["utf-32"].into_iter()), Encoding::Utf32);
        assert_eq!(Encoding::best(["morse"].into_iter()), Encoding::Utf16);
        assert_eq!(Encoding::best([].into_iter()), Encoding::Utf16);
    }
}

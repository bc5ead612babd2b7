use super::{FileId, Span};
use serde::Serialize;
use std::borrow::Cow;
use std::sync::OnceLock;

/// The files of one run, each read once.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<Source>,
}

/// One file: its name as the user knows it, its text, and where its lines begin.
#[derive(Clone, Debug)]
pub struct Source {
    /// Path or `-`, as shown.
    pub name: String,
    /// The text; the built-in files are not copied.
    pub text: Cow<'static, str>,
    /// Where lines begin, worked out when first asked for: most files are never shown.
    lines: OnceLock<Vec<u32>>,
}

/// A place as people and machines read it: lines and columns from 1, columns in Unicode
/// characters, the end column one past the end.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Place {
    /// Name of the file.
    pub file: String,
    /// First line.
    pub line: u32,
    /// First column.
    pub column: u32,
    /// Last line.
    pub end_line: u32,
    /// One past the last column.
    pub end_column: u32,
}

impl Sources {
    /// Takes a file in and gives its number.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> FileId {
        self.push(Source::new(name.into(), Cow::Owned(text.into())))
    }

    /// Takes in a file that is part of the program, without copying its text.
    pub fn add_built_in(&mut self, name: impl Into<String>, text: &'static str) -> FileId {
        self.push(Source::new(name.into(), Cow::Borrowed(text)))
    }

    fn push(&mut self, source: Source) -> FileId {
        self.files.push(source);
        FileId(self.files.len() as u32 - 1)
    }

    /// The file, where the number is one of ours.
    pub fn get(&self, file: FileId) -> Option<&Source> {
        self.files.get(file.0 as usize)
    }

    /// The files, in the order of their numbers.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.files.iter()
    }

    /// How many files there are; the next one gets this number.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether nothing was read yet.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// The text of a span; empty where the span is not in our files.
    pub fn text(&self, span: Span) -> &str {
        self.get(span.file).and_then(|f| f.text.get(span.start as usize..span.end as usize)).unwrap_or("")
    }

    /// Lines and columns of a span.
    pub fn place(&self, span: Span) -> Place {
        let Some(file) = self.get(span.file) else {
            return Place { file: String::new(), line: 1, column: 1, end_line: 1, end_column: 1 };
        };
        let (line, column) = file.line_column(span.start);
        let (end_line, end_column) = file.line_column(span.end.max(span.start));
        Place { file: file.name.clone(), line, column, end_line, end_column }
    }
}

impl Source {
    fn new(name: String, text: Cow<'static, str>) -> Source {
        Source { name, text, lines: OnceLock::new() }
    }

    fn lines(&self) -> &[u32] {
        self.lines.get_or_init(|| {
            let breaks = self.text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i as u32 + 1);
            std::iter::once(0).chain(breaks).collect()
        })
    }

    /// Line and column of a byte, both from 1, the column in characters. A byte inside a
    /// character counts as its first.
    pub fn line_column(&self, byte: u32) -> (u32, u32) {
        let byte = (byte as usize).min(self.text.len()) as u32;
        let line = self.lines().partition_point(|start| *start <= byte).max(1) - 1;
        let start = self.lines().get(line).copied().unwrap_or(0) as usize;
        let before = self.text.as_bytes().get(start..byte as usize).unwrap_or(&[]);
        let column = before.iter().filter(|b| (**b & 0xC0) != 0x80).count();
        (line as u32 + 1, column as u32 + 1)
    }

    /// First byte of a line, from 1; past the last line the end of the text.
    pub fn line_start(&self, line: u32) -> u32 {
        self.lines().get(line.saturating_sub(1) as usize).copied().unwrap_or(self.text.len() as u32)
    }

    /// The line, from 1, without its line end.
    pub fn line(&self, line: u32) -> &str {
        let start = self.lines().get(line.saturating_sub(1) as usize).copied().unwrap_or(0) as usize;
        let end = self.lines().get(line as usize).map_or(self.text.len(), |e| *e as usize);
        self.text.get(start..end).unwrap_or("").trim_end_matches(['\n', '\r'])
    }

    /// Number of lines; an empty file has none, a line end at the end begins no further one.
    pub fn line_count(&self) -> u32 {
        let all = self.lines().len() as u32;
        if self.lines().last().is_some_and(|last| *last as usize == self.text.len()) { all - 1 } else { all }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Columns count characters, not bytes, and not screen cells.
    #[test]
    fn wide_characters_and_tabs() {
        let source = Source::new("x".into(), "ab\n\té界x\r\nlast".into());
        for (byte, wanted) in
            [(0, (1, 1)), (2, (1, 3)), (3, (2, 1)), (4, (2, 2)), (6, (2, 3)), (9, (2, 4)), (12, (3, 1)), (99, (3, 5))]
        {
            assert_eq!(source.line_column(byte), wanted, "byte {byte}");
        }
        assert_eq!(source.line(2), "\té界x");
        assert_eq!(source.line_count(), 3);
    }
}

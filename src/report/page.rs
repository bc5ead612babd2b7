#![expect(clippy::arithmetic_side_effects, reason = "columns of a line")]

use super::printable;
use textwrap::{Options, WordSplitter, WrapAlgorithm};

/// How text is laid out.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// Screen columns, at least [`Look::NARROWEST`].
    pub width: usize,
    /// Whether color may be used; nothing is said by color alone.
    pub color: bool,
}

impl Look {
    /// Narrower than this nothing is laid out; lines run over instead.
    pub const NARROWEST: usize = 36;
    /// The width where nothing is known of a screen, and the widest used: longer lines read badly.
    pub const USUAL: usize = 100;

    /// This width, within reason.
    pub fn new(width: usize, color: bool) -> Look {
        Look { width: width.clamp(Look::NARROWEST, Look::USUAL), color }
    }
}

/// What a stretch of text is for; the one place where colors are chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// As it stands.
    Plain,
    /// Headings.
    Strong,
    /// Attention.
    Alarm,
    /// Unknown.
    Doubt,
    /// Labels and places.
    Faint,
}

impl Ink {
    fn code(self) -> &'static str {
        match self {
            Ink::Plain => "",
            Ink::Strong => "\x1b[1m",
            Ink::Alarm => "\x1b[1;31m",
            Ink::Doubt => "\x1b[1;33m",
            Ink::Faint => "\x1b[2m",
        }
    }
}

/// A page of text that is being written.
pub struct Page {
    look: Look,
    out: String,
}

impl Page {
    /// Column in which the text beside labels begins.
    const TEXT: usize = 15;

    /// An empty page.
    pub fn new(look: Look) -> Page {
        Page { look, out: String::new() }
    }

    /// What was written.
    pub fn finish(self) -> String {
        self.out
    }

    /// How it is laid out.
    pub fn look(&self) -> Look {
        self.look
    }

    /// Its width in columns.
    pub fn width(&self) -> usize {
        self.look.width
    }

    /// Whether it is as narrow as a phone: labels then stand on lines of their own.
    pub fn is_narrow(&self) -> bool {
        self.look.width < 64
    }

    /// An empty line, never two.
    pub fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// One or more lines at the left edge.
    pub fn text(&mut self, text: &str) {
        self.block(Ink::Plain, "", 0, text);
    }

    /// One line, laid out by the caller.
    pub fn as_it_stands(&mut self, line: &str) {
        self.raw(line);
    }

    /// Lines indented by `indent`.
    pub fn indented(&mut self, indent: usize, text: &str) {
        self.block(Ink::Plain, "", indent, text);
    }

    /// A heading, with a remark at the right edge where there is room, else below.
    pub fn heading(&mut self, ink: Ink, left: &str, right: &str) {
        self.gap();
        let room = self.look.width.saturating_sub(columns(left) + columns(right));
        if right.is_empty() || room < 2 {
            self.block(ink, left, 0, "");
            if !right.is_empty() {
                self.text(right);
            }
            return;
        }
        let left = self.inked(ink, left);
        self.raw(&format!("{left}{}{}", " ".repeat(room), printable(right)));
    }

    /// A label and its text beside it: `code        Under the drive …`.
    pub fn field(&mut self, label: &str, text: &str) {
        self.labeled(Ink::Faint, "   ", label, text);
    }

    /// A line of the plan beside its number.
    pub fn quote(&mut self, label: &str, text: &str) {
        self.labeled(Ink::Faint, "   ", label, text);
    }

    /// The first line of an entry: its number or letter, a word or two, its sentence.
    pub fn entry(&mut self, ink: Ink, mark: &str, word: &str, text: &str) {
        let head = format!("{mark:<2} {word}");
        if self.is_narrow() {
            self.block(ink, &head, 0, "");
            self.block(Ink::Plain, "", 3, text);
        } else {
            self.labeled(ink, "", &head, text);
        }
    }

    /// Text below [`Page::entry`], in the same column.
    pub fn below(&mut self, text: &str) {
        let indent = if self.is_narrow() { 3 } else { Page::TEXT };
        self.block(Ink::Plain, "", indent, text);
    }

    /// Cells in columns of these widths; the last takes the rest and wraps. Negative: to the right.
    pub fn row(&mut self, widths: &[isize], cells: &[&str]) {
        let mut line = String::new();
        let mut filled = 0;
        for (cell, width) in cells.iter().zip(widths) {
            let cell = printable(cell);
            let pad = width.unsigned_abs().saturating_sub(columns(&cell));
            if *width < 0 {
                line.push_str(&" ".repeat(pad));
                line.push_str(&cell);
            } else {
                line.push_str(&cell);
                line.push_str(&" ".repeat(pad));
            }
            filled += width.unsigned_abs();
        }
        match cells.get(widths.len()).filter(|last| !last.is_empty()) {
            Some(last) => {
                let lines = wrap(last, self.look.width.saturating_sub(filled).max(12));
                for (i, text) in lines.iter().enumerate() {
                    let head = if i == 0 { line.clone() } else { " ".repeat(filled) };
                    self.raw(&format!("{head}{text}"));
                }
            }
            None => self.raw(&line),
        }
    }

    fn labeled(&mut self, ink: Ink, indent: &str, label: &str, text: &str) {
        if self.is_narrow() {
            self.block(ink, &format!("   {label}"), 0, "");
            self.block(Ink::Plain, "", 5, text);
            return;
        }
        let head = format!("{indent}{label}");
        if columns(&head) + 1 < Page::TEXT {
            let pad = " ".repeat(Page::TEXT - columns(&head));
            self.block(ink, &format!("{head}{pad}"), Page::TEXT, text);
        } else {
            self.block(ink, &head, 0, "");
            self.block(Ink::Plain, "", Page::TEXT, text);
        }
    }

    /// `head` as it stands, then `text` wrapped at `indent`.
    fn block(&mut self, ink: Ink, head: &str, indent: usize, text: &str) {
        let lines = wrap(text, self.look.width.saturating_sub(indent).max(16));
        let mut first = if head.is_empty() { " ".repeat(indent) } else { self.inked(ink, head) };
        if lines.is_empty() && !head.trim().is_empty() {
            self.raw(&first);
        }
        for line in lines {
            self.raw(&format!("{first}{line}"));
            first = " ".repeat(indent);
        }
    }

    fn inked(&self, ink: Ink, text: &str) -> String {
        let text = printable(text);
        if self.look.color && ink != Ink::Plain {
            let bare = text.trim_end();
            let rest = text.get(bare.len()..).unwrap_or("");
            format!("{}{bare}\x1b[0m{rest}", ink.code())
        } else {
            text.into_owned()
        }
    }

    fn raw(&mut self, line: &str) {
        self.out.push_str(line.trim_end());
        self.out.push('\n');
    }
}

/// Screen columns of a text.
pub fn columns(text: &str) -> usize {
    textwrap::core::display_width(text)
}

/// The text in lines of at most `width` columns. A number stays with its unit.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let options = Options::new(width)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .break_words(true);
    let text = glued(&printable(text));
    let lines = text.split('\n').filter(|l| !l.trim().is_empty());
    lines.flat_map(|l| textwrap::wrap(l, &options)).map(|line| line.replace('\u{A0}', " ")).collect()
}

/// Puts an unbreakable blank between a number and the short word behind it: `18 in`, `15 A`.
fn glued(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (i, word) in text.split(' ').enumerate() {
        if i > 0 {
            let is_unit = word.len() <= 5 && word.chars().next().is_some_and(char::is_alphabetic);
            let is_number = out.ends_with(|c: char| c.is_ascii_digit());
            out.push(if is_unit && is_number { '\u{A0}' } else { ' ' });
        }
        out.push_str(word);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_numbers_with_their_units() {
        assert_eq!(wrap("it has 16 in of cover", 9), ["it has", "16 in of", "cover"]);
    }

    /// No line is wider than the page, whatever the page, unless one word is.
    #[test]
    fn keeps_to_the_width() {
        for width in [36, 50, 72, 100] {
            let mut page = Page::new(Look::new(width, false));
            page.heading(Ink::Strong, "ATTENTION", "5 places where plan and code do not meet");
            page.entry(Ink::Alarm, "1", "trench", "The pipe under the drive lies too shallow for what runs over it.");
            page.field("code", "Under the drive of a one-family home 18 in is asked, whatever the pipe is made of.");
            let text = page.finish();
            assert!(text.lines().all(|l| columns(l) <= width), "{width}:\n{text}");
        }
    }

    #[test]
    fn color_changes_no_letter() {
        let write = |color| {
            let mut page = Page::new(Look::new(80, color));
            page.heading(Ink::Alarm, "ATTENTION", "right");
            page.field("do", "Deepen it.");
            page.finish()
        };
        let colored = write(true);
        assert!(colored.contains("\x1b["));
        let plain = colored.replace("\x1b[1;31m", "").replace("\x1b[2m", "").replace("\x1b[0m", "");
        assert_eq!(plain, write(false));
    }
}

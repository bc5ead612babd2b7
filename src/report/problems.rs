//! Problems of plans and rule files, drawn by miette over our own line index, so that the
//! columns here are those of JSON and SARIF (miette's own count bytes).

#![expect(clippy::arithmetic_side_effects, reason = "positions in a text of limited size")]

use super::{Look, printable};
use crate::text::{Label, Problem, Severity, Source, Sources, Span};
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, SourceCode,
    SourceSpan, SpanContents,
};
use std::borrow::Cow;
use std::fmt;

/// How many problems are drawn; a file of another kind gives thousands, and nobody reads them.
pub const MOST_SHOWN: usize = 20;
/// Lines between two places that are still drawn in one snippet.
const NEAR: u32 = 4;
/// A place with more bytes than this around it is drawn without its neighbor lines, and its line
/// is cut to the screen.
const LARGEST_SNIPPET: usize = 480;

/// Problems as text, errors and warnings in the order of their places, at most [`MOST_SHOWN`] of
/// them, then a line on the rest. Empty where there are none.
pub fn problems(problems: &[Problem], sources: &Sources, look: Look) -> String {
    let mut sorted: Vec<&Problem> = problems.iter().collect();
    sorted.sort_by_key(|p| p.span);
    let theme = if look.color { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
    let handler = GraphicalReportHandler::new_themed(theme).with_width(look.width).with_context_lines(1);
    let mut out = String::new();
    for problem in sorted.iter().take(MOST_SHOWN) {
        let start = out.len();
        let drawn = Drawn::new(problem, sources, look);
        if handler.render_report(&mut out, &drawn).is_err() {
            // A drawing that fails still says what is wrong and where.
            out.truncate(start);
            out.push_str(&format!("{}: {}\n", at(sources, problem.span), printable(&problem.message)));
        }
        out.push('\n');
    }
    match sorted.len().saturating_sub(MOST_SHOWN) {
        0 => {}
        rest => out.push_str(&format!("and {rest} more; mend these first\n")),
    }
    out
}

/// `larkspur.shop:12:3`.
pub fn at(sources: &Sources, span: Span) -> String {
    let place = sources.place(span);
    format!("{}:{}:{}", printable(&place.file), place.line, place.column)
}

/// A problem as miette wants it.
#[derive(Debug)]
struct Drawn<'a> {
    message: Cow<'a, str>,
    help: Option<String>,
    severity: miette::Severity,
    text: Option<Text<'a>>,
    labels: Vec<LabeledSpan>,
    far: Vec<Drawn<'a>>,
}

impl<'a> Drawn<'a> {
    fn new(problem: &'a Problem, sources: &'a Sources, look: Look) -> Drawn<'a> {
        let line = sources.place(problem.span).line;
        // Places far apart would have everything between them drawn too: they get their own snippets.
        let (near, far): (Vec<&Label>, Vec<&Label>) = problem
            .also
            .iter()
            .partition(|l| l.span.file == problem.span.file && sources.place(l.span).line.abs_diff(line) <= NEAR);
        let source = sources.get(problem.span.file);
        let mut labels: Vec<LabeledSpan> = source.map(|s| label(s, problem.span, None, true)).into_iter().collect();
        labels.extend(near.iter().filter_map(|l| Some(label(source?, l.span, Some(&l.text), false))));
        Drawn {
            message: printable(&problem.message),
            help: problem.help.as_deref().map(|h| printable(h).into_owned()),
            severity: match problem.severity {
                Severity::Error => miette::Severity::Error,
                Severity::Warning => miette::Severity::Warning,
            },
            text: source.map(|s| Text::new(s, look)),
            labels,
            far: far.into_iter().map(|l| Drawn::further(l, sources, look)).collect(),
        }
    }

    fn further(place: &'a Label, sources: &'a Sources, look: Look) -> Drawn<'a> {
        let source = sources.get(place.span.file);
        Drawn {
            message: printable(&place.text),
            help: None,
            severity: miette::Severity::Advice,
            text: source.map(|s| Text::new(s, look)),
            labels: source.map(|s| label(s, place.span, None, true)).into_iter().collect(),
            far: Vec::new(),
        }
    }
}

/// A mark of at least one byte, inside the text and inside its first line: miette drops the
/// snippet for one outside, draws nothing for an empty one and every line of a long one.
fn label(source: &Source, span: Span, text: Option<&str>, is_primary: bool) -> LabeledSpan {
    let length = source.text.len();
    let start = (span.start as usize).min(length.saturating_sub(1));
    let line_end = source.text.get(start..).and_then(|t| t.find('\n')).map_or(length, |i| start + i);
    let end = (span.end as usize).min(line_end).max(start + 1).min(length.max(1));
    let mark = SourceSpan::from((start, end.saturating_sub(start)));
    let text = text.map(|t| printable(t).into_owned());
    if is_primary { LabeledSpan::new_primary_with_span(text, mark) } else { LabeledSpan::new_with_span(text, mark) }
}

impl fmt::Display for Drawn<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Drawn<'_> {}

impl Diagnostic for Drawn<'_> {
    fn severity(&self) -> Option<miette::Severity> {
        Some(self.severity)
    }

    fn help<'h>(&'h self) -> Option<Box<dyn fmt::Display + 'h>> {
        self.help.as_ref().map(|h| Box::new(h) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.text.as_ref().map(|t| t as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        (!self.labels.is_empty())
            .then(|| Box::new(self.labels.iter().cloned()) as Box<dyn Iterator<Item = LabeledSpan>>)
    }

    fn related<'r>(&'r self) -> Option<Box<dyn Iterator<Item = &'r dyn Diagnostic> + 'r>> {
        (!self.far.is_empty()).then(|| {
            Box::new(self.far.iter().map(|d| d as &dyn Diagnostic)) as Box<dyn Iterator<Item = &'r dyn Diagnostic>>
        })
    }
}

/// A source that answers lines and columns from its own index: a look-up, not a walk from byte 0.
#[derive(Debug)]
struct Text<'a> {
    source: &'a Source,
    name: String,
    text: Cow<'a, str>,
    /// How much of a long line is drawn, in bytes.
    width: usize,
}

impl<'a> Text<'a> {
    fn new(source: &'a Source, look: Look) -> Text<'a> {
        Text {
            source,
            name: printable(&source.name).into_owned(),
            text: printable(&source.text),
            width: look.width.saturating_sub(10),
        }
    }

    /// The byte, or the first one before it that begins a character.
    fn boundary(&self, byte: usize) -> usize {
        (0..=byte).rev().find(|i| self.text.is_char_boundary(*i)).unwrap_or(0)
    }

    fn contents(&self, start: usize, end: usize, column: usize) -> Result<MietteSpanContents<'_>, MietteError> {
        let data = self.text.as_bytes().get(start..end).ok_or(MietteError::OutOfBounds)?;
        let line = self.source.line_column(start as u32).0 as usize - 1;
        let lines = data.iter().filter(|b| **b == b'\n').count();
        Ok(MietteSpanContents::new_named(self.name.clone(), data, (start, end - start).into(), line, column, lines))
    }
}

impl SourceCode for Text<'_> {
    /// miette asks without lines around for the header's place, with them for what it draws.
    fn read_span<'s>(
        &'s self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'s> + 's>, MietteError> {
        let first = span.offset();
        let last = first.saturating_add(span.len()).min(self.text.len());
        let (line, column) = self.source.line_column(first as u32);
        if before == 0 && after == 0 {
            return Ok(Box::new(self.contents(first, last, column as usize - 1)?));
        }
        let last_line = self.source.line_column(last.max(first) as u32).0;
        let start = self.source.line_start(line.saturating_sub(before as u32).max(1)) as usize;
        let end = self.source.line_start(last_line.saturating_add(after as u32).saturating_add(1)) as usize;
        if end.saturating_sub(start) <= LARGEST_SNIPPET {
            return Ok(Box::new(self.contents(start, end, 0)?));
        }
        let start = self.boundary((self.source.line_start(line) as usize).max(first.saturating_sub(self.width / 4)));
        let end = (self.source.line_start(last_line.saturating_add(1)) as usize).min(start + self.width);
        Ok(Box::new(self.contents(start, self.boundary(end), 0)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOOK: Look = Look { width: 80, color: false };

    fn sources(text: &str) -> (Sources, crate::text::FileId) {
        let mut sources = Sources::default();
        let file = sources.add("shed.shop", text);
        (sources, file)
    }

    fn span_of(sources: &Sources, file: crate::text::FileId, word: &str) -> Span {
        let at = sources.get(file).unwrap().text.find(word).unwrap();
        Span::new(file, at, at + word.len())
    }

    /// miette counts bytes in its header; ours must be the characters that JSON gives.
    #[test]
    fn the_header_agrees_with_the_line_index() {
        let (sources, file) = sources("panel P1\n  note \"übergroß\", buss 100 A\n");
        let problem =
            Problem::error(span_of(&sources, file, "buss"), "`buss` is no phrase").help("did you mean `bus`?");
        let shown = problems(std::slice::from_ref(&problem), &sources, LOOK);
        let place = sources.place(problem.span);
        assert!(shown.contains(&format!("shed.shop:{}:{}", place.line, place.column)), "{shown}");
        assert_eq!((place.line, place.column), (2, 20));
        assert!(shown.contains("`buss` is no phrase") && shown.contains("did you mean `bus`?"), "{shown}");
    }

    /// Two places far apart are two snippets, not everything between them.
    #[test]
    fn far_places_do_not_drag_the_file_along() {
        let filler = "note \"between\"\n".repeat(300);
        let (sources, file) = sources(&format!("box B1\n{filler}box B9\n"));
        let problem = Problem::error(span_of(&sources, file, "B9"), "two items of one name")
            .also(span_of(&sources, file, "B1"), "the first stands here");
        let shown = problems(&[problem], &sources, LOOK);
        assert!(shown.contains("shed.shop:302:5") && shown.contains("shed.shop:1:5"), "{shown}");
        assert!(shown.lines().count() < 30, "{shown}");
    }

    #[test]
    fn a_cap_and_a_count_of_the_rest() {
        let (sources, file) = sources(&"x\n".repeat(500));
        let many: Vec<Problem> = (0..500).map(|i| Problem::error(Span::new(file, 2 * i, 2 * i + 1), "no")).collect();
        let shown = problems(&many, &sources, LOOK);
        assert!(shown.ends_with("and 480 more; mend these first\n"), "{shown}");
    }

    /// A line of a megabyte, an empty file, a place past the end: a drawing all the same.
    #[test]
    fn awkward_places_are_drawn() {
        for (text, start, end) in [
            ("é".repeat(500_000), 600_000, 600_002),
            (String::new(), 0, 0),
            ("panel P1".to_string(), 90, 95),
            ("a\n\n\nb\n".to_string(), 2, 2),
            ("panel P1\n  x\n  y\n".to_string(), 0, 15),
        ] {
            let (sources, file) = sources(&text);
            let shown = problems(&[Problem::error(Span::new(file, start, end), "what is wrong")], &sources, LOOK);
            assert!(shown.contains("what is wrong") && shown.len() < 4000, "{} bytes: {shown}", shown.len());
            assert!(!shown.contains("Failed to read"), "{shown}");
        }
    }
}

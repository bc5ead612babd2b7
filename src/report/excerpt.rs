#![expect(clippy::arithmetic_side_effects, reason = "positions in a line")]

use crate::text::{Sources, Span};

/// A line of the plan with the words at fault in brackets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Excerpt {
    /// The line's number, from 1.
    pub line: u32,
    /// The line without indentation and comment: `stretch 24 ft: 1 in PVC-40, [buried 16 in]`.
    pub text: String,
}

/// More of a line than this is cut to what stands around the first word at fault.
const LONGEST: usize = 240;

/// The lines that these spans stand on, each once, in order. A span of several lines shows its
/// first. Brackets, not underlines: they survive a letter and a phone.
pub fn excerpts(sources: &Sources, spans: &[Span]) -> Vec<Excerpt> {
    let mut lines: Vec<(Span, u32, Vec<Span>)> = Vec::new();
    for span in spans {
        let place = sources.place(*span);
        match lines.iter_mut().find(|(first, line, _)| first.file == span.file && *line == place.line) {
            Some((_, _, all)) => all.push(*span),
            None => lines.push((*span, place.line, vec![*span])),
        }
    }
    lines.sort_by_key(|(first, line, _)| (first.file, *line));
    lines.into_iter().filter_map(|(first, line, spans)| excerpt(sources, first, line, spans)).collect()
}

fn excerpt(sources: &Sources, first: Span, line: u32, mut spans: Vec<Span>) -> Option<Excerpt> {
    let source = sources.get(first.file)?;
    let start = source.line_start(line) as usize;
    let full = source.line(line);
    let bare = full.get(..comment_start(full)).unwrap_or(full);
    let end = start + bare.trim_end().len();
    let start = start + (bare.len() - bare.trim_start().len());
    spans.sort_by_key(|s| (s.start, std::cmp::Reverse(s.end)));
    let mut text = String::new();
    let mut at = start;
    for span in spans {
        let from = (span.start as usize).max(start);
        let to = (span.end as usize).min(end);
        // A span of the whole line, or inside one that is marked already, needs no brackets.
        if from < at || to <= from || (from == start && to == end) {
            continue;
        }
        let (Some(before), Some(word)) = (source.text.get(at..from), source.text.get(from..to)) else { continue };
        text.push_str(before);
        text.push('[');
        text.push_str(word);
        text.push(']');
        at = to;
    }
    text.push_str(source.text.get(at..end).unwrap_or(""));
    Some(Excerpt { line, text: shortened(text.replace('\t', " ")) })
}

/// Where a comment begins: a `#` outside of quotes, at the start or behind a blank.
fn comment_start(line: &str) -> usize {
    let mut is_quoted = false;
    let mut before = ' ';
    for (i, c) in line.char_indices() {
        match c {
            '"' => is_quoted = !is_quoted,
            '#' if !is_quoted && before.is_whitespace() => return i,
            _ => {}
        }
        before = c;
    }
    line.len()
}

fn shortened(text: String) -> String {
    if text.chars().count() <= LONGEST {
        return text;
    }
    let mark = text.chars().position(|c| c == '[').unwrap_or(0);
    let from = mark.saturating_sub(LONGEST / 3);
    let cut: String = text.chars().skip(from).take(LONGEST).collect();
    format!("{}{cut} …", if from > 0 { "… " } else { "" })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marked(text: &str, words: &[&str]) -> Vec<(u32, String)> {
        let mut sources = Sources::default();
        let file = sources.add("x.shop", text);
        let spans: Vec<Span> =
            words.iter().map(|w| text.find(w).map(|at| Span::new(file, at, at + w.len())).unwrap()).collect();
        excerpts(&sources, &spans).into_iter().map(|e| (e.line, e.text)).collect()
    }

    #[test]
    fn brackets_the_word_and_drops_the_comment() {
        let plan = "circuit C1\n  breaker 20 A, no GFCI   # from \"the\" house\n";
        assert_eq!(marked(plan, &["no GFCI"]), [(2, "breaker 20 A, [no GFCI]".to_string())]);
        assert_eq!(marked(plan, &["no GFCI", "20 A"]), [(2, "breaker [20 A], [no GFCI]".to_string())]);
        assert_eq!(marked(plan, &["circuit C1"]), [(1, "circuit C1".to_string())]);
        assert_eq!(marked("note \"bin #4\"  # x\n", &["note"]), [(1, "[note] \"bin #4\"".to_string())]);
    }

    #[test]
    fn one_line_once_and_in_order() {
        let plan = "a one\nb two\nc three\n";
        let lines: Vec<u32> = marked(plan, &["three", "one", "a"]).into_iter().map(|(line, _)| line).collect();
        assert_eq!(lines, [1, 3]);
    }

    #[test]
    fn a_long_line_is_cut_around_the_word() {
        let plan = format!("{} here {}\n", "é".repeat(3000), "x".repeat(3000));
        let shown = marked(&plan, &["here"]);
        assert!(shown[0].1.contains("[here]"));
        assert!(shown[0].1.chars().count() < LONGEST + 10);
    }
}

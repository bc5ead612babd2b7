//! From pest's pairs to [`syntax`](super::syntax). What pest knows ends here.

use super::gather::Gathered;
use super::syntax::{Phrase, Token, TokenKind};
use super::{scan, wording};
use crate::text::{FileId, Problem, Span};
use pest::Parser;
use pest::iterators::{Pair, Pairs};

#[derive(pest_derive::Parser)]
#[grammar = "../grammar/plan.pest"]
struct PlanParser;

/// Where a line's text stands.
#[derive(Clone, Copy)]
pub(super) struct At {
    pub file: FileId,
    /// The byte of the file that the line's text begins at.
    pub start: usize,
}

impl At {
    pub fn span(self, start: usize, end: usize) -> Span {
        Span::new(self.file, self.start + start, self.start + end)
    }

    fn of(self, pair: &Pair<'_, Rule>) -> Span {
        self.span(pair.as_span().start(), pair.as_span().end())
    }
}

/// A line taken apart. Phrases that hold something unreadable are in `faults` instead.
#[derive(Debug, Default)]
pub(super) struct Parts {
    pub head: Vec<Token>,
    /// Whether a colon ends the head.
    pub has_colon: bool,
    pub phrases: Vec<Phrase>,
    /// From the first phrase to the last, readable or not.
    pub phrases_span: Option<Span>,
    /// The first byte behind the last that is no comment and no blank.
    pub end: usize,
    /// Where the comment begins, if there is one.
    pub comment: Option<usize>,
    pub faults: Vec<Fault>,
}

/// Something that can't be read: the problem, and what goes unread with it.
#[derive(Debug)]
pub(super) struct Fault {
    pub problem: Problem,
    pub unread: Span,
    pub in_head: bool,
}

/// Takes a line at the left edge apart.
pub(super) fn item_line(at: At, line: &str) -> Result<Parts, Problem> {
    scan::line(at, line, true).map_or_else(|| parse(at, line, Rule::item_line), Ok)
}

/// Takes a line apart that begins with a word and goes on with phrases.
pub(super) fn assumption(at: At, line: &str) -> Result<Parts, Problem> {
    parse(at, line, Rule::assumption)
}

/// Takes an indented line apart.
pub(super) fn added_line(at: At, line: &str) -> Result<Parts, Problem> {
    scan::line(at, line, false).map_or_else(|| parse(at, line, Rule::added_line), Ok)
}

fn parse(at: At, line: &str, rule: Rule) -> Result<Parts, Problem> {
    let unreadable = || Problem::error(at.span(0, line.len()), "this line can't be read");
    // The grammar takes any text; only a limit of the parser itself can stop it.
    let root = PlanParser::parse(rule, line).map_err(|_| unreadable())?.next().ok_or_else(unreadable)?;
    let mut parts = Parts::default();
    for pair in root.into_inner() {
        match pair.as_rule() {
            Rule::head | Rule::assume => parts.read_head(at, pair.into_inner()),
            Rule::colon => parts.has_colon = true,
            Rule::phrases => parts.read_phrases(at, pair.into_inner()),
            Rule::comment => parts.comment = Some(pair.as_span().start()),
            _ => {}
        }
    }
    parts.end_in(line);
    Ok(parts)
}

/// Whether the grammar reads all of this as one number: `3/4` is one, `1/0` and `14/2` are words.
pub(super) fn is_number(text: &str) -> bool {
    PlanParser::parse(Rule::number, text).is_ok_and(|pairs| pairs.as_str() == text)
}

/// What the grammar takes for a blank: the tab, and blanks of any width.
pub(super) fn is_blank(c: char) -> bool {
    c == '\t' || (c.is_whitespace() && !c.is_control() && !matches!(c, '\u{2028}' | '\u{2029}'))
}

impl Parts {
    /// Sets where the line ends, once it is clear where its comment begins.
    pub fn end_in(&mut self, line: &str) {
        let code = self.comment.and_then(|start| line.get(..start)).unwrap_or(line);
        self.end = code.trim_end_matches(is_blank).len();
    }

    fn read_head(&mut self, at: At, pairs: Pairs<'_, Rule>) {
        for pair in pairs {
            let span = at.of(&pair);
            match tokens(at, pair, &mut self.head) {
                Ok(()) => {}
                Err(problem) => self.faults.push(Fault { problem, unread: span, in_head: true }),
            }
        }
    }

    fn read_phrases(&mut self, at: At, pairs: Pairs<'_, Rule>) {
        let mut gathered = Gathered::new(self);
        for pair in pairs {
            let span = at.of(&pair);
            match pair.as_rule() {
                Rule::comma => gathered.comma(span),
                Rule::colon => gathered.colon(span),
                _ => {
                    let mut read = Vec::new();
                    let fault = pair.into_inner().find_map(|p| tokens(at, p, &mut read).err());
                    gathered.phrase(span, fault.map_or(Ok(read), Err));
                }
            }
        }
        gathered.finish();
    }
}

/// The tokens of one pair: one as a rule, two for `14'`, several for a phrase's opener.
fn tokens(at: At, pair: Pair<'_, Rule>, to: &mut Vec<Token>) -> Result<(), Problem> {
    let span = at.of(&pair);
    let text = pair.as_str();
    let kind = match pair.as_rule() {
        Rule::day => TokenKind::Day,
        Rule::number | Rule::number_part | Rule::thousands => {
            let digits: String = text.chars().filter(|c| *c != ',').map(|c| if c == '−' { '-' } else { c }).collect();
            let text = if digits.starts_with('.') { format!("0{digits}") } else { digits };
            to.push(Token { kind: TokenKind::Number, text, span });
            return Ok(());
        }
        Rule::foot_mark => {
            to.push(Token { kind: TokenKind::Word, text: "ft".into(), span });
            return Ok(());
        }
        Rule::inch_mark => {
            to.push(Token { kind: TokenKind::Word, text: "in".into(), span });
            return Ok(());
        }
        Rule::comma => {
            // A comma twice in a row parts nothing.
            if to.last().is_none_or(|t| t.kind != TokenKind::Comma) {
                to.push(Token { kind: TokenKind::Comma, text: ",".into(), span });
            }
            return Ok(());
        }
        Rule::quoted => {
            let inner = text.strip_prefix(['"', '“']).and_then(|t| t.strip_suffix(['"', '”'])).unwrap_or(text);
            // A tab would break the columns of whatever prints it.
            to.push(Token { kind: TokenKind::Quoted, text: inner.replace('\t', " "), span });
            return Ok(());
        }
        Rule::word | Rule::gauge | Rule::by | Rule::way | Rule::of | Rule::feeds | Rule::holds => TokenKind::Word,
        Rule::opener | Rule::by_way_of | Rule::measure => {
            return pair.into_inner().try_for_each(|p| tokens(at, p, to));
        }
        Rule::colon => return Ok(()),
        Rule::open_quote => {
            return Err(Problem::error(span, "this text in quotes does not end on its line").help("close it with `\"`"));
        }
        _ => return Err(wording::stray(text, span)),
    };
    to.push(Token { kind, text: text.trim_end_matches('.').to_string(), span });
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::FileId;
    use proptest::prelude::*;

    /// The same from the scanner, where it takes the line, as from the grammar.
    fn hold(line: &str) -> bool {
        let at = At { file: FileId(3), start: 40 };
        let mut is_taken = true;
        for (is_item, rule) in [(true, Rule::item_line), (false, Rule::added_line)] {
            let Some(scanned) = scan::line(at, line, is_item) else {
                is_taken = false;
                continue;
            };
            let parsed = parse(at, line, rule).unwrap();
            assert_eq!(format!("{scanned:#?}"), format!("{parsed:#?}"), "{line:?}");
        }
        is_taken
    }

    /// Lines of whole plans; the quick way is worth having only where it takes most of them.
    #[test]
    fn scanner_reads_plans_as_the_grammar_does() {
        let plans = [
            include_str!("../../examples/larkspur.shop"),
            include_str!("../../examples/half-known.shop"),
            include_str!("../../examples/sound.shop"),
            include_str!("../../grammar/README.md"),
        ];
        let lines: Vec<&str> =
            plans.iter().flat_map(|plan| plan.lines()).map(|l| l.trim_start_matches(is_blank)).collect();
        let taken = lines.iter().filter(|line| hold(line)).count();
        let of_demo = plans[0].lines().map(|l| l.trim_start_matches(is_blank));
        let (all, quick) = of_demo.fold((0, 0), |(all, quick), line| (all + 1, quick + usize::from(hold(line))));
        assert!(taken > lines.len() / 2 && quick * 20 > all * 19, "{taken} of {}, {quick} of {all}", lines.len());
    }

    /// Pieces that meet in plans, and all that has a meaning of its own between letters and digits.
    fn piece() -> impl Strategy<Value = String> {
        let some = [
            "feeds",
            "Holds",
            "by",
            "way",
            "of",
            "assume",
            "R1",
            "5-20R",
            "12/2",
            "3/4",
            "1/2",
            "2-1/8",
            "4-11/16",
            "5/8",
            "9/16",
            "3/32",
            "2027-04-10",
            "1/0",
            "120/240",
            "10,000",
            "14'",
            "36\"",
            "#4",
            "# 4",
            "#",
            "\"a b\"",
            "\"",
            "“a”",
            "%",
            "20%",
            "×",
            "maker's",
            "a.b",
            "..",
            "../a",
            ".5",
            "0.75",
            "1.",
            "A.",
            "-10",
            "−1",
            "+",
            "\\",
            "_",
            "é",
            "²",
            "½",
            "\u{a0}",
            "\t",
            "(",
            ",",
            ":",
            " ",
        ];
        prop_oneof![
            prop::sample::select(some.map(String::from).to_vec()),
            "[0-9]{1,4}",
            "[A-Za-z]{1,3}",
            "[-/._'’+a-z0-9\\\\,:#\" %×²é]{1,6}",
            Just(" ".to_string()),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4096))]

        #[test]
        fn scanner_reads_any_line_as_the_grammar_does(pieces in prop::collection::vec(piece(), 0..12)) {
            hold(&pieces.concat());
        }

        #[test]
        fn scanner_reads_any_row_as_the_grammar_does(pieces in prop::collection::vec(piece(), 0..12)) {
            hold(&pieces.join(" "));
        }
    }
}

use super::grammar::{self, At, Fault, Parts};
use super::syntax::{Item, Keyword, Line, Phrase, Plan, Token, TokenKind, Unread};
use super::{near, phrase, wording};
use crate::text::{FileId, Problem, Span, Spanned, nearest};

/// The longest line that is read, in bytes. A hundred phrases fit.
const LONGEST_LINE: usize = 4096;
/// The largest plan that is read, in bytes: some 50,000 lines.
const LARGEST_PLAN: usize = 4 << 20;
/// How many problems of one plan are kept; the last says how many more there were.
const MOST_PROBLEMS: usize = 200;

/// Reads a plan. What can't be read is in `problems` and `unread`, and the rest is read all the
/// same; spans count bytes of `text`.
pub fn read(file: FileId, text: &str) -> Plan {
    let mut reader = Reader::default();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if start + line.len() > LARGEST_PLAN {
            let line_number = reader.plan.line_count + 1;
            let span = Span::new(file, start, text.len());
            reader.unread(span, None);
            reader.problem(
                Problem::error(
                    Span::new(file, start, start + 1),
                    format!("nothing from line {line_number} on was read"),
                )
                .help("a plan may have 4 megabytes; is this a plan?"),
            );
            break;
        }
        let mut row = line.strip_suffix('\n').unwrap_or(line);
        row = row.strip_suffix('\r').unwrap_or(row);
        let mark = if start == 0 && row.starts_with('\u{FEFF}') { '\u{FEFF}'.len_utf8() } else { 0 };
        reader.line(At { file, start: start + mark }, row.get(mark..).unwrap_or(""), 0);
        start += line.len();
    }
    reader.finish()
}

/// Reads lines that stand inside another file, such as an example in a rule file. A line's span
/// begins where its text does. The least indented line is the left edge.
pub fn read_lines(lines: &[Spanned<String>]) -> Plan {
    let indent = |line: &&Spanned<String>| line.node.len() - line.node.trim_start().len();
    let edge = lines.iter().filter(|l| !l.node.trim().is_empty()).map(|l| indent(&l)).min().unwrap_or(0);
    let mut reader = Reader::default();
    for line in lines {
        let text = line.node.trim_end_matches(['\n', '\r']);
        reader.line(At { file: line.span.file, start: line.span.start as usize }, text, edge);
    }
    reader.finish()
}

/// Where indented lines go.
#[derive(Clone, Copy, Default)]
enum Target {
    /// No item has begun yet.
    #[default]
    None,
    /// To the last item.
    Item,
    /// To an item that could not be read.
    Unread,
}

#[derive(Default)]
struct Reader {
    plan: Plan,
    target: Target,
    /// The indentation of a line that ends in a colon: deeper lines are owned by it.
    open: Option<usize>,
    problem_count: usize,
}

impl Reader {
    fn line(&mut self, at: At, text: &str, edge: usize) {
        self.plan.line_count = self.plan.line_count.saturating_add(1);
        let bare = text.trim_start_matches([' ', '\t', '\u{A0}']);
        let indent = text.len() - bare.len();
        if bare.is_empty() || (bare.starts_with('#') && text.len() <= LONGEST_LINE && !bare.contains(is_control)) {
            return;
        }
        let at = At { start: at.start + indent, ..at };
        let whole = at.span(0, bare.trim_end().len());
        let is_item = indent <= edge;
        if let Some(problem) = self.unfit(at, bare) {
            return self.lose(whole, is_item, problem);
        }
        let parts = if is_item { grammar::item_line(at, bare) } else { grammar::added_line(at, bare) };
        match parts {
            Err(problem) => self.lose(whole, is_item, problem),
            Ok(parts) if is_item => self.item(at, parts),
            Ok(parts) => self.added(at, parts, indent),
        }
    }

    /// What keeps a line from being looked at.
    fn unfit(&self, at: At, text: &str) -> Option<Problem> {
        if text.len() > LONGEST_LINE {
            return Some(
                Problem::error(at.span(0, 1), format!("this line is {} bytes long", text.len()))
                    .help(format!("a line may have {LONGEST_LINE}; part it into several")),
            );
        }
        let (byte, char) = text.char_indices().find(|(_, c)| is_control(*c))?;
        let what = match char {
            '\r' => "a carriage return without a line feed".to_string(),
            '\0' => "a NUL byte".to_string(),
            other => format!("the control character U+{:04X}", other as u32),
        };
        Some(
            Problem::error(at.span(byte, byte + char.len_utf8()), format!("this line holds {what}"))
                .help("a plan is plain text: letters, digits, punctuation, blanks and tabs; lines end with LF or CRLF"),
        )
    }

    /// Gives a whole line up.
    fn lose(&mut self, span: Span, is_item: bool, problem: Problem) {
        self.problem(problem);
        self.open = None;
        if is_item {
            self.target = Target::Unread;
            self.unread(span, None);
        } else {
            self.unread(span, self.item_index());
        }
    }

    fn item(&mut self, at: At, parts: Parts) {
        let span = at.span(0, parts.end);
        self.open = None;
        let Some(first) = parts.head.first().filter(|t| t.kind == TokenKind::Word).cloned() else {
            let problem = Problem::error(at.span(0, parts.end), "an item begins with its kind")
                .help("for example `panel P1` or `circuit C1`; lines that add to it are indented");
            return self.lose(span, true, problem);
        };
        let mut head = match near::settle(near::Context::Edge, parts.head) {
            Ok(head) => head,
            Err(problem) => return self.lose(span, true, problem),
        };
        let first = if head.is_empty() { first } else { head.remove(0) };
        let Some(keyword) = Keyword::of(&first.text.to_lowercase()) else {
            let hint = nearest(&first.text, Keyword::ALL.iter().map(|k| k.text()));
            return self.lose(span, true, wording::unknown_kind(&first, hint));
        };
        if parts.faults.iter().any(|f| f.in_head) {
            self.faults(parts.faults, None);
            self.target = Target::Unread;
            return self.unread(span, None);
        }
        if head.last().is_some_and(|t| t.kind == TokenKind::Comma) {
            head.pop();
        }
        let label = head.iter().position(|t| t.kind == TokenKind::Quoted).map(|i| head.remove(i));
        let mut head = match phrase::head(keyword, head) {
            Ok(head) => head,
            Err(problem) => return self.lose(span, true, problem),
        };
        let mut faults = parts.faults;
        let phrases = phrase::phrases(keyword, None, parts.phrases, &mut faults);
        let mut lines = Vec::new();
        if matches!(keyword, Keyword::Assume) && !head.is_empty() {
            let guess = head_line(std::mem::take(&mut head));
            lines.push(Line { phrases: phrase::phrases(keyword, None, guess.phrases, &mut faults), ..guess });
        }
        if let Some(phrases_span) = parts.phrases_span {
            lines.push(Line { phrases, span: phrases_span });
        }
        self.plan.items.push(Item { keyword, keyword_span: first.span, head, label, lines, span });
        self.target = Target::Item;
        self.faults(faults, self.item_index());
    }

    fn added(&mut self, at: At, parts: Parts, indent: usize) {
        let span = at.span(0, parts.end);
        let Some(item) = self.item_index() else {
            if !matches!(self.target, Target::Unread) {
                self.problem(
                    Problem::error(span, "this line is indented and no item stands above it")
                        .help("an item begins at the left edge, without a blank before it"),
                );
            }
            return self.unread(span, None);
        };
        let index = item;
        let Some(item) = self.plan.items.get_mut(index) else { return };
        let mut faults = parts.faults;
        let owner = item.lines.last_mut().and_then(|l| l.phrases.last_mut());
        match (self.open, owner) {
            (Some(outer), Some(owner)) if indent > outer => {
                let word = owner.tokens.first().map(|t| t.text.clone());
                let phrases = phrase::phrases(item.keyword, word.as_deref(), parts.phrases, &mut faults);
                owner.span = owner.span.to(span);
                owner.owned.get_or_insert_default().extend(phrases);
            }
            _ => {
                let phrases = phrase::phrases(item.keyword, None, parts.phrases, &mut faults);
                let is_open = phrases.last().is_some_and(|p| p.owned.as_ref().is_some_and(Vec::is_empty));
                self.open = is_open.then_some(indent);
                item.lines.push(Line { phrases, span });
            }
        }
        self.faults(faults, Some(index));
    }

    /// The item that indented lines belong to now.
    fn item_index(&self) -> Option<usize> {
        match self.target {
            Target::Item => self.plan.items.len().checked_sub(1),
            Target::None | Target::Unread => None,
        }
    }

    fn faults(&mut self, faults: Vec<Fault>, item: Option<usize>) {
        for fault in faults {
            self.problem(fault.problem);
            if !fault.in_head {
                self.unread(fault.unread, item);
            }
        }
    }

    fn unread(&mut self, span: Span, item: Option<usize>) {
        self.plan.unread.push(Unread { span, item });
    }

    fn problem(&mut self, problem: Problem) {
        self.problem_count += 1;
        if self.plan.problems.len() < MOST_PROBLEMS {
            self.plan.problems.push(problem);
        }
    }

    fn finish(mut self) -> Plan {
        let more = self.problem_count.saturating_sub(self.plan.problems.len());
        if more > 0
            && let Some(last) = self.plan.problems.last().map(|p| p.span)
        {
            let problem = Problem::error(last, format!("{more} more problems of this plan are not shown"));
            self.plan.problems.push(problem);
        }
        self.plan
    }
}

/// What stands behind `assume` at the left edge are phrases, not names.
fn head_line(tokens: Vec<Token>) -> Line {
    let span = |tokens: &[Token]| match (tokens.first(), tokens.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => Span::default(),
    };
    let whole = span(&tokens);
    let phrases = tokens
        .split(|t| t.kind == TokenKind::Comma)
        .filter(|p| !p.is_empty())
        .map(|p| Phrase { tokens: p.to_vec(), owned: None, span: span(p) })
        .collect();
    Line { phrases, span: whole }
}

fn is_control(c: char) -> bool {
    c.is_control() && c != '\t'
}

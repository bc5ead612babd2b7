use super::grammar::{self, At, Fault, Parts, is_blank};
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
    let indent = |line: &&Spanned<String>| line.node.len() - line.node.trim_start_matches(is_blank).len();
    let edge =
        lines.iter().filter(|l| !l.node.trim_matches(is_blank).is_empty()).map(|l| indent(&l)).min().unwrap_or(0);
    let mut reader = Reader::default();
    for line in lines {
        let text = line.node.trim_end_matches(['\n', '\r']);
        reader.line(At { file: line.span.file, start: line.span.start as usize }, text, edge);
    }
    reader.finish()
}

/// Where indented lines go.
#[derive(Clone, Copy, Default, PartialEq)]
enum Target {
    /// No item has begun yet.
    #[default]
    None,
    /// To the last item.
    Item,
    /// To an item that could not be read.
    Unread,
}

/// A line that ends in a colon: deeper lines below are owned by its last phrase.
struct Open {
    indent: usize,
    /// How many colons deep they stand in the item; none where that phrase was refused, and they are
    /// unread with it.
    depth: Option<usize>,
}

#[derive(Default)]
struct Reader {
    plan: Plan,
    target: Target,
    /// Lines that end in a colon, each inside the one before.
    open: Vec<Open>,
    problem_count: usize,
}

impl Reader {
    fn line(&mut self, at: At, text: &str, edge: usize) {
        self.plan.line_count = self.plan.line_count.saturating_add(1);
        let bare = text.trim_start_matches(is_blank);
        let indent = text.len() - bare.len();
        if bare.is_empty() || (bare.starts_with('#') && text.len() <= LONGEST_LINE && !bare.contains(is_control)) {
            return;
        }
        let at = At { start: at.start + indent, ..at };
        let whole = at.span(0, bare.trim_end_matches(is_blank).len());
        let is_item = indent <= edge;
        if is_item {
            self.open.clear();
        } else {
            while self.open.last().is_some_and(|o| o.indent >= indent) {
                self.open.pop();
            }
        }
        let parts = match unfit(at, bare) {
            Some(problem) => Err(problem),
            None => parts(at, bare, is_item),
        };
        match parts {
            Err(problem) if is_item => self.lose_item(whole, problem, Vec::new()),
            Err(problem) => {
                self.problem(problem);
                self.unread(whole, self.item_index());
            }
            Ok(parts) if is_item => self.item(at, parts),
            Ok(parts) => {
                let ends_in_colon = bare.get(..parts.end).is_some_and(|code| code.ends_with(':'));
                self.added(at, parts, indent, ends_in_colon);
            }
        }
    }

    /// Gives an item line up, and with it the indented lines below.
    fn lose_item(&mut self, span: Span, problem: Problem, names: Vec<String>) {
        self.problem(problem);
        self.target = Target::Unread;
        self.plan.unread.push(Unread { span, item: None, names });
    }

    fn item(&mut self, at: At, mut parts: Parts) {
        let span = at.span(0, parts.end);
        let words = parts.head.iter().skip(1).filter(|t| t.kind == TokenKind::Word);
        let names = words.map(|t| t.text.clone()).collect();
        let in_head = parts.faults.iter().position(|f| f.in_head);
        if let Some(fault) = in_head.map(|i| parts.faults.swap_remove(i)) {
            return self.lose_item(span, fault.problem, names);
        }
        match self.begin(span, std::mem::take(&mut parts.head)) {
            Err(problem) => self.lose_item(span, problem, names),
            Ok(mut item) => {
                let mut faults = parts.faults;
                let phrases = phrase::phrases(item.keyword, None, parts.phrases, &mut faults);
                if let Some(span) = parts.phrases_span.filter(|_| !phrases.is_empty()) {
                    item.lines.push(Line { phrases, span });
                }
                self.plan.items.push(item);
                self.target = Target::Item;
                self.faults(faults, self.item_index());
            }
        }
    }

    /// The item of a head.
    fn begin(&self, span: Span, head: Vec<Token>) -> Result<Item, Problem> {
        if !head.first().is_some_and(|t| t.kind == TokenKind::Word) {
            return Err(wording::no_kind(span));
        }
        let mut head = near::settle(near::Context::Edge, head)?;
        if head.is_empty() {
            return Err(wording::no_kind(span));
        }
        let first = head.remove(0);
        let Some(keyword) = Keyword::of(&first.text.to_lowercase()) else {
            // Who has hundreds of them has no plan, and hints take time.
            let is_kept = self.problem_count < MOST_PROBLEMS;
            let known = Keyword::ALL.iter().map(|k| k.text()).filter(|_| is_kept);
            return Err(wording::unknown_kind(&first, nearest(&first.text, known)));
        };
        let label = head.iter().position(|t| t.kind == TokenKind::Quoted).map(|i| head.remove(i));
        phrase::drop_idle_commas(&mut head);
        if let Some(second) = head.iter().find(|t| t.kind == TokenKind::Quoted) {
            return Err(wording::second_label(second.span));
        }
        let head = phrase::head(keyword, head)?;
        Ok(Item { keyword, keyword_span: first.span, head, label, lines: Vec::new(), span })
    }

    fn added(&mut self, at: At, parts: Parts, indent: usize, ends_in_colon: bool) {
        let span = at.span(0, parts.end);
        let Some(index) = self.item_index() else {
            if self.target == Target::None {
                self.problem(wording::no_item_above(span));
            }
            return self.unread(span, None);
        };
        let outer = match self.open.last().map(|o| o.depth) {
            Some(None) => return self.unread(span, Some(index)),
            Some(Some(depth)) => depth,
            None => 0,
        };
        let Some(item) = self.plan.items.get_mut(index) else { return };
        let mut faults = parts.faults;
        let keyword = item.keyword;
        let depth = match owner(item, outer) {
            Some(owner) => {
                let word = owner.tokens.first().map(|t| t.text.clone());
                let phrases = phrase::phrases(keyword, word.as_deref(), parts.phrases, &mut faults);
                let depth = open_depth(&phrases);
                owner.span = owner.span.to(span);
                owner.owned.get_or_insert_default().extend(phrases);
                depth
            }
            None => {
                let phrases = phrase::phrases(keyword, None, parts.phrases, &mut faults);
                let depth = open_depth(&phrases);
                if !phrases.is_empty() {
                    item.lines.push(Line { phrases, span });
                }
                depth
            }
        };
        if ends_in_colon {
            if depth.is_none() && faults.is_empty() {
                self.problem(wording::idle_colon(span));
            }
            self.open.push(Open { indent, depth: depth.map(|d| outer + d) });
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
            self.unread(fault.unread, item);
        }
    }

    fn unread(&mut self, span: Span, item: Option<usize>) {
        self.plan.unread.push(Unread { span, item, names: Vec::new() });
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

/// What keeps a line from being looked at.
fn unfit(at: At, text: &str) -> Option<Problem> {
    if text.len() > LONGEST_LINE {
        return Some(wording::long_line(
            at.span(0, text.chars().next().map_or(0, char::len_utf8)),
            text.len(),
            LONGEST_LINE,
        ));
    }
    let (byte, char) = text.char_indices().find(|(_, c)| is_control(*c))?;
    Some(wording::control_character(at.span(byte, byte + char.len_utf8()), char))
}

/// How deep the colon is that a line ends in, if its phrase was read.
fn open_depth(mut phrases: &[Phrase]) -> Option<usize> {
    let mut depth = 1;
    loop {
        match phrases.last()?.owned.as_deref()? {
            [] => return Some(depth),
            owned => phrases = owned,
        }
        depth += 1;
    }
}

/// The phrase that owns lines at this depth of colons; none at depth 0.
fn owner(item: &mut Item, depth: usize) -> Option<&mut Phrase> {
    let mut phrase = item.lines.last_mut().filter(|_| depth > 0)?.phrases.last_mut()?;
    for _ in 1..depth {
        phrase = phrase.owned.as_mut()?.last_mut()?;
    }
    Some(phrase)
}

/// Takes a line apart as what it is.
pub(super) fn parts(at: At, bare: &str, is_item: bool) -> Result<Parts, Problem> {
    match is_item {
        true if is_assumption(bare) => grammar::assumption(at, bare),
        true => grammar::item_line(at, bare),
        false => grammar::added_line(at, bare),
    }
}

/// Behind `assume` at the left edge stand phrases, not names.
fn is_assumption(line: &str) -> bool {
    let assume = Keyword::Assume.text();
    let ends = |rest: &str| !rest.starts_with(|c: char| c.is_alphanumeric() || "-/._'’+\\".contains(c));
    line.get(..assume.len()).is_some_and(|w| w.eq_ignore_ascii_case(assume))
        && line.get(assume.len()..).is_some_and(ends)
}

fn is_control(c: char) -> bool {
    c.is_control() && c != '\t'
}

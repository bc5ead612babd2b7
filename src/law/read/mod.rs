//! Reading `.rule` text into [`Pack`].
//!
//! Lines are grouped by indentation ([`lines`]), each clause goes through the grammar alone
//! ([`parse`]), so that a slip in one costs that clause and no other, and every block has a file
//! that knows its clauses. A block with a problem is left out of the pack whole, since half a rule
//! could pass what the whole one would not; its name stands in [`Pack::broken`].

#![expect(
    clippy::arithmetic_side_effects,
    reason = "positions in a text of limited size, and how deep its parts stand in one another"
)]

mod amount;
mod blocks;
mod edit;
mod example;
mod expected;
mod expr;
mod law;
mod layer;
mod lines;
mod parse;
mod parts;
mod rule;
mod table;
mod text;

use crate::law::syntax::Pack;
use crate::law::syntax::layer::Layer;
use crate::text::{FileId, Problem, Span, nearest};
pub use layer::{LAYER_WORDS, read_layer};
pub use rule::RULE_CLAUSES;

use lines::{Clause, Line};
use parse::Rule;

/// Largest file read, in bytes: ten times the largest of the built-in pack, and a stranger's pack stays small.
const MAX_FILE: usize = 4 * 1024 * 1024;

/// Most lines of one block: a table of every wire in every raceway has a tenth.
const MAX_LINES: usize = 10_000;

/// Past so many problems a file is no rule file, and nobody reads the list.
const MAX_PROBLEMS: usize = 500;

/// The words that begin a block at the left edge.
pub const BLOCKS: [&str; 13] = [
    "rule", "define", "term", "value", "list", "fact", "choice", "ordinary", "group", "sheet", "table", "given", "name",
];

pub(in crate::law) use rule::old_work;

/// Reads one rule file. Every problem is listed, in the order of the file.
pub fn read(file: FileId, text: &str) -> (Pack, Vec<Problem>) {
    let mut reader =
        Reader { file, text, problems: Vec::new(), pack: Pack::default(), layer: None, is_layer: false, changes: 0 };
    reader.file();
    reader.problems.sort_by_key(|problem| problem.span);
    (reader.pack, reader.problems)
}

/// One file on its way into a pack.
struct Reader<'a> {
    file: FileId,
    text: &'a str,
    problems: Vec<Problem>,
    pack: Pack,
    /// The head of a layer file and its edits; none before it was met, and in a file of a pack.
    layer: Option<Layer>,
    /// Whether the file is a layer.
    is_layer: bool,
    /// How many `change` blocks were met.
    changes: usize,
}

impl Reader<'_> {
    fn file(&mut self) {
        if self.text.len() > MAX_FILE {
            return self.error(0..0, "this file is too large for a rule file", "split it by subject");
        }
        if let Some(at) = self.text.find('\r').filter(|at| self.text.as_bytes().get(at + 1) != Some(&b'\n')) {
            return self.error(
                at..at + 1,
                "a line ends in a lone carriage return",
                "save the file with ordinary line ends",
            );
        }
        // Some editors begin a file with a byte-order mark.
        let lines = lines::lines(self.text, if self.text.starts_with('\u{FEFF}') { 3 } else { 0 });
        self.tabs(&lines);
        let mut rest = lines.as_slice();
        while let Some((first, below)) = rest.split_first() {
            if self.problems.len() > MAX_PROBLEMS {
                let message =
                    format!("more than {MAX_PROBLEMS} problems stand above; the rest of this file was not read");
                return self.error(first.start..first.end, message, "is this a rule file?");
            }
            let own = below.iter().take_while(|line| line.indent() > 0).count();
            let (own, next) = below.split_at_checked(own).unwrap_or((below, &[]));
            rest = next;
            if first.indent() > 0 {
                self.error(
                    first.start..first.end,
                    "this line belongs to nothing",
                    "a file begins at the left edge with `rule`, `table`, `define` or the like",
                );
                continue;
            }
            let clause = self.clause(*first, own);
            self.block(&clause);
        }
    }

    /// Spaces only: an editor's tabs may be as wide as four spaces or eight.
    fn tabs(&mut self, lines: &[Line]) {
        let tab = lines.iter().find(|l| self.text.get(l.origin..l.start).is_some_and(|blank| blank.contains('\t')));
        if let Some(line) = tab {
            let end = line.start;
            self.error(line.origin..end, "this line is indented with a tab", "indent with spaces in the whole file");
        }
    }

    fn block(&mut self, block: &Clause) {
        let before = self.problems.len();
        if block.rest.len() > MAX_LINES {
            let line = block.span.start as usize..block.first().end;
            self.error(line, format!("more than {MAX_LINES} lines stand under this one"), "split it in two");
            return self.left_out(block);
        }
        match block.keyword {
            "rule" => self.rule(block),
            "define" | "term" => self.define(block),
            "table" => self.table(block),
            "value" => {
                let values = self.values(block);
                self.pack.values.extend(values);
            }
            "list" => {
                let list = self.list(block);
                self.pack.lists.extend(list);
            }
            "fact" => self.fact(block),
            "choice" => self.choice(block),
            "ordinary" => self.ordinary(block),
            "group" => self.group(block),
            "sheet" => self.sheet(block),
            "name" => self.title_block(block),
            "given" => self.given(block),
            "layer" if self.is_layer => self.layer(block),
            "change" if self.is_layer => self.change(block),
            "layer" | "change" => {
                let span = block.span;
                self.error(
                    span.start as usize..span.end as usize,
                    format!("`{}` belongs in a layer file", block.keyword),
                    "layer files go with `--layer`, beside the pack that they change",
                );
            }
            unknown => self.unknown_word(block, unknown, "begins nothing at the left edge", &BLOCKS),
        }
        if self.errors_since(before) {
            self.left_out(block);
        }
    }

    /// A keyword that is none: what is known here, and the nearest.
    fn unknown_word(&mut self, clause: &Clause, word: &str, what: &str, known: &[&str]) {
        let problem = Problem::error(clause.span, format!("`{word}` {what}"));
        let end = clause.span.start.saturating_add(word.len() as u32);
        self.problems.push(match nearest(word, known.iter().copied()) {
            Some(near) => problem.help(format!("perhaps `{near}` is meant")).instead(Span { end, ..clause.span }, near),
            None => problem.help(format!("known here: {}", known.join(", "))),
        });
    }

    /// Whether something went wrong since `before`.
    fn errors_since(&self, before: usize) -> bool {
        self.problems.len() > before
    }

    /// Notes the name of a block with a problem, so that nobody calls it unknown.
    fn left_out(&mut self, block: &Clause) {
        let head = block.first();
        let text = self.text.get(head.clone()).unwrap_or("");
        let is_name = |c: char| c.is_alphanumeric() || matches!(c, '-' | '.');
        let length = text.find(|c| !is_name(c)).unwrap_or(text.len());
        let mut name = self.spanned(head.start..head.start + length);
        if let Some((_, word)) = name.node.rsplit_once('.') {
            name.node = word.to_string();
        }
        if !name.node.is_empty() {
            self.pack.broken.push(name);
        }
    }
}

#[cfg(test)]
mod tests;

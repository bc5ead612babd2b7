//! `rule` and its clauses.

use super::lines::Clause;
use super::{Reader, Rule};
use crate::law::syntax::{self, Ask, Bounds, Evidence, Except, Expr, Figures, Node, Part, Subject};
use crate::text::{Problem, Span, Spanned};
use std::ops::Range;

/// Every clause of a rule; the manual explains each.
pub const RULE_CLAUSES: [&str; 24] = [
    "aliases", "why", "cites", "figures", "from", "before", "stage", "level", "value", "list", "reach", "for", "where",
    "needs", "except", "evidence", "awaits", "points", "else", "remedy", "caution", "ask", "given", "example",
];

/// Stages in the order of the work.
const STAGES: [&str; 5] = ["footing", "trench", "rough-in", "final", "permit"];

/// How much a rule weighs.
const LEVELS: [&str; 3] = ["required", "advised", "note"];

/// What a fact needs to count.
const EVIDENCE: [&str; 3] = ["seen", "measured", "on-paper"];

/// What a rule can't do without, and how it is written.
const DEMANDED: [(&str, &str); 5] = [
    ("stage", "say when the work is looked at: `stage final`, or footing, trench, rough-in, permit"),
    ("level", "say how much it weighs: `level required`, or advised, note"),
    ("for", "say what it is met on: `for each receptacle r`"),
    ("needs", "say what must hold: `needs protected \"GFCI protection\": r.is-gfci-protected`"),
    ("else", "say what is wrong where it doesn't hold: `else \"{r} has no GFCI protection\"`"),
];

impl<'a> Reader<'a> {
    /// Reads a rule. Every clause is read, whatever is wrong with the others; the rule goes into
    /// the pack only if nothing is.
    pub(super) fn rule(&mut self, block: &Clause) {
        let before = self.problems.len();
        let mut rule = syntax::Rule { span: block.whole(), ..syntax::Rule::default() };
        self.titled(block, &mut rule.name, &mut rule.title);
        let clauses = self.clauses(block.rest);
        self.demanded(block, &clauses);
        self.twice(&clauses);
        for clause in &clauses {
            self.rule_clause(clause, &mut rule);
        }
        own_letter(&mut rule);
        if !self.errors_since(before) {
            self.pack.rules.push(rule);
        }
    }

    /// Reads one clause into its rule; nothing where it has a problem.
    pub(super) fn rule_clause(&mut self, clause: &Clause, rule: &mut syntax::Rule) {
        match clause.keyword {
            "aliases" => rule.aliases.extend(self.names_clause(clause)),
            "why" => rule.why = self.plain(clause),
            "cites" => rule.cites.extend(self.cites(clause)),
            "figures" => rule.figures = self.figures(clause),
            "from" | "before" => self.rule_bounds(clause, &mut rule.bounds),
            "stage" => put(&mut rule.stage, self.one_of(clause, &STAGES)),
            "level" => put(&mut rule.level, self.one_of(clause, &LEVELS)),
            "value" => rule.values.extend(self.values(clause)),
            "list" => rule.lists.extend(self.list(clause)),
            "for" => put(&mut rule.subject, self.subject(clause)),
            "reach" => rule.excepts.extend(self.reach_of(clause)),
            "where" => rule.wheres.extend(self.conditions(clause)),
            "needs" => rule.needs.extend(self.conditions(clause)),
            "except" => rule.excepts.extend(self.excepts(clause)),
            "evidence" => rule.evidence.extend(self.evidence(clause)),
            "awaits" => rule.awaits.extend(self.paths(clause)),
            "points" => rule.points.extend(self.paths(clause)),
            "else" => put(&mut rule.otherwise, self.message_clause(clause)),
            "remedy" => rule.remedy = self.message_clause(clause),
            "caution" => rule.caution = self.message_clause(clause),
            "ask" => rule.asks.extend(self.asks(clause)),
            "given" => rule.given.extend(self.names_clause(clause)),
            "example" => rule.examples.extend(self.example(clause)),
            unknown => self.unknown_word(clause, unknown, "begins no clause of a rule", &RULE_CLAUSES),
        }
    }

    pub(super) fn demanded(&mut self, block: &Clause, clauses: &[Clause]) {
        for (keyword, help) in DEMANDED {
            if !clauses.iter().any(|clause| clause.keyword == keyword) {
                let line = block.span.start as usize..block.first().end;
                self.error(line, format!("this rule has no `{keyword}`"), help);
            }
        }
    }

    /// Clauses that stand once, standing twice.
    pub(super) fn twice(&mut self, clauses: &[Clause]) {
        const ONCE: [&str; 16] = [
            "why", "reach", "figures", "stage", "level", "for", "else", "remedy", "caution", "doc", "=", "means",
            "phrase", "ordinary", "beyond", "given",
        ];
        for (i, clause) in clauses.iter().enumerate() {
            if !ONCE.contains(&clause.keyword) {
                continue;
            }
            if let Some(first) = clauses.iter().take(i).find(|c| c.keyword == clause.keyword) {
                let message = format!("a second `{}`", clause.keyword);
                self.problems.push(
                    Problem::error(clause.span, message).help("one is enough: join them").also(first.span, "the first"),
                );
            }
        }
    }

    /// Words that are read by people alone, lines joined.
    pub(super) fn plain(&mut self, clause: &Clause) -> String {
        let lines = clause.each_line().filter_map(|line| self.text.get(line));
        lines.flat_map(str::split_whitespace).collect::<Vec<_>>().join(" ")
    }

    fn figures(&mut self, clause: &Clause) -> Option<Figures> {
        self.read(Rule::figures_line, clause.all(), |reader, parts| {
            let is_verified = parts.next()?.rule() == Rule::figures_verified;
            Some(Figures { is_verified, source: reader.title(parts).unwrap_or_default() })
        })
    }

    fn rule_bounds(&mut self, clause: &Clause, bounds: &mut Bounds) {
        let whole = clause.span.start as usize..clause.all().end;
        let read = self.read(Rule::bounds_line, whole, |reader, parts| reader.bounds(parts.next()));
        if let Some(read) = read {
            bounds.from = read.from.or(bounds.from);
            bounds.before = read.before.or(bounds.before);
        }
    }

    fn subject(&mut self, clause: &Clause) -> Option<Subject> {
        self.read(Rule::for_line, clause.all(), |reader, parts| {
            if !parts.has(Rule::kw_each) {
                return Some(Subject { variable: None, kinds: reader.names(parts), within: None });
            }
            let kinds = reader.kinds(&parts.next()?);
            let variable = Some(reader.name(&parts.next()?));
            let within = match parts.has(Rule::kw_in) {
                true => Some(reader.expression(parts.next()?, 0)?),
                false => None,
            };
            Some(Subject { variable, kinds, within })
        })
    }

    /// `reach new`, as the exception that it is; nothing for `old and new`.
    fn reach_of(&mut self, clause: &Clause) -> Option<Except> {
        let span = clause.whole();
        let is_new = self.read(Rule::reach_line, clause.all(), |_, parts| Some(parts.next()?.text() == "new"))?;
        is_new.then(|| old_work("", span))
    }

    /// `where` and `needs`.
    fn conditions(&mut self, clause: &Clause) -> Vec<Part> {
        let parts = self.parts(clause, Rule::part_start);
        parts.into_iter().filter_map(|part| self.condition(part)).collect()
    }

    pub(super) fn condition(&mut self, range: Range<usize>) -> Option<Part> {
        self.read(Rule::part_line, range, |reader, parts| {
            let Some(label) = parts.maybe(Rule::part_label) else {
                let test = reader.expression(parts.next()?, 0)?;
                return Some(Part { name: None, title: None, bounds: Bounds::default(), test });
            };
            let mut label = label.children();
            let name = Some(reader.name(&label.next()?));
            let (title, bounds) = reader.title_and_bounds(&mut label)?;
            Some(Part { name, title, bounds, test: reader.expression(parts.next()?, 0)? })
        })
    }

    fn excepts(&mut self, clause: &Clause) -> Vec<Except> {
        let parts = self.parts(clause, Rule::part_start);
        parts.into_iter().filter_map(|part| self.except(part)).collect()
    }

    pub(super) fn except(&mut self, range: Range<usize>) -> Option<Except> {
        self.read(Rule::except_line, range, |reader, parts| {
            let name = reader.name(&parts.next()?);
            let part = if parts.has(Rule::kw_of) { Some(reader.name(&parts.next()?)) } else { None };
            let (title, bounds) = reader.title_and_bounds(parts)?;
            Some(Except { name, part, title, bounds, test: reader.expression(parts.next()?, 0)? })
        })
    }

    pub(super) fn evidence(&mut self, clause: &Clause) -> Vec<Evidence> {
        let each = |range| {
            self.read(Rule::evidence_line, range, |reader, parts| {
                let word = reader.word_name(parts.next()?)?;
                Some(Evidence { word, how: reader.known(&parts.next()?, "evidence", &EVIDENCE)? })
            })
        };
        clause.each_line().filter_map(each).collect()
    }

    pub(super) fn asks(&mut self, clause: &Clause) -> Vec<Ask> {
        let parts = self.parts(clause, Rule::ask_start);
        let each = |range| {
            self.read(Rule::ask_line, range, |reader, parts| {
                let word = reader.word_name(parts.next()?)?;
                Some(Ask { word, question: reader.message(&parts.next()?)? })
            })
        };
        parts.into_iter().filter_map(each).collect()
    }

    fn paths(&mut self, clause: &Clause) -> Vec<Expr> {
        let read = self.read(Rule::paths_line, clause.all(), |reader, parts| {
            parts.map(|path| reader.expression(path, 0)).collect::<Option<Vec<_>>>()
        });
        read.unwrap_or_default()
    }
}

/// What was there before the work is let off: the letter is the rule's.
pub(in crate::law) fn old_work(letter: &str, span: Span) -> Except {
    let owner = Expr { node: Box::new(Node::Name(letter.to_string())), span };
    let word = Spanned { node: "is-existing".to_string(), span };
    Except {
        name: Spanned { node: syntax::OLD_WORK.to_string(), span },
        part: None,
        title: Some("it was there before this work".into()),
        bounds: Bounds::default(),
        test: Expr { node: Box::new(Node::Word(owner, word)), span },
    }
}

/// `reach` may stand before `for`, so that its letter is put in when both are read.
pub(super) fn own_letter(rule: &mut syntax::Rule) {
    let subject = &rule.subject;
    let letter = subject.variable.as_ref().or(subject.kinds.first()).map_or(String::new(), |name| name.node.clone());
    for except in rule.excepts.iter_mut().filter(|except| except.name.node == syntax::OLD_WORK) {
        if let Node::Word(owner, _) = &mut *except.test.node
            && let Node::Name(name) = &mut *owner.node
            && name.is_empty()
        {
            *name = letter.clone();
        }
    }
}

/// Sets what a clause says, if it could be read.
pub(super) fn put<T>(place: &mut T, read: Option<T>) {
    if let Some(read) = read {
        *place = read;
    }
}

//! `layer` and `change`: the head of a layer file, and its blocks of edits.

use super::lines::Clause;
use super::rule::put;
use super::{Reader, Rule};
use crate::law::syntax::Pack;
use crate::law::syntax::layer::{
    Adopt, Below, CameOut, Change, Differ, Kind, Layer, LayerExample, Leave, Origin, Reach, Scope, Standing, Status,
    Target,
};
use crate::text::{FileId, Problem, Spanned};

/// Every word that a line of a layer begins with, or that names a part behind a verb; the manual explains each.
pub const LAYER_WORDS: [&str; 36] = [
    "name",
    "reach",
    "kind",
    "over",
    "from",
    "before",
    "status",
    "source",
    "adopt",
    "below",
    "differ",
    "why",
    "only",
    "set",
    "add",
    "strike",
    "limit",
    "borrow",
    "defer",
    "value",
    "list",
    "item",
    "needs",
    "where",
    "exception",
    "level",
    "stage",
    "cell",
    "row",
    "table",
    "rule",
    "formula",
    "meaning",
    "title",
    "cites",
    "evidence",
];

/// Every line of a layer's head.
const HEAD: [&str; 9] = ["kind", "over", "from", "before", "status", "source", "adopt", "below", "differ"];

/// Every line of a `change` block that is no edit.
const ABOUT: [&str; 8] = ["why", "source", "only", "over", "from", "before", "status", "example"];

/// What stands once in a head or block.
const ONCE: [&str; 9] = ["kind", "over", "from", "before", "status", "source", "differ", "why", "only"];

/// Reads a layer file. None where it has no `layer` block that could be read; every problem is
/// listed, in the order of the file.
pub fn read_layer(file: FileId, text: &str) -> (Option<Layer>, Vec<Problem>) {
    let mut reader =
        Reader { file, text, problems: Vec::new(), pack: Pack::default(), layer: None, is_layer: true, changes: 0 };
    reader.file();
    if reader.layer.is_none() && reader.problems.is_empty() {
        reader.error(0..0, "this file has no `layer` block", "a layer begins with `layer NAME \"full name\"`");
    }
    reader.problems.sort_by_key(|problem| problem.span);
    let layer = reader.layer.map(|layer| Layer { pack: reader.pack, ..layer });
    (layer, reader.problems)
}

impl<'a> Reader<'a> {
    /// `layer NAME "full name"` and the lines of its head.
    pub(super) fn layer(&mut self, block: &Clause) {
        let before = self.problems.len();
        let line = block.span.start as usize..block.first().end;
        if self.layer.is_some() {
            return self.error(line, "a second `layer` in one file", "each layer has a file of its own");
        }
        let mut layer = Layer { span: block.whole(), ..Layer::default() };
        self.titled(block, &mut layer.name, &mut layer.title);
        let clauses = self.clauses(block.rest);
        self.stands_twice(&clauses);
        for clause in &clauses {
            self.head_line(clause, &mut layer);
        }
        for (keyword, help) in [
            ("kind", "say who speaks: `kind county`, or state, city, utility, owner"),
            ("over", "say over which editions it was written: `over NEC 2023`, or `over any edition`"),
            ("status", "say whether it is law, and when somebody looked: `status in force, checked 2026-11-25`"),
        ] {
            if !clauses.iter().any(|clause| clause.keyword == keyword) {
                self.error(line.clone(), format!("this layer has no `{keyword}`"), help);
            }
        }
        if !self.errors_since(before) {
            self.layer = Some(layer);
        }
    }

    fn head_line(&mut self, clause: &Clause, layer: &mut Layer) {
        match clause.keyword {
            "kind" => put(&mut layer.kind, self.layer_kind(clause)),
            "source" => layer.source = self.origin(clause),
            "adopt" => layer.adopts.extend(self.adopt(clause)),
            "below" => layer.below.extend(self.below(clause)),
            "differ" => layer.differ = self.differ(clause),
            _ if self.scope_line(clause, &mut layer.scope) => {}
            unknown => self.no_head_line(clause, unknown, &HEAD),
        }
    }

    fn no_head_line(&mut self, clause: &Clause, unknown: &str, known: &[&str]) {
        if unknown == "until" {
            let place = clause.span.start as usize..clause.span.end as usize;
            return self.error(place, "`until` is read in two ways", "`before DAY` leaves that day out");
        }
        self.unknown_word(clause, unknown, "begins no line of a layer's head", known);
    }

    /// `over`, `from`, `before`, `status`; false where the line is none of these.
    fn scope_line(&mut self, clause: &Clause, scope: &mut Scope) -> bool {
        match clause.keyword {
            "over" => scope.over = self.over(clause),
            "from" => scope.from = self.day(clause),
            "before" => scope.before = self.day(clause),
            "status" => scope.status = self.standing(clause),
            _ => return false,
        }
        true
    }

    fn stands_twice(&mut self, clauses: &[Clause]) {
        for (i, clause) in clauses.iter().enumerate() {
            let first = clauses.iter().take(i).find(|c| c.keyword == clause.keyword);
            if let Some(first) = first.filter(|_| ONCE.contains(&clause.keyword)) {
                let message = format!("a second `{}`", clause.keyword);
                self.problems
                    .push(Problem::error(clause.span, message).help("one is enough").also(first.span, "the first"));
            }
        }
    }

    fn layer_kind(&mut self, clause: &Clause) -> Option<Kind> {
        let names = Kind::ALL.map(Kind::name);
        let named = self.read(Rule::name_line, clause.all(), |reader, parts| {
            let name = parts.next()?;
            if matches!(name.text(), "town" | "village" | "borough" | "township" | "municipality") {
                reader.error(name.range(), format!("`{}` is no kind", name.text()), "it is a `city` here");
                return None;
            }
            reader.known(&name, "kind", &names)
        })?;
        Kind::ALL.into_iter().find(|kind| kind.name() == named.node)
    }

    fn over(&mut self, clause: &Clause) -> Option<Vec<Reach>> {
        self.read(Rule::over_line, clause.all(), |reader, parts| {
            let mut all = Vec::new();
            for part in parts {
                if part.rule() == Rule::any_edition {
                    return Some(Vec::new());
                }
                let mut inner = part.children();
                let year = reader.edition(&inner.next()?)?;
                all.push(Reach { year, is_open: inner.has(Rule::and_later) });
            }
            Some(all)
        })
    }

    fn day(&mut self, clause: &Clause) -> Option<i64> {
        self.read(Rule::day_line, clause.all(), |reader, parts| reader.day_of(&parts.next()?))
    }

    fn standing(&mut self, clause: &Clause) -> Option<Spanned<Status>> {
        let place = self.span(clause.all());
        self.read(Rule::standing_line, clause.all(), |reader, parts| {
            let standing = match parts.next()?.rule() {
                Rule::proposed => Standing::Proposed,
                Rule::withdrawn => Standing::Withdrawn(match parts.maybe(Rule::date) {
                    Some(day) => Some(reader.day_of(&day)?),
                    None => None,
                }),
                Rule::absorbed => Standing::Absorbed(reader.edition(&parts.next()?)?),
                Rule::unsettled => Standing::Unsettled(reader.title(parts)?),
                _ => Standing::InForce,
            };
            let checked = match parts.has(Rule::kw_checked) {
                true => Some(reader.day_of(&parts.next()?)?),
                false => None,
            };
            Some(Spanned { node: Status { standing, checked }, span: place })
        })
    }

    fn origin(&mut self, clause: &Clause) -> Option<Origin> {
        self.read(Rule::origin_line, clause.all(), |reader, parts| {
            let title = reader.title(parts)?;
            Some(Origin { title, address: parts.next().map(|address| address.text().to_string()) })
        })
    }

    fn adopt(&mut self, clause: &Clause) -> Option<Adopt> {
        let span = clause.whole();
        self.read(Rule::adopt_line, clause.all(), |reader, parts| {
            let mut adopt = Adopt {
                editions: Vec::new(),
                as_of: None,
                from: None,
                before: None,
                test: None,
                floating_from: None,
                span,
            };
            for part in parts.by_ref() {
                match part.rule() {
                    Rule::edition => adopt.editions.push(reader.edition(&part)?),
                    Rule::as_of => adopt.as_of = Some(reader.day_of(&part.children().last()?)?),
                    Rule::date => adopt.floating_from = Some(reader.day_of(&part)?),
                    Rule::from => adopt.from = Some(reader.day_moment(&part)?),
                    Rule::before => adopt.before = Some(reader.day_moment(&part)?),
                    Rule::expression => adopt.test = Some(reader.expression(part, 0)?),
                    _ => {}
                }
            }
            Some(adopt)
        })
    }

    fn below(&mut self, clause: &Clause) -> Option<Below> {
        let span = clause.whole();
        self.read(Rule::below_line, clause.all(), |reader, parts| {
            let mut below = Below { kinds: Vec::new(), leave: Leave::Free, is_for_licensed: false, span };
            for part in parts.by_ref() {
                match part.rule() {
                    Rule::stricter_only => below.leave = Leave::StricterOnly,
                    Rule::no_edits => below.leave = Leave::NoEdits,
                    Rule::free => below.leave = Leave::Free,
                    Rule::binding_licensed => below.is_for_licensed = true,
                    _ => {
                        let name = reader.known(&part, "kind", &Kind::ALL.map(Kind::name))?;
                        below.kinds.extend(Kind::ALL.into_iter().find(|kind| kind.name() == name.node));
                    }
                }
            }
            Some(below)
        })
    }

    fn differ(&mut self, clause: &Clause) -> Option<Spanned<Differ>> {
        let span = clause.whole();
        self.read(Rule::differ_line, clause.all(), |_, parts| {
            let node = match parts.next()?.rule() {
                Rule::strictest_wins => Differ::Strictest,
                Rule::this_layer_wins => Differ::ThisLayer,
                _ => Differ::Ask,
            };
            Some(Spanned { node, span })
        })
    }

    /// `change TARGET "title"` and its lines.
    pub(super) fn change(&mut self, block: &Clause) {
        let before = self.problems.len();
        let line = block.span.start as usize..block.first().end;
        self.changes += 1;
        if self.layer.is_none() && self.problems.is_empty() {
            self.error(
                line.clone(),
                "this `change` stands before any `layer`",
                "the file begins with `layer NAME \"full name\"`",
            );
        }
        let head = self.read(Rule::change_line, block.first(), |reader, parts| {
            Some((reader.target(parts)?, reader.title(parts)?))
        });
        let clauses = self.clauses(block.rest);
        self.stands_twice(&clauses);
        let mut change = Change {
            target: Target::EveryRule(None),
            title: String::new(),
            why: String::new(),
            source: None,
            only_where: None,
            scope: Scope::default(),
            edits: Vec::new(),
            examples: Vec::new(),
            span: block.whole(),
        };
        for clause in &clauses {
            match clause.keyword {
                "why" => change.why = self.plain(clause),
                "source" => change.source = self.origin(clause),
                "only" => {
                    change.only_where = self.read(Rule::only_line, clause.all(), |reader, parts| {
                        parts.maybe(Rule::kw_where)?;
                        reader.expression(parts.next()?, 0)
                    });
                }
                "example" => change.examples.extend(self.layer_example(clause)),
                _ if self.scope_line(clause, &mut change.scope) => {}
                _ => self.edit(clause, &mut change, &ABOUT),
            }
        }
        if change.edits.is_empty() && change.examples.is_empty() && !self.errors_since(before) {
            self.error(
                line.clone(),
                "this block changes nothing",
                "an edit begins with set, add, strike, limit, borrow or defer",
            );
        }
        if change.why.is_empty() && !self.errors_since(before) {
            self.error(
                line,
                "this block has no `why`",
                "one sentence for whoever reads the report: why was this changed?",
            );
        }
        let Some((target, title)) = head else { return };
        (change.target, change.title) = (target, title);
        if !self.errors_since(before)
            && let Some(layer) = &mut self.layer
        {
            layer.changes.push(change);
        }
    }

    fn target(&mut self, parts: &mut super::parse::Children<'a>) -> Option<Target> {
        let kind = parts.next()?.rule();
        if kind == Rule::target_every {
            let stage = match parts.has(Rule::target_stage) {
                true => Some(self.name(&parts.next()?)),
                false => None,
            };
            return Some(Target::EveryRule(stage));
        }
        let name = self.name(&parts.next()?);
        Some(match kind {
            Rule::target_group => Target::Group(name),
            Rule::target_table => Target::Table(name),
            Rule::target_define => Target::Define(name),
            Rule::target_name => Target::Name(name),
            Rule::kw_list => Target::List(name),
            Rule::target_value => Target::Value(name),
            _ => Target::Rule(name),
        })
    }

    /// `example pass [of rule R], was attention "title"` and its lines.
    fn layer_example(&mut self, clause: &Clause) -> Option<LayerExample> {
        let head = self.read(Rule::layer_example, clause.first(), |reader, parts| {
            let now = reader.came_out(parts.next()?)?;
            let rule = match parts.has(Rule::kw_of_rule) {
                true => Some(reader.name(&parts.next()?)),
                false => None,
            };
            parts.maybe(Rule::kw_was)?;
            let was = reader.came_out(parts.next()?)?;
            Some((now, rule, was, reader.title(parts)))
        });
        let body = self.example_body(clause.rest);
        let (now, rule, was, title) = head?;
        let span = self.span(clause.span.start as usize..clause.first().end);
        Some(LayerExample { rule, now, was, title, body, span })
    }

    fn came_out(&mut self, found: super::parse::Found<'a>) -> Option<CameOut> {
        let mut parts = found.children();
        Some(match found.rule() {
            Rule::switched_off | Rule::no_rule => CameOut::NoRule,
            Rule::advice => CameOut::Advice(match parts.has(Rule::kw_at) {
                true => Some(self.name(&parts.next()?)),
                false => None,
            }),
            Rule::at_stage => CameOut::Stage(self.name(&parts.last()?)),
            Rule::called_so => CameOut::Called(self.quoted(&found)),
            _ => CameOut::Verdict(self.expected(&mut parts)?),
        })
    }
}

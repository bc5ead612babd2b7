//! `define` and `term`.

use super::lines::Clause;
use super::parse::{Children, Found};
use super::rule::put;
use super::{Reader, Rule};
use crate::law::syntax::{Define, Expr, Parameter, TypeName};
use crate::quantity::{Scale, UNITS};

/// Every clause of a define and of a term.
const CLAUSES: [&str; 10] = ["doc", "note", "source", "cites", "value", "list", "=", "means", "given", "example"];

impl<'a> Reader<'a> {
    /// Reads `define NAME of (x: KIND) in UNIT` or `term NAME of (x: KIND)` and the clauses below.
    pub(super) fn define(&mut self, block: &Clause) {
        let before = self.problems.len();
        let is_term = block.keyword == "term";
        let head = self.define_head(block, is_term);
        let clauses = self.clauses(block.rest);
        self.twice(&clauses);
        let body = if is_term { "means" } else { "=" };
        if !clauses.iter().any(|clause| clause.keyword == body) {
            let line = block.span.start as usize..block.first().end;
            let help = if is_term { "add `means CONDITION`" } else { "add `= EXPRESSION`" };
            self.error(line, format!("this {} says nothing", block.keyword), help);
        }
        let mut define = Define { span: block.whole(), ..head.unwrap_or_default() };
        for clause in &clauses {
            self.define_clause(clause, &mut define, body);
        }
        if !self.errors_since(before) {
            self.pack.defines.push(define);
        }
    }

    fn define_clause(&mut self, clause: &Clause, define: &mut Define, body: &str) {
        match clause.keyword {
            "doc" => put(&mut define.doc, self.text_clause(clause)),
            "note" => define.note = self.text_clause(clause),
            "source" => define.source = self.text_clause(clause),
            "cites" => define.cites.extend(self.cites(clause)),
            "value" => define.values.extend(self.values(clause)),
            "list" => define.lists.extend(self.list(clause)),
            "given" => define.given.extend(self.names_clause(clause)),
            "example" => define.examples.extend(self.figure_example(clause)),
            keyword if keyword == body => put(&mut define.body, self.body(clause)),
            "=" | "means" => {
                let help = "a `define` has `= EXPRESSION`, a `term` has `means CONDITION`";
                self.error(
                    clause.span.start as usize..clause.span.end as usize,
                    format!("`{}` does not belong here", clause.keyword),
                    help,
                );
            }
            unknown => self.unknown_word(clause, unknown, "begins no clause of a define or term", &CLAUSES),
        }
    }

    fn body(&mut self, clause: &Clause) -> Option<Expr> {
        self.read(Rule::body_line, clause.all(), |reader, parts| reader.expression(parts.next()?, 0))
    }

    fn define_head(&mut self, block: &Clause, is_term: bool) -> Option<Define> {
        let rule = if is_term { Rule::term_line } else { Rule::define_line };
        self.read(rule, block.first(), |reader, parts| {
            let name = reader.name(&parts.next()?);
            parts.maybe(Rule::kw_of)?;
            let parameters = reader.parameters(parts.next()?.children())?;
            let mut define = Define { name, parameters, ..Define::default() };
            match parts.next().map(|keyword| keyword.rule()) {
                Some(Rule::kw_for) => {
                    let purpose = reader.name(&parts.next()?);
                    define.name.node = crate::law::syntax::for_purpose(&define.name.node, &purpose.node);
                    define.purpose = Some(purpose);
                }
                Some(Rule::kw_as) => define.result = Some(reader.type_name(parts.next()?)),
                Some(_) => define.result = Some(reader.result_unit(parts.next()?)?),
                None => {}
            }
            Some(define)
        })
    }

    fn parameters(&mut self, parts: Children<'a>) -> Option<Vec<Parameter>> {
        let mut parameters: Vec<Parameter> = Vec::new();
        for part in parts {
            let mut inner = part.children();
            let name = self.name(&inner.next()?);
            if parameters.iter().any(|p| p.name == name) {
                self.error(part.range(), format!("a second `{}`", name.node), "each parameter has a letter of its own");
            }
            parameters.push(Parameter { name, ty: self.type_name(inner.next()?) });
        }
        Some(parameters)
    }

    /// `feeder or circuit`, `choice metal`, `list choice metal`, `wire-size`, `yes/no`.
    pub(super) fn type_name(&mut self, found: Found<'a>) -> TypeName {
        let mut words = Vec::new();
        for part in found.children() {
            match part.rule() {
                Rule::kinds => words.extend(self.kinds(&part).into_iter().map(|kind| kind.node)),
                _ => words.push(part.text().to_string()),
            }
        }
        TypeName { words, span: self.place(&found) }
    }

    /// The unit behind `in`, or `number`.
    fn result_unit(&mut self, found: Found<'a>) -> Option<TypeName> {
        let name = found.text().split_whitespace().collect::<Vec<_>>().join(" ");
        if !UNITS.iter().any(|unit| unit.name == name) && name != "number" {
            let help = if Scale::named(&name).is_some() {
                format!("after `in` comes a unit, such as A or in; write `as {name}`")
            } else {
                super::amount::unit_hint(&name)
            };
            self.error(found.range(), format!("`{name}` is no unit"), help);
            return None;
        }
        Some(TypeName { words: vec![name], span: self.place(&found) })
    }
}

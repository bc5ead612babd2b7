//! What this house demands of its own pack beyond what every pack must hold to.

use super::Compiler;
use super::messages as say;
use crate::law::syntax::{Expected, Pack};
use crate::text::Problem;

/// In the base pack every part has a name, so that a layer can amend it, and every rule is shown by
/// examples: one that passes, one that needs attention, one that is unknown, and one for each exception.
pub fn house_rules(pack: &Pack) -> Vec<Problem> {
    let mut problems = Vec::new();
    for rule in &pack.rules {
        for part in rule.wheres.iter().chain(&rule.needs).filter(|p| p.name.is_none()) {
            problems.push(
                Problem::error(part.test.span, "this part has no name, so no layer can amend it")
                    .help("write `name \"title\": condition`"),
            );
        }
        let has = |wanted: fn(&Expected) -> bool| rule.examples.iter().any(|e| wanted(&e.expected));
        let mut missing: Vec<String> = Vec::new();
        if !has(|e| matches!(e, Expected::Pass | Expected::PassExcept(_))) {
            missing.push("passes".into());
        }
        if rule.level.node != "note" && !has(|e| matches!(e, Expected::Attention(_))) {
            missing.push("needs attention".into());
        }
        if !has(|e| matches!(e, Expected::Unknown(_))) {
            missing.push("is unknown".into());
        }
        for except in &rule.excepts {
            let shown = rule
                .examples
                .iter()
                .any(|e| matches!(&e.expected, Expected::PassExcept(n) if n.node == except.name.node));
            if !shown {
                missing.push(format!("passes by the exception `{}`", except.name.node));
            }
        }
        for what in missing {
            let problem =
                Problem::error(rule.name.span, format!("rule `{}` has no example that {what}", rule.name.node));
            problems.push(problem.help("add an `example` with a few plan lines; it runs as a test"));
        }
    }
    problems
}

impl Compiler<'_> {
    /// Shared values and lists that nothing uses.
    pub(super) fn unused(&mut self) {
        for value in &self.pack.values {
            if !self.used.values.contains(&value.name.node) {
                self.problems.push(say::unused(value.name.span, "value", &value.name.node));
            }
        }
        for list in &self.pack.lists {
            if !self.used.lists.contains(&list.name.node) {
                self.problems.push(say::unused(list.name.span, "list", &list.name.node));
            }
        }
    }
}

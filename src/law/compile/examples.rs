//! Examples and groups: that they are there, and that what they name exists.

use super::{Compiler, messages};
use crate::law::syntax::{Example, ExampleBody, Expected, Rule};
use crate::text::{Spanned, nearest};
use std::collections::HashSet;

impl<'a> Compiler<'a> {
    pub(super) fn check_examples(&mut self) {
        let pack = self.pack;
        let givens: HashSet<&str> = pack.givens.iter().map(|given| given.name.node.as_str()).collect();
        let names: Vec<_> = pack.givens.iter().map(|given| &given.name).collect();
        self.check_names("given", &names);
        for given in &pack.givens {
            self.check_body(&given.body);
        }
        for rule in &pack.rules {
            self.check_givens(&rule.given, &givens);
            for example in &rule.examples {
                self.check_example(rule, example);
            }
            self.check_enough(rule);
        }
        for define in &pack.defines {
            self.check_givens(&define.given, &givens);
            for example in &define.examples {
                if define.parameters.len() != 1 {
                    self.report(messages::example_of_several(example.span, &define.name.node));
                }
                self.check_body(&example.body);
            }
        }
    }

    fn check_givens(&mut self, named: &[Spanned<String>], givens: &HashSet<&str>) {
        for name in named.iter().filter(|name| !givens.contains(name.node.as_str())) {
            if !self.broken.contains(name.node.as_str()) {
                let near = nearest(&name.node, givens.iter().copied()).map(str::to_string);
                self.report(messages::unknown_given(name.span, &name.node, near));
            }
        }
    }

    fn check_example(&mut self, rule: &Rule, example: &Example) {
        match &example.expected {
            Expected::PassExcept(name) if !rule.excepts.iter().any(|except| except.name == *name) => {
                let near = nearest(&name.node, rule.excepts.iter().map(|except| except.name.node.as_str()));
                self.report(messages::unknown_except(name.span, &name.node, near));
            }
            Expected::Unknown(missing) => missing.iter().for_each(|missing| self.check_word_exists(&missing.word)),
            _ => {}
        }
        self.check_body(&example.body);
    }

    fn check_body(&mut self, body: &ExampleBody) {
        body.unsaid.iter().for_each(|missing| self.check_word_exists(&missing.word));
        body.sets.iter().for_each(|set| self.check_word_exists(&set.word));
    }

    /// A pass, an attention, an unknown, and one for each exception: untested, a rule that is wrong
    /// looks like one that is right.
    fn check_enough(&mut self, rule: &Rule) {
        let has = |wanted: fn(&Expected) -> bool| rule.examples.iter().any(|example| wanted(&example.expected));
        let mut missing = Vec::new();
        if !has(|e| matches!(e, Expected::Pass | Expected::PassExcept(_))) {
            missing.push("`example pass`".to_string());
        }
        // A note only passes or does not apply.
        let is_note = rule.level.node == "note";
        if !is_note && !has(|e| matches!(e, Expected::Attention(_))) {
            missing.push("`example attention`".to_string());
        }
        if !is_note && !has(|e| matches!(e, Expected::Unknown(_))) {
            missing.push("`example unknown`".to_string());
        }
        for except in &rule.excepts {
            let shows = |e: &Example| matches!(&e.expected, Expected::PassExcept(name) if *name == except.name);
            if !rule.examples.iter().any(shows) {
                missing.push(format!("`example pass except {}`", except.name.node));
            }
        }
        if !missing.is_empty() {
            let is_strict = self.demands.is_strict(rule.name.span);
            self.report(messages::examples_missing(rule.name.span, &rule.name.node, &missing, is_strict));
        }
    }

    pub(super) fn check_groups(&mut self) {
        let pack = self.pack;
        let rules: HashSet<&str> = pack
            .rules
            .iter()
            .flat_map(|rule| std::iter::once(&rule.name).chain(&rule.aliases))
            .map(|name| name.node.as_str())
            .collect();
        let names: Vec<_> = pack.groups.iter().map(|group| &group.name).collect();
        self.check_names("group", &names);
        for name in pack.groups.iter().flat_map(|group| &group.rules) {
            if !rules.contains(name.node.as_str()) && !self.broken.contains(name.node.as_str()) {
                let near = nearest(&name.node, rules.iter().copied()).map(str::to_string);
                self.report(messages::unknown_rule(name.span, &name.node, near));
            }
        }
    }
}

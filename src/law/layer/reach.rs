//! Which rules rest on a table, term, value or list that an edit changed.

use super::{Reached, walk};
use crate::law::syntax::{Expr, Pack, Rule, Touched};
use std::collections::{HashMap, HashSet};

/// Notes at each rule the edits of what it reads, by way of terms and formulas too.
pub(super) fn note(pack: &mut Pack, reached: &[Reached]) {
    if reached.is_empty() {
        return;
    }
    let mut speaks: HashMap<String, HashSet<String>> = HashMap::new();
    for define in &mut pack.defines {
        let said = speaks.entry(define.name.node.clone()).or_default();
        let mut meet = |e: &mut Expr| said.extend(walk::names(e).into_iter().map(String::from));
        walk::expr(&mut define.body, &mut meet);
        define.values.iter_mut().for_each(|value| walk::value(value, &mut meet));
        define.lists.iter_mut().for_each(|list| walk::list(list, &mut meet));
    }
    for value in &mut pack.values {
        let said = speaks.entry(value.name.node.clone()).or_default();
        walk::value(value, &mut |e| said.extend(walk::names(e).into_iter().map(String::from)));
    }
    // What rests on each changed name, from the name outwards.
    let mut readers: HashMap<&str, Vec<&str>> = HashMap::new();
    for (reader, said) in &speaks {
        said.iter().for_each(|name| readers.entry(name).or_default().push(reader));
    }
    let resting: Vec<HashSet<&str>> = reached
        .iter()
        .map(|reached| {
            let mut met: HashSet<&str> = HashSet::from([reached.name.as_str()]);
            let mut open = vec![reached.name.as_str()];
            while let Some(name) = open.pop() {
                for reader in readers.get(name).into_iter().flatten() {
                    if met.insert(reader) {
                        open.push(reader);
                    }
                }
            }
            met
        })
        .collect();
    for rule in &mut pack.rules {
        let said = names(rule);
        for (reached, met) in reached.iter().zip(&resting) {
            if said.iter().any(|name| met.contains(name.as_str())) {
                rule.touched.push(Touched { edit: reached.edit, when: reached.when.clone() });
            }
        }
    }
}

fn names(rule: &mut Rule) -> HashSet<String> {
    let mut said = HashSet::new();
    walk::rule(rule, &mut |e| said.extend(walk::names(e).into_iter().map(String::from)));
    said
}

//! No rule id is ever lost: a local layer names a rule by its id, and an edit whose target is gone is an error for whoever
//! wrote it. The list stands in `cases/rule_ids.txt`, which says where it comes from.

use ringout::law;
use ringout::text::Sources;
use std::collections::BTreeSet;

#[test]
fn every_id_is_answered_by_one_rule() {
    let listed: Vec<&str> =
        include_str!("cases/rule_ids.txt").lines().filter(|l| !l.starts_with('#') && !l.is_empty()).collect();
    let ids: BTreeSet<&str> = listed.iter().copied().collect();
    assert_eq!((listed.len(), ids.len()), (190, 190), "170 and 21, one of them in both");

    let pack = law::builtin(&mut Sources::default());
    let answers =
        |rule: &law::syntax::Rule, id: &str| rule.name.node == id || rule.aliases.iter().any(|a| a.node == id);
    let wrong: Vec<String> = ids
        .iter()
        .map(|id| (id, pack.rules.iter().filter(|rule| answers(rule, id)).count()))
        .filter(|(_, count)| *count != 1)
        .map(|(id, count)| format!("{id}: {count} rules answer"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

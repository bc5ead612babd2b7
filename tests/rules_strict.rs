//! Spoiling a pack: what no example notices is told, what one notices is not.

use ringout::law;
use ringout::selftest::strictness;
use ringout::text::Sources;

/// A rule with a limit, two conditions, two ways and an exception. The figures are invented.
const RULE: &str = r#"rule cover-lawn "Cover under the lawn"
  why     A spade finds a shallow pipe.
  stage   trench
  level   required
  value   depth: at least 10 in
  list    ways
            deep "deep enough": s.cover within depth
            slab "under a slab": s.is-under-slab
  for     each run s
  where   buried: s.place is buried
          pipe: s.method is PVC-40
  needs   covered "cover": any of ways
  except  owner "the owner wires": permit.worker is owner
  else    "{s} lies too high"
  remedy  "Dig."

fact run.is-under-slab yes/no "a slab lies over it"
  phrase  under a slab of ours
"#;

fn unnoticed(examples: &str) -> (usize, Vec<String>) {
    let text = RULE.replacen("\nfact run", &format!("{examples}\nfact run"), 1);
    let mut sources = Sources::default();
    let file = sources.add("pack.rule", text.clone());
    let (pack, slips) = law::read(file, &text);
    assert!(slips.is_empty(), "{slips:?}");
    let (_, problems) = law::compile(&pack);
    let errors: Vec<_> = problems.iter().filter(|p| p.severity == ringout::text::Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:?}");
    let strictness = strictness(&pack);
    (strictness.tried, strictness.unnoticed.into_iter().map(|u| format!("{}: {}", u.block, u.change)).collect())
}

const ALL: [&str; 7] = [
    "cover-lawn: 10 in moved to 12 in",
    "cover-lawn: 10 in moved to 8 in",
    "cover-lawn: item `deep` left out",
    "cover-lawn: item `slab` left out",
    "cover-lawn: condition `buried` left out",
    "cover-lawn: condition `pipe` left out",
    "cover-lawn: exception `owner` left out",
];

#[test]
fn without_examples_nothing_is_noticed() {
    let (tried, mut found) = unnoticed("");
    found.sort();
    let mut all = ALL.to_vec();
    all.sort_unstable();
    assert_eq!((tried, found), (ALL.len(), all.iter().map(|s| s.to_string()).collect()));
}

#[test]
fn an_example_notices_what_it_turns_on() {
    let just_enough = "
  example pass
    panel P1
    box B1
    run P1 to B1: PVC-40, buried 11 in, not under a slab of ours
    shop: by licensed
";
    let (_, found) = unnoticed(just_enough);
    assert!(!found.contains(&ALL[0].to_string()) && !found.contains(&ALL[2].to_string()), "{found:?}");
    assert!(found.contains(&ALL[1].to_string()), "nothing here is too high: {found:?}");

    let both_sides = format!(
        "{just_enough}
  example attention at P1-B1
    panel P1
    box B1
    run P1 to B1: PVC-40, buried 9 in, not under a slab of ours
    shop: by licensed
  example pass \"under the slab\"
    panel P1
    box B1
    run P1 to B1: PVC-40, buried 3 in, under a slab of ours
    shop: by licensed
  example pass except owner
    panel P1
    box B1
    run P1 to B1: PVC-40, buried 3 in, not under a slab of ours
    shop: by owner
  example not applicable
    panel P1
    box B1
    run P1 to B1: EMT, buried 3 in, not under a slab of ours
    box B2
    run B1 to B2: PVC-40, on outside wall
    shop: by licensed
"
    );
    let (tried, found) = unnoticed(&both_sides);
    assert_eq!((tried, found), (ALL.len(), Vec::new()));
}

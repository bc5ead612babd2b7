//! What the rule files are for: a person who never programmed changes a figure and adds a demand, and the
//! verdicts follow. Nothing in the program changes.

use std::path::{Path, PathBuf};
use std::process::Command;

fn ringout(arguments: &[&str]) -> (Option<i32>, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_ringout")).args(arguments).output().unwrap();
    (out.status.code(), String::from_utf8_lossy(&out.stdout).into_owned() + &String::from_utf8_lossy(&out.stderr))
}

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("ringout-{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

fn verdict_of(report: &str, rule: &str) -> Vec<String> {
    let report: serde_json::Value = serde_json::from_str(report).unwrap();
    let all = report["findings"].as_array().unwrap();
    all.iter().filter(|f| f["rule"] == rule).map(|f| f["verdict"].as_str().unwrap().to_string()).collect()
}

#[test]
fn an_edited_pack_judges_as_edited() {
    let rules = folder("edit");
    let path = rules.to_string_lossy().into_owned();
    let (code, said) = ringout(&["rules", "export", &path]);
    assert_eq!(code, Some(0), "{said}");

    let plan = rules.with_extension("shop");
    std::fs::write(&plan, "shop: code NEC 2023\nbox B1, B2: 4 in square, 2-1/8 in deep\nrun B1 to B2: 3/4 in EMT, 9 ft, 3 bends, painted red\n").unwrap();
    let plan = plan.to_string_lossy().into_owned();

    // As it comes: three bends are fewer than four, and nobody knows what `painted red` should mean.
    let (code, report) = ringout(&["check", "--rules", &path, "--format", "json", &plan]);
    assert_eq!(code, Some(2), "`painted red` is no phrase yet: {report}");
    assert_eq!(verdict_of(&report, "raceway-bends"), ["pass"]);

    // The county allows 180 degrees, and asks for red paint.
    let file = rules.join("raceways.rule");
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains("at most 360 deg"), "the value to change is where the manual says");
    std::fs::write(&file, text.replace("at most 360 deg", "at most 180 deg")).unwrap();
    std::fs::write(
        rules.join("county.rule"),
        r#"fact run.is-red yes/no "painted red"
  phrase  painted red
  ask     "Is {item} painted red?"

rule red-raceway "Raceway painted red"
  why     The county's crews look for red.
  stage   rough-in
  level   required
  for     each run s
  where   s.is-raceway
  needs   s.is-red
  else    "{s} is not painted red"

  example pass
    box B1, B2
    run B1 to B2: 3/4 in EMT, 9 ft, painted red
  example attention at B1-B2
    box B1, B2
    run B1 to B2: 3/4 in EMT, 9 ft, not painted red
  example unknown missing is-red
    box B1, B2
    run B1 to B2: 3/4 in EMT, 9 ft
"#,
    )
    .unwrap();
    let (code, report) = ringout(&["check", "--rules", &path, "--format", "json", &plan]);
    assert_eq!(code, Some(1), "270 degrees of bends need attention now: {report}");
    assert_eq!(verdict_of(&report, "raceway-bends"), ["attention"]);
    assert_eq!(verdict_of(&report, "red-raceway"), ["pass"]);

    let (code, said) = ringout(&["rules", "show", "red-raceway", "--rules", &path]);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains("county.rule"), "the rule is shown with its file: {said}");

    // The pack tests itself: the example that met 360 degrees no longer comes out.
    let (code, said) = ringout(&["rules", "check", "--rules", &path]);
    assert_eq!(code, Some(2), "{said}");

    assert!(Path::new(&plan).exists());
    let _ = std::fs::remove_file(&plan);
    let _ = std::fs::remove_dir_all(&rules);
}

//! What the program is built from: every crate has a license that we may use and a sum in the lock file,
//! is there once where that is in our hands, and stands in DEVELOPERS.md with the reason where we chose it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

/// Licenses under which code may be taken into a program that is `MIT OR Apache-2.0`. One of an `or` is enough.
const ALLOWED: [&str; 8] =
    ["MIT", "MIT-0", "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "BSD-2-Clause", "ISC", "Unicode-3.0", "Zlib"];

/// Crates that other crates want in two versions. The list may only shrink.
const TWICE: [&str; 7] = ["bit-set", "bit-vec", "embedded-io", "getrandom", "r-efi", "syn", "unicode-width"];

fn read(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// Whether a license expression leaves a choice that is allowed. Older crates part choices by a slash.
fn is_allowed(license: &str) -> bool {
    let parts = license.replace(['(', ')'], "").replace('/', " OR ");
    parts.split(" AND ").all(|all| all.split(" OR ").any(|one| ALLOWED.contains(&one.trim())))
}

#[test]
fn every_license_is_allowed() {
    let cargo = std::env::var("CARGO").unwrap_or("cargo".into());
    let manifest = Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml");
    let args = ["metadata", "--locked", "--format-version", "1", "--manifest-path"];
    let output = Command::new(cargo).args(args).arg(manifest).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).unwrap();
    // One for each package; a crate that names only a file of its own has `null` here.
    let licenses: Vec<&str> = text.split("\"license\":").skip(1).filter_map(|rest| rest.split(",\"").next()).collect();
    assert!(licenses.len() > 100, "{} licenses", licenses.len());
    let refused: BTreeSet<&str> = licenses.into_iter().filter(|l| !is_allowed(l.trim_matches('"'))).collect();
    assert!(refused.is_empty(), "{refused:?}");
    assert!(!is_allowed("GPL-3.0") && !is_allowed("null") && !is_allowed("MIT AND GPL-3.0"));
}

#[test]
fn every_crate_has_a_sum_and_is_there_once() {
    let lock = read("Cargo.lock");
    let mut versions: BTreeMap<&str, usize> = BTreeMap::new();
    for package in lock.split("[[package]]").skip(1) {
        let field = |name: &str| package.lines().find_map(|l| l.strip_prefix(name)?.strip_prefix(" = "));
        let name = field("name").unwrap().trim_matches('"');
        *versions.entry(name).or_default() += 1;
        if name != env!("CARGO_PKG_NAME") {
            // What is taken from a repository or a folder has no sum.
            assert!(field("source").is_some(), "{name} comes from elsewhere");
            assert!(field("checksum").is_some(), "{name} has no sum");
        }
    }
    let twice: Vec<&str> = versions.into_iter().filter(|(_, count)| *count > 1).map(|(name, _)| name).collect();
    assert_eq!(twice, TWICE, "crates in two versions");
}

#[test]
fn every_crate_of_our_choice_has_its_reason() {
    let (manifest, developers) = (read("Cargo.toml"), read("DEVELOPERS.md"));
    let reasons: String =
        developers.split("## Crates").nth(1).unwrap().lines().filter(|l| l.starts_with('|')).collect();
    let named: BTreeSet<&str> = reasons.split(|c: char| !(c.is_alphanumeric() || "-_".contains(c))).collect();
    let mut in_dependencies = false;
    let mut count = 0;
    for line in manifest.lines() {
        if line.starts_with('[') {
            in_dependencies = line.ends_with("dependencies]");
        } else if let Some((name, _)) = line.split_once(" = ").filter(|_| in_dependencies) {
            assert!(named.contains(name), "DEVELOPERS.md does not say why {name} is here");
            count += 1;
        }
    }
    assert!(count > 10, "{count} crates");
}

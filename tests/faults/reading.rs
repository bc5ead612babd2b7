//! Files and folders that can't be read, or have no end.

use super::commands::{Given, as_nobody, fed, is_said, judges, plan_and_rules, readers, ruled, takers};
use super::program::{Folder, RULE, err, out, ringout, status};

/// No right to read the plan, the rules or the layer.
#[cfg(unix)]
#[test]
fn what_may_not_be_read_is_said() {
    use std::os::unix::fs::PermissionsExt;
    let (programs, folder) = (Folder::new("unreadable-program"), Folder::new("unreadable"));
    let plan = folder.write("open.shop", b"panel P1\n");
    let (locked, layer) = (folder.write("locked.shop", b"panel P1\n"), folder.write("locked.rule", b""));
    let (_, rules) = plan_and_rules(&folder);
    for path in [&locked, &layer, &rules] {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o000)).unwrap();
    }
    let mut all: Vec<Vec<&str>> = readers().map(|row| Given::plan(&locked).fill(row)).collect();
    all.extend(ruled(&rules, &plan));
    let given = Given { plan: &plan, target: "TARGET", rules: "examples" };
    // Of a pack of the user's the layer alone is locked: the built-in one has thousands of examples to run.
    let layered = takers("--layer").into_iter().filter(|row| !row.contains(&"--rules"));
    all.extend(layered.map(|row| [&given.fill(row)[..], &["--layer", &layer]].concat()));
    all.push(vec!["rules", "check", "--layer", &layer]);
    all.extend([vec!["editor", "--rules", &rules], vec!["editor", "--layer", &layer]]);
    for args in all {
        is_said(&as_nobody(&programs, &args), "permission denied", &format!("{args:?}"));
    }
    std::fs::set_permissions(&rules, std::fs::Permissions::from_mode(0o755)).unwrap();
}

/// Rules that are not there, are none, or lead nowhere: no command goes on without them. Against no rule every plan
/// would pass.
#[cfg(unix)]
#[test]
fn rules_that_are_none_are_refused_by_every_command() {
    let folder = Folder::new("no-rules-at-all");
    let (plan, _) = plan_and_rules(&folder);
    std::fs::create_dir(folder.0.join("empty")).unwrap();
    std::fs::create_dir(folder.0.join("hollow")).unwrap();
    folder.write("hollow/a.rule", b"");
    folder.write("hollow/b.rule", b"# nothing but what I mean to write\n");
    let circle = folder.file("circle");
    std::os::unix::fs::symlink(&circle, &circle).unwrap();
    let cases = [
        (folder.file("empty"), "no `.rule` file is in this folder"),
        (folder.file("hollow"), "nothing is defined here"),
        (folder.file("hollow/a.rule"), "nothing is defined here"),
        (folder.file("missing"), "no such file"),
        (folder.write("binary.rule", &[b'#', 0xFF, 0]), "no UTF-8 text"),
        (circle, "symbolic link"),
    ];
    for (path, wanted) in &cases {
        for args in ruled(path, &plan) {
            let output = ringout(&args, "");
            is_said(&output, wanted, &format!("{args:?}"));
            is_said(&output, "can't read the rules", &format!("{args:?}"));
            assert_eq!(out(&output), "", "{args:?}: nothing is reported without rules");
        }
    }
    // What is no rule may be a pack all the same, but no plan can be held against it.
    let tables = folder.write("values.rule", b"value x: 1\n");
    assert_eq!(status(&ringout(&["rules", "check", "--rules", &tables], "")), 0);
    let judging = ["check", "ask", "packet", "compare"];
    let judged =
        ruled(&tables, &plan).into_iter().filter(|args| judging.contains(&args[0]) || args[..2] == ["rules", "list"]);
    assert_eq!(judged.map(|args| is_said(&ringout(&args, ""), "there is no rule in", &format!("{args:?}"))).count(), 8);
    for args in
        [["why", plan.as_str(), "gfci-125v", "--rules", &tables], ["rules", "try", "gfci-125v", &plan, "--rules"]]
    {
        let args = if args[0] == "why" { args.to_vec() } else { [&args[..], &[&tables]].concat() };
        is_said(&ringout(&args, ""), "there is no rule gfci-125v", &format!("{args:?}"));
    }
}

/// A line that can't be read is shown by every command that reads the plan, whatever else it prints, and the
/// status is 2; also where the plan comes through a pipe.
#[test]
fn a_line_that_is_not_read_is_shown_by_every_command() {
    let folder = Folder::new("unread-line");
    let plan = folder.write("bad.shop", b"panel P1: 20 in up\nzebra zebra\nbox B1: 18 in3\n");
    for row in readers() {
        for path in [plan.as_str(), "-"] {
            let args = Given::plan(path).fill(row);
            let output = fed(&args, &plan);
            is_said(&output, "`zebra` is no kind of item", &format!("{args:?}"));
            let place = match args.windows(2).find(|pair| pair[0] == "--format").map(|pair| pair[1]) {
                Some("json") => r#""line":2,"column":1"#.to_string(),
                Some(_) => r#""startLine": 2"#.to_string(),
                None => format!("{path}:2:1"),
            };
            is_said(&output, &place, &format!("{args:?}"));
        }
    }
    assert_eq!(std::fs::read(&plan).unwrap().len(), 46, "the plan stays as it is");
}

/// A plan that asks for a thousand layers, or names itself as one.
#[test]
fn a_plan_of_a_thousand_layers_ends_soon() {
    let folder = Folder::new("thousand-layers");
    let mut text = "shop \"x\": detached\npanel P1\n".to_string();
    for n in 0..1_000 {
        folder.write(&format!("pine-{n}.rule"), b"value x: 1\n");
        text = text.replace("detached", &format!("detached\n  amended by pine-{n}"));
    }
    let begun = std::time::Instant::now();
    let rules = folder.write("one.rule", RULE.replace("tall-panel", "gfci-125v").as_bytes());
    for text in [text, "shop \"x\": amended by my\n".to_string(), "shop \"x\": amended by ../my\n".to_string()] {
        let plan = folder.write("my.shop", text.as_bytes());
        // Two plans with different layers are not compared; that is said before anything else.
        for row in judges() {
            let args = [Given::plan(&plan).fill(row), vec!["--rules", &rules]].concat();
            let wanted = if row[0] == "compare" { "different local amendments" } else { "" };
            let output = ringout(&args, "");
            is_said(&output, wanted, &format!("{args:?}"));
            assert!(row[0] == "packet" || output.stdout.len() < 1_000_000, "{args:?}: {}", output.stdout.len());
        }
    }
    assert!(begun.elapsed() < std::time::Duration::from_secs(120), "{:?}", begun.elapsed());
}

/// A plan that changes while it is read is read as it was or as it is, or refused; it never makes a panic.
#[test]
fn a_file_that_changes_while_it_is_read() {
    let folder = Folder::new("changing");
    let long = "box B1: 18 in3\n".to_string() + &"# a comment\n".repeat(20_000);
    let path = folder.write("my.shop", long.as_bytes());
    let is_over = std::sync::atomic::AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let mut turn = 0usize;
            while !is_over.load(std::sync::atomic::Ordering::Relaxed) {
                let text = if turn.is_multiple_of(2) { "panel P1\n" } else { &long };
                std::fs::write(folder.0.join("my.shop"), text).unwrap();
                turn += 1;
            }
        });
        let results: Vec<_> = readers().map(|row| (row, ringout(&Given::plan(&path).fill(row), ""))).collect();
        is_over.store(true, std::sync::atomic::Ordering::Relaxed);
        for (row, output) in results {
            assert!(matches!(status(&output), 0..=2), "{row:?}: {}{}", out(&output), err(&output));
            assert!(!err(&output).contains("panicked"), "{row:?}: {}", err(&output));
        }
    });
}

/// Folders of rules that lead back into themselves, or nowhere.
#[cfg(unix)]
#[test]
fn links_in_a_folder_of_rules() {
    use std::os::unix::fs::symlink;
    let folder = Folder::new("rule-links");
    let check = || ringout(&["rules", "check", "--rules", &folder.0.display().to_string()], "");
    std::fs::create_dir(folder.0.join("sub")).unwrap();
    folder.write("sub/a.rule", b"value x: 1\n");
    symlink(&folder.0, folder.0.join("sub/back")).unwrap();
    let output = check();
    assert_eq!(status(&output), 2);
    assert!(err(&output).contains("leads back to a folder"), "{}", err(&output));
    std::fs::remove_file(folder.0.join("sub/back")).unwrap();
    for target in ["b.rule", "nowhere.rule"] {
        symlink(folder.0.join(target), folder.0.join("b.rule")).unwrap();
        let output = check();
        assert_eq!(status(&output), 2, "{target}");
        assert!(err(&output).contains("b.rule"), "{target}: {}", err(&output));
        std::fs::remove_file(folder.0.join("b.rule")).unwrap();
    }
    assert_eq!(status(&check()), 0, "{}", err(&check()));
}

/// More files than a pack has, and folders deeper than anybody keeps one.
#[test]
fn folders_of_rules_have_an_end() {
    let folder = Folder::new("rule-count");
    let check = || ringout(&["rules", "list", "--rules", &folder.0.display().to_string()], "");
    for number in 0..2_000 {
        folder.write(&format!("{number}.rule"), b"");
    }
    folder.write("0.rule", RULE.as_bytes());
    assert_eq!(status(&check()), 0, "{}", err(&check()));
    folder.write("one-more.rule", b"");
    let output = check();
    assert_eq!(status(&output), 2);
    assert!(err(&output).contains("more than 2000 rule files"), "{}", err(&output));
    // Eight folders, the pack's own among them, and one more.
    let deep = Folder::new("rule-depth");
    let mut inner = deep.0.clone();
    for level in 1..=8 {
        std::fs::write(inner.join("a.rule"), if level == 1 { RULE } else { "" }).unwrap();
        let output = ringout(&["rules", "list", "--rules", &deep.0.display().to_string()], "");
        assert_eq!(status(&output), 0, "{level} folders: {}", err(&output));
        inner.push("x");
        std::fs::create_dir(&inner).unwrap();
    }
    std::fs::write(inner.join("a.rule"), "").unwrap();
    let output = ringout(&["rules", "list", "--rules", &deep.0.display().to_string()], "");
    assert_eq!(status(&output), 2);
    assert!(err(&output).contains("more than 8 deep"), "{}", err(&output));
}

/// A layer, a rule file and a plan may be so large, and not a byte larger.
#[test]
fn files_have_a_largest_size() {
    let folder = Folder::new("sizes");
    let lines = |bytes: usize| "\n".repeat(bytes).into_bytes();
    std::fs::create_dir(folder.0.join("rules")).unwrap();
    for (most, name, args) in [
        (256 << 10, "x.layer", &["check", "examples/sound.shop", "--layer", "FILE"][..]),
        (4 << 20, "rules/a.rule", &["rules", "list", "--rules", "FILE"]),
        (4 << 20, "x.shop", &["takeoff", "FILE"]),
    ] {
        let said = |bytes: usize| {
            let path = folder.write(name, &lines(bytes));
            let args: Vec<&str> = args.iter().map(|a| if *a == "FILE" { path.as_str() } else { a }).collect();
            let output = ringout(&args, "");
            out(&output) + &err(&output)
        };
        let refuses = |said: &str| said.contains("too large for a rule file") || said.contains("more than 4 megabytes");
        assert!(!refuses(&said(most)), "{name} of {most} bytes is refused: {}", said(most));
        assert!(refuses(&said(most + 1)), "{name} of a byte more is read");
    }
}

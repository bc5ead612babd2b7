//! When the machine fails the program: a full disk, a reader that went away, a folder that may not be written.
//! It says so, ends with status 2, and what was there before is there still, whole.

#[path = "common/program.rs"]
mod program;

use program::{Folder, command, err, out, ringout, status};
use std::io::Write;
use std::process::{Command, Output, Stdio};

/// Commands that print something long about a sound plan.
const PRINTERS: [&[&str]; 16] = [
    &["check", "--all", "examples/larkspur.shop"],
    &["check", "--format", "json", "examples/larkspur.shop"],
    &["ask", "examples/half-known.shop"],
    &["figures", "examples/larkspur.shop"],
    &["wires", "examples/larkspur.shop"],
    &["takeoff", "examples/larkspur.shop"],
    &["directory", "examples/larkspur.shop"],
    &["packet", "examples/larkspur.shop"],
    &["drawing", "examples/larkspur.shop"],
    &["compare", "examples/larkspur.shop", "examples/sound.shop"],
    &["rules", "list"],
    &["rules", "show", "gfci-125v"],
    &["rules", "words"],
    &["schema", "report"],
    &["completions", "bash"],
    &["manual"],
];

/// Nothing fits on the device: no command ends as if all were well.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said() {
    for args in PRINTERS {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = command(args).stdin(Stdio::null()).stdout(full).output().unwrap();
        assert_eq!(status(&output), 2, "{args:?}: {}", err(&output));
        assert!(err(&output).contains("no space left"), "{args:?}: {}", err(&output));
    }
    let output = ringout(&["check", "examples/sound.shop", "--output", "/dev/full"], "");
    assert_eq!(status(&output), 2);
    assert!(err(&output).contains("can't write /dev/full: no space left"), "{}", err(&output));
}

/// `ringout … | head -0`: nobody reads, and that is no error.
#[test]
fn a_reader_that_went_away_is_no_error() {
    for args in PRINTERS {
        let mut child = command(args).spawn().unwrap();
        drop((child.stdin.take(), child.stdout.take()));
        let output = child.wait_with_output().unwrap();
        assert_eq!(err(&output), "", "{args:?}");
        let wanted = i32::from(args[0] == "check");
        assert_eq!(status(&output), wanted, "{args:?}");
    }
}

/// Both streams gone: there is nobody to tell, and no panic makes a signal of it.
#[test]
fn nobody_is_left_to_tell() {
    for args in [&["check", "/no/such/file.shop"][..], &["check", "-"], &["tidy", "-"], &["nonsense"]] {
        let mut child = command(args).spawn().unwrap();
        drop((child.stdout.take(), child.stderr.take()));
        let _ = child.stdin.take().unwrap().write_all(b"zebra\n");
        assert_eq!(child.wait().unwrap().code(), Some(2), "{args:?}");
    }
}

/// A report that can't be written takes nothing with it, and leaves nothing half-written.
#[test]
fn an_output_that_cannot_be_written_is_said() {
    let folder = Folder::new("unwritable");
    std::fs::create_dir(folder.0.join("folder")).unwrap();
    folder.write("file", b"mine");
    for (target, wanted) in [
        (folder.file("folder"), "directory"),
        (folder.file("no/such/report.txt"), "no such file"),
        (folder.file("file/report.txt"), "not a directory"),
        (folder.file(&"x".repeat(300)), "too long"),
        (String::new(), ""),
    ] {
        let output = ringout(&["check", "examples/sound.shop", "--output", &target], "");
        assert_eq!(status(&output), 2, "{target}: {}", err(&output));
        assert!(err(&output).contains(wanted) && !err(&output).contains("panicked"), "{target}: {}", err(&output));
    }
    assert_eq!(folder.names(), ["file", "folder"]);
    assert_eq!(std::fs::read(folder.0.join("file")).unwrap(), b"mine");
}

/// Commands that write, with where they write for `TARGET` and a plan for `PLAN`.
const WRITERS: [&[&str]; 9] = [
    &["check", "PLAN", "--output", "TARGET"],
    &["ask", "PLAN", "--output", "TARGET"],
    &["figures", "PLAN", "--output", "TARGET"],
    &["wires", "PLAN", "--output", "TARGET"],
    &["takeoff", "PLAN", "--output", "TARGET"],
    &["directory", "PLAN", "--output", "TARGET"],
    &["drawing", "PLAN", "--output", "TARGET"],
    &["packet", "PLAN", "--replace", "--output", "TARGET"],
    &["new", "--yes", "--replace", "TARGET"],
];

fn filled<'a>(args: &[&'a str], plan: &'a str, target: &'a str) -> Vec<&'a str> {
    let one = |a: &&'a str| match *a {
        "PLAN" => plan,
        "TARGET" => target,
        other => other,
    };
    args.iter().map(one).collect()
}

/// Runs a copy of the program without the rights of whoever administers the machine, which know no limits.
#[cfg(unix)]
fn as_nobody(folder: &Folder, args: &[&str]) -> Output {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;
    let copy = folder.0.join("ringout");
    if !copy.exists() {
        std::fs::copy(env!("CARGO_BIN_EXE_ringout"), &copy).unwrap();
        std::fs::set_permissions(&copy, std::fs::Permissions::from_mode(0o755)).unwrap();
    }
    let run = |command: &mut Command| command.args(args).stdin(Stdio::null()).output();
    // Only an administrator may become somebody else; anybody else has no such rights to give up.
    match run(Command::new(&copy).uid(65_534).gid(65_534)) {
        Err(error) if error.kind() == std::io::ErrorKind::PermissionDenied => run(&mut Command::new(&copy)).unwrap(),
        other => other.unwrap(),
    }
}

/// No right to write in the folder: every command that writes says so, and what is there stays.
#[cfg(unix)]
#[test]
fn a_folder_without_the_right_to_write_keeps_its_files() {
    use std::os::unix::fs::PermissionsExt;
    let (programs, folder) = (Folder::new("read-only-program"), Folder::new("read-only"));
    let rough = "panel   P1:bus 100 A\n";
    let plan = folder.write("my.shop", rough.as_bytes());
    let old = folder.write("old", b"old");
    let lock = |mode| std::fs::set_permissions(&folder.0, std::fs::Permissions::from_mode(mode)).unwrap();
    lock(0o555);
    let (new, rules) = (folder.file("new.shop"), folder.file("rules"));
    let mut all = vec![vec!["tidy", &plan], vec!["rules", "export", &rules]];
    for target in [old.as_str(), new.as_str()] {
        all.extend(WRITERS.iter().map(|args| filled(args, &plan, target)));
    }
    for args in all {
        let output = as_nobody(&programs, &args);
        let said = err(&output);
        assert_eq!(status(&output), 2, "{args:?}: {said}");
        assert!(said.to_lowercase().contains("permission denied") && !said.contains("panicked"), "{args:?}: {said}");
        assert!(!said.contains("os error"), "a number that says nothing: {said}");
    }
    lock(0o755);
    assert_eq!(std::fs::read_to_string(&plan).unwrap(), rough);
    assert_eq!(std::fs::read_to_string(&old).unwrap(), "old");
    assert_eq!(folder.names(), ["my.shop", "old"]);
}

/// No right to read the plan, the rules or the layer.
#[cfg(unix)]
#[test]
fn what_may_not_be_read_is_said() {
    use std::os::unix::fs::PermissionsExt;
    let (programs, folder) = (Folder::new("unreadable-program"), Folder::new("unreadable"));
    let plan = folder.write("open.shop", b"panel P1\n");
    let (locked, layer) = (folder.write("locked.shop", b"panel P1\n"), folder.write("locked.rule", b""));
    let rules = folder.file("rules");
    std::fs::create_dir(&rules).unwrap();
    folder.write("rules/a.rule", b"");
    for path in [&locked, &layer, &rules] {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o000)).unwrap();
    }
    for args in [
        &["check", &locked][..],
        &["packet", &locked],
        &["drawing", &locked],
        &["tidy", &locked],
        &["compare", &plan, &locked],
        &["check", &plan, "--layer", &layer],
        &["check", &plan, "--rules", &rules],
        &["rules", "check", "--rules", &rules],
        &["editor", "--rules", &rules],
    ] {
        let output = as_nobody(&programs, args);
        let said = err(&output);
        assert_eq!(status(&output), 2, "{args:?}: {said}");
        assert!(said.to_lowercase().contains("permission denied") && !said.contains("os error"), "{args:?}: {said}");
    }
    std::fs::set_permissions(&rules, std::fs::Permissions::from_mode(0o755)).unwrap();
}

/// A folder where a file should be, a file where a folder should be, and links that lead to themselves.
#[cfg(unix)]
#[test]
fn a_target_that_is_no_file_is_said_by_every_command() {
    let folder = Folder::new("no-target");
    std::fs::create_dir(folder.0.join("folder.txt")).unwrap();
    let file = folder.write("file", b"mine");
    let circle = folder.file("circle");
    std::os::unix::fs::symlink(&circle, &circle).unwrap();
    let before = folder.names();
    let targets =
        [folder.file("folder.txt"), folder.file("file/report.txt"), folder.file("no/such/report.txt"), "/".to_string()];
    for args in WRITERS {
        for target in &targets {
            let output = ringout(&filled(args, "examples/sound.shop", target), "");
            let said = err(&output);
            assert!(said.starts_with("ringout: can't write ") || args[0] == "new", "{args:?} {target}: {said}");
            assert_eq!(status(&output), 2, "{args:?} {target}: {said}");
            assert!(!said.contains("panicked") && !said.contains("os error"), "{args:?} {target}: {said}");
        }
    }
    for target in [file.as_str(), circle.as_str(), "/dev/null"] {
        let output = ringout(&["rules", "export", target], "");
        assert_eq!(status(&output), 2, "{target}");
        assert!(!err(&output).contains("panicked") && !err(&output).contains("os error"), "{}", err(&output));
    }
    assert_eq!(folder.names(), before, "nothing half-written stays");
    assert_eq!(std::fs::read(&file).unwrap(), b"mine");
}

/// Several programs that write one file: each ends well, and the file is one of theirs, whole.
#[test]
fn programs_that_write_one_file_leave_a_whole_one() {
    let folder = Folder::new("at-once");
    let target = folder.file("report.txt");
    let wanted = |command: &str| out(&ringout(&[command, "examples/larkspur.shop"], ""));
    let all = [wanted("takeoff"), wanted("directory")];
    for _ in 0..3 {
        let children: Vec<_> = ["takeoff", "directory", "takeoff", "directory"]
            .iter()
            .map(|name| command(&[name, "examples/larkspur.shop", "--output", &target]).spawn().unwrap())
            .collect();
        for child in children {
            let output = child.wait_with_output().unwrap();
            assert_eq!(status(&output), 0, "{}", err(&output));
        }
        let left = std::fs::read_to_string(&target).unwrap();
        assert!(all.contains(&left), "{} bytes of neither report", left.len());
        assert_eq!(folder.names(), ["report.txt"]);
    }
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
    for text in [text, "shop \"x\": amended by my\n".to_string(), "shop \"x\": amended by ../my\n".to_string()] {
        let plan = folder.write("my.shop", text.as_bytes());
        let output = ringout(&["check", &plan], "");
        let said = out(&output) + &err(&output);
        assert_eq!(status(&output), 2, "{said}");
        assert!(!said.contains("panicked") && said.len() < 100_000, "{} bytes", said.len());
    }
    assert!(begun.elapsed() < std::time::Duration::from_secs(120), "{:?}", begun.elapsed());
}

/// A write that ends half-way through, as at a full disk or a quota, keeps the old file.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupted_write_keeps_the_old_file() {
    let folder = Folder::new("quota");
    // Comments stay, so that the tidied plan is as long.
    let rough = format!("panel   P1:bus 100 A\n{}", "# a comment of the owner's, kept as it is\n".repeat(2_000));
    let plan = folder.write("my.shop", rough.as_bytes());
    let report = folder.write("report.txt", b"old");
    for args in [format!("tidy {plan}"), format!("check --all {plan} --output {report}")] {
        // At most 1,024 bytes a file, as `ulimit -f` counts in POSIX: blocks of 512.
        let line = format!("trap '' XFSZ; ulimit -f 2; exec {} {args}", env!("CARGO_BIN_EXE_ringout"));
        let output = std::process::Command::new("sh").args(["-c", &line]).output().unwrap();
        assert_eq!(status(&output), 2, "{args}: {}", err(&output));
        assert!(err(&output).contains("can't write") && err(&output).contains("too large"), "{}", err(&output));
    }
    assert_eq!(std::fs::read_to_string(&plan).unwrap(), rough);
    assert_eq!(std::fs::read_to_string(&report).unwrap(), "old");
    assert_eq!(folder.names(), ["my.shop", "report.txt"], "what was half-written is gone");
}

/// Killed at any moment, a rewrite leaves either the old plan or the new one.
#[test]
fn a_killed_write_leaves_one_or_the_other() {
    let folder = Folder::new("killed");
    let rough = format!("panel   P1:bus 100 A\n{}", "# a comment of the owner's, kept as it is\n".repeat(2_000));
    let path = folder.write("my.shop", rough.as_bytes());
    assert_eq!(status(&ringout(&["tidy", &path], "")), 0);
    let tidied = std::fs::read_to_string(&path).unwrap();
    assert_ne!(tidied, rough);
    for wait in [0, 1, 2, 4, 8, 16, 32, 64, 128] {
        std::fs::write(&path, &rough).unwrap();
        let mut child = command(&["tidy", &path]).spawn().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(wait));
        let _ = child.kill();
        child.wait().unwrap();
        let left = std::fs::read_to_string(&path).unwrap();
        assert!(left == rough || left == tidied, "after {wait} ms: {} bytes", left.len());
    }
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
        for _ in 0..12 {
            let output = ringout(&["takeoff", &path], "");
            assert!(matches!(status(&output), 0 | 2), "{}{}", out(&output), err(&output));
            assert!(!err(&output).contains("panicked"), "{}", err(&output));
        }
        is_over.store(true, std::sync::atomic::Ordering::Relaxed);
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
    assert_eq!(status(&check()), 0, "{}", err(&check()));
    folder.write("one-more.rule", b"");
    let output = check();
    assert_eq!(status(&output), 2);
    assert!(err(&output).contains("more than 2000 rule files"), "{}", err(&output));
    // Eight folders, the pack's own among them, and one more.
    let deep = Folder::new("rule-depth");
    let mut inner = deep.0.clone();
    for level in 1..=8 {
        std::fs::write(inner.join("a.rule"), "").unwrap();
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

/// A pipe is no file to be replaced: it is written into, and stays.
#[cfg(unix)]
#[test]
fn an_output_that_is_a_link_stays_a_link() {
    let folder = Folder::new("link-output");
    let real = folder.write("real.txt", b"old");
    let link = folder.file("link.txt");
    std::os::unix::fs::symlink(&real, &link).unwrap();
    assert_eq!(status(&ringout(&["takeoff", "examples/larkspur.shop", "--output", &link], "")), 0);
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(std::fs::read_to_string(&real).unwrap().len() > 100);
    // A link that leads nowhere makes the file that it names.
    std::fs::remove_file(&real).unwrap();
    assert_eq!(status(&ringout(&["takeoff", "examples/larkspur.shop", "--output", &link], "")), 0);
    assert!(folder.names().contains(&"link.txt".to_string()));
}

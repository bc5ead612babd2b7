//! When the machine fails the program: a full disk, a reader that went away, a folder that may not be written.
//! It says so, ends with status 2, and what was there before is there still, whole.

#[path = "common/program.rs"]
mod program;

use program::{Folder, command, err, out, ringout, status};
use std::io::Write;
use std::process::Stdio;

/// Commands that print something long about a sound plan.
const PRINTERS: [&[&str]; 9] = [
    &["check", "--all", "examples/larkspur.shop"],
    &["check", "--format", "json", "examples/larkspur.shop"],
    &["ask", "examples/half-known.shop"],
    &["figures", "examples/larkspur.shop"],
    &["wires", "examples/larkspur.shop"],
    &["takeoff", "examples/larkspur.shop"],
    &["directory", "examples/larkspur.shop"],
    &["rules", "words"],
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

#[cfg(unix)]
#[test]
fn a_folder_without_the_right_to_write_keeps_its_files() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new("read-only");
    let rough = "panel   P1:bus 100 A\n";
    let plan = folder.write("my.shop", rough.as_bytes());
    let report = folder.write("report.txt", b"old");
    let lock = |mode| std::fs::set_permissions(&folder.0, std::fs::Permissions::from_mode(mode)).unwrap();
    lock(0o555);
    // Whoever administers the machine may write everywhere.
    if std::fs::write(folder.0.join("try"), "").is_err() {
        let new = folder.file("new.shop");
        for args in [
            &["tidy", &plan][..],
            &["check", &plan, "--output", &report],
            &["new", "--yes", &new],
            &["rules", "export", &folder.file("rules")],
        ] {
            let output = ringout(args, "");
            assert_eq!(status(&output), 2, "{args:?}");
            assert!(err(&output).contains("permission denied"), "{args:?}: {}", err(&output));
        }
    }
    lock(0o755);
    let _ = std::fs::remove_file(folder.0.join("try"));
    assert_eq!(std::fs::read_to_string(&plan).unwrap(), rough);
    assert_eq!(std::fs::read_to_string(&report).unwrap(), "old");
    assert_eq!(folder.names(), ["my.shop", "report.txt"]);
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

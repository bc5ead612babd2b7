//! When the machine fails the program: a full disk, a reader that went away, a folder that may not be written.
//! It says so, ends with status 2, and what was there before is there still, whole. Each fault is tried with every
//! command that can meet it; `common/commands.rs` has them all.

#[path = "common/commands.rs"]
mod commands;
#[path = "common/program.rs"]
mod program;
#[path = "faults/reading.rs"]
mod reading;

use commands::{ALL, EDITOR, Given, as_nobody, fed, into, is_said, judges, plan_and_rules, readers, takers, writers};
use program::{Folder, command, err, out, ringout, status};
use std::io::Write;
use std::process::Stdio;

/// A command that is new has to be put into the table, and so meets every fault.
#[test]
fn every_command_is_tried() {
    commands::holds_every_command();
    assert!(readers().count() > judges().count());
    assert!(takers("--output").len() > 16 && takers("--rules").len() > 14 && takers("--layer").len() > 14);
}

/// Nothing fits on the device: no command ends as if all were well.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said() {
    let folder = Folder::new("full-disk");
    let (plan, rules) = plan_and_rules(&folder);
    let full = || std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    for (n, row) in ALL.into_iter().enumerate() {
        let given = Given { plan: &plan, target: &folder.file(&format!("new-{n}")), rules: &rules };
        let output = into(&given.fill(row), full());
        // The one command that has nothing to print.
        if row == ["tidy", "PLAN"] {
            assert_eq!(status(&output), 0, "{}", err(&output));
            plan_and_rules(&folder);
            continue;
        }
        is_said(&output, "can't print: no space left", &format!("{row:?}"));
    }
    for args in [&["--help"][..], &["--version"], &["rules", "list", "--help"], &["check", "--watch", &plan]] {
        is_said(&into(args, full()), "can't print: no space left", &format!("{args:?}"));
    }
    let tidy = command(&["tidy", "-"]).stdin(std::fs::File::open(&plan).unwrap()).stdout(full()).output().unwrap();
    is_said(&tidy, "can't print: no space left", "tidy -");
    // A name with an ending, since `new` adds one to a name without.
    let device = folder.file("device.txt");
    std::os::unix::fs::symlink("/dev/full", &device).unwrap();
    for row in writers() {
        let given = Given { plan: &plan, target: &device, rules: &rules };
        is_said(&ringout(&given.fill(&row), ""), "device.txt: no space left", &format!("{row:?}"));
    }
}

/// `ringout … | head -0`: nobody reads, and that is no error.
#[test]
fn a_reader_that_went_away_is_no_error() {
    let folder = Folder::new("no-reader");
    let (plan, rules) = plan_and_rules(&folder);
    for (n, row) in ALL.into_iter().chain([&["tidy", "-"][..], &["--help"], &["--version"]]).enumerate() {
        let given = Given { plan: &plan, target: &folder.file(&format!("new-{n}")), rules: &rules };
        let mut child = command(&given.fill(row)).stdin(std::fs::File::open(&plan).unwrap()).spawn().unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(err(&output), "", "{row:?}");
        let finds_something = row[0] == "check" || row.contains(&"--check");
        assert_eq!(status(&output), i32::from(finds_something), "{row:?}");
        plan_and_rules(&folder);
    }
}

/// Both streams gone: there is nobody to tell, and no panic makes a signal of it.
#[test]
fn nobody_is_left_to_tell() {
    let missing = Given { plan: "/no/such/file.shop", target: "/no/such/folder/file", rules: "/no/such/rules" };
    let read = ALL.into_iter().filter(|row| ["PLAN", "TARGET", "RULES"].iter().any(|word| row.contains(word)));
    let rows: Vec<_> = read.chain([&["check", "-"][..], &["tidy", "-"], &["nonsense"]]).collect();
    assert!(rows.len() > 20);
    for row in rows {
        // A folder that is not there is made for rules that are written out.
        let Given { plan, rules, .. } = missing;
        let target = if row[0] == "rules" { "/dev/null/rules" } else { missing.target };
        let mut child = command(&Given { plan, target, rules }.fill(row)).spawn().unwrap();
        drop((child.stdout.take(), child.stderr.take()));
        let _ = child.stdin.take().unwrap().write_all(b"zebra\n");
        assert_eq!(child.wait().unwrap().code(), Some(2), "{row:?}");
    }
}

/// The editor's end of the line is gone or full: the program ends, and its status says that the talk broke off.
#[cfg(target_os = "linux")]
#[test]
fn an_editor_that_went_away_ends_the_server() {
    let folder = Folder::new("editor-away");
    let text = r#"{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"capabilities":{}}}"#;
    let said = folder.write("said", format!("Content-Length: {}\r\n\r\n{text}", text.len()).as_bytes());
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = command(EDITOR).stdin(std::fs::File::open(&said).unwrap()).stdout(full).output().unwrap();
    assert_eq!((status(&output), err(&output).contains("panicked")), (1, false), "{}", err(&output));
    for noise in [&b"zebra\n"[..], &[0; 4096], b"Content-Length: 99999999999999999999\r\n\r\n", b""] {
        let output = fed(EDITOR, &folder.write("noise", noise));
        assert_eq!((status(&output), err(&output).contains("panicked")), (1, false), "{}", err(&output));
    }
}

/// A target that can't be written, by its path alone: a folder where a file should be, a file where a folder should
/// be, a link that leads to itself, a name that is too long, none. Nothing is taken along, nothing stays half-written.
#[cfg(unix)]
#[test]
fn a_target_that_is_no_file_is_said_by_every_command() {
    let folder = Folder::new("no-target");
    let (plan, rules) = plan_and_rules(&folder);
    std::fs::create_dir(folder.0.join("folder.txt")).unwrap();
    let file = folder.write("file", b"mine");
    let circle = folder.file("circle.txt");
    std::os::unix::fs::symlink(&circle, &circle).unwrap();
    let before = folder.names();
    let targets = [
        (folder.file("folder.txt"), "directory"),
        (folder.file("file/report.txt"), "not a directory"),
        (folder.file("no/such/report.txt"), "no such file"),
        (folder.file(&"x".repeat(300)), "too long"),
        (circle, "symbolic link"),
        ("/".to_string(), ""),
    ];
    for row in writers() {
        for (target, wanted) in &targets {
            let what = format!("{row:?} {target}");
            let output = ringout(&Given { plan: &plan, target, rules: &rules }.fill(&row), "");
            // `new` adds an ending to a name that has none, which makes another path of it.
            is_said(&output, if row[0] == "new" { "" } else { wanted }, &what);
            assert!(err(&output).starts_with("ringout: can't write ") || row[0] == "new", "{what}: {}", err(&output));
        }
    }
    for target in [file.as_str(), &targets[4].0, "/dev/null", "/"] {
        is_said(&ringout(&["rules", "export", target], ""), "can't write the rules", target);
    }
    // The longest name that there can be is one that can be written.
    let longest = Folder::new("longest-name");
    let target = longest.file(&"x".repeat(255));
    assert_eq!(status(&ringout(&["takeoff", "examples/sound.shop", "--output", &target], "")), 0);
    assert_eq!(longest.names(), ["x".repeat(255)]);
    for args in [&["check", "examples/sound.shop", "--output", ""][..], &["rules", "export", ""], &["new", ""]] {
        is_said(&ringout(args, ""), "a value is required", &format!("{args:?}"));
    }
    assert_eq!(folder.names(), before, "nothing half-written stays");
    assert_eq!(std::fs::read(&file).unwrap(), b"mine");
}

/// What was read is not written over: a slip of the keys must cost nobody a plan or a rule.
#[test]
fn no_report_takes_the_place_of_what_was_read() {
    let folder = Folder::new("own-file");
    let (plan, rules) = plan_and_rules(&folder);
    let (rule, layer) = (folder.file("rules/a.rule"), folder.write("layer.txt", b"mine"));
    let texts = || [&plan, &rule, &layer].map(|path| std::fs::read_to_string(path).unwrap());
    let before = texts();
    for row in takers("--output") {
        for target in [&plan, &rule, &layer] {
            let given = Given { plan: &plan, target, rules: &rules };
            let args = [&given.fill(row)[..], &["--layer", &layer, "--output", target]].concat();
            let args = if row[1] == "words" || row[0] != "rules" || *target != layer { args } else { continue };
            is_said(&ringout(&args, ""), "is what you wrote yourself", &format!("{args:?}"));
        }
    }
    assert_eq!(texts(), before);
}

/// No right to write in the folder: every command that writes says so, and what is there stays.
#[cfg(unix)]
#[test]
fn a_folder_without_the_right_to_write_keeps_its_files() {
    use std::os::unix::fs::PermissionsExt;
    let (programs, folder) = (Folder::new("read-only-program"), Folder::new("read-only"));
    let (plan, rules) = plan_and_rules(&folder);
    let (rough, old) = (std::fs::read_to_string(&plan).unwrap(), folder.write("old.txt", b"old"));
    let before = folder.names();
    let lock = |mode| std::fs::set_permissions(&folder.0, std::fs::Permissions::from_mode(mode)).unwrap();
    lock(0o555);
    let exported = folder.file("my-rules");
    let mut all = vec![vec!["tidy", plan.as_str()], vec!["rules", "export", &exported]];
    let new = folder.file("new.txt");
    let rows = writers();
    for target in [old.as_str(), &new] {
        all.extend(rows.iter().map(|row| Given { plan: &plan, target, rules: &rules }.fill(row)));
    }
    for args in all {
        is_said(&as_nobody(&programs, &args), "permission denied", &format!("{args:?}"));
    }
    lock(0o755);
    assert_eq!(std::fs::read_to_string(&plan).unwrap(), rough);
    assert_eq!(std::fs::read_to_string(&old).unwrap(), "old");
    assert_eq!(folder.names(), before);
}

/// A write that ends half-way through, as at a full disk or a quota, keeps the old file.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupted_write_keeps_the_old_file() {
    let folder = Folder::new("quota");
    let (plan, rules) = plan_and_rules(&folder);
    let rough = std::fs::read_to_string(&plan).unwrap();
    let (report, exported) = (folder.write("report.txt", b"old"), folder.file("my-rules"));
    let before = folder.names();
    let given = Given { plan: &plan, target: &report, rules: &rules };
    let mut all: Vec<_> = writers().iter().map(|row| given.fill(row)).collect();
    all.extend([vec!["tidy", plan.as_str()], vec!["rules", "export", &exported]]);
    for args in all {
        // At most so many blocks of 512 bytes a file, as `ulimit -f` counts in POSIX; some reports are shorter.
        for most in [0, 1] {
            let line = format!("trap '' XFSZ; ulimit -f {most}; exec \"$0\" \"$@\"");
            let mut limited = std::process::Command::new("sh");
            limited.args(["-c", &line, env!("CARGO_BIN_EXE_ringout")]).args(&args);
            let output = limited.current_dir(env!("CARGO_MANIFEST_DIR")).stdin(Stdio::null()).output().unwrap();
            if most == 1 && std::fs::read(&report).unwrap() != b"old" {
                assert!(status(&output) < 2 && std::fs::metadata(&report).unwrap().len() <= 512, "{args:?}");
                folder.write("report.txt", b"old");
                continue;
            }
            is_said(&output, "can't write", &format!("{args:?}"));
            is_said(&output, "too large", &format!("{args:?}"));
        }
    }
    assert_eq!(std::fs::read_to_string(&plan).unwrap(), rough);
    assert_eq!(std::fs::read_to_string(&report).unwrap(), "old");
    assert_eq!(folder.names(), before, "what was half-written is gone");
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
    // A link that leads nowhere makes the file that it names, however many lead there.
    std::fs::remove_file(&real).unwrap();
    std::os::unix::fs::symlink("link.txt", folder.file("first.txt")).unwrap();
    let first = folder.file("first.txt");
    assert_eq!(status(&ringout(&["takeoff", "examples/larkspur.shop", "--output", &first], "")), 0);
    assert!([&link, &first].iter().all(|path| std::fs::symlink_metadata(path).unwrap().is_symlink()));
    assert!(std::fs::symlink_metadata(&real).unwrap().is_file());
    assert_eq!(folder.names(), ["first.txt", "link.txt", "real.txt"]);
}

//! Files that are no plan, hardly one, or made to hurt: the program names what is wrong, ends with status 2,
//! and never panics or hangs. What is only unusual is read.

#[path = "common/commands.rs"]
mod commands;
#[path = "common/program.rs"]
mod program;

use commands::{Given, fed, is_said, judges, readers, ruled};
use program::{Folder, RULE, err, out, ringout, status};
use std::time::{Duration, Instant};

/// However slow the machine: these take a fraction of a second on a quiet one.
const SOON: Duration = Duration::from_secs(60);

/// Runs a command on a file. It ends soon, with 2, says what is wanted, little else, and no panic.
fn refuses(row: &[&str], path: &str, wanted: &str) {
    told_of(row, path, path, wanted);
}

/// The same, with what the command is told to read, which may be its standard input.
fn told_of(row: &[&str], path: &str, read: &str, wanted: &str) {
    let args = Given { plan: read, target: "TARGET", rules: read }.fill(row);
    let begun = Instant::now();
    let output = if read == "-" { fed(&args, path) } else { ringout(&args, "") };
    assert!(begun.elapsed() < SOON, "{args:?} takes {:?}", begun.elapsed());
    is_said(&output, wanted, &format!("{args:?} {path}"));
    // A packet has its style sheet, a document for machines repeats names at every verdict.
    let is_long = ["packet", "drawing"].contains(&row[0]) || row.contains(&"--format");
    assert!(is_long || output.stdout.len() < 100_000, "{args:?}: {} bytes of report", output.stdout.len());
}

/// A pack of one rule by the name that the table of commands has, so that the plan alone takes time.
fn one_rule(folder: &Folder) -> String {
    folder.write("one.rule", RULE.replace("tall-panel", "gfci-125v").as_bytes())
}

/// What can't be read as text at all is refused by every command in the same words.
#[test]
fn what_is_no_text_is_refused_by_every_command() {
    let folder = Folder::new("no-text");
    let binary: Vec<u8> = (0..=255u8).cycle().take(20_000).collect();
    let cases = [
        (folder.write("binary.shop", &binary), "no UTF-8 text"),
        (folder.write("utf16.shop", &[0xFF, 0xFE, b'p', 0]), "UTF-16"),
        (folder.write("large.shop", &b"panel P1: indoors\n".repeat(600_000)), "more than 4 megabytes"),
        (folder.write("nothing.shop", &vec![0; 10 << 20]), "more than 4 megabytes"),
        (folder.file("missing.shop"), "is the name right?"),
        (folder.file(&"x".repeat(300)), "too long"),
        (folder.file("binary.shop/my.shop"), "not a directory"),
        (folder.0.display().to_string(), "name the files in it"),
    ];
    for (path, wanted) in &cases {
        for row in readers() {
            refuses(row, path, wanted);
            if std::fs::metadata(path).is_ok() {
                told_of(row, path, "-", wanted);
            }
        }
    }
    // What is read is told from what is not, whichever of several it is.
    let binary = cases[0].0.as_str();
    for row in [
        ["check", "PLAN", "examples/sound.shop"],
        ["check", "examples/sound.shop", "PLAN"],
        ["tidy", "PLAN", "--check"],
    ] {
        refuses(&row, binary, "no UTF-8 text");
    }
}

/// Text that is no sound plan: the line is named, and the rest is read.
#[test]
fn what_is_no_plan_is_said_at_its_line() {
    let folder = Folder::new("no-plan");
    let rules = one_rule(&folder);
    let brackets = format!("panel P1: {}{}\n", "[".repeat(50_000), "]".repeat(50_000));
    let phrases = format!("panel P1: {}\n", "indoors, ".repeat(120_000));
    let cases: [(&str, &[u8], &str); 8] = [
        ("brackets", brackets.as_bytes(), "bytes long"),
        ("rows of brackets", &b"panel P1: [[[[\n".repeat(2_000), "means nothing in a plan"),
        ("long line", phrases.as_bytes(), "bytes long"),
        ("nul", b"panel P1\n  bus\0 100 A\nbox B1\n", "NUL byte"),
        ("one name", b"panel P1: indoors\npanel P1: outdoors\n", "the name `P1` is taken"),
        ("circle", b"panel P1\npanel P2\nfeeder F1 from P1 to P2\nfeeder F2 from P2 to P1\n", "drawn in a circle"),
        ("circle of one", b"panel P1\nfeeder F1 from P1 to P1\n", "drawn in a circle"),
        ("nothing", b"", "names nothing that could be checked"),
    ];
    for (name, bytes, wanted) in cases {
        let path = folder.write(&format!("{}.shop", name.replace(' ', "-")), bytes);
        for row in judges() {
            refuses(&[row, &["--rules", &rules]].concat(), &path, wanted);
        }
        // Whether names meet is no matter of the words, and an empty file is as tidy as can be.
        if !["one name", "circle", "circle of one", "nothing"].contains(&name) {
            refuses(&["tidy", "PLAN"], &path, wanted);
        }
        assert_eq!(std::fs::read(&path).unwrap(), bytes, "{name} stays as it is");
    }
    let path = folder.write("many-rows.shop", &b"panel P1: [[[[\n".repeat(12_500));
    refuses(&["check", "PLAN"], &path, "means nothing in a plan");
}

/// Only the feeders of a circle are in doubt, not those that lead to it or away from it.
#[test]
fn a_circle_names_its_feeders_only() {
    let plan = "panel P1\npanel P2\npanel P3\npanel P4\nfeeder F1 from house to P1\nfeeder F2 from P1 to P2\n\
                feeder F3 from P2 to P3\nfeeder F4 from P3 to P2\nfeeder F5 from P3 to P4\n";
    let output = ringout(&["figures", "-"], plan);
    let said = err(&output);
    assert_eq!(status(&output), 2);
    assert!(said.contains("F3") && said.contains("-:7:1") && said.contains("a part of the circle"), "{said}");
    assert!(!said.contains("F2 is drawn") && !said.contains("F5 is drawn"), "{said}");
    // Several feeders of one panel, and one place with two ways to it, are no circle.
    let sound = "panel P1\npanel P2\npanel P3\nfeeder F1 from house to P1\nfeeder F2 from P1 to P2\n\
                 feeder F3 from P1 to P3\nfeeder F4 from P2 to P3\n";
    let output = ringout(&["figures", "-"], sound);
    assert_eq!(status(&output), 0, "{}", err(&output));
}

/// Windows line ends and a byte-order mark are what some editors write.
#[test]
fn line_ends_and_marks_are_read() {
    let folder = Folder::new("marks");
    let plain = "shop \"marks\": detached\npanel P1: indoors\n  bus 100 A\nbox B1: 18 in3\n";
    let windows = format!("\u{FEFF}{}", plain.replace('\n', "\r\n"));
    let (a, b) = (folder.write("a.shop", plain.as_bytes()), folder.write("b.shop", windows.as_bytes()));
    for command in ["check", "ask", "figures", "wires", "takeoff", "directory"] {
        let [one, other] = [&a, &b].map(|path| ringout(&[command, path], ""));
        assert_eq!(status(&one), status(&other), "{command}: {}", err(&other));
        assert!(status(&other) < 2, "{command}: {}", err(&other));
        assert_eq!(out(&one), out(&other).replace("b.shop", "a.shop"), "{command}");
    }
}

/// A name for every machine's memory: ranges name thousands in a line.
#[test]
fn a_plan_of_too_many_items_is_cut() {
    let folder = Folder::new("many");
    let lines: String = (0..200).map(|n| format!("door A{n}-1 to A{n}-1000\n")).collect();
    let path = folder.write("many.shop", lines.as_bytes());
    refuses(&["wires", "PLAN"], &path, "a plan may name 150000");
    let just = lines.lines().take(150).map(|line| format!("{line}\n")).collect::<String>();
    let path = folder.write("just.shop", just.as_bytes());
    let output = ringout(&["wires", &path], "");
    assert_eq!(status(&output), 0, "{}", err(&output));
}

#[cfg(unix)]
#[test]
fn a_link_to_itself_is_refused() {
    let folder = Folder::new("link");
    let path = folder.file("loop.shop");
    std::os::unix::fs::symlink(&path, &path).unwrap();
    for row in readers() {
        refuses(row, &path, "can't read");
    }
}

/// The same for rule files.
#[test]
fn what_is_no_rule_file_is_refused() {
    let folder = Folder::new("no-rules");
    let plan = folder.write("my.shop", b"panel P1: 20 in up\n");
    let head = "rule deep \"Deep\"\n  stage final\n  level required\n  figures memory\n  cites NEC 2023: 1.1, memory\n  for each panel p\n";
    let deep = format!("{head}  needs a \"b\": {}yes{}\n", "(".repeat(50_000), ")".repeat(50_000));
    let less = format!("{head}  needs a \"b\": {}yes{}\n", "(".repeat(5_000), ")".repeat(5_000));
    let nots = format!("{head}  needs a \"b\": {}yes\n", "not ".repeat(8_000));
    let binary: Vec<u8> = (0..=255u8).cycle().take(20_000).collect();
    let cases: [(&str, Vec<u8>, &str); 9] = [
        ("binary", binary, "no UTF-8 text"),
        ("deep", deep.into_bytes(), "this clause is too long"),
        ("less", less.into_bytes(), "this expression is too deep"),
        ("nots", nots.into_bytes(), ""),
        ("large", b"# no rule\n".repeat(1_000_000), "too large for a rule file"),
        ("line", format!("{head}  needs a \"b\": {}yes\n", "yes and ".repeat(130_000)).into_bytes(), "too long"),
        ("nul", b"value x: 1\0\n".to_vec(), ""),
        ("noise", b"zebra zebra\n".repeat(100_000), "482 more; mend these first"),
        ("twice", format!("{head}  needs a \"b\": yes\n{head}  needs a \"b\": yes\n").into_bytes(), "deep"),
    ];
    for (name, bytes, wanted) in cases {
        let path = folder.write(&format!("{name}.rule"), &bytes);
        for row in ruled(&path, &plan) {
            refuses(&row, &path, wanted);
        }
        assert_eq!(std::fs::read(&path).unwrap(), bytes, "{name} stays as it is");
    }
}

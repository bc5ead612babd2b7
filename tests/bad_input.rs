//! Files that are no plan, hardly one, or made to hurt: the program names what is wrong, ends with status 2,
//! and never panics or hangs. What is only unusual is read.

#[path = "common/program.rs"]
mod program;

use program::{Folder, err, out, ringout, status};
use std::time::{Duration, Instant};

/// However slow the machine: these take a fraction of a second on a quiet one.
const SOON: Duration = Duration::from_secs(60);

/// Every command that reads a plan, with `PLAN` for its path.
const READERS: [&[&str]; 8] = [
    &["check", "PLAN"],
    &["ask", "PLAN"],
    &["why", "PLAN", "gfci-shop"],
    &["figures", "PLAN"],
    &["wires", "PLAN"],
    &["takeoff", "PLAN"],
    &["directory", "PLAN"],
    &["tidy", "PLAN"],
];

/// Runs a command on a file. It ends soon, with 2, says what is wanted, little else, and no panic.
fn refuses(args: &[&str], path: &str, wanted: &str) {
    let args: Vec<&str> = args.iter().map(|a| if *a == "PLAN" { path } else { a }).collect();
    let begun = Instant::now();
    let output = ringout(&args, "");
    let text = out(&output) + &err(&output);
    assert!(begun.elapsed() < SOON, "{args:?} takes {:?}", begun.elapsed());
    assert_eq!(status(&output), 2, "{args:?}:\n{text}");
    assert!(text.contains(wanted), "{args:?}: `{wanted}` is not said:\n{text}");
    assert!(!text.contains("panicked"), "{args:?}:\n{text}");
    assert!(text.len() < 100_000, "{args:?}: {} bytes of report", text.len());
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
        (folder.file("missing.shop"), "is the name right?"),
        (folder.0.display().to_string(), "name the files in it"),
    ];
    for (path, wanted) in &cases {
        for args in READERS {
            refuses(args, path, wanted);
        }
        refuses(&["compare", "examples/sound.shop", "PLAN"], path, wanted);
        refuses(&["rules", "try", "gfci-shop", "PLAN"], path, wanted);
    }
}

/// Text that is no sound plan: the line is named, and the rest is read.
#[test]
fn what_is_no_plan_is_said_at_its_line() {
    let folder = Folder::new("no-plan");
    let brackets = format!("panel P1: {}{}\n", "[".repeat(50_000), "]".repeat(50_000));
    let phrases = format!("panel P1: {}\n", "indoors, ".repeat(120_000));
    let cases: [(&str, &[u8], &str); 8] = [
        ("brackets", brackets.as_bytes(), "bytes long"),
        ("rows of brackets", &b"panel P1: [[[[\n".repeat(12_500), "means nothing in a plan"),
        ("long line", phrases.as_bytes(), "bytes long"),
        ("nul", b"panel P1\n  bus\0 100 A\nbox B1\n", "NUL byte"),
        ("one name", b"panel P1: indoors\npanel P1: outdoors\n", "the name `P1` is taken"),
        ("circle", b"panel P1\npanel P2\nfeeder F1 from P1 to P2\nfeeder F2 from P2 to P1\n", "drawn in a circle"),
        ("circle of one", b"panel P1\nfeeder F1 from P1 to P1\n", "drawn in a circle"),
        ("nothing", b"", "names nothing that could be checked"),
    ];
    for (name, bytes, wanted) in cases {
        let path = folder.write(&format!("{}.shop", name.replace(' ', "-")), bytes);
        for args in [&["check", "PLAN"][..], &["figures", "PLAN"]] {
            refuses(args, &path, wanted);
        }
    }
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
    for args in READERS {
        refuses(args, &path, "can't read");
    }
}

#[cfg(unix)]
#[test]
fn a_file_without_the_right_to_read_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new("rights");
    let path = folder.write("locked.shop", b"panel P1\n");
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000)).unwrap();
    // Whoever administers the machine may read everything.
    if std::fs::read(&path).is_err() {
        for args in READERS {
            refuses(args, &path, "permission denied");
        }
    }
}

/// The same for rule files.
#[test]
fn what_is_no_rule_file_is_refused() {
    let folder = Folder::new("no-rules");
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
        refuses(&["rules", "check", "--rules", "PLAN"], &path, wanted);
        refuses(&["check", "examples/sound.shop", "--rules", "PLAN"], &path, wanted);
    }
    refuses(&["rules", "check", "--rules", "PLAN"], &folder.file("missing"), "can't read the rules");
}

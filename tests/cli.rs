//! The program as scripts and people use it: exit status, streams, files.

#[path = "common/program.rs"]
mod program;

use program::{Folder, RULE, err, out, ringout, status};
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

struct Rules(Folder);

fn rules(name: &str) -> Rules {
    let folder = Folder::new(name);
    folder.write("one.rule", RULE.as_bytes());
    Rules(folder)
}

impl Rules {
    fn check(&self, more: &[&str], plan: &str) -> Output {
        let dir = self.0.0.display().to_string();
        let args: Vec<&str> = ["check", "--rules", &dir].into_iter().chain(more.iter().copied()).collect();
        ringout(&args, plan)
    }
}

#[test]
fn exit_status_says_how_it_went() {
    let rules = rules("status");
    for (plan, more, wanted) in [
        ("panel P1: 20 in up\n", &["-"][..], 0),
        ("panel P1: 5 in up\n", &["-"], 1),
        ("panel P1\n", &["-"], 0),
        ("panel P1\n", &["--strict", "-"], 1),
        ("panle P1\n", &["-"], 2),
        ("panel P1: 5 in up\nnonsense here\n", &["-"], 2),
        ("", &["-"], 2),
        ("panel P1: 5 in up\n", &["--quiet", "-"], 1),
        ("panel P1: 5 in up\n", &["--stage", "trench", "-"], 0),
    ] {
        let output = rules.check(more, plan);
        assert_eq!(status(&output), wanted, "{plan:?} {more:?}\n{}{}", out(&output), err(&output));
        if more.contains(&"--quiet") {
            assert_eq!(out(&output), "");
        }
    }
    for wrong in [&["check"][..], &["check", "--nonsense"], &["check", "/no/such/file.shop"], &["check", "-", "-"], &[]]
    {
        let output = ringout(wrong, "");
        assert_eq!(status(&output), 2, "{wrong:?}");
        assert!(!err(&output).is_empty(), "{wrong:?} says nothing");
    }
    assert_eq!(status(&ringout(&["--help"], "")), 0);
}

/// What can't be read is said with its place, once, and the rest is judged all the same.
#[test]
fn bad_lines_are_shown_and_the_rest_is_judged() {
    let output = rules("lines").check(&["-"], "panel P1: 5 in up\n  colour green\n");
    let text = out(&output);
    assert!(text.contains("-:2:3") && text.contains("colour"), "{text}");
    assert!(text.contains("Panel P1 stands too low"), "{text}");
}

#[test]
fn awkward_files_end_soon_and_clearly() {
    let rules = rules("awkward");
    let folder = Folder::new("plans");
    let deep = format!("panel P1: {}\n", "(".repeat(5000));
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("empty.shop", vec![], "names nothing"),
        ("binary.shop", (0..=255u8).cycle().take(10_000).collect(), "UTF-8"),
        ("utf16.shop", vec![0xFF, 0xFE, b'p', 0, b'a', 0], "UTF-16"),
        ("nul.shop", b"panel P1: 20 in up\n\0\0\n".to_vec(), "NUL"),
        ("line.shop", [b"panel P1: 20 in up, ".to_vec(), vec![b'x'; 1 << 20]].concat(), "bytes long"),
        ("large.shop", format!("note \"{}\"\n", "x".repeat(140)).into_bytes().repeat(70_000), "more than 4 megabytes"),
        ("deep.shop", deep.into_bytes(), "P1"),
        ("twice.shop", b"panel P1: 20 in up\npanel P1: 5 in up\n".to_vec(), "taken"),
        (
            "ring.shop",
            b"feeder F1 from P2 to P1\nfeeder F2 from P1 to P2\npanel P1: 20 in up\npanel P2: 20 in up\n".to_vec(),
            "",
        ),
    ];
    for (name, bytes, wanted) in cases {
        let path = folder.write(name, &bytes);
        let began = std::time::Instant::now();
        let output = rules.check(&[&path], "");
        let text = out(&output) + &err(&output);
        assert!(began.elapsed().as_secs() < 20, "{name} takes {:?}", began.elapsed());
        assert!(text.contains(wanted), "{name}: {wanted} is missing:\n{text}");
        assert!(text.len() < 20_000, "{name}: {} bytes of report", text.len());
        if !wanted.is_empty() {
            assert_eq!(status(&output), 2, "{name}:\n{text}");
        }
        assert!(!text.contains("panicked"), "{name}:\n{text}");
    }
}

/// Windows line ends and a byte-order mark change nothing, columns included.
#[test]
fn line_ends_and_marks_change_nothing() {
    let rules = rules("ends");
    let folder = Folder::new("ends-plans");
    let plain = "panel P1: 5 in up\n  bus 100 A\npanel P2\n";
    let a = folder.write("a.shop", plain.as_bytes());
    let b = folder.write("b.shop", format!("\u{FEFF}{}", plain.replace('\n', "\r\n")).as_bytes());
    let report = |path: &str| out(&rules.check(&["--format", "json", path], "")).replace(path, "PLAN");
    assert_eq!(report(&a), report(&b));
}

#[test]
fn several_plans_keep_their_order() {
    let rules = rules("several");
    let folder = Folder::new("several-plans");
    let paths: Vec<String> =
        (0..12).map(|i| folder.write(&format!("{i}.shop"), format!("panel P{i}: 20 in up\n").as_bytes())).collect();
    let mut args = vec!["--format", "json"];
    args.extend(paths.iter().map(String::as_str));
    let output = rules.check(&args, "");
    let text = out(&output);
    let plans: Vec<String> = text
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap()["plan"].as_str().unwrap().to_string())
        .collect();
    assert_eq!(plans, paths);
    assert_eq!(status(&output), 0);
}

/// What a script gets without a copy of the repository is what the repository's tests hold.
#[test]
fn schemas_come_with_the_program() {
    let names = ringout(&["schema"], "");
    assert_eq!(status(&names), 0);
    let names = out(&names);
    for line in names.lines() {
        let (name, command) = line.split_once(' ').unwrap();
        let schema = ringout(&["schema", name], "");
        let document: serde_json::Value = serde_json::from_slice(&schema.stdout).unwrap();
        let validator = jsonschema::validator_for(&document).unwrap();
        let args: Vec<&str> = command.split_whitespace().skip(1).collect();
        let args: Vec<&str> =
            args.iter().map(|a| if a.starts_with("PLAN") { "examples/half-known.shop" } else { a }).collect();
        let printed = out(&ringout(&args, ""));
        let printed: serde_json::Value = serde_json::from_str(&printed).unwrap();
        assert!(validator.is_valid(&printed), "{name}");
        assert!(!validator.is_valid(&serde_json::json!({ "format": "ringout-other" })), "{name} lets anything through");
    }
    assert!(names.lines().count() >= 5, "{names}");
    let unknown = ringout(&["schema", "reprot"], "");
    assert_eq!(status(&unknown), 2);
    assert!(err(&unknown).contains("'report'"), "{}", err(&unknown));
}

/// The worst of all plans is the status of the run, wherever it stands.
#[test]
fn several_plans_end_as_the_worst_of_them() {
    let rules = rules("worst");
    let folder = Folder::new("worst-plans");
    let fine = folder.write("fine.shop", b"panel P1: 20 in up\n");
    let low = folder.write("low.shop", b"panel P1: 1 in up\n");
    let bad = folder.write("bad.shop", b"panel P1: 20 in up, quite nice\n");
    let gone = folder.file("gone.shop");
    let run = |plans: [&String; 2]| {
        let output = rules.check(&["--format", "json", plans[0], plans[1]], "");
        (status(&output), out(&output).lines().count())
    };
    for (other, wanted) in [(&fine, (0, 2)), (&low, (1, 2)), (&bad, (2, 2)), (&gone, (2, 1))] {
        assert_eq!(run([&fine, other]), wanted, "{other} second");
        assert_eq!(run([other, &fine]), wanted, "{other} first");
    }
    assert_eq!(run([&low, &bad]), (2, 2));
}

/// Written whole or not at all, under its own name, with nothing left beside it.
#[test]
fn output_goes_to_a_file_whole() {
    let rules = rules("output");
    let folder = Folder::new("output-files");
    let target = folder.file("report.json");
    let output = rules.check(&["--format", "json", "--output", &target, "-"], "panel P1: 5 in up\n");
    assert_eq!((status(&output), out(&output).as_str()), (1, ""));
    let text = std::fs::read_to_string(&target).unwrap();
    assert!(text.ends_with("}\n") && text.starts_with("{\"format\":\"ringout-report\""));
    assert_eq!(folder.names(), ["report.json"]);
    let nowhere = folder.file("no/such/folder/report.txt");
    let output = rules.check(&["--output", &nowhere, "-"], "panel P1: 5 in up\n");
    assert_eq!(status(&output), 2);
    assert!(err(&output).contains("can't write"), "{}", err(&output));
    assert_eq!(folder.names(), ["report.json"]);
}

/// A reader that stops reading is no error and brings no noise.
#[test]
fn a_broken_pipe_ends_quietly() {
    let rules = rules("pipe");
    let dir = rules.0.0.display().to_string();
    let plan: String = (0..3000).map(|i| format!("panel P{i}: 5 in up\n")).collect();
    let mut child = Command::new(env!("CARGO_BIN_EXE_ringout"))
        .args(["check", "--format", "json", "--rules", &dir, "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    child.stdin.take().unwrap().write_all(plan.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(err(&output), "");
    assert_eq!(status(&output), 1);
}

#[test]
fn color_is_where_it_was_asked_for() {
    let rules = rules("color");
    let plan = "panel P1: 5 in up\n";
    assert!(!out(&rules.check(&["-"], plan)).contains('\x1b'), "a pipe gets no color");
    assert!(out(&rules.check(&["--color", "always", "-"], plan)).contains("\x1b["));
    let evil = "shop \"a\x1b[2Jb\"\npanel P1: 5 in up\n";
    assert!(!out(&rules.check(&["-"], evil)).contains('\x1b'), "a plan's text can't reach the terminal as a command");
}

#[test]
fn why_names_the_line_and_the_nearest_name() {
    let folder = rules("why");
    let dir = folder.0.0.display().to_string();
    let plan = "panel P1: 5 in up\npanel P2: 20 in up\n";
    let output = ringout(&["why", "--rules", &dir, "-", "tall-panel", "P1"], plan);
    let text = out(&output);
    assert!(text.contains("attention") && text.contains("line 1") && !text.contains("P2"), "{text}{}", err(&output));
    let output = ringout(&["why", "--rules", &dir, "-", "tall-panle"], plan);
    assert_eq!(status(&output), 2);
    assert!(err(&output).contains("did you mean tall-panel?"), "{}", err(&output));
    let output = ringout(&["why", "--rules", &dir, "-", "tall-panel", "P9"], plan);
    assert!(err(&output).contains("it meets P1, P2"), "{}", err(&output));
}

#[test]
fn rules_are_listed_shown_and_tried() {
    let folder = rules("rules");
    let dir = folder.0.0.display().to_string();
    let listed = ringout(&["rules", "list", "--format", "json", "--rules", &dir], "");
    let list: serde_json::Value = serde_json::from_str(&out(&listed)).unwrap();
    assert_eq!(list["rules"][0]["id"], "tall-panel");
    assert_eq!(list["rules"][0]["line"], 1);
    let shown = out(&ringout(&["rules", "show", "tall-panel", "--rules", &dir], ""));
    assert!(shown.contains("one.rule:1:1") && shown.contains("at least 10 in"), "{shown}");
    let words = ringout(&["rules", "words", "panel", "--format", "json", "--rules", &dir], "");
    let words: serde_json::Value = serde_json::from_str(&out(&words)).unwrap();
    assert!(words["words"].as_array().unwrap().iter().any(|w| w["word"] == "handle-height"));
    let tried = ringout(&["rules", "try", "tall-panel", "-", "--rules", &dir], "panel P1: 5 in up\n");
    assert!(out(&tried).contains("attention"), "{}", out(&tried));
}

/// Examples run, and one that says what isn't so is shown at its line.
#[test]
fn rules_check_runs_the_examples() {
    let folder = rules("examples");
    let dir = folder.0.0.display().to_string();
    let fine = ringout(&["rules", "check", "--rules", &dir], "");
    assert_eq!(status(&fine), 0, "{}{}", out(&fine), err(&fine));
    assert!(out(&fine).contains("3 examples"), "{}", out(&fine));
    folder.0.write("one.rule", RULE.replace("panel P1: 20 in up", "panel P1: 2 in up").as_bytes());
    let wrong = ringout(&["rules", "check", "--rules", &dir], "");
    assert_eq!(status(&wrong), 2);
    assert!(err(&wrong).contains("one.rule:13:"), "{}", err(&wrong));
    folder.0.write("one.rule", RULE.replace("handle-height within", "handle-hieght within").as_bytes());
    let misspelt = ringout(&["rules", "check", "--rules", &dir], "");
    assert_eq!(status(&misspelt), 2);
    assert!(err(&misspelt).contains("handle-height"), "{}", err(&misspelt));
}

/// The exported pack is the built-in one: it checks out alike, and nothing is replaced.
#[test]
fn the_exported_pack_is_the_built_in_one() {
    let folder = Folder::new("export");
    let dir = folder.file("mine");
    let output = ringout(&["rules", "export", &dir], "");
    assert_eq!(status(&output), 0, "{}", err(&output));
    let list = |args: &[&str]| -> serde_json::Value {
        let mut value: serde_json::Value = serde_json::from_str(&out(&ringout(args, ""))).unwrap();
        for rule in value["rules"].as_array_mut().unwrap() {
            rule["file"] = Path::new(rule["file"].as_str().unwrap()).file_name().unwrap().to_string_lossy().into();
        }
        value["rules"].as_array_mut().unwrap().sort_by_key(|r| r["id"].to_string());
        value
    };
    let own = list(&["rules", "list", "--format", "json"]);
    assert_eq!(own, list(&["rules", "list", "--format", "json", "--rules", &dir]));
    let again = ringout(&["rules", "export", &dir], "");
    assert_eq!(status(&again), 2);
    assert!(err(&again).contains("not empty"), "{}", err(&again));
}

#[test]
fn tidy_changes_the_look_alone() {
    let folder = Folder::new("tidy");
    let rough = "panel   P1:bus 100 A   # from the label\n     spaces 12\n";
    let path = folder.write("a.shop", rough.as_bytes());
    let checked = ringout(&["tidy", "--check", &path], "");
    assert!(status(&checked) == 1 && out(&checked).contains("is not tidy"), "{}", out(&checked));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), rough, "--check writes nothing");
    assert_eq!(status(&ringout(&["tidy", &path], "")), 0);
    let tidied = std::fs::read_to_string(&path).unwrap();
    assert!(tidied.contains("# from the label") && tidied != rough, "{tidied}");
    assert_eq!(status(&ringout(&["tidy", "--check", &path], "")), 0);
    let piped = ringout(&["tidy", "-"], rough);
    assert_eq!((status(&piped), out(&piped)), (0, tidied));
    // What can't be read is not written over.
    let broken = "panel P1: buss 100 A and more\nnonsense here\n";
    let path = folder.write("b.shop", broken.as_bytes());
    let refused = ringout(&["tidy", &path], "");
    assert!(status(&refused) == 2 && err(&refused).contains("left as it is"), "{}", err(&refused));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), broken);
    assert_eq!(folder.names(), ["a.shop", "b.shop"], "no half-written file stays");
}

#[test]
fn new_writes_a_plan_and_never_over_one() {
    let folder = Folder::new("new");
    let path = folder.file("barn");
    let made = ringout(&["new", "--yes", &path], "");
    assert_eq!(status(&made), 0, "{}", err(&made));
    let written = folder.file("barn.shop");
    let checked = ringout(&["check", &written], "");
    assert!(status(&checked) < 2, "every line can be read: {}", err(&checked));
    assert!(out(&checked).contains("UNKNOWN"), "{}", out(&checked));
    std::fs::write(&written, "mine").unwrap();
    let again = ringout(&["new", "--yes", &path], "");
    assert!(status(&again) == 2 && err(&again).contains("--replace"), "{}", err(&again));
    assert_eq!(std::fs::read_to_string(&written).unwrap(), "mine");
    assert_eq!(status(&ringout(&["new", "--yes", "--replace", &path], "")), 0);
    assert_ne!(std::fs::read_to_string(&written).unwrap(), "mine");
}

#[test]
fn completions_and_the_manual_know_every_command() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let ended = ringout(&["completions", shell], "");
        assert!(status(&ended) == 0 && out(&ended).contains("directory"), "{shell}");
    }
    let manual = ringout(&["manual"], "");
    let page = out(&manual);
    assert!(status(&manual) == 0 && page.starts_with(".ie") || page.contains(".TH"), "{page}");
    for command in ["check", "ask", "why", "figures", "wires", "directory", "tidy", "new", "rules"] {
        assert!(page.contains(command), "{command} is not in the manual");
    }
}

/// `--output` with the plan's own name, another plan's or a link to one leaves all as it is.
#[test]
fn no_report_takes_the_place_of_a_plan() {
    let folder = Folder::new("overwrite");
    let plan = folder.write("my.shop", b"receptacle R1: 5-20R\n");
    let notes = folder.write("notes.txt", b"receptacle R1: 5-20R\n");
    let rules = folder.write("mine.rule", b"# mine\n");
    for (input, output) in [(&plan, &plan), (&notes, &plan), (&notes, &notes), (&plan, &rules)] {
        for command in ["check", "ask", "figures", "wires", "takeoff", "directory"] {
            let run = ringout(&[command, input, "--output", output], "");
            assert_eq!(status(&run), 2, "{command} {input} {output}");
            assert!(err(&run).contains("not put in its place"), "{}", err(&run));
        }
    }
    assert_eq!(std::fs::read_to_string(&plan).unwrap(), "receptacle R1: 5-20R\n");
    assert_eq!(std::fs::read_to_string(&notes).unwrap(), "receptacle R1: 5-20R\n");
    assert_eq!(std::fs::read_to_string(&rules).unwrap(), "# mine\n");
    let report = folder.write("report.txt", b"old");
    assert_eq!(status(&ringout(&["directory", &plan, "--output", &report], "")), 0);
    assert!(std::fs::read_to_string(&report).unwrap().contains("draws no panel"));
    assert_eq!(folder.names(), ["mine.rule", "my.shop", "notes.txt", "report.txt"]);
}

/// A plan beside one with a deeper box and a known breaker: what that settles, and nothing else.
#[test]
fn compare_shows_what_differs() {
    let folder = Folder::new("compare");
    let plan = include_str!("../examples/larkspur.shop");
    let changed = plan.replace("box B9: 4 in square, 1-1/2 in deep", "box B9: 4 in square, 2-1/8 in deep");
    assert_ne!(plan, changed);
    let other = folder.write("deeper.shop", changed.as_bytes());
    let ended = ringout(&["compare", "examples/larkspur.shop", &other, "--format", "json"], "");
    assert_eq!(status(&ended), 0, "{}", err(&ended));
    let document: serde_json::Value = serde_json::from_str(&out(&ended)).unwrap();
    let verdicts = document["verdicts"].as_array().unwrap();
    assert_eq!(verdicts.len(), 1, "{verdicts:?}");
    assert_eq!(
        (verdicts[0]["what"].as_str(), verdicts[0]["first"].as_str(), verdicts[0]["second"].as_str()),
        (Some("box-fill"), Some("attention"), Some("pass"))
    );
    let figures = document["figures"].as_array().unwrap();
    assert!(figures.iter().all(|f| f["about"] == "box B9") && !figures.is_empty(), "{figures:?}");
    assert_eq!(
        document["materials"].as_array().unwrap().len(),
        4,
        "a box and its cover less of one depth, and more of the other"
    );
    let same = ringout(&["compare", "examples/larkspur.shop", "examples/larkspur.shop"], "");
    assert!(status(&same) == 0 && out(&same).matches("No difference").count() == 4, "{}", out(&same));
}

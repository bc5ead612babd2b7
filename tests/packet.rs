//! The packet as a file: every link leads somewhere in it, nothing leads out of it, no text of a plan becomes
//! markup, what is unknown is a blank with its question, and a file that is there stays as it is on any failure.
//! What it looks like on paper is held by tests/browser.rs.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use regex::Regex;
use ringout::report::packet::{Options, Sheet, packet};
use ringout::report::{Depth, Report, figures};
use ringout::{Checked, Rules, law};
use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

const EXAMPLES: [(&str, &str); 3] = [
    ("larkspur", include_str!("../examples/larkspur.shop")),
    ("sound", include_str!("../examples/sound.shop")),
    ("half-known", include_str!("../examples/half-known.shop")),
];

fn checked(plan: &str) -> (Rules, Checked) {
    let rules = Rules::builtin();
    let checked = ringout::check(&rules, "plan.shop", plan, &law::Options::default());
    (rules, checked)
}

fn printed(plan: &str, sheets: &[Sheet]) -> String {
    let (rules, checked) = checked(plan);
    print(&rules, &checked, sheets)
}

fn print(rules: &Rules, checked: &Checked, sheets: &[Sheet]) -> String {
    packet(rules, checked, &Options { sheets: sheets.to_vec(), date: Some("2027-04-20".into()), stages: Vec::new() })
}

fn all(pattern: &str, text: &str) -> Vec<String> {
    Regex::new(pattern).unwrap().captures_iter(text).map(|c| c[1].to_string()).collect()
}

/// The text that a reader sees: no tags, characters instead of their names.
fn seen(html: &str) -> String {
    let body = html.split_once("</style>").unwrap().1;
    let bare = Regex::new("<[^>]*>").unwrap().replace_all(body, "");
    bare.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Every link is to an id of this file, and no id stands twice.
fn links_hold(html: &str) -> Result<(), String> {
    let ids = all(r#" id="([^"]*)""#, html);
    let known: BTreeSet<&String> = ids.iter().collect();
    if known.len() != ids.len() {
        return Err(format!("of {} ids {} are the same as others", ids.len(), ids.len() - known.len()));
    }
    for link in all(r#" href="([^"]*)""#, html) {
        let target = link.strip_prefix('#').ok_or_else(|| format!("{link} leads out of the file"))?;
        if !known.contains(&target.to_string()) {
            return Err(format!("{link} leads nowhere"));
        }
    }
    Ok(())
}

/// Whatever a reader's program may fetch or run.
fn is_closed(html: &str) -> Result<(), String> {
    let tags: String = all("<([^>]*)>", html).join("\n").replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
    let style = html.split_once("<style>").unwrap().1.split_once("</style>").unwrap().0;
    for wrong in
        [" src=", "srcset", "http:", "https:", "<script", "javascript:", "<iframe", "<object", "<link", "<form"]
    {
        if tags.contains(wrong.trim_start_matches('<'))
            && (wrong.starts_with('<') && html.contains(wrong) || !wrong.starts_with('<'))
        {
            return Err(format!("a tag has {wrong}"));
        }
    }
    if let Some(handler) = all(r#"<[^>]*\s(on[a-z]+)\s*="#, html).first() {
        return Err(format!("a tag has {handler}"));
    }
    for wrong in ["url(", "@import", "http", "expression("] {
        if style.contains(wrong) {
            return Err(format!("the style has {wrong}"));
        }
    }
    match html.contains("default-src 'none'") {
        true => Ok(()),
        false => Err("the browser is not told to load nothing".into()),
    }
}

#[test]
fn every_finding_is_linked_to_its_lines_and_every_link_holds() {
    for (name, plan) in EXAMPLES {
        let (rules, checked) = checked(plan);
        let html = print(&rules, &checked, &[]);
        links_hold(&html).unwrap_or_else(|why| panic!("{name}: {why}"));
        let report = Report::of(&rules, &checked, Depth::Verdicts);
        assert!(report.findings.len() > 100);
        let checks = html.split_once("id=\"E10.").unwrap().1.split_once("id=\"E11\"").map_or(&html[..], |c| c.0);
        let linked: BTreeSet<String> = all("href=\"#(L[0-9]+)\"", checks).into_iter().collect();
        for finding in &report.findings {
            let line = format!("L{}", checked.sources.place(finding.place).line);
            assert!(linked.contains(&line), "{name}: {} at {line} has no link", finding.rule);
        }
        for finding in report.findings.iter().filter(|f| f.verdict == law::verdict::Outcome::Attention) {
            let first = finding.message.chars().skip(1).collect::<String>();
            assert!(html.contains(&escaped(&first)), "{name}: {}", finding.message);
        }
    }
    assert!(links_hold("<p id=\"a\"><a href=\"#b\">x</a>").is_err(), "the test itself can fail");
}

#[test]
fn a_part_of_the_packet_has_no_link_to_what_is_not_printed() {
    for (name, plan) in EXAMPLES {
        let (rules, checked) = checked(plan);
        for sheet in Sheet::ALL {
            let html = print(&rules, &checked, &[sheet]);
            links_hold(&html).unwrap_or_else(|why| panic!("{name}, {} alone: {why}", sheet.name()));
            assert!(html.contains(&format!("<h2 id=\"{}", sheet.number())), "{name}: {} is lacking", sheet.name());
        }
    }
}

#[test]
fn nothing_leads_out_and_nothing_runs() {
    for (name, plan) in EXAMPLES {
        is_closed(&printed(plan, &[])).unwrap_or_else(|why| panic!("{name}: {why}"));
    }
    let good = "<style></style><meta content=\"default-src 'none'\">";
    assert!(is_closed(good).is_ok());
    for wrong in ["<img src=\"x\">", "<script>1</script>", "<p onclick=\"x\">", "<a href=\"https://example.org\">"] {
        assert!(is_closed(&format!("{good}{wrong}")).is_err(), "{wrong} is let through");
    }
}

#[test]
fn no_text_of_a_plan_becomes_markup() {
    let long = "x".repeat(300);
    let hostile = [
        "</code></td></table></section></main><script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "]]> --> &#x3c;b&#x3e; {{x}} ' onload='x",
        &long,
    ];
    let plan = |names: &[&str]| {
        let [a, b, c, d] = names else { panic!() };
        format!(
            "shop \"{a}\"\n  code NEC 2023\npanel P1 \"{b}\"\n  bus 100 A, 8 spaces\ncircuit C1 \"{c}\"\n  breaker 20 A, 1-pole, space 1\n  \
             feeds R1\ncircuit C2 \"{d}\"\n  feeds {d}\nreceptacle R1 \"{a}\": 5-20R, \"{b}\"\nreceptacle {d}: 5-20R\n# {a} \u{202e}{b}\u{200f} \u{1b}[31m {c}\n{c}\n"
        )
    };
    let html = printed(&plan(&hostile), &[]);
    is_closed(&html).unwrap();
    links_hold(&html).unwrap();
    let harmless = printed(&plan(&["a", "b", "c", &long]), &[]);
    // The same tags but for lines that can't be read, which are said in words of their own.
    let tags = |html: &str, tag: &str| html.matches(&format!("<{tag}")).count();
    for tag in ["section", "main", "img", "script", "style", "title", "html"] {
        assert_eq!(tags(&html, tag), tags(&harmless, tag), "<{tag}>");
    }
    let text = seen(&html);
    for name in hostile {
        assert!(text.contains(name), "{name} can't be read any more");
    }
    let controls =
        |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{1b}');
    assert!(!html.contains(controls), "marks that turn the direction of writing are shown as such");
    assert!(text.contains('\u{fffd}'));
}

#[test]
fn the_plan_is_given_back_line_by_line() {
    for (name, plan) in EXAMPLES {
        let html = printed(plan, &[Sheet::Plan]);
        let lines = all(r"(?s)<tr id=.L[0-9]+.[^>]*><th scope=.row.>[0-9]+</th><td><code>(.*?)</code>", &html);
        let given: Vec<String> = lines
            .iter()
            .map(|l| l.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&"))
            .collect();
        assert_eq!(given, plan.lines().collect::<Vec<_>>(), "{name}");
    }
}

#[test]
fn every_question_stands_there_with_room_for_the_answer() {
    for (name, plan) in EXAMPLES {
        let (rules, checked) = checked(plan);
        let html = print(&rules, &checked, &[Sheet::Questions]);
        let report = Report::of(&rules, &checked, Depth::Verdicts);
        let sheet =
            html.split_once("id=\"E11-title\"").map_or("", |s| s.1).split_once("</section>").map_or("", |s| s.0);
        for question in &report.questions {
            let entry = sheet.split_once(&format!("id=\"Q-{}\"", question.letter)).map(|s| s.1);
            let entry = entry.and_then(|e| e.split("class=\"entry\"").next()).unwrap_or("");
            assert!(entry.contains(&escaped(&question.ask)), "{name}: {} {}", question.letter, question.ask);
            assert!(entry.matches("class=\"line\"").count() == 3, "{name}: no room to answer {}", question.letter);
        }
        let count = sheet.matches("id=\"Q-").count();
        assert_eq!(count, report.questions.len(), "{name}");
        assert_eq!(count == 0, name == "sound", "{name}");
    }
}

/// With one phrase of the plan gone, its value is gone, and a blank with the question stands there.
#[test]
fn what_is_unknown_is_a_blank_and_never_a_value() {
    let plan = EXAMPLES[0].1;
    for (sheet, phrase, value, question) in [
        (Sheet::Cover, ", fault current 8000 A", "8000", "What is the fault current of supply house?"),
        (
            Sheet::Directory,
            ", interrupting 10 kA",
            "10000",
            "Which fault current is panel P1 marked for? Its label says.",
        ),
        (Sheet::Directory, "bus 100 A, ", "Bus 100", "How many amperes does the label of panel P1 give for its bus?"),
        (Sheet::Directory, ", space 10", ">10<", "Which spaces of its panel does the breaker of C4 take?"),
    ] {
        assert!(plan.contains(phrase), "{phrase}");
        let blanks = |html: &str| html.matches("class=\"blank").count();
        let before = printed(plan, &[sheet]);
        let after = printed(&plan.replace(phrase, ""), &[sheet]);
        assert!(before.contains(value) && !after.contains(value), "{phrase}: the value stays");
        assert!(blanks(&after) > blanks(&before), "{phrase}: no blank");
        let asked = seen(&after).to_lowercase();
        assert!(asked.contains(&question.to_lowercase()), "{phrase}: not asked");
    }
    // The worn-off rating of the demo: no number may stand where the plan says `unknown`.
    let row = printed(plan, &[Sheet::Directory]);
    let row = row.split("<tr>").find(|r| r.contains("South bench")).unwrap().to_string();
    assert!(row.contains("class=\"blank"), "{row}");
    assert!(!row.contains(" A<"), "{row}");
}

#[test]
fn the_cover_counts_as_the_report_does() {
    for (name, plan) in EXAMPLES {
        let (rules, checked) = checked(plan);
        let report = Report::of(&rules, &checked, Depth::Verdicts);
        let total = report.total();
        let cells =
            [total.attention, total.unknown, total.pass].map(|n| format!("<td class=\"number\"><b>{n}</b></td>"));
        assert!(print(&rules, &checked, &[Sheet::Cover]).contains(&cells.concat()), "{name}: {total:?}");
    }
}

/// Text for text: what `ringout figures` shows of feeders and circuits stands on the calculation sheet.
#[test]
fn the_calculation_sheet_has_every_figure() {
    for (name, plan) in EXAMPLES {
        let (rules, checked) = checked(plan);
        let sheets = figures::sheets(&rules, &checked, None);
        let text = seen(&printed(plan, &[Sheet::Figures]));
        let mut count = 0;
        for figure in sheets.iter().flat_map(|sheet| &sheet.figures).filter(|f| f.text != "unknown") {
            assert!(text.contains(&figure.text), "{name}: {} {}", figure.name, figure.text);
            count += 1;
        }
        assert!(count > 30, "{name}: {count}");
    }
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let (rules, checked) = checked(EXAMPLES[0].1);
    let dated = print(&rules, &checked, &[]);
    assert!(dated == printed(EXAMPLES[0].1, &[]));
    let undated = packet(&rules, &checked, &Options::default());
    assert!(
        undated == dated.replace(">2027-04-20<", "><"),
        "without a day there is room for it and nothing else differs"
    );
}

#[test]
fn nothing_is_promised() {
    for (name, plan) in EXAMPLES {
        let html = printed(plan, &[Sheet::Cover, Sheet::Directory, Sheet::Figures, Sheet::Pull, Sheet::Joining]);
        let more = printed(plan, &[Sheet::Materials, Sheet::Checks, Sheet::Questions, Sheet::Tests]);
        let text = (seen(&html) + &seen(&more)).to_lowercase();
        for word in ["safe", "legal", "compliant", "approved", "will pass"] {
            assert!(!Regex::new(&format!(r"\b{word}\b")).unwrap().is_match(&text), "{name}: {word}");
        }
        assert!(text.contains("the inspector and the code as your county or city adopted it decide"));
        assert!(text.contains("811"));
    }
}

/// Beside each list of joints stands the same as a picture: one place of the list, one of the picture.
#[test]
fn every_joint_is_listed_and_drawn() {
    for (name, plan) in EXAMPLES {
        let (rules, checked) = checked(plan);
        let html = print(&rules, &checked, &[Sheet::Joining]);
        let boxes = ringout::report::wires::sheets(&rules, &checked, None).boxes;
        let charts: Vec<&str> = html.split("<div class=\"chart\">").skip(1).collect();
        assert_eq!(charts.len(), boxes.len(), "{name}");
        for (sheet, chart) in boxes.iter().zip(charts) {
            let listed = all(r#"<th scope="row">([0-9]+)</th>"#, chart);
            let drawn = all(r#"class="strong">([0-9]+)</text>"#, chart);
            let numbers: Vec<String> = (1..=sheet.joints.len()).map(|n| n.to_string()).collect();
            assert_eq!(listed, numbers, "{name}, {}", sheet.called);
            assert_eq!(drawn, numbers, "{name}, {}", sheet.called);
            for joint in &sheet.joints {
                assert!(chart.contains(&escaped(&joint.text)), "{name}, {}: {}", sheet.called, joint.text);
            }
        }
    }
}

/// Each reader's set is a part of the packet, and between them nothing is lost.
#[test]
fn every_sheet_is_for_some_reader() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut printed = BTreeSet::new();
    for (reader, most) in [("office", 7), ("inspector", 5), ("bench", 4)] {
        let out = run(folder, &["packet", "examples/sound.shop", "--for", reader]);
        let html = String::from_utf8(out.stdout).unwrap();
        links_hold(&html).unwrap_or_else(|why| panic!("{reader}: {why}"));
        let numbers: BTreeSet<String> = all(r#"<h2 id="E([0-9]+)[.-]"#, &html).into_iter().collect();
        assert!(numbers.len() <= most && !numbers.is_empty(), "{reader}: {numbers:?}");
        printed.extend(numbers);
    }
    // Nothing is open in this plan, so it has no questions.
    let every: BTreeSet<String> = (1..=Sheet::ALL.len()).map(|n| n.to_string()).filter(|n| n != "11").collect();
    assert!(every.is_subset(&printed), "{printed:?}");
}

/// How much lighter or darker one gray is than white paper, as WCAG 2 reckons it (memory; 21 for black).
fn contrast(gray: u8) -> f64 {
    let part = f64::from(gray) / 255.0;
    let light = if part <= 0.040_45 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) };
    1.05 / (light + 0.05)
}

/// A print is read at arm's length and copied without colors: no letter under 8 points, letters at least 4.5 to 1.
#[test]
fn letters_are_large_and_dark_enough() {
    assert!((contrast(0) - 21.0).abs() < 0.01 && contrast(0x99) < 3.0, "the reckoning itself");
    let html = printed(EXAMPLES[1].1, &[Sheet::Cover]);
    let style = html.split_once("<style>").unwrap().1.split_once("</style>").unwrap().0;
    let sizes: Vec<f64> =
        all(r"font(?:-size)?:[a-z0-9 ]*?([0-9.]+)pt", style).iter().map(|n| n.parse().unwrap()).collect();
    assert!(sizes.len() > 15 && sizes.iter().all(|size| *size >= 8.0), "{sizes:?}");
    let drawn: Vec<f64> = all(r"font-size:([0-9.]+)px", style).iter().map(|n| n.parse().unwrap()).collect();
    assert!(drawn.len() > 3 && drawn.iter().all(|size| *size >= 11.0 - 0.4), "{drawn:?}");
    let inks = all(r"(?:--ink|--soft|[;{]color|fill):(#[0-9a-f]+)", style);
    assert!(inks.len() > 3, "{inks:?}");
    for ink in inks.iter().filter(|ink| *ink != "#fff" && *ink != "#e6e6e6") {
        let digits = ink.trim_start_matches('#');
        let pairs: Vec<String> = match digits.len() {
            3 => digits.chars().map(|c| format!("{c}{c}")).collect(),
            _ => (0..3).map(|n| digits[2 * n..2 * n + 2].to_string()).collect(),
        };
        assert!(pairs.iter().all(|pair| *pair == pairs[0]), "{ink} is no gray");
        assert!(contrast(u8::from_str_radix(&pairs[0], 16).unwrap()) >= 4.5, "{ink}");
    }
}

/// A sheet with nothing on it is left out, and the cover says so; asked for by name, it says it itself.
#[test]
fn a_sheet_with_nothing_on_it_says_why() {
    let plan = "receptacle R1: 5-20R\n";
    let html = printed(plan, &[]);
    assert!(!html.contains("id=\"E5\"") && html.contains("left out. The plan draws no panel."));
    assert!(printed(plan, &[Sheet::Directory]).contains("The plan draws no panel."));
    let empty = printed("", &[]);
    links_hold(&empty).unwrap();
    assert!(empty.contains("names nothing that could be checked") && empty.contains("id=\"L1\""), "{empty}");
    let unread = printed("shop\n  flurb 3 gribbles\n", &[]);
    assert!(unread.contains("class=\"unread\"") && seen(&unread).contains("Not read"));
}

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ringout")).args(args).current_dir(folder).output().unwrap()
}

#[test]
fn a_file_is_written_whole_or_left_alone() {
    let folder = std::env::temp_dir().join(format!("ringout-packet-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("my.shop"), EXAMPLES[2].1).unwrap();
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).ok();
    let fails = |args: &[&str], wanted: &str| {
        let out = run(&folder, args);
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert_eq!(out.status.code(), Some(2), "{args:?}: {said}");
        assert!(said.contains(wanted), "{args:?}: {said}");
    };
    assert_eq!(run(&folder, &["packet", "my.shop", "--output", "a.html"]).status.code(), Some(0));
    let whole = read("a.html").unwrap();
    assert!(whole.starts_with("<!DOCTYPE html>") && whole.ends_with("</html>"));
    // The same bytes as on standard output.
    assert_eq!(String::from_utf8(run(&folder, &["packet", "my.shop"]).stdout).unwrap(), whole);

    std::fs::write(folder.join("a.html"), "written by hand").unwrap();
    fails(&["packet", "my.shop", "--output", "a.html"], "--replace");
    fails(&["packet", "gone.shop", "--output", "a.html", "--replace"], "can't read");
    fails(&["packet", "my.shop", "--rules", "gone", "--output", "a.html", "--replace"], "rules");
    fails(&["packet", "my.shop", "--date", "20 April", "--output", "a.html", "--replace"], "YEAR-MONTH-DAY");
    fails(&["packet", "my.shop", "--sheet", "covers", "--output", "a.html", "--replace"], "covers");
    fails(&["packet", "my.shop", "--output", "my.shop", "--replace"], "wrote yourself");
    fails(&["packet", "my.shop", "--output", "gone/a.html"], "can't write");
    assert_eq!(read("a.html").as_deref(), Some("written by hand"));
    assert_eq!(read("my.shop").as_deref(), Some(EXAMPLES[2].1));
    assert_eq!(run(&folder, &["packet", "my.shop", "--output", "a.html", "--replace"]).status.code(), Some(0));
    assert_eq!(read("a.html").unwrap(), whole);
    // A plan with a line that can't be read is still printed, and the status says it.
    std::fs::write(folder.join("odd.shop"), "shop\n  flurb 3 gribbles\n").unwrap();
    fails(&["packet", "odd.shop", "--output", "odd.html"], "flurb");
    assert!(read("odd.html").is_some());
    let left: BTreeSet<_> = std::fs::read_dir(&folder).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left.len(), 4, "nothing is left beside the files: {left:?}");
    std::fs::remove_dir_all(&folder).unwrap();
}

/// Who changed the rules stands on the cover, with what was switched off; without a layer, that none is applied.
#[test]
fn local_amendments_are_named_with_what_they_changed() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"));
    let cover = |more: &[&str]| {
        let args = [&["packet", "examples/sound.shop", "--sheet", "cover"], more].concat();
        seen(&String::from_utf8(run(folder, &args).stdout).unwrap())
    };
    let plain = cover(&[]);
    assert!(plain.contains("No local amendments are applied") && !plain.contains("Utah"));
    let amended = cover(&["--layer", "rules/layers/utah-gfci.rule"]);
    assert!(amended.contains("With the amendments of State of Utah"), "{amended}");
    assert!(amended.contains("Switched off:") && amended.contains("gfci-250v"), "{amended}");
    assert!(!amended.contains("No local amendments are applied"));
}

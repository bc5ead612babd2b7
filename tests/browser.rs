//! The packet on paper and on a phone, measured in a browser: no text lies over another or leaves its sheet, each
//! page of the print says whose it is, nothing is fetched.
//!
//! Needs Chromium and poppler's `pdftotext`, from Debian: `chromium poppler-utils fonts-liberation`. Without
//! them these tests say so and are skipped; with `RINGOUT_BROWSER=must` in the environment they fail.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]
#![cfg(unix)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const EXAMPLES: [&str; 3] = ["larkspur", "sound", "half-known"];

/// Finds texts that lie on others and what leaves its sheet; runs in a copy of the packet.
const MEASURE: &str = include_str!("browser/measure.js");

fn is_there(program: &str) -> bool {
    let tried = Command::new(program).arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status();
    tried.is_ok()
}

/// Whether the browser can be used. Says so where it can't.
fn has_browser() -> bool {
    if is_there("chromium") && is_there("pdftotext") {
        return true;
    }
    assert!(
        std::env::var_os("RINGOUT_BROWSER").is_none_or(|v| v != "must"),
        "chromium or pdftotext is not there, and RINGOUT_BROWSER=must"
    );
    eprintln!("SKIPPED: chromium or pdftotext is not there; the packet was looked at in no browser");
    false
}

/// A folder that goes away with the test.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let folder = std::env::temp_dir().join(format!("ringout-browser-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        Folder(folder)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn packet(plan: &Path) -> String {
    let out = Command::new(env!("CARGO_BIN_EXE_ringout"))
        .args(["packet", "--date", "2027-04-20"])
        .arg(plan)
        .output()
        .unwrap();
    assert_eq!(out.status.code(), Some(0), "{}", String::from_utf8_lossy(&out.stderr));
    String::from_utf8(out.stdout).unwrap()
}

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.shop"))
}

/// Runs the browser on a file, away from any network.
fn chromium(folder: &Folder, args: &[&str], file: &Path) -> String {
    let out = Command::new("chromium")
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run"])
        // Whoever asks for a name gets none.
        .args([
            "--host-resolver-rules=MAP * ~NOTFOUND",
            "--disable-background-networking",
            "--virtual-time-budget=20000",
        ])
        .arg(format!("--user-data-dir={}", folder.path("profile").display()))
        .args(args)
        .arg(format!("file://{}", file.display()))
        .stderr(Stdio::null())
        .output()
        .unwrap();
    assert!(out.status.success(), "chromium {args:?}: {:?}", out.status);
    String::from_utf8_lossy(&out.stdout).into_owned()
}

/// What the measuring script finds in a page of this width: one fault a line, then `measured N texts`.
fn faults(folder: &Folder, html: &str, width: u32, style: &str) -> Vec<String> {
    let (mut lines, count) = measured(folder, html, width, style);
    assert!(count > 300, "only {count} texts were measured");
    lines.sort();
    lines
}

/// The same, and how many texts were measured.
fn measured(folder: &Folder, html: &str, width: u32, style: &str) -> (Vec<String>, u32) {
    // The packet itself lets nothing run: the copy may.
    let closed = html.find("<meta http-equiv").unwrap();
    let end = closed + html[closed..].find('>').unwrap() + 1;
    let mut copy = format!("{}{}", &html[..closed], &html[end..]);
    copy = copy.replace("</head>", &format!("<style>{style}</style></head>"));
    copy = copy.replace("</body>", &format!("<script>{MEASURE}</script></body>"));
    let file = folder.path("measured.html");
    std::fs::write(&file, copy).unwrap();
    let dom = chromium(folder, &[&format!("--window-size={width},1200"), "--dump-dom"], &file);
    let found =
        dom.split_once("<pre id=\"measured\">").and_then(|d| d.1.split_once("</pre>")).expect("nothing was measured").0;
    let mut lines: Vec<String> = found.lines().map(str::to_string).filter(|l| !l.is_empty()).collect();
    let measured = lines.pop().unwrap_or_default();
    let count: u32 = measured.trim_start_matches("measured ").trim_end_matches(" texts").parse().expect(&measured);
    (lines, count)
}

/// As wide as a sheet of letter paper at 96 dots an inch, with a margin; as wide as a phone.
const SHEET: u32 = 1100;
const PHONE: u32 = 400;

#[test]
fn no_text_lies_on_another_or_leaves_its_sheet() {
    if !has_browser() {
        return;
    }
    for name in EXAMPLES {
        let folder = Folder::new(&format!("texts-{name}"));
        let html = packet(&example(name));
        let found = faults(&folder, &html, SHEET, "");
        assert!(found.is_empty(), "{name}, {} faults:\n{}", found.len(), found[..found.len().min(20)].join("\n"));
        // A font that is wider than any of those that are asked for.
        let wide = faults(&folder, &html, SHEET, "*{font-family:'DejaVu Sans',Verdana,sans-serif !important}");
        assert!(
            wide.is_empty(),
            "{name}, a wide font, {} faults:\n{}",
            wide.len(),
            wide[..wide.len().min(20)].join("\n")
        );
        let phone = faults(&folder, &html, PHONE, "");
        assert!(
            phone.is_empty(),
            "{name}, a phone, {} faults:\n{}",
            phone.len(),
            phone[..phone.len().min(20)].join("\n")
        );
    }
}

/// The measure itself: it finds what was spoiled on purpose.
#[test]
fn a_spoiled_packet_is_found_out() {
    if !has_browser() {
        return;
    }
    let folder = Folder::new("spoiled");
    let html = packet(&example("sound"));
    for (what, style) in [
        ("lines too close", "p,td,li,dd{line-height:.3 !important}"),
        ("a table too wide", ".grid{width:12in !important}"),
        ("words cut", "td{overflow:hidden;max-width:.3in;white-space:nowrap}.grid{table-layout:fixed}"),
    ] {
        assert!(!faults(&folder, &html, SHEET, style).is_empty(), "{what}: not found");
    }
}

/// Long names, names that look like markup, and many boxes: still nothing on anything else.
#[test]
fn hostile_names_stay_in_their_places() {
    if !has_browser() {
        return;
    }
    let folder = Folder::new("hostile");
    let long = "x".repeat(300);
    let words = "a long name of many words ".repeat(12);
    let plan = format!(
        "shop \"{words}\"\n  code NEC 2023\n  detached\nsupply house\nfeeder F1 \"{long}\" from house to P1\n  breaker 60 A\n  stretch 40 ft: 1 in PVC-40, \
         buried 18 in\npanel P1 \"</td><script>alert(1)</script>\"\n  bus 100 A, 8 spaces\ncircuit C1 \"{words}\"\n  breaker 20 A, 1-pole, space 1\n  feeds \
         {long}, R2\nreceptacle {long}: 5-20R\nreceptacle R2 \"&amp; ' < > \u{202e}\": 5-20R\nbox B1: 4 in square, holds {long}\nbox B2: 4 in square, holds \
         R2\nrun P1 to B1: 1/2 in EMT, 9 ft\nrun B1 to B2: 1/2 in EMT, 9 ft\n{long}\n"
    );
    let file = folder.path("hostile.shop");
    std::fs::write(&file, plan).unwrap();
    let out = Command::new(env!("CARGO_BIN_EXE_ringout")).arg("packet").arg(&file).output().unwrap();
    let html = String::from_utf8(out.stdout).unwrap();
    for width in [SHEET, PHONE] {
        let found = faults(&folder, &html, width, "");
        assert!(found.is_empty(), "{width}: {} faults:\n{}", found.len(), found[..found.len().min(20)].join("\n"));
    }
}

/// A panel and boxes, each hung by chance on one before it, with names by chance long or short.
fn tree(boxes: usize, start: u64) -> String {
    let mut state = start.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut below = |top: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % top.max(1)
    };
    let mut plan = String::from(
        "supply house: service 200 A\nfeeder F1 from house to P1: breaker 60 A\npanel P1: bus 100 A, all drawn\n",
    );
    let mut names: Vec<String> = vec!["P1".into()];
    for i in 1..=boxes {
        let name = format!("B{i}{}", ["", "-north", "-by-the-roll-up-door"][below(3)]);
        let from = &names[below(names.len().min(12)) + names.len().saturating_sub(12)];
        let size = ["1/2 in EMT", "3/4 in EMT", "1 in PVC-40", "cable 12/2 NM-B"][below(4)];
        plan += &format!("box {name}: 4 in square, 2-1/8 in deep, holds R{i}\nreceptacle R{i}: 5-20R, duplex\n");
        plan += &format!("run {from} to {name}: {size}, {} ft\n", 1 + below(60));
        names.push(name);
    }
    for (i, part) in (1..=boxes).collect::<Vec<_>>().chunks(7).enumerate() {
        let fed: Vec<String> = part.iter().map(|n| format!("R{n}")).collect();
        plan += &format!("circuit C{}: breaker 20 A, wire 12 AWG Cu, feeds {}\n", i + 1, fed.join(" then "));
    }
    plan
}

/// Ten plans of 5 to 60 boxes made by chance, and one of 300: no text on another, none outside of its sheet, every box
/// drawn, and no sheet higher than a page.
#[test]
fn plans_of_many_boxes_are_drawn_whole() {
    if !has_browser() {
        return;
    }
    let folder = Folder::new("boxes");
    let mut body = String::new();
    for (start, boxes) in [5, 11, 17, 23, 29, 36, 42, 48, 54, 60, 300].into_iter().enumerate() {
        let file = folder.path("many.shop");
        std::fs::write(&file, tree(boxes, start as u64 + 1)).unwrap();
        for diagram in ["one-line", "map"] {
            let out = Command::new(env!("CARGO_BIN_EXE_ringout"))
                .args(["drawing", "--diagram", diagram])
                .arg(&file)
                .output()
                .unwrap();
            let svg = String::from_utf8(out.stdout).unwrap();
            let svg = svg.split_once("?>").unwrap().1;
            if diagram == "map" {
                let told: String = svg.split("<desc").skip(1).map(|d| d.split("</desc>").next().unwrap()).collect();
                for i in 1..=boxes {
                    assert!(
                        told.contains(&format!(" to B{i}:")) || told.contains(&format!(" to B{i}-")),
                        "B{i} of {boxes}"
                    );
                }
            }
            for high in svg.split("<svg ").skip(1).filter(|s| s.starts_with("xmlns") && s.contains("height=\"")) {
                let high = high.split_once("height=\"").unwrap().1.split_once('"').unwrap().0;
                let inches = high.strip_suffix("in").and_then(|n| n.parse::<f64>().ok());
                assert!(inches.is_none_or(|n| n <= 808.0 / 96.0 + 0.01), "{boxes} boxes, {diagram}: {high}");
            }
            body += &format!("<div class=sheet style='display:inline-block'>{svg}</div>\n");
        }
    }
    let html = format!("<html><head><meta http-equiv=x></head><body>{body}</body></html>");
    let (found, count) = measured(&folder, &html, SHEET, "");
    assert!(count > 3000, "only {count} texts");
    assert!(found.is_empty(), "{} faults of {count}:\n{}", found.len(), found[..found.len().min(20)].join("\n"));
}

/// The text of each page of a print.
fn pages(folder: &Folder, html: &str) -> Vec<String> {
    let (file, pdf) = (folder.path("printed.html"), folder.path("printed.pdf"));
    std::fs::write(&file, html).unwrap();
    chromium(folder, &["--no-pdf-header-footer", &format!("--print-to-pdf={}", pdf.display())], &file);
    let text = Command::new("pdftotext").args(["-layout"]).arg(&pdf).arg("-").output().unwrap();
    let text = String::from_utf8(text.stdout).unwrap();
    text.trim_end_matches('\u{c}').split('\u{c}').map(str::to_string).collect()
}

/// How high the first word of the foot and the word `page` below it are, page by page, in what was printed last.
fn heights(folder: &Folder) -> Vec<(f64, f64)> {
    let pdf = folder.path("printed.pdf");
    let text = Command::new("pdftotext").arg("-bbox").arg(&pdf).arg("-").output().unwrap();
    let text = String::from_utf8(text.stdout).unwrap();
    let word = |page: &str, word: &str| {
        let line = page.lines().rfind(|l| l.contains(&format!(">{word}</word>"))).expect(word);
        let of = |name: &str| line.split_once(name).unwrap().1.split('"').nth(1).unwrap().parse::<f64>().unwrap();
        of("yMax") - of("yMin")
    };
    text.split("<page ").skip(1).map(|page| (word(page, "Held"), word(page, "page"))).collect()
}

#[test]
fn every_page_of_the_print_says_whose_it_is() {
    if !has_browser() {
        return;
    }
    for name in EXAMPLES {
        let folder = Folder::new(&format!("print-{name}"));
        let html = packet(&example(name));
        let pages = pages(&folder, &html);
        // As many as there are sheets at least, and no more than somebody would read.
        let sheets: Vec<&str> = html.match_indices("<section class=\"sheet").map(|(at, _)| &html[at..]).collect();
        let sheets: Vec<&str> = sheets.iter().filter_map(|s| s.split("id=\"").nth(1)?.split('"').next()).collect();
        assert!((sheets.len()..=45).contains(&pages.len()), "{name}: {} sheets on {} pages", sheets.len(), pages.len());
        let sizes = Command::new("pdfinfo").args(["-l", "99"]).arg(folder.path("printed.pdf")).output().unwrap();
        let sizes = String::from_utf8(sizes.stdout).unwrap();
        let sizes: Vec<&str> = sizes.lines().filter(|l| l.contains(" size:") && l.contains("pts")).collect();
        assert_eq!(sizes.len(), pages.len(), "{name}");
        assert!(sizes.iter().all(|l| l.contains("612 x 792")), "{name}: not letter paper upright: {sizes:?}");
        // A sheet that is too wide would make the browser shrink every page: the foot is as large as the page's number,
        // which is outside of what shrinks.
        for (number, (foot, margin)) in heights(&folder).into_iter().enumerate() {
            assert!((foot / margin - 1.0).abs() < 0.02, "{name}, page {}: shrunk by {}", number + 1, foot / margin);
        }
        let mut open = sheets.iter().peekable();
        let mut at = "";
        for (number, page) in pages.iter().enumerate() {
            let place = format!("{name}, page {}", number + 1);
            if open.peek().is_some_and(|next| page.contains(&format!("Sheet {next}"))) {
                at = open.next().unwrap();
            }
            assert!(page.contains(&format!("Sheet {at}")), "{place} is not of sheet {at}:\n{page}");
            assert!(page.contains("electrical plan"), "{place} does not name the job");
            assert!(page.contains("adopted it decide"), "{place} does not say who decides");
            assert!(
                page.contains(&format!("page {} of {}", number + 1, pages.len())),
                "{place} has no number:\n{page}"
            );
            assert!(page.lines().filter(|l| !l.trim().is_empty()).count() > 6, "{place} is empty:\n{page}");
        }
        assert!(open.next().is_none(), "{name}: a sheet is not printed");
    }
}

/// With everything that a page may fetch named by the page itself, it names nothing.
#[test]
fn nothing_is_fetched() {
    if !has_browser() {
        return;
    }
    let folder = Folder::new("fetch");
    let count = |html: &str| {
        let script = "<script>const n=performance.getEntriesByType('resource').length;document.body.innerHTML='<pre id=n>'+n+'</pre>'</script>";
        let closed = html.find("<meta http-equiv").unwrap();
        let end = closed + html[closed..].find('>').unwrap() + 1;
        let copy = format!("{}{}", &html[..closed], &html[end..]).replace("</body>", &format!("{script}</body>"));
        let file = folder.path("fetched.html");
        std::fs::write(&file, copy).unwrap();
        let dom = chromium(&folder, &["--dump-dom"], &file);
        dom.split_once("<pre id=\"n\">").unwrap().1.split_once("</pre>").unwrap().0.parse::<u32>().unwrap()
    };
    let html = packet(&example("larkspur"));
    assert_eq!(count(&html), 0);
    let spoiled = html.replace("<style>", "<link rel=stylesheet href=http://packet.invalid/x.css><style>");
    assert_eq!(count(&spoiled), 1, "the count sees what is fetched");
}

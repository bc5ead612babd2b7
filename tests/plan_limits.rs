//! Whatever a file holds, the reader ends soon, says what is wrong, and never panics.

#![allow(clippy::unwrap_used, clippy::panic)] // A test fails by panicking.

use proptest::prelude::*;
use ringout::plan::{self, syntax::Plan};
use ringout::text::{FileId, Span, Spanned};
use std::time::{Duration, Instant};

fn read(text: &str) -> Plan {
    plan::read(FileId(0), text)
}

fn said(plan: &Plan) -> String {
    let one = |p: &ringout::text::Problem| format!("{} ({})\n", p.message, p.help.as_deref().unwrap_or(""));
    plan.problems.iter().map(one).collect()
}

#[test]
fn line_ends_and_byte_order_marks_do_not_matter() {
    let wanted = read("panel P1: indoors\n  bus 100 A\nbox B1\n");
    for text in [
        "panel P1: indoors\r\n  bus 100 A\r\nbox B1\r\n",
        "\u{FEFF}panel P1: indoors\n  bus 100 A\nbox B1",
        "panel P1: indoors   \n\n\t\tbus\t100  A # plate\n# comment\n\nbox B1\n",
    ] {
        let plan = read(text);
        assert_eq!(said(&plan), "", "{text:?}");
        assert_eq!(shape(&plan), shape(&wanted), "{text:?}");
    }
}

fn shape(plan: &Plan) -> String {
    let mut text = String::new();
    for item in &plan.items {
        let head: Vec<&str> = item.head.iter().map(|t| t.text.as_str()).collect();
        text += &format!("{} {}\n", item.keyword.text(), head.join(" "));
        for phrase in item.lines.iter().flat_map(|l| &l.phrases) {
            let tokens: Vec<&str> = phrase.tokens.iter().map(|t| t.text.as_str()).collect();
            text += &format!("  {}\n", tokens.join(" "));
        }
    }
    text
}

#[test]
fn what_is_no_text_is_named() {
    for (bytes, wanted) in [
        (&b"panel P1\nbox \xFF1\n"[..], "line 2 holds a byte that is no UTF-8 text"),
        (b"\xFF\xFEp\0a\0", "this file is UTF-16 text"),
    ] {
        let problem = plan::decode(FileId(0), bytes.to_vec()).unwrap_err();
        assert_eq!(problem.message, wanted);
        assert!(problem.help.is_some());
    }
    assert_eq!(plan::decode(FileId(0), "\u{FEFF}box B1".into()).unwrap(), "box B1");
}

#[test]
fn control_characters_cost_their_line_only() {
    for (text, wanted) in [
        ("panel P1\n  bus\u{0}100 A\n  indoors\n", "this line holds a NUL byte"),
        ("panel P1\n  bus 100 A\r  main 60 A\n  indoors\n", "this line holds a carriage return without a line feed"),
        ("panel P1\n  bus\u{1b}[1m 100 A\n  indoors\n", "this line holds the control character U+001B"),
        ("panel P1\n  # bus\u{8}\n  indoors\n", "this line holds the control character U+0008"),
    ] {
        let plan = read(text);
        assert!(said(&plan).starts_with(wanted), "{text:?}: {}", said(&plan));
        assert_eq!((plan.unread.len(), plan.unread[0].item), (1, Some(0)), "{text:?}");
        assert_eq!(shape(&plan), "panel P1\n  indoors\n", "{text:?}");
    }
}

#[test]
fn a_bad_phrase_costs_itself_only() {
    let text = "circuit C1\n  breaker 20 A, (GFCI), space 5\n  feeds R1 \"\n";
    let plan = read(text);
    assert_eq!(shape(&plan), "circuit C1 \n  breaker 20 A\n  space 5\n".replace("C1 ", "C1"));
    let unread: Vec<&str> = plan.unread.iter().map(|u| &text[u.span.start as usize..u.span.end as usize]).collect();
    assert_eq!(unread, ["(GFCI)", "feeds R1 \""]);
    assert!(plan.unread.iter().all(|u| u.item == Some(0)));
}

#[test]
fn what_a_lost_phrase_owns_is_lost_with_it() {
    let text = "panel P1\n  cl?ar: 36 in deep, 30 in wide\n  indoors\n";
    let plan = read(text);
    assert_eq!(shape(&plan), "panel P1\n  indoors\n");
    assert_eq!(
        &text[plan.unread[0].span.start as usize..plan.unread[0].span.end as usize],
        "cl?ar: 36 in deep, 30 in wide"
    );
}

/// An item that can't be read keeps its lines to itself: they never fall to the item above.
#[test]
fn lines_of_an_unread_item_are_unread() {
    let plan = read("panel P1\n  bus 100 A\nfedeer F1 from house to P1\n  breaker 60 A\n\n  indoors\nbox B1\n");
    assert_eq!(plan.problems.len(), 1, "{}", said(&plan));
    assert!(said(&plan).contains("did you mean `feeder`?"));
    assert_eq!(plan.unread.len(), 3);
    assert!(plan.unread.iter().all(|u| u.item.is_none()));
    assert_eq!(shape(&plan), "panel P1\n  bus 100 A\nbox B1\n");
}

#[test]
fn an_indented_line_needs_an_item() {
    let plan = read("  bus 100 A\npanel P1\n");
    assert!(said(&plan).contains("no item stands above it"), "{}", said(&plan));
    assert_eq!(shape(&plan), "panel P1\n");
}

/// A colon at a line's end owns the deeper lines below it.
#[test]
fn a_colon_may_own_lines() {
    let below = read("feeder F1\n  stretch 12 ft:\n    1 in PVC-80, on outside wall\n    1 bend\n  new\n");
    let behind = read("feeder F1\n  stretch 12 ft: 1 in PVC-80, on outside wall, 1 bend\n  new\n");
    assert_eq!(said(&below), "");
    let owned = |plan: &Plan| {
        let phrase = &plan.items[0].lines[0].phrases[0];
        phrase
            .owned
            .iter()
            .flatten()
            .map(|p| p.tokens.iter().map(|t| t.text.clone()).collect())
            .collect::<Vec<Vec<_>>>()
    };
    assert_eq!(owned(&below), owned(&behind));
    assert_eq!(owned(&below).len(), 3);
    assert_eq!(shape(&below), shape(&behind));
}

/// Deeper lines below a refused phrase that ends in a colon are not the item's own.
#[test]
fn lines_below_a_refused_colon_are_unread() {
    let text = "feeder F1\n  stretch 12:\n    buried 18 in\n    terminal:\n      2 wires\n  new\ncircuit C1\n  feeds:\n    R1\n";
    let plan = read(text);
    assert_eq!(shape(&plan), "feeder F1\n  new\ncircuit C1\n");
    let lost: Vec<&str> = plan.unread.iter().map(|u| &text[u.span.start as usize..u.span.end as usize]).collect();
    assert_eq!(lost, ["stretch 12", "buried 18 in", "terminal:", "2 wires", "feeds:", "R1"]);
    assert_eq!(plan.problems.len(), 2, "{}", said(&plan));
}

/// A colon inside what a colon owns, line by line.
#[test]
fn colons_nest_over_lines() {
    let plan = read("feeder F1\n  stretch 12 ft:\n    1 in EMT\n    terminal:\n      2 wires\n    1 bend\n");
    assert_eq!(said(&plan), "");
    let stretch = &plan.items[0].lines[0].phrases[0];
    let owned = stretch.owned.as_ref().unwrap();
    assert_eq!(owned.len(), 3);
    assert_eq!(owned[1].owned.as_ref().map(Vec::len), Some(1));
}

/// A name that an unread item line gives may be known, so that its uses are no second mistake.
#[test]
fn unread_items_keep_their_names() {
    let plan = read("recepticle R1, R2: 5-20R\n");
    assert_eq!(plan.unread[0].names, ["R1", "R2"]);
}

fn soon(what: &str, text: &str, wanted: &str) -> Plan {
    let start = Instant::now();
    let plan = read(text);
    let took = start.elapsed();
    assert!(took < Duration::from_secs(120), "{what} took {took:?}: it must end, however slow the machine");
    assert!(said(&plan).contains(wanted), "{what}: {}", said(&plan).chars().take(400).collect::<String>());
    assert!(plan.problems.len() <= 201, "{what}: {} problems", plan.problems.len());
    plan
}

#[test]
fn large_input_ends_soon_with_a_word() {
    let lines = "circuit C1: breaker 20 A, wire 12 AWG Cu THWN-2  # the third of the north bench, beside the old window, to be drawn anew\n".repeat(90_000);
    assert!(lines.len() > 10_000_000);
    let plan = soon("10 MB of lines", &lines, "a plan may have 4 megabytes");
    assert!(plan.items.len() > 30_000 && plan.unread.len() == 1);
    soon("10 MB of one line", &"x".repeat(10_000_000), "a plan may have 4 megabytes");
    soon("a line of 1 MB", &format!("box B1\n  {}\n", "metal, ".repeat(150_000)), "a line may have 4096");
    soon("50,000 brackets", &format!("box B1: {}{}\n", "[".repeat(50_000), "]".repeat(50_000)), "a line may have 4096");
    soon("brackets within a line", &format!("box B1: {}\n", "[".repeat(4_000)), "means nothing in a plan");
    soon("brackets, a line each", &"box B1: [\n".repeat(50_000), "49800 more problems");
    soon("colons within colons", &format!("box B1: {}\n", "a: ".repeat(1_300)), "too many colons");
    soon("commas", &format!("box B1: {}\n", ",".repeat(4_000)), "");
    soon("quotes", &format!("box B1: {}\n", "\"".repeat(4_001)), "quotes");
    soon("NULs", &"\0".repeat(3_000_000), "a line may have 4096");
    soon("nonsense words", &"zebra zebra zebra\n".repeat(100_000), "99800 more problems");
    soon("near misses", &format!("box B1\n{}", "  20 amp amp amp three way gfi gfi\n".repeat(20_000)), "");
}

/// Lines inside another file keep their places there, and their least indentation is the left edge.
#[test]
fn lines_of_another_file_keep_their_places() {
    let text = "rule x\n  example pass\n    box B1: metal\n      18 in3\n    box B2\n";
    let mut start = 0;
    let mut lines = Vec::new();
    for line in text.split_inclusive('\n') {
        let end = start + line.len();
        lines.push(Spanned { node: line.trim_end().to_string(), span: Span::new(FileId(7), start, end) });
        start = end;
    }
    let plan = plan::read_lines(&lines[2..]);
    assert_eq!(said(&plan), "");
    assert_eq!(shape(&plan), "box B1\n  metal\n  18 in3\nbox B2\n");
    let token = &plan.items[0].lines[1].phrases[0].tokens[0];
    assert_eq!((token.span.file, &text[token.span.start as usize..token.span.end as usize]), (FileId(7), "18"));
}

fn spans_are_right(plan: &Plan, text: &str) {
    let fits = |span: Span| text.get(span.start as usize..span.end as usize).is_some_and(|t| !t.is_empty());
    assert!(plan.problems.iter().all(|p| fits(p.span)), "{text:?} {:?}", plan.problems);
    assert!(plan.unread.iter().all(|u| fits(u.span)), "{text:?} {:?}", plan.unread);
    for item in &plan.items {
        assert!(fits(item.span) && fits(item.keyword_span), "{text:?}");
        assert!(item.head.iter().all(|t| fits(t.span)), "{text:?}");
        for phrase in item.lines.iter().flat_map(|l| &l.phrases) {
            assert!(fits(phrase.span) && !phrase.tokens.is_empty(), "{text:?} {phrase:?}");
            assert!(phrase.tokens.iter().all(|t| fits(t.span)), "{text:?} {phrase:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Any text at all, and text made of the plan language's own pieces, is read without a panic,
    /// and every span it gives points at some of it.
    #[test]
    fn any_text_is_read(text in "\\PC{0,200}") {
        spans_are_right(&read(&text), &text);
    }

    #[test]
    fn any_bytes_are_read(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        if let Ok(text) = plan::decode(FileId(0), bytes) {
            spans_are_right(&read(&text), &text);
        }
    }

    #[test]
    fn any_mix_of_pieces_is_read(pieces in prop::collection::vec(prop::sample::select(PIECES), 0..60)) {
        let text = pieces.concat();
        spans_are_right(&read(&text), &text);
    }
}

const PIECES: &[&str] = &[
    "panel",
    "P1",
    " ",
    " ",
    " ",
    "\n",
    "\n  ",
    "\n    ",
    ":",
    ",",
    "\"",
    "#",
    "#4",
    "feeds",
    "holds",
    "by way of",
    "then",
    "through",
    "20",
    "3/4",
    "2-1/8",
    " A",
    "amp",
    "in",
    "none",
    "no",
    "assume",
    "every",
    "seen",
    "x",
    "24x30",
    "12/2",
    "2027-05-02",
    "2027-99-99",
    "copper",
    "ground",
    "stretch",
    "wire",
    "-",
    "'",
    "°",
    "½",
    "\u{2009}",
    "\u{2028}",
    "\u{b}",
    "“",
    "”",
    "\r\n",
    "\t",
    "mm2",
    "double pole",
    "circuit",
    "switch",
    "double-pole",
    "box",
    "run",
    "to",
    ".",
    "/",
    "\u{A0}",
    "é",
];

//! The diagrams: nothing overlaps, nothing leaves its sheet, hostile names stay text, and the same plan gives the same
//! bytes. Boxes of text are reckoned from the widths of the letters (Liberation Sans, SIL Open Font License).

#[path = "built/random.rs"]
#[allow(dead_code, reason = "only its plans are drawn")]
mod random;

use ringout::report::drawing::letters::{Look, width};
use ringout::report::drawing::{self, Drawing};
use ringout::report::wires;
use ringout::{Checked, Rules};
use std::collections::BTreeSet;
use std::fmt::Write;
use std::sync::LazyLock;

static RULES: LazyLock<Rules> = LazyLock::new(Rules::builtin);

fn check(text: &str) -> Checked {
    let nothing = ringout::law::Options { rules: Some(Vec::new()), ..Default::default() };
    ringout::check(&RULES, "plan.shop", text, &nothing)
}

fn drawings(text: &str) -> Vec<Drawing> {
    let checked = check(text);
    let boxes = wires::sheets(&RULES, &checked, None).boxes;
    let joints = boxes.iter().flat_map(|sheet| drawing::joining(&RULES, &checked, sheet)).collect();
    [drawing::one_line(&RULES, &checked), drawing::map(&RULES, &checked), joints].concat()
}

#[derive(Clone, Debug)]
struct Area {
    text: String,
    /// What comes later is painted over it.
    order: usize,
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

fn is_over(a: &Area, b: &Area) -> bool {
    a.right.min(b.right) - a.left.max(b.left) > 0.5 && a.bottom.min(b.bottom) - a.top.max(b.top) > 0.5
}

/// Every text, the height of its capitals and descenders around its line.
fn texts(svg: &roxmltree::Document) -> Vec<Area> {
    let number = |node: &roxmltree::Node, name| node.attribute(name).unwrap().parse::<f64>().unwrap();
    let each = svg.descendants().filter(|n| n.has_tag_name("text")).map(|node| {
        let text = node.text().unwrap_or("").to_string();
        let class = node.attribute("class").unwrap();
        let first = class.split(' ').next().unwrap();
        let look = Look::ALL.into_iter().find(|l| l.class() == first).unwrap();
        assert!(look.size() >= 11.0, "8 points is the least that a print is read at");
        // The allowance for other faces is room, not ink.
        let length = node.attribute("textLength").map(|n| n.parse::<f64>().unwrap());
        let wide = length.unwrap_or_else(|| width(&text, look) / 1.06);
        let left = match class.split(' ').nth(1) {
            Some("middle") => number(&node, "x") - wide / 2.0,
            Some("end") => number(&node, "x") - wide,
            _ => number(&node, "x"),
        };
        let (size, width) = (look.size(), wide);
        let y = number(&node, "y");
        let order = node.range().start;
        Area { text, order, left, right: left + width, top: y - 0.72 * size, bottom: y + 0.2 * size }
    });
    each.collect()
}

/// Straight strokes, and the edges of frames.
fn strokes(svg: &roxmltree::Document) -> Vec<Area> {
    let mut out = Vec::new();
    let mut stroke = |order: usize, text: &str, (a, b): (f64, f64), (c, d): (f64, f64)| {
        out.push(Area {
            text: format!("stroke {text}"),
            order,
            left: a.min(c) - 0.6,
            right: a.max(c) + 0.6,
            top: b.min(d) - 0.6,
            bottom: b.max(d) + 0.6,
        });
    };
    for node in svg.descendants().filter(|n| n.has_tag_name("path")) {
        let path = node.attribute("d").unwrap();
        let mut at = (0.0, 0.0);
        let mut words = path.split(' ');
        while let Some(word) = words.next() {
            let (letter, rest) = word.split_at(1);
            let pair = || rest.split_once(',').map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).unwrap();
            let to = match letter {
                "M" => {
                    at = pair();
                    continue;
                }
                "L" => pair(),
                "H" => (rest.parse().unwrap(), at.1),
                "V" => (at.0, rest.parse().unwrap()),
                // Radii, three flags, the end: no letter stands in an arc.
                "A" => {
                    let end = words.by_ref().nth(3).unwrap();
                    at = end.split_once(',').map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).unwrap();
                    continue;
                }
                "Z" => continue,
                other => panic!("{other} in {path}"),
            };
            if at.0 == to.0 || at.1 == to.1 {
                stroke(node.range().start, path, at, to);
            }
            at = to;
        }
    }
    for node in svg.descendants().filter(|n| n.has_tag_name("rect")) {
        if matches!(node.attribute("class"), Some("sheet" | "paper")) {
            continue;
        }
        let of = |name| node.attribute(name).unwrap().parse::<f64>().unwrap();
        let (x, y, wide, high) = (of("x"), of("y"), of("width"), of("height"));
        let corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y)];
        corners.windows(2).for_each(|pair| stroke(node.range().start, "of a frame", pair[0], pair[1]));
    }
    out
}

/// White areas, which hide what was painted before.
fn covers(svg: &roxmltree::Document) -> Vec<Area> {
    let shapes = svg.descendants().filter(|n| n.has_tag_name("rect") || n.has_tag_name("circle"));
    let white = ["paper", "open", "doubt", "outdoors"];
    let white = shapes.filter(|n| n.attribute("class").is_some_and(|c| white.contains(&c)));
    let area = |node: roxmltree::Node| {
        let of = |name| node.attribute(name).map(|n| n.parse::<f64>().unwrap());
        let (text, order) = (String::new(), node.range().start);
        match (of("cx"), of("cy"), of("r")) {
            (Some(x), Some(y), Some(r)) => Area { text, order, left: x - r, right: x + r, top: y - r, bottom: y + r },
            _ => {
                let (x, y) = (of("x").unwrap(), of("y").unwrap());
                let (right, bottom) = (x + of("width").unwrap(), y + of("height").unwrap());
                Area { text, order, left: x, right, top: y, bottom }
            }
        }
    };
    white.map(area).collect()
}

/// Whether a stroke stays hidden behind what was painted between it and the text.
fn is_hidden(stroke: &Area, text: &Area, covers: &[Area]) -> bool {
    let (left, right) = (stroke.left.max(text.left), stroke.right.min(text.right));
    let (top, bottom) = (stroke.top.max(text.top), stroke.bottom.min(text.bottom));
    covers.iter().any(|c| {
        let is_between = stroke.order < c.order && c.order < text.order;
        is_between && c.left <= left && right <= c.right && c.top <= top && bottom <= c.bottom
    })
}

/// What a reader of the print would trip over.
fn faults(drawing: &Drawing) -> Vec<String> {
    let alone = drawing.alone();
    let svg = roxmltree::Document::parse(&alone).unwrap_or_else(|e| panic!("{e}: {alone}"));
    let mut faults = Vec::new();
    let texts = texts(&svg);
    for (i, a) in texts.iter().enumerate() {
        if a.left < 0.0 || a.top < 0.0 || a.right > drawing.width || a.bottom > drawing.height {
            faults.push(format!("{}: leaves the sheet", a.text));
        }
        faults.extend(texts[..i].iter().filter(|b| is_over(a, b)).map(|b| format!("{} on {}", a.text, b.text)));
    }
    let covers = covers(&svg);
    for stroke in strokes(&svg) {
        let over = texts.iter().filter(|t| is_over(&stroke, t) && !is_hidden(&stroke, t, &covers));
        faults.extend(over.map(|t| format!("{} through {}", stroke.text, t.text)));
    }
    let ids: Vec<&str> = svg.descendants().filter_map(|n| n.attribute("id")).collect();
    assert_eq!(ids, [format!("{}-title", drawing.id), format!("{}-desc", drawing.id)]);
    let root = svg.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    assert_eq!(root.attribute("aria-labelledby"), Some(ids.join(" ").as_str()));
    let is_told = root.children().any(|n| n.has_tag_name("desc") && n.text().is_some_and(|t| t.len() > 20));
    assert!(is_told, "{}: {}", drawing.title, drawing.description);
    faults
}

fn assert_sound(text: &str) -> Vec<Drawing> {
    let all = drawings(text);
    for drawing in &all {
        assert_eq!(faults(drawing), [""; 0], "{}\n{}", drawing.title, drawing.alone());
        assert!(drawing.width <= 696.0 && drawing.height <= 808.0, "{} {}", drawing.title, drawing.height);
    }
    let ids: BTreeSet<&str> = all.iter().map(|d| d.id.as_str()).collect();
    assert_eq!(ids.len(), all.len());
    all
}

const EXAMPLES: [&str; 3] = [
    include_str!("../examples/larkspur.shop"),
    include_str!("../examples/sound.shop"),
    include_str!("../examples/half-known.shop"),
];

#[test]
fn the_examples_are_drawn_whole() {
    for text in EXAMPLES {
        let all = assert_sound(text);
        // Who can't see it is told of every box, device and circuit.
        let told: String = all.iter().map(|d| d.description.clone()).collect();
        let checked = check(text);
        for kind in [ringout::words::Kind::Circuit, ringout::words::Kind::Receptacle, ringout::words::Kind::Light] {
            for item in checked.shop.items(kind) {
                let name = &checked.shop.head(item).name;
                assert!(told.contains(name.as_str()), "{name} is not told of: {told}");
            }
        }
    }
}

/// A drawing that is spoiled must be found out, or the other tests prove nothing.
#[test]
fn a_spoiled_drawing_is_found_out() {
    let drawing = &drawings(EXAMPLES[0])[0];
    let whole = drawing.alone();
    let svg = roxmltree::Document::parse(&whole).unwrap();
    let all = texts(&svg);
    let on_itself = all.iter().map(|a| Area { left: a.left + 3.0, right: a.right + 3.0, ..a.clone() });
    assert!(on_itself.zip(&all).all(|(moved, there)| is_over(&moved, there)));
    let label = all.iter().find(|t| t.text.starts_with("C2")).unwrap();
    let through =
        Area { text: String::new(), order: 0, left: 0.0, right: 600.0, top: label.top + 4.0, bottom: label.top + 5.2 };
    assert!(is_over(&through, label));
    assert!(strokes(&svg).len() > 20);
}

/// One to five circuits on trees and loops of boxes, as `tests/built` makes them.
#[test]
fn random_shops_are_drawn_whole() {
    for start in 0..40_u32 {
        let rolls: Vec<u32> = (0..400_u32).map(|i| (i + 1).wrapping_mul(2_654_435_761 ^ (start << 9)) >> 7).collect();
        let shop = random::shop(&rolls);
        assert_sound(&shop.plan);
    }
}

/// A tree of boxes: each hangs on the one whose number is its own over `spread`.
fn tree(boxes: usize, spread: usize) -> String {
    let mut plan = String::from("panel P1: bus 100 A, all drawn\n");
    for i in 1..=boxes {
        writeln!(plan, "box B{i}: 4 in square, 2-1/8 in deep, all drawn, holds R{i}").unwrap();
        writeln!(plan, "receptacle R{i}: 5-20R, duplex").unwrap();
        match i / spread {
            0 => writeln!(plan, "run P1 to B{i}: 3/4 in EMT, {i} ft, 2 bends").unwrap(),
            parent => writeln!(plan, "run B{parent} to B{i}: 3/4 in EMT, {i} ft").unwrap(),
        }
    }
    let names: Vec<String> = (1..=boxes).map(|i| format!("R{i}")).collect();
    for (i, part) in names.chunks(9).enumerate() {
        writeln!(plan, "circuit C{}: breaker 20 A, wire 12 AWG Cu, feeds {}", i + 1, part.join(" then ")).unwrap();
    }
    plan
}

#[test]
fn trees_of_any_size_are_parted_into_sheets() {
    for (boxes, spread) in [(5, 2), (12, 3), (25, 5), (40, 2), (60, 7), (60, 60), (300, 2), (300, 20)] {
        let all = assert_sound(&tree(boxes, spread));
        let told: String = all.iter().filter(|d| d.id.starts_with("map")).map(|d| d.description.clone()).collect();
        for i in 1..=boxes {
            assert!(told.contains(&format!(" to B{i}:")), "B{i} of {boxes} by {spread} is not drawn");
        }
    }
    // A chain goes on in strip after strip.
    let mut chain = String::from("panel P1\nrun P1 to B1: 1/2 in EMT, 9 ft\nbox B1\n");
    for i in 2..=50 {
        writeln!(chain, "box B{i}\nrun B{} to B{i}: 1/2 in EMT, 9 ft", i - 1).unwrap();
    }
    assert_sound(&chain);
}

/// Names from strangers are text, whatever they hold.
#[test]
fn hostile_names_stay_text() {
    let names = [
        "</text></svg><script>alert(1)</script>".to_string(),
        "]]> --> & &#x3c; {{x}} 'quoted'".to_string(),
        "\u{202e}turned\u{2066}, \u{200b}nothing".to_string(),
        "x".repeat(300),
        "word ".repeat(60),
        "漢字 and e\u{301} and \u{1f527}".repeat(5),
    ];
    for name in &names {
        for drawing in assert_sound(&plan_with(name)) {
            let alone = drawing.alone();
            let svg = roxmltree::Document::parse(&alone).unwrap();
            for node in svg.descendants().filter(|n| n.is_element()) {
                let known = ["svg", "title", "desc", "style", "text", "path", "rect", "circle"];
                assert!(known.contains(&node.tag_name().name()), "{name}: {node:?}");
                assert!(node.attributes().all(|a| !a.name().starts_with("on") && a.name() != "href"), "{name}");
            }
            assert!(!alone.contains(['\u{202e}', '\u{2066}', '\u{200b}', '\u{7}']), "{name}");
        }
    }
    let titles: Vec<String> = drawings(&plan_with(&names[0])).into_iter().map(|d| d.title).collect();
    assert!(titles[0].ends_with(&names[0]), "what a stranger wrote is shown as he wrote it: {titles:?}");
}

fn plan_with(name: &str) -> String {
    EXAMPLES[0]
        .replace("\"TIG welder\"", &format!("\"{name}\""))
        .replace("\"Larkspur Lane frame shop\"", &format!("\"{name}\""))
}

#[test]
fn the_order_of_lines_does_not_matter() {
    let mut once = drawings(EXAMPLES[0]);
    let same = drawings(EXAMPLES[0]);
    for (a, b) in once.iter().zip(&same) {
        assert_eq!(a.alone(), b.alone());
    }
    // The runs last, and in the other order.
    let (runs, rest): (Vec<&str>, Vec<&str>) = EXAMPLES[0].lines().partition(|l| l.starts_with("run "));
    let turned: Vec<&str> = rest.into_iter().chain(runs.into_iter().rev()).collect();
    let mut turned = drawings(&turned.join("\n"));
    // Wires of a joint are told in the order of the plan.
    once.retain(|d| !d.id.starts_with("joints"));
    turned.retain(|d| !d.id.starts_with("joints"));
    assert_eq!(once.len(), turned.len());
    for (a, b) in once.iter().zip(&turned) {
        assert_eq!(a.alone(), b.alone());
    }
}

/// What nobody said is a rule to write on.
#[test]
fn a_fact_that_is_not_said_is_a_blank() {
    let with = drawings(EXAMPLES[0])[0].alone();
    assert!(with.contains("fault current 8000 A"));
    let without = drawings(&EXAMPLES[0].replace(", fault current 8000 A", ""))[0].alone();
    assert!(!without.contains("8000") && without.contains("fault current ____? A"));
    let all: String = drawings(EXAMPLES[0]).iter().map(Drawing::alone).collect();
    assert!(all.contains("____? A, 1-pole"), "the breaker of C3 is unknown");
}

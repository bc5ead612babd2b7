//! `plan::tidy` changes the look of a plan and nothing else.

#![allow(clippy::unwrap_used, clippy::panic)] // A test fails by panicking.

#[path = "fuzz/chance.rs"]
mod chance;
#[allow(dead_code, reason = "rule files are changed elsewhere")]
#[path = "fuzz/mutate.rs"]
mod mutate;

use chance::Chance;
use mutate::Corpus;
use proptest::prelude::*;
use ringout::law::Options;
use ringout::law::verdict::{Lean, Verdict};
use ringout::text::FileId;
use ringout::{Rules, plan};
use std::path::Path;

/// Tidies and proves: nothing is unread without a problem, it says the same, keeps every comment, and a second time changes nothing.
fn prove(name: &str, text: &str) -> String {
    let tidied = plan::tidy(text).unwrap_or_else(|problems| panic!("{name}: {problems:?}"));
    let before = plan::read(FileId(0), text);
    assert!(before.unread.is_empty(), "{name}: unread without a problem");
    assert!(plan::says_the_same(text, &tidied), "{name} says something else:\n{tidied}");
    assert_eq!(plan::tidy(&tidied).as_deref(), Ok(tidied.as_str()), "{name} twice");
    assert!(comments(text) <= comments(&tidied), "{name}: a comment is lost:\n{tidied}");
    tidied
}

#[test]
fn plans_of_this_repository_keep_what_they_say() {
    let mut count = 0;
    for dir in ["examples", "tests/cases/scenarios"] {
        for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(dir)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "shop") {
                prove(&path.display().to_string(), &std::fs::read_to_string(&path).unwrap());
                count += 1;
            }
        }
    }
    assert!(count >= 203, "only {count} plans");
}

/// `#6` may be a wire's size; these are comments. One that could be mistaken for a size gets a blank, so there may be more.
fn comments(text: &str) -> usize {
    text.matches("# ").count() + text.matches("#!").count()
}

/// What a reader copies from is as it should be.
#[test]
fn examples_are_tidy() {
    for name in ["larkspur", "sound", "half-known"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.shop"));
        let text = std::fs::read_to_string(path).unwrap();
        assert_eq!(plan::tidy(&text).as_deref(), Ok(text.as_str()), "{name}");
    }
}

/// The look, byte for byte.
#[test]
fn the_canonical_form() {
    let text = "\u{FEFF}\r\n\r\n# first\r\nShop  \"x\" :use garage,detached ,\r\n\r\n\r\n\tmax\u{A0}none#why\r\n   # about the next\r\n   hottest 104°F   # hot\r\n\
                # edge\r\nsubpanel P1:\r\n  Bus 100 amps,main: none\r\nreceptacles R1 ,R2: NEMA 5-20, gfi\r\n\
                circuit \"lights\" C4 from P1\r\n  wire #14 copper\r\n  feeds: L1,R7 through S1\r\nfeeder F1 from house panel to P1\r\n      stretch 12 ft:\r\n         1 in sch 40 PVC ,\r\n         # along the wall\r\n         2 bends\r\n      new\r\nassume   all wire copper , coldest −10 F\r\n    # end";
    let wanted = "# first\nshop \"x\": use garage, detached\n\n  no max  #why\n  # about the next\n  hottest 104 F  # hot\n\
                  # edge\npanel P1\n  bus 100 A, no main\nreceptacle R1, R2: 5-20R, GFCI\n\
                  circuit C4 \"lights\" from P1\n  wire 14 AWG Cu\n  feeds L1, R7 through S1\nfeeder F1 from house to P1\n  stretch 12 ft:\n    1 in PVC-40\n    # along the wall\n    2 bends\n  new\nassume all wire Cu, coldest -10 F\n  # end\n";
    let tidied = plan::tidy(text).unwrap_or_else(|problems| panic!("{problems:?}"));
    assert_eq!(tidied, wanted);
    assert_eq!(plan::tidy(wanted).as_deref(), Ok(wanted));
}

#[test]
fn a_plan_with_unread_lines_is_left_alone() {
    let problems = plan::tidy("panel P1\n  100 A\n").unwrap_err();
    assert_eq!(problems.len(), 1);
}

const PIECES: &[&str] = &[
    "panel P1",
    "circuit C1",
    "box B1, B2",
    "run P1 to B1",
    "assume",
    "every box",
    "seen R1, on 2027-04-10",
    "\"a b\"",
    " ",
    " ",
    "\n",
    "\n  ",
    "\n    ",
    "\n      ",
    ":",
    ": ",
    ", ",
    "# c",
    "  # d",
    "feeds R1 then R2",
    "holds R1",
    "by way of B1",
    "clear:",
    "stretch 12 ft:",
    "36 in deep",
    "amp",
    "breaker 20 A",
    "none",
    "main none",
    "no GFCI",
    "24' x 30'",
    "cable 12/2 w/g",
    "\t",
    "wire #6 copper",
    "three way",
    "\n\n\n",
    "\r\n",
    "footing: steel: seen",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever can be read whole is tidied to something that says the same.
    #[test]
    fn any_plan_that_can_be_read(pieces in prop::collection::vec(prop::sample::select(PIECES), 0..24)) {
        let text = pieces.concat();
        match plan::tidy(&text) {
            Ok(_) => drop(prove("pieces", &text)),
            Err(problems) => prop_assert!(!problems.is_empty()),
        }
    }
}

/// What a rule says, without places.
fn said(checked: &ringout::Checked) -> Vec<String> {
    let leans = |v: &Verdict| -> Vec<String> {
        let one = |lean: &Lean| match lean {
            Lean::Assumed(item, name, _) => format!("assumed {item:?} {name:?}"),
            other => format!("{other:?}"),
        };
        v.leans_on.iter().map(one).collect()
    };
    let all = checked.verdicts.iter();
    all.map(|v| {
        format!(
            "{:?} {:?} {:?} {:?} {:?} {:?} {:?} {:?}",
            v.rule,
            v.item,
            v.outcome,
            v.parts,
            v.exception,
            v.missing,
            v.worlds,
            leans(v)
        )
    })
    .collect()
}

/// The same plan as somebody in a hurry types it: blanks, tabs, comments, line ends, where they mean nothing.
fn rough(text: &str, chance: &mut Chance) -> String {
    let mut rough = String::new();
    for line in text.lines() {
        let bare = line.trim_start();
        let indent = line.len() - bare.len();
        rough += &if chance.one_in(2) { "\t".repeat(indent / 2) } else { " ".repeat(indent + indent / 2) };
        let mut is_quoted = false;
        for c in bare.chars() {
            is_quoted ^= c == '"';
            rough.push(c);
            if c == ' ' && !is_quoted && !bare.starts_with('#') && chance.one_in(6) {
                rough += [" ", "\t", "\u{A0}"][chance.below(3)];
            }
        }
        rough += ["", "", "  ", "  # hasty", "\t"][if bare.is_empty() { 0 } else { chance.below(5) }];
        rough += if chance.one_in(4) { "\r\n" } else { "\n" };
    }
    rough
}

/// The second proof: of every plan of the repository as somebody in a hurry types it, and of 200 with lines and
/// words changed, what is built and what every rule says is the same before tidying and after.
#[test]
fn models_and_verdicts_stay() {
    let rules = Rules::builtin();
    let corpus = Corpus::plans();
    let mut chance = Chance::new(26);
    let mut texts: Vec<String> = corpus.files.iter().map(|(_, text)| rough(text, &mut chance)).collect();
    let of_the_repository = texts.len();
    let mut tried = 0;
    while texts.len() < of_the_repository + 200 {
        let piece = rough(&corpus.piece(&mut chance, 40), &mut chance);
        texts.extend(plan::tidy(&piece).is_ok().then_some(piece));
        tried += 1;
        assert!(tried < 20_000, "hardly any changed plan can be read");
    }
    // Asking every rule takes minutes where nothing is optimized; the models are compared for all.
    let stride = if cfg!(debug_assertions) { 40 } else { 1 };
    let numbered: Vec<(usize, &String)> = texts.iter().enumerate().collect();
    let results = ringout::parallel::map(&numbered, |(number, text)| {
        let tidied = plan::tidy(text).ok()?;
        let is_asked = number % stride == 0;
        let options = Options { rules: (!is_asked).then(Vec::new), ..Options::default() };
        let check = |text: &str| ringout::check(&rules, "plan", text, &options);
        let (before, after) = (check(text), check(&tidied));
        let is_same = before.shop.says_the_same(&after.shop) && said(&before) == said(&after);
        let is_once = plan::tidy(&tidied).as_deref() == Ok(tidied.as_str());
        Some((is_same, is_once, tidied != **text))
    });
    let read: Vec<_> = results.iter().zip(&texts).filter_map(|(r, text)| Some(((*r)?, text))).collect();
    let changed = read.iter().filter(|((_, _, is_changed), _)| *is_changed).count();
    assert!(read.len() > 350 && changed > 300, "{} were tidied, {changed} changed, of {}", read.len(), texts.len());
    for ((is_same, is_once, _), text) in read {
        assert!(is_same, "something else is said:\n{text}\n{}", plan::tidy(text).unwrap());
        assert!(is_once, "tidied twice it changes again:\n{text}");
    }
}

/// The proof that the command rests on tells texts apart.
#[test]
fn plans_that_differ_do_not_say_the_same() {
    let plan = "panel P1: bus 100 A\n  spaces 12\n";
    assert!(plan::says_the_same(plan, "panel  P1:   bus 100 A # a note\n    spaces 12\n"));
    for other in
        ["panel P1: bus 125 A\n  spaces 12\n", "panel P2: bus 100 A\n  spaces 12\n", "panel P1: bus 100 A\n", ""]
    {
        assert!(!plan::says_the_same(plan, other), "{other}");
    }
}

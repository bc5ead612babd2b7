use super::problems;

/// The only problem of a text.
fn problem(text: &str) -> (String, String, String) {
    let mut found = problems(text);
    assert_eq!(found.len(), 1, "{text}\n{found:#?}");
    found.remove(0)
}

fn check(text: &str, (underlined, message, help): (&str, &str, &str)) {
    let found = problem(text);
    assert_eq!((found.0.as_str(), found.1.as_str(), found.2.as_str()), (underlined, message, help), "{text}");
}

fn rule(line: &str) -> String {
    format!("rule a \"A\"\n  stage final\n  level note\n  for each run r\n  needs x: r.is-x\n  else \"no\"\n{line}\n")
}

fn table(rows: &str) -> String {
    let keys = "  key size: wire-size, exact\n  key metal: choice metal, exact\n";
    format!("table t \"T\"\n{keys}  column amps: current\n  beyond unknown\n  rows\n{rows}\n")
}

#[test]
fn expressions() {
    for (written, underlined, message, help) in [
        (
            "r.a adn r.b",
            "adn",
            "`adn` does not fit here",
            "expected a comparison, a calculation, the end of the line, `and` or `or`; perhaps `and` is meant",
        ),
        ("r.a and", "and", "something is missing after `and`", "expected an expression"),
        (
            "r.a == r.b",
            "==",
            "`==` does not fit here",
            "expected a comparison, a calculation, the end of the line, `and` or `or`; amounts are compared with `=`, choices and items with `is`",
        ),
        (
            "r.a != r.b",
            "!=",
            "`!=` does not fit here",
            "expected a comparison, a calculation, the end of the line, `and` or `or`; for choices and items write `is not`, for amounts `not a = b`",
        ),
        (
            "r.a is",
            "is",
            "something is missing after `is`",
            "expected a value of a choice, an expression, `any` or `not`",
        ),
        (
            "r.a is 18 in",
            "in",
            "`in` does not fit here",
            "expected the end of the line, `and` or `or`; amounts are compared with `=`, `<=` and the like",
        ),
        ("r.a <= 18 inches", "inches", "`18` is a bare number: `inches` is no unit", "the nearest unit is `in`"),
        (
            "r.a <= 18 apples",
            "apples",
            "`18` is a bare number: `apples` is no unit",
            "units: in, ft, A, V, VA, AWG, kcmil, F, C, ohm, %, in3 and the like",
        ),
        (
            "r.a <= 18in",
            "18in",
            "`18in` does not fit here",
            "expected an expression; a space stands between a number and its unit",
        ),
        ("r.a <= 13 AWG", "13 AWG", "there is no `13 AWG`", "sizes go from 18 AWG to 4/0 AWG, then in kcmil"),
        ("r.a <= 1/0 in", "1/0 in", "there is no `1/0 in`", "write it as 18, 0.75, 3/4 or 1-1/4"),
        (
            "r.a in (b, c)",
            "in",
            "`in` does not fit here",
            "expected a comparison, a calculation, the end of the line, `and` or `or`; perhaps `is` is meant; for one of several write `is any of`",
        ),
        ("r.a is any of b, c", ",", "`,` does not fit here", "expected the end of the line, `and` or `or`"),
        ("r.a is any of (b c)", "c", "`c` does not fit here", "expected `)` or `,`"),
        ("any x in r.l x.a", "x", "`x` does not fit here", "expected `.`, `:`, `at` or `where`"),
        (
            "r.a -b <= 3",
            "-b",
            "`-b` does not fit here",
            "expected a comparison, a calculation, the end of the line, `and` or `or`; a minus has a space on both sides",
        ),
        ("(r.a", "a", "something is missing after `a`", "expected a comparison, a calculation, `)`, `and` or `or`"),
        (
            "r.a)",
            ")",
            "`)` does not fit here",
            "expected a comparison, a calculation, the end of the line, `and` or `or`",
        ),
        ("r..a", ".", "`.` does not fit here", "expected a name"),
        ("count of x in r.l where x.a <= 3 and", "and", "something is missing after `and`", "expected an expression"),
        (
            "if a then b",
            "b",
            "something is missing after `b`",
            "expected a comparison, a calculation, `and`, `else` or `or`",
        ),
        ("r.a.b at (c)", "r.a.b", "no table stands before `at`", "write `TABLE at (…)` or `TABLE.column at (…)`"),
        ("least of (a) <= 3", "<=", "`<=` does not fit here", "expected a calculation or `for`"),
        (
            "r.a >= to + 3",
            "to",
            "`to` does not fit here",
            "expected an expression; `to` is a word of this language and can't be a name",
        ),
        ("r.a within 3 in", "3", "`3` does not fit here", "expected a name"),
        (
            "r.a >= at least 3 in",
            "at",
            "`at` does not fit here",
            "expected an expression; `at` is a word of this language and can't be a name",
        ),
        ("2026-13-01 < a", "2026-13-01", "there is no day `2026-13-01`", "write year-month-day: 2026-09-01"),
        ("a < b < c", "<", "`<` does not fit here", "expected a calculation, the end of the line, `and` or `or`"),
        (
            "none x in r.l: y",
            "x",
            "`x` does not fit here",
            "expected a comparison, a calculation, the end of the line, `and` or `or`",
        ),
        ("", "means", "something is missing after `means`", "expected an expression"),
        (
            "a \"b",
            "\"b",
            "`\"b` does not fit here",
            "expected a comparison, a calculation, the end of the line, `and` or `or`; the text has no closing quote on its line",
        ),
    ] {
        check(&format!("term t of (r: run)\n  means {written}\n"), (underlined, message, help));
    }
}

#[test]
fn clauses_of_a_rule() {
    for (line, underlined, says) in [
        ("  wher y: r.is-y", "wher", "`wher` begins no clause of a rule (perhaps `where` is meant)"),
        ("  stagee final", "stagee", "`stagee` begins no clause of a rule (perhaps `stage` is meant)"),
        ("  value x 3 in", "3", "`3` does not fit here (expected a text in quotes or `:`)"),
        (
            "  value x: at lest 3 in",
            "lest",
            "`lest` does not fit here (expected `least` or `most`; perhaps `least` is meant)",
        ),
        (
            "  value x: 3 in, form NEC 2020 4 in",
            "form",
            "`form` does not fit here (expected `from`; perhaps `from` is meant)",
        ),
        (
            "  value x: 3 in, from NEC 2020 4 in, from NEC 2017 5 in",
            "from NEC 2017 5 in",
            "this figure is not later than the one before it (write them from oldest to newest)",
        ),
        (
            "  value x: 3 in from NEC 2020 4 in",
            "from",
            "`from` does not fit here (expected a calculation, the end of the line, `,` or `to`)",
        ),
        ("  except y r.is-y", "r", "`r` does not fit here (expected a text in quotes, `,`, `:` or `of`)"),
        ("  except \"y\": r.is-y", "\"y\"", "`\"y\"` does not fit here (expected a name)"),
        (
            "  where a: r.a\n        b \"t\" r.b",
            "b",
            "`b` does not fit here (expected a comparison, a calculation, the end of the line, `and` or `or`; a further part needs its name, a title and a colon)",
        ),
        (
            "  where a: r.a\n        b r.b",
            "b",
            "`b` does not fit here (expected a comparison, a calculation, the end of the line, `and` or `or`)",
        ),
        ("  else \"again\"", "else", "a second `else` (one is enough: join them)"),
        ("  cites 210.8", "210.8", "`210.8` does not fit here (expected an edition such as NEC 2023)"),
        (
            "  cites NEC 2014-2023: 210.8",
            "2014-2023",
            "`2014-2023` does not fit here (expected an edition such as NEC 2023)",
        ),
        (
            "  cites NEC 2014: 210.8(A), (B)",
            "(B)",
            "`(B)` is half a section (write each section in full, the article and number before every bracket)",
        ),
        ("  from 2020", "2020", "`2020` does not fit here (expected an edition or a day)"),
        (
            "  from NEC 2020 before NEC 2017",
            "from NEC 2020 before NEC 2017",
            "nothing lies between these bounds (`from` is included, `before` is not)",
        ),
        ("  figures guessed", "guessed", "`guessed` does not fit here (expected `memory` or `verified`)"),
        ("  figures verified", "verified", "something is missing after `verified` (expected a text in quotes)"),
        ("  ask has-gfci: \"?\"", ":", "`:` does not fit here (expected `.` or `or`)"),
        ("  ask run.has-gfci \"?\"", "\"?\"", "`\"?\"` does not fit here (expected `:`)"),
        (
            "  evidence run.x: messured",
            "messured",
            "`messured` is no evidence (evidence is one of seen, measured, on-paper; perhaps `measured` is meant)",
        ),
        (
            "  awaits shop.doors shop.bays",
            "shop",
            "`shop` does not fit here (expected the end of the line, `,`, `.` or `at`)",
        ),
        ("  list l\n    a r.a", "r", "`r` does not fit here (expected a text in quotes, `,` or `:`)"),
        ("  list l: a, b", ":", "`:` does not fit here (expected a text in quotes or `of`)"),
        ("  list l of choice c: a b", "b", "`b` does not fit here (expected the end of the line or `,`)"),
        ("  list l of c: a", "c", "`c` does not fit here (expected `choice`)"),
        (
            "  example pas",
            "pas",
            "`pas` does not fit here (expected `attention`, `not applicable`, `pass` or `unknown`; perhaps `pass` is meant)",
        ),
        (
            "  example attention R1",
            "R1",
            "`R1` does not fit here (expected a text in quotes, the end of the line or `at`)",
        ),
        (
            "  example unknown mising x",
            "mising",
            "`mising` does not fit here (expected a text in quotes, the end of the line or `missing`; perhaps `missing` is meant)",
        ),
        ("  example unknown missing", "missing", "something is missing after `missing` (expected a name)"),
        ("  where", "where", "something is missing after `where` (expected an expression)"),
        ("  cites", "cites", "something is missing after `cites` (expected an edition such as NEC 2023)"),
        ("  except", "except", "something is missing after `except` (expected a name)"),
        ("  remedy", "remedy", "something is missing after `remedy` (expected a text in quotes)"),
    ] {
        let (found, message, help) = problem(&rule(line));
        assert_eq!((found.as_str(), format!("{message} ({help})").as_str()), (underlined, says), "{line}");
    }
}

#[test]
fn rows_of_a_table() {
    for (rows, underlined, says) in [
        (
            "    size | metal | amps\n    14 AWG | copper",
            "14 AWG | copper",
            "this row has 2 cells, the header has 3 (a cell without a value is `-`)",
        ),
        ("    size | metal | amp", "amp", "`amp` is no key or column of this table (perhaps `amps` is meant)"),
        (
            "    size | copper | aluminum\n    14 AWG | 15 Amp | -",
            "Amp",
            "`15` is a bare number: `Amp` is no unit (the nearest unit is `A`)",
        ),
        (
            "    size | amps\n    14 AWG | 3 A",
            "size | amps",
            "the header has no cell for `metal` (name every key and column, or give each further cell the keys it stands for)",
        ),
        (
            "    size | metal\n  14 AWG | copper",
            "14",
            "`14` begins no clause of a table (known here: source, note, cites, key, column, beyond, rows, figures)",
        ),
        (
            "    size | metal | amps\n    - | copper | 15 A",
            "-",
            "`size` has no value here (each row has a value for each key)",
        ),
        (
            "    size | metal | amps | status\n    14 AWG | copper | 15 A | sure",
            "sure",
            "`sure` does not fit here (expected `memory` or `verified`)",
        ),
        (
            "    size | metal | amps\n    14 | copper | 15 A, 3 A",
            ",",
            "`,` does not fit here (expected the end of the line)",
        ),
        ("    size | metal | size\n", "size", "a second `size` (each cell of the header stands once)"),
    ] {
        let (found, message, help) = problem(&table(rows));
        assert_eq!((found.as_str(), format!("{message} ({help})").as_str()), (underlined, says), "{rows}");
    }
}

#[test]
fn blocks_and_their_heads() {
    for (text, underlined, says) in [
        (
            "rule a \"A\"\n  stage finl\n  level note\n  for each run r\n  needs x: r.is-x\n  else \"no\"",
            "finl",
            "`finl` is no stage (stage is one of footing, trench, rough-in, final, permit; perhaps `final` is meant)",
        ),
        (
            "rule a \"A\"\n  stage final\n  level note\n  for each run r\n  needs x: r.is-x\n  else \"no {r\"",
            "r",
            "something is missing after `r` (expected a comparison, a calculation, `and`, `or` or `}`)",
        ),
        (
            "rule a \"A\"\n  stage final\n  level note\n  for each run r\n  needs x: r.is-x\n  else \"no {r.}\"",
            "}",
            "`}` does not fit here (expected a name)",
        ),
        (
            "rule a \"A\"\n  stage final\n  level note\n  for each run r\n  needs x: r.is-x\n  else \"no",
            "\"no",
            "`\"no` does not fit here (expected a text in quotes; the text has no closing quote on its line)",
        ),
        (
            "rule a \"A\"\n  stage final\n  level note\n  \n  needs x: r.is-x\n  else \"no\"\n  for every run r",
            "every",
            "`every` does not fit here (expected `each`, `permit` or `shop`)",
        ),
        (
            "rule a \"A\"\n  stage final\n  level note\n  for house\n  needs x: r.is-x\n  else \"no\"",
            "house",
            "`house` does not fit here (expected `each`, `permit` or `shop`)",
        ),
        (
            "rule a \"A\"\n  stage final\n  level note\n  for each run\n  needs x: r.is-x\n  else \"no\"",
            "run",
            "something is missing after `run` (expected a name or `or`)",
        ),
        (
            "rule a \"A\"\n  level note\n  for each run r\n  needs x: r.is-x\n  else \"no\"",
            "rule a \"A\"",
            "this rule has no `stage` (say when the work is looked at: `stage final`, or footing, trench, rough-in, permit)",
        ),
        ("rul a \"A\"", "rul", "`rul` begins nothing at the left edge (perhaps `rule` is meant)"),
        (
            "  stage final",
            "stage final",
            "this line belongs to nothing (a file begins at the left edge with `rule`, `table`, `define` or the like)",
        ),
        (
            "frobnicate",
            "frobnicate",
            "`frobnicate` begins nothing at the left edge (known here: rule, define, term, value, list, fact, choice, ordinary, group, sheet, table, given, name)",
        ),
        ("define d of (c: circuit) in amps\n  = 3", "amps", "`amps` is no unit (the nearest unit is `A`)"),
        (
            "define d of (c: circuit) in current\n  = 3",
            "current",
            "`current` is no unit (after `in` comes a unit, such as A or in; write `as current`)",
        ),
        ("define d of (c: circuit)\n  = 3", ")", "something is missing after `)` (expected `as` and a type or `in`)"),
        ("define d (c: circuit) in A\n  = 3", "(", "`(` does not fit here (expected `of`)"),
        ("define d of (c circuit) in A\n  = 3", "circuit", "`circuit` does not fit here (expected `:`)"),
        (
            "define d of (c: circuit, c: run) in A\n  = 3",
            "c: run",
            "a second `c` (each parameter has a letter of its own)",
        ),
        (
            "define d of (c: circuit) in A\n  doc \"x\"",
            "define d of (c: circuit) in A",
            "this define says nothing (add `= EXPRESSION`)",
        ),
        (
            "define d of (c: circuit) in A\n  docs \"x\"\n  = 3 A",
            "docs",
            "`docs` begins no clause of a define or term (perhaps `doc` is meant)",
        ),
        (
            "table t \"T\"\n  key size: wire-size, exact\n  key metal: choice metal, exact\n  column amps: current\n  rows",
            "table t \"T\"",
            "this table has no `beyond` (say what holds beyond the rows: `beyond unknown`, or last row, no limit, 0 A)",
        ),
        (
            "table t \"T\"\n  key size: wire-size, exact\n  key metal: choice metal, exact\n  column amps: current\n  beyond nothing at all, sir\n  rows",
            ",",
            "`,` does not fit here (expected the end of the line)",
        ),
        (
            "table t \"T\"\n  rows",
            "table t \"T\"",
            "this table has no `column` (say what a row gives: `column amps: current`)",
        ),
        ("fact run.x yes/no", "no", "something is missing after `no` (expected a text in quotes)"),
        ("fact x yes/no \"d\"", "yes", "`yes` does not fit here (expected `.` or `or`)"),
        ("fact run.x boolean/no \"d\"", "/", "`/` does not fit here (expected a text in quotes or `or`)"),
        (
            "fact run.x yes/no \"d\"\n  question \"a\"",
            "question",
            "`question` begins no clause of a fact (known here: phrase, ordinary, ask)",
        ),
        ("choice x a, b", "a", "`a` does not fit here (expected `:` or `adds`)"),
        ("choice x: a b", "b", "`b` does not fit here (expected the end of the line or `,`)"),
        ("ordinary run.x no", "no", "`no` does not fit here (expected `:`)"),
        ("group g: a", ":", "`:` does not fit here (expected a text in quotes)"),
        ("given", "given", "something is missing after `given` (expected a name)"),
        (
            "rule a \"A\"\n    stage final\n  level note\n    for shop\n  needs x: y\n  else \"z\"",
            "level note",
            "this line stands left of the lines above it (give it the same indentation as the clauses that it belongs beside)",
        ),
    ] {
        let (found, message, help) = problem(text);
        assert_eq!((found.as_str(), format!("{message} ({help})").as_str()), (underlined, says), "{text}");
    }
}

#[test]
fn sides_of_a_table_are_few_and_differ() {
    let key = "  key size: wire-size, exact\n";
    let two = table("    size | metal | amps").replace("  column", &format!("{key}  column"));
    assert_eq!(problem(&two).1, "a second `size`");
    let many: String = (0..5_000).map(|i| format!("  column c{i}: current\n")).collect();
    let many = table("    size | metal | amps").replace("  beyond", &format!("{many}  beyond"));
    assert_eq!(problem(&many).1, "this table has more than 32 keys and columns");
}

/// A rule says what it is about, when it is looked at and what is wrong; silence on that is no rule.
#[test]
fn what_a_rule_lacks_is_said() {
    let found = problems("rule a \"A\"\n  why because\n");
    let lacks: Vec<_> = found.iter().map(|(place, message, _)| (place.as_str(), message.as_str())).collect();
    let all = ["stage", "level", "for", "needs", "else"].map(|clause| format!("this rule has no `{clause}`"));
    assert_eq!(lacks, all.iter().map(|message| ("rule a \"A\"", message.as_str())).collect::<Vec<_>>());
}

/// One slip costs one clause: the others, and the other blocks, are read and judged all the same.
#[test]
fn reading_goes_on_after_a_problem() {
    let text = "rule a \"A\"
  stage finl
  level note
  for each run r
  value x: 3 inches
  where b: r.b adn
  needs c: r.c ==
  else \"{r\"
  example pas
    a plan line
value y: 3 in
value z: at lest 3 in
";
    let found = problems(text);
    let underlined: Vec<_> = found.iter().map(|(place, ..)| place.as_str()).collect();
    assert_eq!(underlined, ["finl", "inches", "adn", "==", "r", "pas", "lest"]);
    let (pack, _) = crate::law::read(crate::text::FileId(0), text);
    assert_eq!((pack.rules.len(), pack.values.len()), (0, 1));
    let broken: Vec<_> = pack.broken.iter().map(|name| name.node.as_str()).collect();
    assert_eq!(broken, ["a", "z"]);
}

#[test]
fn files_that_are_no_text_for_us() {
    check(
        "value x: 3 in\n  # tab\n\t, from NEC 2020 4 in\n",
        ("\t", "this line is indented with a tab", "indent with spaces in the whole file"),
    );
    check(
        "value x: 3 in\rvalue y: 3 in",
        ("\r", "a line ends in a lone carriage return", "save the file with ordinary line ends"),
    );
    check(&" ".repeat(5_000_000), ("", "this file is too large for a rule file", "split it by subject"));
    let many = problems(&"nonsense\n".repeat(400_000));
    assert_eq!(many.len(), 502);
    assert!(many[501].1.ends_with("the rest of this file was not read"));
    let tall = problems(&format!("rule a \"A\"\n{}", "  nonsense\n".repeat(400_000)));
    assert_eq!(tall.len(), 1);
    let long = format!("value x: {}1 in\n", "1 in + ".repeat(6000));
    assert_eq!(problem(&long).1, "this clause is too long");
}

/// Nothing that a file holds stops the reader: each prefix of a long file, and each with a byte changed.
#[test]
fn no_text_stops_the_reader() {
    let whole = include_str!("../../../../rules/cover.rule");
    for end in (0..whole.len()).filter(|end| whole.is_char_boundary(*end)).step_by(7) {
        problems(&whole[..end]);
    }
    for (at, mark) in (0..whole.len()).step_by(5).zip("\"(){}:,|=#\n -é×".chars().cycle()) {
        if whole.is_char_boundary(at) && whole.is_char_boundary(at + 1) {
            problems(&format!("{}{mark}{}", &whole[..at], &whole[at + 1..]));
        }
    }
}

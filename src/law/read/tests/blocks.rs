use super::pack;
use crate::law::syntax::{Beyond, Bounds, CellContent, Expected, Limit, List, Meet, Moment, Row, Value};
use crate::text::Spanned;

fn names(list: &[Spanned<String>]) -> Vec<&str> {
    list.iter().map(|name| name.node.as_str()).collect()
}

/// A rule with every clause.
const WHOLE: &str = include_str!("whole.rule");

#[test]
fn a_rule_with_every_clause() {
    let rule = &pack(WHOLE).rules[0];
    assert_eq!((rule.name.node.as_str(), rule.title.as_str()), ("gfci-shop", "GFCI protection in the shop"));
    assert_eq!(names(&rule.aliases), ["gfci-125v", "other-id"]);
    assert_eq!(rule.why, "A hand tool, a concrete floor and a nicked cord.");
    let cites: Vec<_> = rule.cites.iter().map(|c| (c.first, c.last, c.sections.join("; "), c.is_memory)).collect();
    assert_eq!(
        cites,
        [
            (2014, 2023, "210.8(A)(2); 210.8(B)".into(), false),
            (2026, 2026, "210.8(A)(3)".into(), true),
            (2029, 2029, String::new(), false)
        ]
    );
    let figures = rule.figures.as_ref().unwrap();
    assert_eq!((figures.is_verified, figures.source.as_str()), (true, "public text on 210.8"));
    let day = crate::quantity::day("2040-01-01").map(Moment::Day);
    assert_eq!(rule.bounds, Bounds { from: Some(Moment::Edition(2014)), before: day });
    assert_eq!((rule.stage.node.as_str(), rule.level.node.as_str()), ("final", "required"));
    assert_eq!(rule.subject.variable.as_ref().unwrap().node, "r");
    assert_eq!(names(&rule.subject.kinds), ["receptacle", "light"]);
    assert!(rule.subject.within.is_some());
    let parts = |parts: &[crate::law::syntax::Part]| -> Vec<String> {
        parts.iter().map(|p| p.name.as_ref().unwrap().node.clone()).collect()
    };
    assert_eq!(parts(&rule.wheres), ["indoors", "volts", "place"]);
    assert_eq!(parts(&rule.needs), ["protected", "whole"]);
    assert_eq!(rule.needs[1].title.as_deref(), Some("all of it"));
    assert_eq!(rule.needs[1].bounds.from, Some(Moment::Edition(2023)));
    assert_eq!(rule.excepts[1].part.as_ref().unwrap().node, "protected");
    assert_eq!(rule.excepts[1].bounds.from, Some(Moment::Edition(2023)));
    assert_eq!(
        (rule.evidence[0].word.name.node.as_str(), rule.evidence[0].how.node.as_str()),
        ("resistance", "measured")
    );
    assert_eq!((rule.awaits.len(), rule.points.len(), rule.asks.len()), (2, 2, 2));
    assert_eq!(names(&rule.asks[1].word.kinds), ["receptacle", "light"]);
    assert!(rule.remedy.is_some() && rule.caution.is_some());
    assert_eq!(names(&rule.given), ["small-shop", "lamp"]);
    assert_eq!(&WHOLE[rule.span.start as usize..][..4], "rule");
}

#[test]
fn values_have_directions_and_steps() {
    let values = &pack(WHOLE).rules[0].values;
    let kind = |value: &Value| -> Vec<&str> {
        let limit = |limit: &Limit| match limit {
            Limit::Plain(_) => "plain",
            Limit::AtLeast(_) => "at least",
            Limit::AtMost(_) => "at most",
            Limit::Between(..) => "between",
            Limit::Asked { .. } => "asked",
        };
        value.steps.iter().map(|step| limit(&step.limit)).collect()
    };
    let found: Vec<_> = values.iter().map(|v| (v.name.node.as_str(), kind(v))).collect();
    assert_eq!(
        found,
        [
            ("top-volts", vec!["at most", "at most"]),
            ("depth", vec!["between"]),
            ("reach", vec!["asked"]),
            ("share", vec!["plain", "plain"])
        ]
    );
    assert_eq!(values[0].title.as_deref(), Some("highest voltage"));
    assert_eq!(values[0].steps[1].from, Some(Moment::Edition(2020)));
    assert_eq!(values[3].steps[1].from, crate::quantity::day("2026-09-01").map(Moment::Day));
}

#[test]
fn lists_hold_conditions_or_values() {
    let lists = &pack(WHOLE).rules[0].lists;
    let items = |list: &List| -> Vec<(String, bool, Bounds)> {
        list.items.iter().map(|i| (i.name.node.clone(), i.test.is_some(), i.bounds)).collect()
    };
    let bounds = |from: Option<i64>, before: Option<i64>| Bounds {
        from: from.map(Moment::Edition),
        before: before.map(Moment::Edition),
    };
    assert_eq!(
        items(&lists[0]),
        [("garage".into(), true, bounds(None, None)), ("accessory".into(), true, bounds(Some(2017), Some(2026)))]
    );
    assert_eq!(lists[0].items[1].title.as_deref(), Some("accessory buildings"));
    assert_eq!(lists[1].choice.as_ref().unwrap().node, "area-use");
    assert_eq!(
        items(&lists[1]),
        [
            ("bedroom".into(), false, bounds(None, None)),
            ("kitchen".into(), false, bounds(None, None)),
            ("office".into(), false, bounds(Some(2026), None)),
            ("5-20R".into(), false, bounds(None, Some(2020)))
        ]
    );
}

/// Plan lines keep the indentation they have beyond the first, and each its own place.
#[test]
fn examples_say_what_must_come_out() {
    let examples = &pack(WHOLE).rules[0].examples;
    let body = &examples[0].body;
    let lines: Vec<_> = body.plan.iter().map(|line| line.node.as_str()).collect();
    assert_eq!(lines, ["receptacle R1: 5-20R, GFCI", "  at the door"]);
    for line in &body.plan {
        assert_eq!(WHOLE[line.span.start as usize..line.span.end as usize], line.node);
    }
    let unsaid: Vec<_> =
        body.unsaid.iter().map(|m| (m.word.node.as_str(), m.item.as_ref().map(|i| i.node.as_str()))).collect();
    assert_eq!(unsaid, [("hottest", None), ("terminals", Some("F1-1"))]);
    let sets: Vec<_> =
        body.sets.iter().map(|s| (s.item.node.as_str(), s.word.node.as_str(), s.value.node.as_str())).collect();
    assert_eq!(sets, [("C1", "load", "7200 VA"), ("N1", "circuits", "C1, C2")]);
    let expected: Vec<String> = examples
        .iter()
        .map(|example| match &example.expected {
            Expected::Pass => "pass".into(),
            Expected::PassExcept(name) => format!("pass except {}", name.node),
            Expected::Attention(at) => format!("attention {}", at.as_ref().map_or("", |at| &at.node)),
            Expected::Unknown(missing) => {
                format!("unknown {}", missing.iter().map(|m| m.word.node.as_str()).collect::<Vec<_>>().join("+"))
            }
            Expected::NotApplicable(at) => format!("not applicable {}", at.as_ref().map_or("", |at| &at.node)),
        })
        .collect();
    assert_eq!(
        expected,
        [
            "pass",
            "attention P1-B1",
            "unknown has-gfci+edition",
            "pass except alarm",
            "not applicable R9",
            "attention ",
            "unknown "
        ]
    );
    assert_eq!(examples[0].title.as_deref(), Some("all is well"));
}

#[test]
fn a_user_may_leave_parts_unnamed() {
    let rule = &pack("rule a \"A\"\n  stage final\n  level note\n  for shop\n  needs any x in shop.doors:\n    x.is-wide\n  else \"no\"\n").rules[0];
    assert!(rule.needs[0].name.is_none() && rule.subject.variable.is_none());
    assert_eq!(names(&rule.subject.kinds), ["shop"]);
}

#[test]
fn defines_and_terms() {
    let text = "
define table-ground of (c: feeder or circuit, m: choice metal, z: wire-size) in AWG
  doc    \"a size\"
  note   \"a method\"
  source \"common practice\"
  cites  NEC 2014 to NEC 2023: 250.122
  value  x: 100 A
  list   metals of choice metal: copper
  = if c.is-x then z
    else z
define column of (w: wire) as temperature
  = 60 C
define gain of (r: run) in degrees F
  = 30 degrees F
term is-living of (a: area) for gfci
  doc   \"lived in\"
  means a.use is bedroom
    and a.is-habitable
";
    let defines = pack(text).defines;
    let first = &defines[0];
    let types: Vec<_> = first.parameters.iter().map(|p| (p.name.node.as_str(), p.ty.words.join(" "))).collect();
    assert_eq!(types, [("c", "feeder circuit".into()), ("m", "choice metal".into()), ("z", "wire-size".into())]);
    assert_eq!((first.doc.as_str(), first.note.as_deref()), ("a size", Some("a method")));
    assert_eq!((first.values.len(), first.lists.len(), first.cites.len()), (1, 1, 1));
    let results: Vec<_> = defines.iter().map(|d| d.result.as_ref().map(|r| r.words.join(" "))).collect();
    assert_eq!(results, [Some("AWG".into()), Some("temperature".into()), Some("degrees F".into()), None]);
    assert_eq!(defines[3].purpose.as_ref().unwrap().node, "gfci");
}

#[test]
fn facts_choices_and_the_rest() {
    let text = "
fact run.is-sealed yes/no \"sealed\"
  phrase   sealed / open = no
  ordinary no
  ask      \"Is {item} sealed?\"
fact box or panel.marks list choice mark \"marks\"
  phrase CHOICE mark
fact feeder.spare part wire \"a spare\"
choice facing: insulated-wall, grounded-wall,
  live-parts
choice method adds cable-bus
ordinary feeder.is-existing: no
group dwelling \"dwelling rules\": rule-a, rule-b
value sixty-top: 100 A
list plastic of choice method: PVC-40, PVC-80
given lamp
  switch S1: single-pole
    at the door
";
    let pack = pack(text);
    let fact = &pack.facts[0];
    assert_eq!((fact.word.name.node.as_str(), fact.phrase.as_str()), ("is-sealed", "sealed / open = no"));
    assert_eq!(
        (fact.ordinary.as_ref().unwrap().node.as_str(), fact.question.as_deref()),
        ("no", Some("Is {item} sealed?"))
    );
    assert_eq!(names(&pack.facts[1].word.kinds), ["box", "panel"]);
    assert_eq!(pack.facts[1].ty.words, ["list", "choice", "mark"]);
    assert!(pack.facts[2].is_part && pack.facts[2].ty.words == ["wire"]);
    assert_eq!(names(&pack.choices[0].values), ["insulated-wall", "grounded-wall", "live-parts"]);
    assert!(pack.choices[1].adds && !pack.choices[0].adds);
    assert_eq!(pack.ordinaries[0].answer.node, "no");
    assert_eq!(names(&pack.groups[0].rules), ["rule-a", "rule-b"]);
    assert_eq!((pack.values.len(), pack.lists[0].items.len()), (1, 2));
    assert_eq!(pack.givens[0].body.plan.len(), 2);
}

fn row(row: &Row) -> String {
    let cell = |content: &CellContent| match content {
        CellContent::Quantity(q) => q.to_string(),
        CellContent::NoLimit => "no limit".into(),
        CellContent::Word(word) => word.clone(),
    };
    let keys: Vec<_> = row.keys.iter().map(|k| cell(&k.content)).collect();
    let values: Vec<_> = row.values.iter().map(|v| v.as_ref().map_or("-".into(), |v| cell(&v.content))).collect();
    let memory = if row.is_memory { " memory" } else { "" };
    let from = if row.bounds.from.is_some() { " from" } else { "" };
    format!("{}: {}{memory}{from}", keys.join(", "), values.join(", "))
}

#[test]
fn tables_are_wide_or_long() {
    let text = "
table ampacities \"Ampacity\"
  source \"a book\"
  note   \"a note\"
  cites  NEC 2014 to NEC 2023: Table 310.16
  key    size: wire-size, exact
  key    metal: choice metal, exact
  key    column: temperature, up
  column amps: current
  beyond last row
  rows
    size   | copper, 60 C | aluminum, 75 C | status
    14 AWG | 15 A         | -              | memory
    12 AWG | 20 A         | 20 A           | verified
table limits \"Limits\"
  key    state: name, exact
  key    day: date, down
  column edition: edition
  column amps: current
  beyond no limit
  rows
    day        | state       | amps     | edition  | when
    2020-01-01 | New Kingdom | no limit | NEC 2020 | from NEC 2023
    2020-01-02 | Elsewhere   | 1/2 A    | -        |
table steps \"Steps\"
  column amps: current
  rows
    amps
    15 A
";
    let tables = pack(text).tables;
    let rows = |i: usize| tables[i].rows.iter().map(row).collect::<Vec<_>>();
    assert_eq!(
        rows(0),
        [
            "14 AWG, copper, 140 F (60 C): 15 A memory",
            "14 AWG, aluminum, 167 F (75 C): - memory",
            "12 AWG, copper, 140 F (60 C): 20 A",
            "12 AWG, aluminum, 167 F (75 C): 20 A"
        ]
    );
    assert_eq!(rows(1), ["New Kingdom, 2020-01-01: NEC 2020, no limit from", "Elsewhere, 2020-01-02: -, 0.5 A"]);
    assert_eq!(rows(2), [": 15 A"]);
    let meets: Vec<_> = tables[0].keys.iter().map(|k| k.meet).collect();
    assert_eq!(meets, [Meet::Exact, Meet::Exact, Meet::Up]);
    assert!(matches!(tables[0].beyond, Beyond::LastRow));
    assert!(matches!(&tables[1].beyond, Beyond::Value(cell) if cell.content == CellContent::NoLimit));
    assert_eq!((tables[0].source.as_str(), tables[0].notes.len(), tables[0].cites.len()), ("a book", 1, 1));
}

/// Line ends of any editor, a byte-order mark, and no line end at the end of the file.
#[test]
fn files_as_editors_save_them() {
    for text in
        ["value x: 1\r\nvalue y: 2\r\n", "\u{FEFF}value x: 1\nvalue y: 2", "\n\n  # only\nvalue x:\n  1\nvalue y: 2\n"]
    {
        assert_eq!(pack(text).values.len(), 2, "{text:?}");
    }
}

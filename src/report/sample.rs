//! A report made by hand, for the tests of the outputs.

use super::*;
use crate::text::Sources;

/// A plan of eleven lines and what might be said of it: each verdict, each level, a question for
/// two items, an unread line.
pub(super) fn sample() -> (Report, Sources) {
    let text = "# A shed\nshop \"Quince Street shed\"\nfeeder F1 from house to P1\n  stretch 24 ft: 1 in PVC-40, buried 16 in, under drive   # stony\n  painted green\ncircuit C1\n  breaker 20 A\n  feeds R1 then R2\nreceptacle R1: 5-20R, no GFCI\nreceptacle R2: 5-20R, GFCI\npanel P1\n";
    let mut sources = Sources::default();
    sources.add("rules/gfci.rule", "rule gfci-shop\n");
    let file = sources.add("shed.shop", text);
    let at = |word: &str| text.find(word).map(|i| Span::new(file, i, i + word.len())).unwrap_or_default();
    let finding = |rule: &str, verdict, level, stage, kind: Kind, name: &str, message: &str, place| Finding {
        rule: rule.into(),
        title: format!("title of {rule}").into(),
        hazard: "a nicked cord puts a person in the fault path".into(),
        verdict,
        level,
        stage,
        about: vec![About { kind, name: name.into(), called: format!("{kind} {name}") }],
        message: message.into(),
        place,
        also: Vec::new(),
        cites: ["NEC 1999 7-2(a)".into()].into(),
        is_memory: false,
        missing: Vec::new(),
        leans_on: Vec::new(),
        editions: Vec::new(),
        edits: Vec::new(),
        remedy: None,
        caution: None,
        why: None,
        changes: Vec::new(),
    };
    let edit = |target: &str, part: &str, verb, was: &str, now: &str| EditLine {
        layer: 0,
        target: target.into(),
        title: format!("title of {target}"),
        part: part.into(),
        verb,
        state: "applied",
        was: was.into(),
        now: now.into(),
        why: "the county's own reason".into(),
        source: "Ordinance 7, pine.example/7".into(),
        when: String::new(),
        place: Span::new(FileId(0), 0, 4),
    };
    let mut cover = finding(
        "cover-drive",
        Outcome::Attention,
        Level::Required,
        Stage::Trench,
        Kind::Run,
        "stretch 1 of F1",
        "stretch 1 of F1 has 16 in of cover; 18 in is asked",
        at("buried 16 in"),
    );
    cover.also = vec![at("under drive")];
    cover.remedy = Some("Deepen these 24 ft before the trench is filled. Measure from the top of the pipe.".into());
    cover.caution = Some("Call the utility locating service (811 in the US) before you dig.".into());
    let mut gfci = finding(
        "gfci-shop",
        Outcome::Attention,
        Level::Required,
        Stage::Final,
        Kind::Receptacle,
        "R1",
        "receptacle R1 has no GFCI protection ahead of it",
        at("R1: 5-20R, no GFCI"),
    );
    gfci.leans_on = vec!["unless receptacle R1 supplies an alarm".into()];
    gfci.why = Some(Why {
        text: "receptacle R1 has GFCI protection".into(),
        value: "no".into(),
        places: vec![at("no GFCI")],
        source: None,
        from: vec![],
    });
    let advice = finding(
        "voltage-drop",
        Outcome::Attention,
        Level::Advised,
        Stage::RoughIn,
        Kind::Circuit,
        "C1",
        "circuit C1 loses 6.1 % at full load",
        at("circuit C1"),
    );
    let mut terminals = finding(
        "terminal-torque",
        Outcome::Unknown,
        Level::Required,
        Stage::Final,
        Kind::Panel,
        "P1",
        "it can't be told whether the terminals of panel P1 were tightened as marked",
        at("panel P1"),
    );
    terminals.missing = vec![Missing {
        fact: "is-torqued of P1".into(),
        ask: "Were the terminals of panel P1 tightened with a torque tool?".into(),
        place: at("panel P1"),
    }];
    let pass = finding(
        "receptacle-circuit-match",
        Outcome::Pass,
        Level::Required,
        Stage::RoughIn,
        Kind::Receptacle,
        "R2",
        "title",
        at("R2: 5-20R, GFCI"),
    );
    let one = |pass, attention, advice, unknown| Counts { pass, attention, advice, unknown, not_applicable: 3 };
    let report = Report {
        plan: "shed.shop".into(),
        authority: "inspector".into(),
        file,
        title: Some("Quince Street shed".into()),
        line_count: 11,
        edition: Some(1999),
        editions: vec![1999],
        permit_date: None,
        problems: vec![
            Problem::error(at("painted green"), "`painted` is no phrase of a feeder").help("did you mean ...?"),
        ],
        counts: vec![
            (Stage::Footing, Counts::default()),
            (Stage::Trench, one(0, 1, 0, 0)),
            (Stage::RoughIn, one(1, 0, 1, 0)),
            (Stage::Final, one(0, 1, 0, 1)),
        ],
        findings: vec![cover, gfci, advice, terminals, pass],
        questions: vec![Question {
            letter: "A".into(),
            ask: "Were the terminals of panel P1 tightened with a torque tool?".into(),
            items: vec![About { kind: Kind::Panel, name: "P1".into(), called: "panel P1".into() }],
            owners: vec!["panel P1".into()],
            settles: vec![("terminal-torque".into(), 1)],
            alone: 1,
            stage: Stage::Final,
            places: vec![at("panel P1")],
            write: vec![vec!["torqued".into(), "not torqued".into()]],
            answers: vec![Answer { text: "torqued".into(), effect: "1 pass".into() }],
        }],
        remarks: vec![Remark {
            reason: Reason::JustEnough,
            rule: "box-fill".into(),
            about: About { kind: Kind::Box, name: "B1".into(), called: "box B1".into() },
            text: "21 of 21 in3".into(),
        }],
        layers: vec![LayerLine {
            name: "pine-county".into(),
            title: "Pine County (invented)".into(),
            kind: "county",
            file: "pine-county.rule".into(),
            source: "Ordinance 7, pine.example/7".into(),
            status: "in force".into(),
            checked: Some("2026-11-25".into()),
        }],
        edits: vec![
            edit("surge-service", "rule", "strike", "a surge device", ""),
            edit("gfci-shop", "value top", "set", "at most 2 A", "at most 1 A"),
        ],
    };
    (report, sources)
}

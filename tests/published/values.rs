//! The rules' figures by edition, against what public texts give for each of five editions.
//!
//! `values.txt` has the figures, with a source beside each; `values_open.txt` has those that are no figure of a rule file,
//! each with the reason. Where the rules have a figure is written beside it:
//!
//! | where | is |
//! |---|---|
//! | `value NAME`, `value FORMULA.NAME` | a value of the rule, or of a formula or term |
//! | `shared NAME`, `1+ shared NAME` | a value at the left edge; what is added to a whole |
//! | `table NAME key=…; key=…: column` | the cells of all rows with these keys |
//! | `in PART`, `in define NAME` | written out in a condition of the rule, or in a formula or what it calls |
//! | `has PART`, `has LIST.ITEM` | whether the part, exception or item counts in the edition |
//! | `before PART` | the day on which it ends |
//! | `list NAME`, `items NAME` | the values or items of a list |
//! | `exists` | whether the rule counts in the edition |
//! | `cites`, `cites table NAME` | a section that the rule or table cites |

use super::cell;
use ringout::law;
use ringout::law::code::{Cell, Code, Table};
use ringout::law::syntax::{Bounds, Define, Limit, List, Meet, Moment, Node, Pack, Rule, Value};
use ringout::quantity::{self, Rational, day, wire_size};
use ringout::text::{Sources, Span};
use std::collections::{BTreeMap, BTreeSet};

const EDITIONS: [i64; 5] = [2014, 2017, 2020, 2023, 2026];

/// The rules as text and as tables.
struct Book {
    sources: Sources,
    pack: Pack,
    code: Code,
}

fn book() -> Book {
    let mut sources = Sources::default();
    let pack = law::builtin(&mut sources);
    Book { sources, pack, code: law::builtin_code().1 }
}

/// One parameter.
struct Row<'a> {
    rule: &'a str,
    parameter: &'a str,
    unit: &'a str,
    by_edition: Vec<&'a str>,
    place: &'a str,
    source: &'a str,
}

fn rows(text: &str) -> Vec<Row<'_>> {
    let row = |line| {
        let cells: Vec<&str> = str::split(line, " | ").collect();
        assert_eq!(cells.len(), 10, "{line}");
        let by_edition = cells[3..8].to_vec();
        Row { rule: cells[0], parameter: cells[1], unit: cells[2], by_edition, place: cells[8], source: cells[9] }
    };
    text.lines().filter(|l| !l.starts_with('#') && !l.is_empty()).map(row).collect()
}

/// A moment against an edition; a day counts by the first permit that an edition sees, so not at all here.
fn counts(bounds: &Bounds, edition: i64) -> bool {
    let is_reached = |m: Moment| !matches!(m, Moment::Edition(year) if edition < year);
    let is_past = |m: Moment| matches!(m, Moment::Edition(year) if edition >= year);
    bounds.from.is_none_or(is_reached) && !bounds.before.is_some_and(is_past)
}

/// The figure in the edition: of the last step that has begun.
fn in_edition(book: &Book, value: &Value, edition: i64, row: &Row) -> Result<String, String> {
    let has_begun = |from: Option<Moment>| counts(&Bounds { from, before: None }, edition);
    let step = value.steps.iter().rfind(|s| has_begun(s.from)).ok_or("no step has begun")?;
    match &step.limit {
        Limit::Plain(e) | Limit::AtLeast(e) | Limit::AtMost(e) => match &*e.node {
            Node::Quantity(q) => Ok(q.value.to_string()),
            _ if book.sources.text(e.span) == "no limit" => Ok("none".into()),
            other => Err(format!("{} is {other:?}", row.place)),
        },
        other => Err(format!("{} is {other:?}", row.place)),
    }
}

/// A published figure in base units, as the rules hold it.
fn published(text: &str, unit: &str) -> Option<String> {
    if text == "none" {
        return Some(text.into());
    }
    let value = match unit {
        "AWG" => Rational::whole(wire_size(text)?),
        "date" => Rational::whole(day(text)?),
        "percent" => quantity::unit(text, "%")?.value,
        "ratio" | "count" | "allowance" | "bare" => quantity::number(text)?,
        _ => quantity::unit(text, unit)?.value,
    };
    Some(value.to_string())
}

fn parts(rule: &Rule) -> impl Iterator<Item = (&str, Bounds, Span)> {
    let plain = rule.wheres.iter().chain(&rule.needs);
    plain
        .filter_map(|p| Some((p.name.as_ref()?.node.as_str(), p.bounds, p.test.span)))
        .chain(rule.excepts.iter().map(|e| (e.name.node.as_str(), e.bounds, e.test.span)))
}

/// The part of that name; `LIST.ITEM` for an item.
fn part(rule: &Rule, name: &str) -> Option<(Bounds, Span)> {
    if let Some((list, item)) = name.split_once('.') {
        let list = rule.lists.iter().find(|l| l.name.node == list)?;
        let item = list.items.iter().find(|i| i.name.node == item)?;
        return Some((item.bounds, item.name.span));
    }
    parts(rule).find(|(n, ..)| *n == name).map(|(_, bounds, span)| (bounds, span))
}

/// Whether a text holds that figure with its unit, by itself.
fn holds(text: &str, figure: &str) -> bool {
    text.match_indices(figure).any(|(at, _)| {
        let is_apart = |c: Option<char>| !c.is_some_and(|c| c.is_alphanumeric() || c == '.' || c == '/');
        is_apart(text[..at].chars().next_back()) && is_apart(text[at + figure.len()..].chars().next())
    })
}

/// What a formula or term says, and what those it names by `…-at of` or `x.word` say.
fn define_text(book: &Book, name: &str, depth: u8) -> String {
    let mut all = String::new();
    for define in book.pack.defines.iter().filter(|d| d.name.node == name) {
        let text = book.sources.text(define.span).to_string();
        if depth > 0 {
            for other in book.pack.defines.iter().filter(|d| d.name.node != name && holds(&text, &d.name.node)) {
                all.push_str(&define_text(book, &other.name.node, depth - 1));
            }
        }
        all.push_str(&text);
    }
    all
}

/// What the rules have there in the edition; `-` where the rule does not count.
fn held(book: &Book, row: &Row, edition: i64, wanted: &str) -> Result<String, String> {
    let by_name = |r: &&Rule| r.name.node == row.rule || r.aliases.iter().any(|a| a.node == row.rule);
    let rule = book.pack.rules.iter().find(by_name).ok_or("no such rule")?;
    let (kind, rest) = row.place.split_once(' ').unwrap_or((row.place, ""));
    let yes_no = |is: bool| Ok(if is { "yes" } else { "no" }.to_string());
    if kind == "exists" {
        return yes_no(counts(&rule.bounds, edition));
    }
    if !counts(&rule.bounds, edition) {
        return Ok("-".into());
    }
    match kind {
        "has" => yes_no(counts(&part(rule, rest).ok_or("no such part")?.0, edition)),
        "before" => match part(rule, rest).ok_or("no such part")?.0.before {
            Some(Moment::Day(day)) => Ok(Rational::whole(day).to_string()),
            other => Err(format!("{other:?} is no day")),
        },
        "value" => {
            let values: Vec<&Value> = match rest.split_once('.') {
                Some((define, _)) => {
                    let defines = book.pack.defines.iter().filter(|d| d.name.node == define);
                    defines.flat_map(|d: &Define| &d.values).collect()
                }
                None => rule.values.iter().collect(),
            };
            let name = rest.rsplit('.').next().unwrap_or(rest);
            let value = values.into_iter().find(|v| v.name.node == name).ok_or("no such value")?;
            in_edition(book, value, edition, row)
        }
        "shared" | "1+" => {
            let name = rest.trim_start_matches("shared ");
            let value = book.pack.values.iter().find(|v| v.name.node == name).ok_or("no such value")?;
            let figure = in_edition(book, value, edition, row)?;
            match kind {
                "1+" => {
                    let share = quantity::number(wanted).and_then(|w| w.minus(Rational::ONE)).ok_or("no share")?;
                    Ok(if share.to_string() == figure { wanted.into() } else { figure })
                }
                _ => Ok(figure),
            }
        }
        "in" => {
            let text = match rest.split_once(' ') {
                Some((_, define)) => define_text(book, define, 2),
                None => book.sources.text(part(rule, rest).ok_or("no such part")?.1).to_string(),
            };
            let figure = if row.unit == "bare" { wanted.to_string() } else { format!("{wanted} {}", row.unit) };
            match (counts_in(rule, rest, edition), holds(&text, &figure)) {
                (false, _) => Ok("-".into()),
                (true, true) => Ok(wanted.into()),
                (true, false) => Err(format!("`{figure}` is not in `{text}`")),
            }
        }
        "list" | "items" => {
            let list: &List = rule.lists.iter().find(|l| l.name.node == rest).ok_or("no such list")?;
            let items = list.items.iter().filter(|i| counts(&i.bounds, edition)).map(|i| i.name.node.clone());
            Ok(sorted(items.collect()))
        }
        "cites" => {
            let mut tables = book.pack.tables.iter().filter(|t| rest == format!("table {}", t.name.node));
            let all = if rest.is_empty() { &rule.cites } else { &tables.next().ok_or("no such table")?.cites };
            let cites = all.iter().filter(|c| c.first <= edition && edition <= c.last);
            let begins = |s: &String| {
                let section = s.trim_start_matches("Table ");
                section.strip_prefix(wanted).is_some_and(|tail| tail.is_empty() || tail.starts_with(['(', '.', ' ']))
            };
            let sections: Vec<&String> = cites.flat_map(|c| &c.sections).collect();
            if sections.iter().any(|s| begins(s)) { Ok(wanted.into()) } else { Ok(format!("{sections:?}")) }
        }
        "table" => table(book, rest, edition),
        other => Err(format!("`{other}` is no place")),
    }
}

fn counts_in(rule: &Rule, name: &str, edition: i64) -> bool {
    part(rule, name).is_none_or(|(bounds, _)| counts(&bounds, edition))
}

/// The key of the first row at or over this one, where the table is met upward.
fn met(table: &Table, at: usize, cell: Cell) -> Cell {
    match (table.keys.get(at), cell) {
        (Some((.., Meet::Up)), Cell::Number(wanted)) => {
            let numbers = table.rows.iter().filter_map(|row| match row.keys[at] {
                Cell::Number(key) if key >= wanted => Some(key),
                _ => None,
            });
            numbers.min().map_or(cell, Cell::Number)
        }
        _ => cell,
    }
}

/// The cells of a column in all rows of the edition that have these keys.
fn table(book: &Book, rest: &str, edition: i64) -> Result<String, String> {
    let (name, rest) = rest.split_once(' ').ok_or("a table and its keys")?;
    let (keys, column) = rest.rsplit_once(": ").ok_or("keys and a column")?;
    let table = book.code.tables.iter().find(|t| t.name == name).ok_or("no such table")?;
    let names: Vec<(&String, _)> =
        table.keys.iter().map(|(n, ty, _)| (n, *ty)).chain(table.columns.iter().map(|(n, ty)| (n, *ty))).collect();
    let place = |name: &str| names.iter().position(|(n, _)| *n == name).ok_or(format!("no column {name}"));
    let mut wanted = Vec::new();
    for key in keys.split("; ") {
        let (key, text) = key.split_once('=').ok_or("key=value")?;
        let at = place(key)?;
        let (text, unit) = match text {
            "no limit" => (text, ""),
            _ => text.rsplit_once(' ').unwrap_or((text, "")),
        };
        let (text, unit) = if unit == "kcmil" { (&*format!("{text} kcmil"), "") } else { (text, unit) };
        let cell = cell(text, unit, names[at].1, &book.code).ok_or(format!("{key}: `{text}` can't be read"))?;
        wanted.push((at, met(table, at, cell)));
    }
    let column = place(column)?;
    let mut found = BTreeSet::new();
    for row in table.rows.iter().filter(|r| counts(&r.bounds, edition)) {
        let cells: Vec<_> = row.keys.iter().copied().map(Some).chain(row.values.iter().copied()).collect();
        if wanted.iter().all(|(at, cell)| cells[*at] == Some(*cell)) {
            match cells[column] {
                Some(Cell::Number(n)) => found.insert(n.to_string()),
                other => return Err(format!("{other:?} is no number")),
            };
        }
    }
    Ok(sorted(found.into_iter().collect()))
}

fn sorted(mut items: Vec<String>) -> String {
    items.sort();
    items.join(";")
}

fn is_in_words(row: &Row) -> bool {
    let place = row.place.split(' ').next().unwrap_or("");
    ["exists", "has", "list", "items", "cites", "in", "1+"].contains(&place)
}

/// What does not agree, by rule, parameter and edition.
fn differences(book: &Book, rows: &[Row]) -> Vec<String> {
    let mut wrong = Vec::new();
    for row in rows {
        for (edition, wanted) in EDITIONS.into_iter().zip(&row.by_edition) {
            let base = |text: &&str| match is_in_words(row) || *text == "-" {
                true => Some(text.to_string()),
                false => published(text, row.unit),
            };
            let figures: Option<Vec<String>> = wanted.split(';').collect::<Vec<_>>().iter().map(base).collect();
            let Some(figures) = figures else {
                wrong.push(format!("{} {}: `{wanted} {}` can't be read", row.rule, row.parameter, row.unit));
                continue;
            };
            let wanted_in_base = sorted(figures);
            match held(book, row, edition, wanted) {
                // A figure that the text does not give in that edition binds the rules to nothing, but a rule that
                // is not there then must not be there.
                Ok(_) if *wanted == "-" => {}
                Ok(found) if found == wanted_in_base => {}
                Ok(found) => wrong.push(format!(
                    "{} {} in {edition}: published {wanted} {} ({wanted_in_base}), the rules have {found}",
                    row.rule, row.parameter, row.unit
                )),
                Err(_) if *wanted == "-" => {}
                Err(why) => wrong.push(format!("{} {} in {edition}: {why}", row.rule, row.parameter)),
            }
        }
    }
    wrong
}

#[test]
fn the_rules_have_the_published_value_in_each_edition() {
    let rows = rows(include_str!("values.txt"));
    let wrong = differences(&book(), &rows);
    assert!(wrong.is_empty(), "{} differences\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn each_parameter_is_held_or_has_a_reason_and_a_source() {
    let held = rows(include_str!("values.txt"));
    let open: BTreeMap<&str, &str> = (include_str!("values_open.txt").lines())
        .filter(|l| !l.starts_with('#') && !l.is_empty())
        .map(|l| l.split_once(": ").unwrap_or_else(|| panic!("`{l}` has no reason")))
        .collect();
    for row in &held {
        assert!(!row.source.is_empty(), "{} {} has no source", row.rule, row.parameter);
        let name = format!("{} {}", row.rule, row.parameter);
        assert!(!open.contains_key(name.as_str()), "{name} is held and has a reason why not");
    }
    assert!(open.values().all(|why| why.len() > 20));
    assert_eq!((held.len() + open.len()), 492, "a parameter was lost");
}

/// The comparison can fail: each of these slips in a published figure shows.
#[test]
fn a_slip_in_a_value_shows() {
    let book = book();
    let slips = [
        "panel-height | handle-height-max | in | 79 | 79 | 79 | 79 | 78 | value highest | memory",
        "gfci-250v | required | bool | no | yes | yes | yes | yes | exists | memory",
        "egc-size | copper | AWG | 10 | 10 | 10 | 10 | 8 | table equipment-ground breaker=60 A; metal=copper: size | memory",
        "tamper-resistant | section | section | 406.12 | 406.12 | 406.12 | 406.12 | 406.12 | cites | memory",
        "receptacle-each-bay | height-max | in | 66 | 66 | 66 | 66 | 66 | value highest | memory",
        "gfci-250v | volts-to-ground-max | V | - | - | 120 | 150 | 150 | in phases | memory",
        "egc-upsized | exception | bool | no | no | no | yes | yes | has qualified | memory",
        "surge-dwelling-feeder | types | enum | - | - | - | type-1 | type-1;type-2 | list kinds | memory",
    ];
    for slip in slips {
        assert_eq!(differences(&book, &rows(slip)).len(), 1, "{slip}");
    }
}

//! Holds every table of `rules/tables` against figures that were typed and converted on their own:
//! cell by cell, and both ways, so that neither side has a figure which the other lacks.
//!
//! Each sheet in `tables` beside this file names where its figures come from. Tables for whole formulas
//! (wires in a raceway, PVC in the heat, impedances) are worked through here from the rule files.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking, its helpers too")]

mod values;

use ringout::law;
use ringout::law::code::{Cell, Code, Table};
use ringout::law::syntax::{Bounds, Limit, Moment, Node, Pack};
use ringout::quantity::{self, Rational, Scale, day, wire_size};
use ringout::text::{Severity, Sources};
use ringout::words::{Type, Vocabulary};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Sheets that stand for a formula and not for one table.
const FORMULAS: [&str; 3] = ["largest-counts", "parts-of-impedance", "pvc-movement"];

/// A sheet of published figures.
struct Sheet {
    source: String,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// One row of either side: what it holds, by the name of its key or column.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    cells: BTreeMap<String, Option<Cell>>,
    bounds: Bounds,
    is_memory: bool,
}

fn sheets() -> BTreeMap<String, Sheet> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/tables");
    files(&folder, "csv").into_iter().map(|path| (name_of(&path), sheet(&fs::read_to_string(path).unwrap()))).collect()
}

fn sheet(text: &str) -> Sheet {
    let source = text.lines().find_map(|l| l.strip_prefix("# source: ")).unwrap_or_default().to_string();
    let mut lines = text.lines().filter(|l| !l.starts_with('#')).map(|l| l.split(',').map(str::to_string).collect());
    Sheet { source, head: lines.next().unwrap_or_default(), rows: lines.collect() }
}

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.extension().is_some_and(|e| e == ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn name_of(path: &Path) -> String {
    path.file_stem().unwrap_or_default().to_string_lossy().into_owned()
}

/// The tables of the repository, read and compiled, with the shared values of `fill.rule`; `change`
/// may spoil the text of one file.
fn pack(change: impl Fn(&Path, String) -> String) -> (Pack, Code) {
    let mut sources = Sources::default();
    let mut pack = Pack::default();
    let rules = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules");
    for path in files(&rules.join("tables"), "rule").into_iter().chain([rules.join("fill.rule")]) {
        let text = change(&path, fs::read_to_string(&path).unwrap());
        let file = sources.add(path.display().to_string(), text.clone());
        let (part, problems) = law::read(file, &text);
        assert!(problems.is_empty(), "{}: {problems:#?}", path.display());
        pack.join(part);
    }
    let tables = Pack { tables: pack.tables.clone(), choices: pack.choices.clone(), ..Pack::default() };
    let (code, problems) = law::compile(&tables);
    let errors = problems.iter().filter(|p| p.severity == Severity::Error);
    let wrong: Vec<_> = errors.map(|p| format!("{:?}: {}", sources.place(p.span), p.message)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    (pack, code)
}

fn untouched() -> (Pack, Code) {
    pack(|_, text| text)
}

/// The rows of a table, as `Row`s.
fn held(table: &Table) -> Vec<Row> {
    let names: Vec<&String> = table.keys.iter().map(|(n, ..)| n).chain(table.columns.iter().map(|(n, _)| n)).collect();
    let row = |row: &law::code::Row| Row {
        cells: names
            .iter()
            .map(|n| n.to_string())
            .zip(row.keys.iter().copied().map(Some).chain(row.values.iter().copied()))
            .collect(),
        bounds: row.bounds,
        is_memory: row.is_memory,
    };
    table.rows.iter().map(row).collect()
}

/// The rows of a sheet, in the types of the table.
fn published(sheet: &Sheet, table: &Table, code: &Code) -> Result<Vec<Row>, String> {
    let types: BTreeMap<&str, Type> = (table.keys.iter().map(|(n, t, _)| (n.as_str(), *t)))
        .chain(table.columns.iter().map(|(n, t)| (n.as_str(), *t)))
        .collect();
    let mut rows = Vec::new();
    for line in &sheet.rows {
        let mut row = Row { cells: BTreeMap::new(), bounds: Bounds::default(), is_memory: false };
        for (head, text) in sheet.head.iter().zip(line) {
            let (name, unit) = head.split_once(" [").map_or((head.as_str(), ""), |(n, u)| (n, u.trim_end_matches(']')));
            match name {
                "status" => row.is_memory = text == "memory",
                "from" => row.bounds.from = text.parse().ok().map(Moment::Edition),
                "before" => row.bounds.before = text.parse().ok().map(Moment::Edition),
                _ => {
                    let ty = types.get(name).ok_or_else(|| format!("no column {name}"))?;
                    let cell = if text.is_empty() {
                        None
                    } else {
                        Some(cell(text, unit, *ty, code).ok_or_else(|| format!("{name}: `{text}` can't be read"))?)
                    };
                    row.cells.insert(name.to_string(), cell);
                }
            }
        }
        rows.push(row);
    }
    Ok(rows)
}

fn cell(text: &str, unit: &str, ty: Type, code: &Code) -> Option<Cell> {
    let vocabulary: &Vocabulary = &code.vocabulary;
    Some(match ty {
        _ if text == "no limit" => Cell::NoLimit,
        Type::YesNo => Cell::YesNo(text == "yes"),
        Type::Choice(id) => Cell::Choice(vocabulary.choice(id)?.value(text)?),
        Type::Name => Cell::Name(u32::try_from(code.proper_names.iter().position(|n| n == text)?).ok()?),
        Type::Quantity(Scale::WireSize) => Cell::Number(Rational::whole(wire_size(text)?)),
        Type::Quantity(Scale::Date) => Cell::Number(Rational::whole(day(text)?)),
        Type::Quantity(Scale::Edition) => Cell::Number(Rational::whole(text.parse().ok()?)),
        Type::Quantity(_) if unit.is_empty() => Cell::Number(quantity::number(text)?),
        Type::Quantity(_) => Cell::Number(quantity::unit(text, unit)?.value),
        _ => return None,
    })
}

/// What the two sides don't agree on.
fn differences(sheet: &Sheet, table: &Table, code: &Code) -> Vec<String> {
    let published = match published(sheet, table, code) {
        Ok(rows) => rows,
        Err(why) => return vec![why],
    };
    let held = held(table);
    let only = |a: &[Row], b: &[Row], side: &str| -> Vec<String> {
        a.iter().filter(|row| !b.contains(row)).map(|row| format!("only {side}: {row:?}")).collect()
    };
    let mut found = only(&published, &held, "published");
    found.extend(only(&held, &published, "in the rule file"));
    if published.len() != held.len() {
        found.push(format!("{} rows published, {} in the rule file", published.len(), held.len()));
    }
    found
}

#[test]
fn every_table_agrees_with_its_published_figures() {
    let (_, code) = untouched();
    let sheets = sheets();
    let names: BTreeSet<&str> = code.tables.iter().map(|t| t.name.as_str()).collect();
    let mut wrong = Vec::new();
    for table in &code.tables {
        match sheets.get(&table.name) {
            Some(sheet) => {
                wrong.extend(differences(sheet, table, &code).into_iter().map(|d| format!("{}: {d}", table.name)))
            }
            None => wrong.push(format!("{}: no sheet in tests/published/tables", table.name)),
        }
    }
    wrong.extend(
        sheets
            .keys()
            .filter(|n| !names.contains(n.as_str()) && !FORMULAS.contains(&n.as_str()))
            .map(|n| format!("{n}: a sheet without a table")),
    );
    assert!(wrong.is_empty(), "{} differences\n{}", wrong.len(), wrong.join("\n"));
}

/// The comparison above can fail: each of these slips of the pen shows.
#[test]
fn a_slip_of_the_pen_shows() {
    let slips = [
        ("ampacities", "ampacity.rule", "| 35 A         | 40 A         | 25 A", "| 35 A         | 45 A         | 25 A"),
        ("standard-sizes", "overcurrent.rule", "from NEC 2023\n    15 A", "from NEC 2020\n    15 A"),
        ("overhead-size", "outside.rule", "8 AWG    | memory", "8 AWG    | verified"),
        ("box-allowance", "boxes.rule", "    10 AWG | 2.50 in3\n", ""),
        ("methods", "methods.rule", "EMT                | other-raceway", "EMT                | heavy-metal  "),
    ];
    let sheets = sheets();
    for (name, file, right, wrong) in slips {
        let spoil = |path: &Path, text: String| {
            if !path.ends_with(Path::new("tables").join(file)) {
                return text;
            }
            assert!(text.contains(right), "{file} no longer holds `{right}`");
            text.replacen(right, wrong, 1)
        };
        let (_, code) = pack(spoil);
        let table = code.tables.iter().find(|t| t.name == name).unwrap();
        assert!(!differences(&sheets[name], table, &code).is_empty(), "{name}: the slip did not show");
    }
}

#[test]
fn every_sheet_and_table_names_its_source() {
    for (name, sheet) in sheets() {
        assert!(!sheet.source.is_empty(), "{name}");
        assert!(sheet.rows.iter().all(|r| r.len() == sheet.head.len()), "{name}: a row of another length");
    }
    for table in untouched().1.tables {
        assert!(!table.source.is_empty(), "{}", table.name);
    }
}

/// A shared value of the pack that is one plain figure.
fn shared(pack: &Pack, name: &str) -> Rational {
    let value = pack.values.iter().find(|v| v.name.node == name).unwrap_or_else(|| panic!("no value {name}"));
    match &value.steps[0].limit {
        Limit::Plain(figure) => match &*figure.node {
            Node::Quantity(quantity) => quantity.value,
            other => panic!("{name} is {other:?}"),
        },
        other => panic!("{name} is {other:?}"),
    }
}

/// The one figure of a table's column whose row has these keys, as the sheets write them.
fn figure(code: &Code, table: &str, column: &str, keys: &[(&str, &str)]) -> Rational {
    let table = code.tables.iter().find(|t| t.name == table).unwrap();
    let at = |name: &str| table.keys.iter().position(|(n, ..)| n == name).unwrap();
    let column = table.columns.iter().position(|(n, _)| n == column).unwrap();
    let row = table.rows.iter().find(|row| {
        keys.iter().all(|(name, text)| {
            let (_, ty, _) = &table.keys[at(name)];
            Some(row.keys[at(name)]) == cell(text, "", *ty, code)
        })
    });
    match row.unwrap_or_else(|| panic!("{}: no row {keys:?}", table.name)).values[column] {
        Some(Cell::Number(value)) => value,
        other => panic!("{}: {other:?}", table.name),
    }
}

/// Annex C lists how many wires of one size go into a raceway. The areas and shares of the rule
/// files and Chapter 9 note 7 give each of its counts.
#[test]
fn wires_of_one_size_fill_raceways_as_annex_c_says() {
    let (pack, code) = untouched();
    let from = shared(&pack, "note-seven");
    let share = |wires: &str| figure(&code, "fill-share", "share", &[("wires", wires)]);
    let sheet = &sheets()["largest-counts"];
    for row in &sheet.rows {
        let [method, trade, size, count, _] = row.as_slice() else { panic!("{row:?}") };
        let inside = figure(&code, "raceway-sizes", "area", &[("method", method), ("trade-size", trade)]);
        let wire = figure(&code, "wire-areas", "area", &[("group", "nylon-jacketed"), ("size", size)]);
        let most = |share: Rational| {
            let exact = inside.times(share).unwrap().over(wire).unwrap();
            let whole = exact.floor();
            whole + i64::from(exact.minus(Rational::whole(whole)).unwrap() >= from)
        };
        let counted = match most(share("3")) {
            many @ 3.. => many,
            _ if most(share("2")) >= 2 => 2,
            _ => most(share("1")).min(1),
        };
        assert_eq!(counted.to_string(), *count, "{method} {trade} in, {size}");
    }
    assert_eq!(sheet.rows.len(), 540);
}

/// Table 352.44(A) gives the movement of 100 ft; the coefficient of the rule files gives each row.
#[test]
fn pvc_moves_as_the_table_says() {
    let coefficient = shared(&untouched().0, "pvc-coefficient");
    for row in &sheets()["pvc-movement"].rows {
        let degrees = quantity::number(&row[0]).unwrap();
        let inches = coefficient.times(Rational::whole(1200)).unwrap().times(degrees).unwrap();
        assert_eq!(quantity::number(&inches.decimal(2)), quantity::number(&row[1]), "{} F", row[0]);
    }
}

/// Each impedance is the root of R squared plus X squared, cut after five places: its square is
/// not over that sum, and that of the next step is.
#[test]
fn impedances_are_worked_out_exactly() {
    let (_, code) = untouched();
    let per_foot = quantity::unit("1", "ohm/kft").unwrap().value;
    let square = |x: Rational| x.times(x).unwrap();
    let step = Rational::constant(1, 100_000);
    for row in &sheets()["parts-of-impedance"].rows {
        let [size, metal, conduit, resistance, coefficient, reactance] = row.as_slice() else { panic!("{row:?}") };
        let number = |text: &String| quantity::number(text).unwrap();
        let cold = Rational::ONE.minus(number(coefficient).times(Rational::whole(50)).unwrap()).unwrap();
        let sum = square(number(resistance).times(cold).unwrap()).plus(square(number(reactance))).unwrap();
        let keys = [("size", size.as_str()), ("metal", metal), ("conduit", conduit)];
        let z = figure(&code, "impedances", "impedance", &keys).over(per_foot).unwrap();
        assert!(square(z) <= sum && sum < square(z.plus(step).unwrap()), "{size} {metal} in {conduit}");
    }
}

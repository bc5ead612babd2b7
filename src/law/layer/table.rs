//! Edits of tables.

use super::edit::Made;
use super::guard::{self, Found};
use super::{About, Reached, State, When, Work};
use crate::law::print;
use crate::law::syntax::layer::{Action, Edit};
use crate::law::syntax::{Bounds, Cell, Moment, Row, Table};
use crate::text::{Problem, Span, Spanned, nearest};

impl Work {
    pub(super) fn edit_table(&mut self, name: &Spanned<String>, about: &About, shelved: Option<State>) {
        let tables = &self.out.pack.tables;
        let Some(index) = tables.iter().position(|table| table.name == *name) else {
            let near = nearest(&name.node, tables.iter().map(|t| t.name.node.as_str()));
            let help = near
                .map_or("`ringout rules show NAME` prints one".to_string(), |near| format!("the nearest is `{near}`"));
            return self
                .out
                .problems
                .push(Problem::error(name.span, format!("there is no table `{}`", name.node)).help(help));
        };
        let Some(mut table) = self.out.pack.tables.get(index).cloned() else { return };
        let is_wish = about.layer.kind == crate::law::syntax::layer::Kind::Owner || about.layer.source.is_none();
        for edit in &about.change.edits {
            let mut made = match shelved {
                None if is_wish => {
                    let problem =
                        Problem::error(edit.span, "a wish changes no table: every rule that reads it would change");
                    Made::new("set", "table").wrong(problem.help("write a rule of your own"))
                }
                None if about.leave.is_stricter_only => {
                    let made = Made::new("set", "table");
                    self.refused(made, &format!("table {}", name.node), about, edit.span)
                }
                None => write(&mut table, edit, about),
                Some(state) => {
                    let made = write(&mut table.clone(), edit, about);
                    Made { problem: None, ..made }.with(state)
                }
            };
            if made.problem.is_none() && made.state == State::Applied {
                self.reached.push(Reached {
                    edit: self.out.edits.len() as u32,
                    name: name.node.clone(),
                    when: about.when.test(about.change.span),
                });
            }
            made.part = format!("{} of table {}", made.part, name.node);
            self.note(name.node.clone(), table.title.clone(), edit, about, made);
        }
        if let Some(place) = self.out.pack.tables.get_mut(index) {
            *place = table;
        }
    }
}

/// Makes one edit of a table.
fn write(table: &mut Table, edit: &Edit, about: &About) -> Made {
    if !about.when.tests.is_empty() {
        let problem = Problem::error(edit.span, "a table is read for many items: it has no `only where`");
        return Made::new("set", "table")
            .wrong(problem.help("change the value of the rule that reads it, with `only where` there"));
    }
    match &edit.action {
        Action::SetCell(at, to, was) => {
            let part = format!("cell ({})", print::cells(at.keys.iter().map(Some)));
            let made = Made {
                was: print::cell(was.found.as_ref()),
                now: print::cell(to.as_ref()),
                ..Made::new("set", part.clone())
            };
            let column = match &at.column {
                None if table.columns.len() == 1 => Some(0),
                None => None,
                Some(name) => table.columns.iter().position(|column| column.name == *name),
            };
            let Some(column) = column else {
                let names: Vec<&str> = table.columns.iter().map(|c| c.name.node.as_str()).collect();
                let problem = Problem::error(at.span, "which column?");
                return made.wrong(problem.help(format!("columns: {}", names.join(", "))));
            };
            let today = |row: &Row| print::cell(row.values.get(column).and_then(Option::as_ref));
            let quoted = made.was.clone();
            let new = made.now.clone();
            each_row(
                table,
                &at.keys,
                about,
                made,
                was.span,
                |row| {
                    let today = today(row);
                    if today == quoted {
                        Found::Same
                    } else if today == new {
                        Found::Absorbed
                    } else {
                        Found::Other(today)
                    }
                },
                |row| {
                    let mut row = row.clone();
                    if let Some(cell) = row.values.get_mut(column) {
                        *cell = to.clone();
                    }
                    Some(row)
                },
            )
        }
        Action::StrikeRow(keys, was) => {
            let quoted = print::cells(was.found.iter().map(Option::as_ref));
            let made = Made {
                was: quoted.clone(),
                ..Made::new("strike", format!("row ({})", print::cells(keys.iter().map(Some))))
            };
            each_row(
                table,
                keys,
                about,
                made,
                was.span,
                |row| {
                    let today = print::cells(row.values.iter().map(Option::as_ref));
                    if today == quoted { Found::Same } else { Found::Other(today) }
                },
                |_| None,
            )
        }
        Action::AddRow(row) => {
            let keys = print::cells(row.keys.iter().map(Some));
            let now = print::cells(row.values.iter().map(Option::as_ref));
            let made = Made { now, ..Made::new("add", format!("row ({keys})")) };
            if row.keys.len() != table.keys.len() || row.values.len() != table.columns.len() {
                let message = format!("this table has {} keys and {} columns", table.keys.len(), table.columns.len());
                return made.wrong(
                    Problem::error(row.span, message)
                        .help("`add row (KEY, KEY): VALUE, VALUE`, in the order of the table"),
                );
            }
            if let Some(taken) = table.rows.iter().find(|r| print::cells(r.keys.iter().map(Some)) == keys) {
                let problem = Problem::error(row.span, format!("there is a row ({keys}) already"));
                return made.wrong(problem.help("`set cell` changes it").also(taken.span, "it stands here"));
            }
            match bounds(&Bounds::default(), &about.when) {
                Some(all) => table.rows.extend(all.into_iter().map(|bounds| Row { bounds, ..row.clone() })),
                None => return made.wrong(mixed(row.span)),
            }
            made
        }
        Action::SetRows(rows, was) => {
            let made =
                Made { was: table.title.clone(), now: format!("{} rows", rows.len()), ..Made::new("set", "table") };
            if let Found::Other(today) = guard::title(&was.found, &table.title) {
                return made.wrong(guard::out_of_date(was.span, &table.name.node, "the title", &today));
            }
            if let Some(row) =
                rows.iter().find(|r| r.keys.len() != table.keys.len() || r.values.len() != table.columns.len())
            {
                let message = format!("the table has {} keys and {} columns", table.keys.len(), table.columns.len());
                return made.wrong(
                    Problem::error(row.span, message).help("name the keys and columns as the base does, in its order"),
                );
            }
            let mut all = Vec::new();
            for old in &table.rows {
                match outside(&old.bounds, &about.when) {
                    Some(bounds) => all.extend(bounds.into_iter().map(|bounds| Row { bounds, ..old.clone() })),
                    None => return made.wrong(mixed(edit.span)),
                }
            }
            for new in rows {
                match self::bounds(&new.bounds, &about.when) {
                    Some(bounds) => all.extend(bounds.into_iter().map(|bounds| Row { bounds, ..new.clone() })),
                    None => return made.wrong(mixed(edit.span)),
                }
            }
            table.rows = all;
            made
        }
        _ => {
            let problem = Problem::error(edit.span, "of a table this can't be changed");
            Made::new("set", "table")
                .wrong(problem.help("`set cell`, `add row`, `strike row`, or `set table` with all its rows"))
        }
    }
}

/// Writes the rows of some keys in the editions and on the days that the block is for.
fn each_row(
    table: &mut Table,
    keys: &[Cell],
    about: &About,
    made: Made,
    place: Span,
    look: impl Fn(&Row) -> Found,
    write: impl Fn(&Row) -> Option<Row>,
) -> Made {
    let wanted = print::cells(keys.iter().map(Some));
    let part = made.part.clone();
    let mut rows = Vec::with_capacity(table.rows.len());
    let (mut is_met, mut is_absorbed) = (false, true);
    for row in &table.rows {
        if print::cells(row.keys.iter().map(Some)) != wanted {
            rows.push(row.clone());
            continue;
        }
        let (Some(inside), Some(outside)) = (bounds(&row.bounds, &about.when), outside(&row.bounds, &about.when))
        else {
            return made.wrong(mixed(place));
        };
        rows.extend(outside.into_iter().map(|bounds| Row { bounds, ..row.clone() }));
        if inside.is_empty() {
            continue;
        }
        is_met = true;
        match look(row) {
            Found::Same => is_absorbed = false,
            Found::Absorbed => {}
            Found::Other(today) => {
                return made.wrong(guard::out_of_date(place, &table.name.node, &part, &today));
            }
        }
        rows.extend(inside.into_iter().filter_map(|bounds| write(row).map(|new| Row { bounds, ..new })));
    }
    if !is_met {
        let known: Vec<String> = table.rows.iter().map(|row| print::cells(row.keys.iter().map(Some))).collect();
        let help = match nearest(&wanted, known.iter().map(String::as_str)) {
            Some(near) => format!("the nearest row is ({near})"),
            None => {
                let names: Vec<&str> = table.keys.iter().map(|key| key.name.node.as_str()).collect();
                format!("the keys are {}, in this order", names.join(", "))
            }
        };
        return made.wrong(Problem::error(place, format!("`{}` has no row ({wanted})", table.name.node)).help(help));
    }
    table.rows = rows;
    if is_absorbed { made.with(State::Absorbed) } else { made }
}

fn mixed(place: Span) -> Problem {
    Problem::error(place, "a row can differ by edition or by day, not by both").help(
        "leave `over any edition` beside the days, or no days beside the editions; a value of a rule can have both",
    )
}

/// The part of a row's time in which a block counts. None where editions and days are mixed.
fn bounds(row: &Bounds, when: &When) -> Option<Vec<Bounds>> {
    let ranges = ranges(when)?;
    all(row, &ranges)
}

/// The part of a row's time in which it doesn't.
fn outside(row: &Bounds, when: &When) -> Option<Vec<Bounds>> {
    let mut gaps = Vec::new();
    let mut from = None;
    for range in ranges(when)? {
        if range.from.is_some() {
            gaps.push(Bounds { from, before: range.from });
        }
        match range.before {
            Some(before) => from = Some(before),
            None => return all(row, &gaps),
        }
    }
    gaps.push(Bounds { from, before: None });
    all(row, &gaps)
}

fn ranges(when: &When) -> Option<Vec<Bounds>> {
    let has_days = when.from.is_some() || when.before.is_some();
    match (when.editions.is_empty(), has_days) {
        (true, true) => Some(vec![Bounds { from: when.from.map(Moment::Day), before: when.before.map(Moment::Day) }]),
        (true, false) => Some(vec![Bounds::default()]),
        (false, true) => None,
        (false, false) => {
            let of = |(from, before): &(i64, Option<i64>)| Bounds {
                from: (*from > i64::MIN).then_some(Moment::Edition(*from)),
                before: before.map(Moment::Edition),
            };
            Some(when.editions.iter().map(of).collect())
        }
    }
}

fn all(row: &Bounds, others: &[Bounds]) -> Option<Vec<Bounds>> {
    let met: Option<Vec<_>> = others.iter().map(|other| meet(row, other)).collect();
    Some(met?.into_iter().flatten().collect())
}

/// What two stretches have in common; `Some(None)` where nothing, none where they are of two sorts.
fn meet(a: &Bounds, b: &Bounds) -> Option<Option<Bounds>> {
    let at = |moment: Moment| match moment {
        Moment::Edition(year) => (false, year),
        Moment::Day(day) => (true, day),
    };
    let sorts: Vec<bool> = [a.from, a.before, b.from, b.before].into_iter().flatten().map(|m| at(m).0).collect();
    if sorts.windows(2).any(|pair| pair.first() != pair.last()) {
        return None;
    }
    let from = a.from.into_iter().chain(b.from).max_by_key(|m| at(*m).1);
    let before = a.before.into_iter().chain(b.before).min_by_key(|m| at(*m).1);
    let is_empty = from.zip(before).is_some_and(|(from, before)| at(from).1 >= at(before).1);
    Some((!is_empty).then_some(Bounds { from, before }))
}

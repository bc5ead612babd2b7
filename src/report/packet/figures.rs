//! The calculation sheet: every figure, how it comes about, and where the code says so.
//!
//! A reviewer looks for a few values first and follows one back to its steps. So the values stand in one table,
//! the ones that decide on top; what each figure is stands once below it; the steps follow in small type.

use super::asked::Asked;
use super::{Packet, Sheet};
use crate::law::verdict::Why;
use crate::report::figures::{ItemSheet, ShownFigure, is_pick};
use crate::words::Kind;
use maud::{Markup, html};

/// Steps of a figure that are shown.
const MOST_STEPS: usize = 7;
/// Items beside each other in a table of values.
const MOST_COLUMNS: usize = 7;
/// What a formula has between its values.
const OPERATORS: [&str; 4] = [" / ", " × ", " + ", " - "];
/// Figures that a reviewer looks for first, where the pack has them.
const FIRST: [&str; 9] = [
    "load",
    "design-current",
    "ampacity",
    "least-breaker",
    "largest-breaker",
    "least-conductor",
    "voltage-drop",
    "total-drop",
    "length",
];

/// Items of one kind, or of kinds that have their figures in common.
struct Group<'a> {
    title: String,
    sheets: Vec<&'a ItemSheet>,
}

impl<'a> Group<'a> {
    /// One of each name, the first that decide, then the others in the pack's order.
    fn figures(&self) -> Vec<&'a ShownFigure> {
        let mut all: Vec<&ShownFigure> = Vec::new();
        for figure in self.sheets.iter().flat_map(|sheet| &sheet.figures) {
            if !all.iter().any(|known| known.name == figure.name) {
                all.push(figure);
            }
        }
        all.sort_by_key(|figure| rank(figure));
        all
    }

    /// Whether there are so many that each has a row.
    fn is_row(&self) -> bool {
        self.sheets.first().is_some_and(|sheet| matches!(sheet.about.kind, Kind::Run | Kind::Box))
    }

    /// What each figure is, where the code says so, and the method where there are several.
    fn meanings(&self) -> Markup {
        html! {
            h4 { (self.title) }
            @for figure in self.figures() {
                @let source = figure.why.as_ref().and_then(|why| why.source.as_deref());
                p {
                    b { (spoken(figure)) } ": " (figure.doc)
                    @if let Some(source) = source { " (" (source) ")" }
                    @if let Some(note) = &figure.note { ". Method: " (note) }
                }
            }
        }
    }
}

fn rank(figure: &ShownFigure) -> usize {
    FIRST.iter().position(|name| *name == figure.name).unwrap_or(FIRST.len())
}

/// `design current`.
fn spoken(figure: &ShownFigure) -> String {
    figure.name.replace('-', " ")
}

impl Packet<'_> {
    /// Feeders, circuits, panels and machines with every step; runs and boxes a row each.
    pub(super) fn figures(&self) -> Result<Markup, &'static str> {
        if self.figures.is_empty() {
            return Err("No figure of these rules is about anything in this plan.");
        }
        let groups = self.groups();
        Ok(self.sheet(
            Sheet::Figures,
            html! {
                p.lead {
                    "Every figure of these rules for this plan. First the values, those that decide on top; then, figure by figure, what it "
                    "is, where the code says so, and its steps. A range is what the plan leaves open: its letter leads to the question below."
                }
                @for group in groups.iter().filter(|group| !group.is_row()) { (self.values(group)) }
                @for group in groups.iter().filter(|group| group.is_row()) { (self.row_figures(group)) }
                h3 { "What each figure is, and how it comes about" }
                div.fine {
                    @for group in &groups {
                        (group.meanings())
                        @if !group.is_row() {
                            @for sheet in &group.sheets { (self.item_steps(sheet, &group.figures())) }
                        }
                    }
                }
            },
        ))
    }

    /// The sheets in the order of the pack.
    fn groups(&self) -> Vec<Group<'_>> {
        let mut groups: Vec<Group<'_>> = Vec::new();
        for sheet in &self.figures {
            let title = match sheet.about.kind {
                Kind::Feeder | Kind::Circuit => "Feeders and circuits".to_string(),
                kind => super::cover::capital(kind.plural()),
            };
            match groups.iter_mut().find(|group| group.title == title) {
                Some(group) => group.sheets.push(sheet),
                None => groups.push(Group { title, sheets: vec![sheet] }),
            }
        }
        groups
    }

    /// The values of a group, and the questions that they wait for.
    fn values(&self, group: &Group<'_>) -> Markup {
        let figures = group.figures();
        let mut asked = Asked::default();
        let parts = group.sheets.chunks(MOST_COLUMNS);
        let tables: Vec<Markup> = parts.map(|part| self.value_table(part, &figures, &mut asked)).collect();
        html! {
            h3 { (group.title) }
            @for table in &tables { (table) }
            (self.asked(&asked))
        }
    }

    /// A row for each figure, a column for each item.
    fn value_table(&self, sheets: &[&ItemSheet], figures: &[&ShownFigure], asked: &mut Asked) -> Markup {
        let of = |sheet: &ItemSheet, name: &str, asked: &mut Asked| -> Markup {
            let figure = sheet.figures.iter().find(|figure| figure.name == name);
            figure.map(|figure| self.value(figure, asked)).unwrap_or_default()
        };
        let rows: Vec<(&ShownFigure, Vec<Markup>)> = figures
            .iter()
            .filter(|figure| sheets.iter().any(|sheet| sheet.figures.iter().any(|f| f.name == figure.name)))
            .map(|figure| (*figure, sheets.iter().map(|sheet| of(sheet, &figure.name, asked)).collect()))
            .collect();
        let (first, rest): (Vec<_>, Vec<_>) = rows.iter().partition(|(figure, _)| rank(figure) < FIRST.len());
        html! {
            table.grid.fixed.values {
                colgroup { col style="width:1.45in"; }
                thead { tr {
                    th scope="col" { "figure" }
                    @for sheet in sheets { th scope="col" { b { (sheet.about.name) } " " (self.line(sheet.place)) } }
                } }
                @for (part, is_first) in [(first, true), (rest, false)] {
                    tbody {
                        @for (figure, cells) in part {
                            tr {
                                th scope="row" { @if is_first { (spoken(figure)) } @else { span.plain { (spoken(figure)) } } }
                                @for cell in cells { td { @if is_first { b { (cell) } } @else { (cell) } } }
                            }
                        }
                    }
                }
            }
        }
    }

    /// How the figures of one item come about.
    fn item_steps(&self, sheet: &ItemSheet, figures: &[&ShownFigure]) -> Markup {
        html! {
            h4 { (super::cover::capital(&sheet.about.called)) @if let Some(label) = &sheet.label { ", " (label) } small { (self.line(sheet.place)) } }
            @for name in figures {
                @if let Some(figure) = sheet.figures.iter().find(|figure| figure.name == name.name) {
                    p {
                        b { (spoken(figure)) } ": "
                        @match (&figure.why, figure.place) {
                            (Some(why), _) => (self.steps(sheet, why, figures)),
                            (None, Some(place)) => { (figure.text) " (" (self.line(place)) ")" },
                            (None, None) => (figure.text),
                        }
                        @for candidate in &figure.candidates {
                            "; " b { (candidate.text) } " if " (candidate.what) " is " (candidate.answer)
                        }
                        @if !figure.leans_on.is_empty() { "; " span.assumed { "leans on " (figure.leans_on.join("; ")) } }
                    }
                }
            }
        }
    }

    /// The value; what is known of it where the plan leaves it open; a blank where nothing is.
    fn value(&self, figure: &ShownFigure, asked: &mut Asked) -> Markup {
        let is_unknown = figure.text == "unknown";
        let letters = asked.letters(&figure.missing);
        html! {
            @if is_unknown { span.blank.short {} }
            @else if figure.leans_on.is_empty() { (figure.text) }
            @else { span.assumed { (figure.text) } }
            (letters)
        }
    }

    /// The steps right below a figure.
    fn steps(&self, sheet: &ItemSheet, why: &Why, figures: &[&ShownFigure]) -> Markup {
        // The item stands in the heading, and where a figure's section is stands with its meaning.
        let of_it = format!(" of {}", sheet.about.called);
        let is_figure = |text: &str| figures.iter().any(|figure| spoken(figure) == text);
        let mut steps: Vec<(String, &Why)> = Vec::new();
        gather(why, &mut |step| steps.push((step.text.replace(&of_it, ""), step)));
        // A formula has the values of the other figures in it, and those stand in the table.
        let is_formula =
            |text: &str| text.chars().any(|c| c.is_ascii_digit()) && OPERATORS.iter().any(|o| text.contains(o));
        if steps.first().is_some_and(|(text, _)| is_formula(text)) {
            steps.retain(|(text, _)| !is_figure(text));
        }
        html! {
            @if steps.is_empty() { (why.value) }
            @for (i, (text, step)) in steps.iter().take(MOST_STEPS).enumerate() {
                @if i > 0 { "; " }
                (text) @if !step.value.is_empty() && step.value != *text { " = " b { (step.value) } }
                @if let Some(source) = step.source.as_ref().filter(|_| !is_figure(text)) { " (" (source) ")" }
                @if let Some(place) = step.places.first().filter(|p| p.file == self.checked.file) { " (" (self.line(*place)) ")" }
            }
            @if steps.len() > MOST_STEPS { "; and " (steps.len().saturating_sub(MOST_STEPS)) " steps more" }
        }
    }

    /// A row for each item, a column for each figure that any of them has.
    fn row_figures(&self, group: &Group<'_>) -> Markup {
        let columns = group.figures();
        let mut asked = Asked::default();
        let cell = |sheet: &ItemSheet, name: &str, asked: &mut Asked| -> Markup {
            let figure = sheet.figures.iter().find(|figure| figure.name == name);
            figure.map(|figure| self.value(figure, asked)).unwrap_or_default()
        };
        let rows: Vec<(&ItemSheet, Vec<Markup>)> = group
            .sheets
            .iter()
            .map(|sheet| (*sheet, columns.iter().map(|column| cell(sheet, &column.name, &mut asked)).collect()))
            .collect();
        html! {
            h3 { (group.title) }
            table.grid.many {
                thead { tr {
                    th scope="col" { "item (line)" }
                    @for column in &columns { th scope="col" { span.upright { (spoken(column)) } } }
                } }
                tbody {
                    @for (sheet, cells) in &rows {
                        tr {
                            th scope="row" { (sheet.about.name) " (" (self.line_number(sheet.place)) ")" }
                            @for cell in cells { td.number { (cell) } }
                        }
                    }
                }
            }
            (self.asked(&asked))
        }
    }
}

/// The steps below a figure; picks give way to what they pick from.
fn gather<'w>(why: &'w Why, take: &mut impl FnMut(&'w Why)) {
    for step in &why.from {
        match is_pick(step) {
            true => gather(step, take),
            false => take(step),
        }
    }
}

//! The calculation sheet: every figure, how it comes about, and where the code says so.

use super::asked::Asked;
use super::{Packet, Sheet};
use crate::law::verdict::Why;
use crate::report::figures::{ItemSheet, ShownFigure};
use crate::words::Kind;
use maud::{Markup, html};

/// Steps of a figure that are shown.
const MOST_STEPS: usize = 7;

impl Packet<'_> {
    /// Feeders, circuits, panels and machines with every step; runs and boxes a row each.
    pub(super) fn figures(&self) -> Result<Markup, &'static str> {
        if self.figures.is_empty() {
            return Err("No figure of these rules is about anything in this plan.");
        }
        let is_row = |sheet: &&ItemSheet| matches!(sheet.about.kind, Kind::Run | Kind::Box);
        Ok(self.sheet(
            Sheet::Figures,
            html! {
                p.lead {
                    "Every figure of these rules for this plan, with its steps and where the code says so. A range is what the plan leaves "
                    "open: the questions behind it stand below the item, by letter."
                }
                @for sheet in self.figures.iter().filter(|s| !is_row(s)) { (self.reckoning(sheet)) }
                @for (kind, title) in [(Kind::Run, "Runs"), (Kind::Box, "Boxes")] {
                    (self.row_figures(title, &self.figures.iter().filter(|s| s.about.kind == kind).collect::<Vec<_>>()))
                }
            },
        ))
    }

    fn reckoning(&self, sheet: &ItemSheet) -> Markup {
        let mut asked = Asked::default();
        let rows: Vec<Markup> = sheet.figures.iter().map(|figure| self.figure(figure, &mut asked)).collect();
        html! {
            h3 { (super::cover::capital(&sheet.about.called)) @if let Some(label) = &sheet.label { ", " (label) } small { (self.line(sheet.place)) } }
            table.grid.fixed {
                colgroup { col style="width:1.35in"; col style="width:1.1in"; col; }
                thead { tr { th scope="col" { "figure" } th scope="col" { "value" } th scope="col" { "what it is, and how it comes about" } } }
                tbody { @for row in &rows { (row) } }
            }
            (self.asked(&asked))
        }
    }

    fn figure(&self, figure: &ShownFigure, asked: &mut Asked) -> Markup {
        let source = figure.why.as_ref().and_then(|why| why.source.as_deref());
        html! {
            tr {
                th scope="row" { (figure.name.replace('-', " ")) }
                td { (self.value(figure, asked)) }
                td {
                    (figure.doc)
                    @if let Some(source) = source { " (" (source) ")" }
                    @if let Some(place) = figure.place { " (" (self.line(place)) ")" }
                    @if let Some(why) = &figure.why { (self.steps(why)) }
                    @if let Some(note) = &figure.note { div.steps { "Method: " (note) } }
                    @for candidate in &figure.candidates {
                        div.steps { b { (candidate.text) } " if " (candidate.what) " is " (candidate.answer) }
                    }
                    @if !figure.leans_on.is_empty() { div.steps.assumed { "leans on " (figure.leans_on.join("; ")) } }
                }
            }
        }
    }

    /// The value; what is known of it where the plan leaves it open; a blank where nothing is.
    fn value(&self, figure: &ShownFigure, asked: &mut Asked) -> Markup {
        let is_unknown = figure.text == "unknown";
        let letters: Vec<String> = figure.missing.iter().map(|missing| asked.letter(missing)).collect();
        html! {
            @if is_unknown { span.blank.short {} }
            @else if figure.leans_on.is_empty() { (figure.text) }
            @else { span.assumed { (figure.text) } }
            @if !letters.is_empty() { " " sup { (letters.join(" ")) } }
        }
    }

    /// The steps right below a figure. What only says that the least or the sum of some counts gives way to those.
    fn steps(&self, why: &Why) -> Markup {
        let mut steps: Vec<&Why> = Vec::new();
        for step in &why.from {
            let is_pick = ["the least", "the largest", "the sum"].iter().any(|how| step.text.starts_with(how));
            match is_pick && !step.from.is_empty() {
                true => steps.extend(&step.from),
                false => steps.push(step),
            }
        }
        html! {
            div.steps {
                @for (i, step) in steps.iter().take(MOST_STEPS).enumerate() {
                    @if i > 0 { "; " }
                    (step.text) @if !step.value.is_empty() { " = " b { (step.value) } }
                    @if let Some(source) = &step.source { " (" (source) ")" }
                    @if let Some(place) = step.places.first().filter(|p| p.file == self.checked.file) { " (" (self.line(*place)) ")" }
                }
                @if steps.len() > MOST_STEPS { "; and " (steps.len().saturating_sub(MOST_STEPS)) " steps more" }
            }
        }
    }

    /// A row for each item, a column for each figure that any of them has.
    fn row_figures(&self, title: &str, sheets: &[&ItemSheet]) -> Markup {
        let mut columns: Vec<&ShownFigure> = Vec::new();
        for figure in sheets.iter().flat_map(|sheet| &sheet.figures) {
            if !columns.iter().any(|known| known.name == figure.name) {
                columns.push(figure);
            }
        }
        let mut asked = Asked::default();
        let cell = |sheet: &ItemSheet, name: &str, asked: &mut Asked| -> Markup {
            let figure = sheet.figures.iter().find(|figure| figure.name == name);
            figure.map(|figure| self.value(figure, asked)).unwrap_or_default()
        };
        let rows: Vec<(&ItemSheet, Vec<Markup>)> = sheets
            .iter()
            .map(|sheet| (*sheet, columns.iter().map(|column| cell(sheet, &column.name, &mut asked)).collect()))
            .collect();
        html! {
            @if !sheets.is_empty() {
                h3 { (title) }
                table.grid.fixed.many {
                    colgroup { col style="width:1.25in"; }
                    thead { tr {
                        th scope="col" { "item (line)" }
                        @for column in &columns { th.number scope="col" { (column.name.replace('-', " ")) } }
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
                div.steps {
                    @for column in &columns {
                        @let source = column.why.as_ref().and_then(|why| why.source.as_deref());
                        div { b { (column.name.replace('-', " ")) } ": " (column.doc) @if let Some(source) = source { " (" (source) ")" } }
                    }
                }
                (self.asked(&asked))
            }
        }
    }
}

//! The panels: a schedule for the office, and the card for the door.

use super::asked::Asked;
use super::{Packet, Sheet};
use crate::report::directory::{Directory, Row, Stands, directories};
use crate::shop::{ItemRef, Value};
use crate::words::{Kind, name};
use maud::{Markup, html};

impl Packet<'_> {
    /// A schedule and a door card for each panel.
    pub(super) fn directory(&self) -> Result<Markup, &'static str> {
        let all = directories(self.rules, self.checked);
        if all.is_empty() {
            return Err("The plan draws no panel.");
        }
        Ok(self.sheet(Sheet::Directory, html! { @for panel in &all { (self.panel(panel)) } }))
    }

    fn panel(&self, panel: &Directory) -> Markup {
        let mut asked = Asked::default();
        let item = self.checked.shop.named(&panel.about.name).filter(|item| item.kind == Kind::Panel);
        let facts = item.map(|item| self.panel_facts(item, &mut asked)).unwrap_or_default();
        let rows: Vec<Markup> = panel.rows.iter().map(|row| self.schedule_row(row, &mut asked)).collect();
        let open = asked.blank(&panel.asks, "wide");
        html! {
            h3 { "Schedule of " (panel.about.called) @if let Some(label) = &panel.label { ", " (label) } small { (self.line(panel.place)) } }
            p.small { (facts) }
            table.grid.fixed.dense {
                colgroup {
                    col style="width:.45in"; col style="width:.42in"; col style="width:.68in"; col style="width:.72in"; col style="width:.72in";
                    col; col style="width:.92in"; col style="width:.72in";
                }
                thead { tr {
                    th scope="col" { "space" } th.number scope="col" { "poles" } th.number scope="col" { "amperes" }
                    th scope="col" { "GFCI, AFCI" } th scope="col" { "circuit" } th scope="col" { "turns off" }
                    th scope="col" { "wire" } th.number scope="col" { "load" }
                } }
                tbody { @for row in &rows { (row) } }
            }
            @if !panel.asks.is_empty() { p.small { "Besides: " (open) } }
            (self.asked(&asked))
            (self.door_card(panel))
        }
    }

    /// Rating, room and load of a panel.
    fn panel_facts(&self, item: ItemRef, asked: &mut Asked) -> Markup {
        let figures = self.figures.iter().find(|sheet| sheet.about == self.teller.about(item));
        html! {
            "Bus " (self.fact(item, name::BUS_AMPS, asked))
            "; spaces " (self.fact(item, name::SPACES, asked))
            "; interrupting rating " (self.fact(item, name::INTERRUPTING_RATING, asked))
            @for figure in figures.iter().flat_map(|sheet| &sheet.figures) {
                "; " (figure.name.replace('-', " ")) " "
                @match figure.value { Some(_) => (figure.text), None => span.blank.short {} }
            }
            "."
        }
    }

    fn schedule_row(&self, row: &Row, asked: &mut Asked) -> Markup {
        let line = row.line.as_ref().and_then(|about| self.checked.shop.named(&about.name));
        let is_spare = row.is == Stands::Spare;
        let amps = match (&row.amps, is_spare) {
            (Some(amps), _) => html! { (amps) },
            (None, true) => html! {},
            (None, false) => html! { span.blank.short {} },
        };
        html! {
            tr {
                td { (spaces(row)) }
                td.number { @match row.poles { Some(poles) => (poles), None => span.blank.short {} } }
                td.number { (amps) }
                td { @if let Some(line) = line { (self.protection(line)) } }
                td {
                    (row.note)
                    (asked.letters(&row.asks))
                }
                td { @match &row.description { Some(text) => (text), None => span.blank.wide {} } }
                td { @if let Some(line) = line { (self.wire(line, asked)) } }
                td.number { @if let Some(line) = line { (self.load(line)) } }
            }
        }
    }

    /// Whether the breaker guards people or against arcs; a blank where nobody said.
    fn protection(&self, line: ItemRef) -> Markup {
        let Value::Item(breaker) = self.checked.shop.value(line, name::BREAKER) else {
            return html! { span.blank.short {} };
        };
        let of = |word| self.checked.shop.value(breaker, word);
        html! {
            @match of(name::HAS_GFCI) {
                Value::YesNo(true) => "GFCI",
                Value::YesNo(false) => "no GFCI",
                _ => { "GFCI " span.tick {} },
            }
            @if of(name::HAS_AFCI) == Value::YesNo(true) { ", AFCI" }
        }
    }

    fn wire(&self, line: ItemRef, asked: &mut Asked) -> Markup {
        let Value::Item(wire) = self.checked.shop.value(line, name::WIRE) else { return html! { span.blank.short {} } };
        html! { (self.fact(wire, name::SIZE, asked)) " " (self.fact(wire, name::METAL, asked)) }
    }

    /// The load as the calculation sheet has it.
    fn load(&self, line: ItemRef) -> Markup {
        let about = self.teller.about(line);
        let sheet = self.figures.iter().find(|sheet| sheet.about == about);
        let figure = sheet.and_then(|sheet| sheet.figures.iter().find(|figure| figure.name == "load"));
        match figure {
            Some(figure) if figure.value.is_some() => html! { (figure.text) },
            // What is missing for it stands on the calculation sheet.
            _ => html! { span.blank.short {} },
        }
    }

    /// The list that is cut out and stuck on the door: nothing on it but what a person in a hurry looks for.
    fn door_card(&self, panel: &Directory) -> Markup {
        html! {
            h3 { "Card for the door" small { "cut along the dashes; whatever changes in the panel changes this card" } }
            div.door {
                h4 { (self.job()) ": " (panel.about.called) }
                table.grid.fixed {
                    colgroup { col style="width:.75in"; col style="width:1.1in"; col; }
                    thead { tr {
                        th scope="col" { "space" } th.number scope="col" { "amperes" } th scope="col" { "turns off" }
                    } }
                    tbody {
                        @for row in &panel.rows {
                            tr {
                                td { (spaces(row)) }
                                td.number {
                                    @match (&row.amps, row.is) { (Some(amps), _) => (amps), (None, Stands::Spare) => "", (None, _) => span.blank.short {} }
                                }
                                td { @match &row.description { Some(text) => (text), None => span.blank.wide {} } }
                            }
                        }
                    }
                }
                @if let Some(caution) = panel.caution() { p.careful { (caution) } }
                p.small { "Checked against the panel on " span.blank {} " by " span.blank.wide {} }
            }
        }
    }
}

fn spaces(row: &Row) -> Markup {
    let spaces: Vec<String> = row.spaces.iter().map(i64::to_string).collect();
    html! {
        @match (spaces.is_empty(), row.is) {
            (true, Stands::BuiltIn) => "main",
            (true, _) => span.blank.short {},
            (false, _) => (spaces.join(", ")),
        }
    }
}

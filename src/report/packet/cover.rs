//! The cover: the job, what is built, what the check found, room for signatures.

use super::asked::Asked;
use super::frame::fill;
use super::{Packet, Sheet};
use crate::law::code::Stage;
use crate::report::Counts;
use crate::report::text::{LIMITS, counted, layers, listed, moment, sentence};
use crate::shop::{ItemRef, Shop, Value};
use crate::words::{Kind, NameId, name};
use maud::{Markup, html};
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// How many findings and questions the cover names.
const FIRST_SHOWN: usize = 4;
/// How many items of a kind the cover describes.
const ITEMS_SHOWN: usize = 4;
/// How many cautions the cover repeats.
const CAUTIONS_SHOWN: usize = 6;

impl Packet<'_> {
    /// The cover; `printed` are the sheets behind it, `left_out` those that have nothing on them.
    pub(super) fn cover(&self, printed: &[Sheet], left_out: &[(Sheet, &str)]) -> Markup {
        let mut asked = Asked::default();
        let installation = self.installation(&mut asked);
        self.sheet(
            Sheet::Cover,
            html! {
                (self.blanks())
                h3 { "The installation" }
                (installation)
                (self.asked(&asked))
                div.columns {
                    div {
                        h3 { "What the check found" small { "sheet " (Sheet::Checks.number()) } }
                        (self.counts())
                    }
                    div {
                        h3 { "First to settle" }
                        (self.first())
                    }
                }
                (self.unread())
                (self.layers())
                h3 { "Take care" }
                (self.cautions())
                h3 { "Sign-off by stage" small { "the checks of each visit are on sheet " (Sheet::Checks.number()) } }
                (self.sign_off())
                h3 { "Sheets" }
                ol.index {
                    @for sheet in std::iter::once(&Sheet::Cover).chain(printed) {
                        li { b { (sheet.number()) } a href={ "#" (self.anchor(*sheet)) } { (sheet.title()) } }
                    }
                }
                @for (sheet, why) in left_out {
                    p.small { b { (sheet.number()) } " " (sheet.title()) ": left out. " (why) }
                }
                h3 { "This packet" }
                p.small {
                    "Made by ringout " (env!("CARGO_PKG_VERSION")) " from " (self.report.plan) ", "
                    (counted(self.report.line_count as usize, "line")) ". SHA-256 of the plan's text: "
                    span.code { (self.digest()) } ". A plan with another sum is another plan."
                }
                p.small { (LIMITS) }
            },
        )
    }

    /// What no plan holds, to be written by hand; what this one holds of it.
    fn blanks(&self) -> Markup {
        let date = self.options.date.as_ref().map(|date| html! { (date) });
        let permit = self.permit();
        let edition = self.report.edition.map(|year| html! { "NEC " (year) });
        let titles: Vec<&str> = self.report.layers.iter().map(|layer| layer.title.as_str()).collect();
        let layers = (!titles.is_empty()).then(|| html! { (listed(&titles, 3)) });
        let title = self.report.title.as_ref().map(|title| html! { b { (title) } });
        html! {
            div.fills {
                (fill("Job", title, true))
                (fill("Date of this packet", date, false))
                (fill("Job address", None, true))
                (fill("Parcel number", None, false))
                (fill("Owner", None, false))
                (fill("Telephone", None, false))
                (fill("Permit number", permit, false))
                (fill("Edition of the code in force", edition, false))
                (fill("Local amendments (ask the office for all that are in force)", layers, true))
                (fill("Drawn by", None, false))
                (fill("Electrician and license number, for parts kept for one", None, true))
            }
        }
    }

    /// What the plan says of the permit, in its own words.
    fn permit(&self) -> Option<Markup> {
        let shop = &self.checked.shop;
        let date = self.report.permit_date.as_ref()?;
        let place = shop.source(Shop::PERMIT, name::DATE).place;
        Some(html! { span.blank {} " dated " (date) " (" (self.line(place)) ")" })
    }

    /// Supplies, feeders, panels and electrodes, each in a row of facts.
    fn installation(&self, asked: &mut Asked) -> Markup {
        let shop = &self.checked.shop;
        let supply: &[(&str, NameId)] =
            &[("service", name::AMPS), ("system", name::SYSTEM), ("fault current", name::FAULT_CURRENT)];
        let panel: &[(&str, NameId)] = &[
            ("bus", name::BUS_AMPS),
            ("spaces", name::SPACES),
            ("interrupting rating", name::INTERRUPTING_RATING),
            ("neutral joined to the cabinet", name::IS_NEUTRAL_BONDED),
        ];
        let electrode: &[(&str, NameId)] = &[("kind", name::TYPE), ("count", name::COUNT), ("apart", name::SPACING)];
        let mut rows = Vec::new();
        for item in shop.items(Kind::Supply).take(ITEMS_SHOWN) {
            rows.push(self.row("Supply", item, self.facts(item, supply, asked)));
        }
        for item in shop.items(Kind::Feeder).take(ITEMS_SHOWN) {
            let facts = self.feeder(item, asked);
            rows.push(self.row("Feeder", item, facts));
        }
        for item in shop.items(Kind::Panel).take(ITEMS_SHOWN) {
            let main = self.part(item, name::MAIN, "main", asked);
            rows.push(self.row("Panel", item, html! { (main) "; " (self.facts(item, panel, asked)) }));
        }
        let is_named = |item: &ItemRef| shop.named(&shop.head(*item).name) == Some(*item);
        for item in shop.items(Kind::Electrode).filter(is_named).take(ITEMS_SHOWN) {
            rows.push(self.row("Electrode", item, self.facts(item, electrode, asked)));
        }
        let circuits: Vec<ItemRef> = shop.items(Kind::Circuit).collect();
        html! {
            table.grid.fixed {
                colgroup { col style="width:1.05in"; col; col style="width:.7in"; }
                tbody {
                    @for row in &rows { (row) }
                    @if !circuits.is_empty() {
                        tr {
                            th scope="row" { "Circuits" }
                            td {
                                @for (i, circuit) in circuits.iter().enumerate() {
                                    @if i > 0 { "; " }
                                    b { (shop.head(*circuit).name) }
                                    @if let Some(label) = &shop.head(*circuit).label { " " (label) }
                                    " " (self.part(*circuit, name::BREAKER, "", asked))
                                }
                            }
                            td.number { "sheet " (Sheet::Directory.number()) }
                        }
                    }
                    @if rows.is_empty() && circuits.is_empty() { tr { td { "The plan names no supply, feeder, panel or circuit." } } }
                }
            }
        }
    }

    fn row(&self, kind: &str, item: ItemRef, facts: Markup) -> Markup {
        let head = self.checked.shop.head(item);
        html! {
            tr {
                th scope="row" { (kind) " " (head.name) }
                td { @if let Some(label) = &head.label { (label) "; " } (facts) }
                td.number { (self.line(self.teller.place(head.place, item))) }
            }
        }
    }

    fn facts(&self, item: ItemRef, words: &[(&str, NameId)], asked: &mut Asked) -> Markup {
        html! {
            @for (i, (label, word)) in words.iter().enumerate() {
                @if i > 0 { ", " }
                (label) " " (self.fact(item, *word, asked))
            }
        }
    }

    /// Rating and poles of a breaker.
    fn part(&self, item: ItemRef, word: NameId, label: &str, asked: &mut Asked) -> Markup {
        match self.checked.shop.value(item, word) {
            Value::Item(breaker) => html! {
                (label) @if !label.is_empty() { " " }
                (self.fact(breaker, name::AMPS, asked)) ", " (self.fact(breaker, name::POLES, asked)) "-pole"
            },
            Value::Absent => html! { "no " (label) },
            _ => html! { (label) " " (asked.blank(&[self.teller.ask(item, word)], "short")) },
        }
    }

    fn feeder(&self, item: ItemRef, asked: &mut Asked) -> Markup {
        let breaker = self.part(item, name::BREAKER, "breaker", asked);
        let length = self.fact(item, name::LENGTH, asked);
        let name = &self.checked.shop.head(item).name;
        let conductors = self.wires.runs.iter().filter(|run| run.run == *name).flat_map(|run| &run.conductors);
        // Colors don't matter here.
        let mut wires: Vec<(String, usize)> = Vec::new();
        for wire in conductors {
            let size = wire.size.as_deref().unwrap_or("size not said");
            let text = format!("{size} {} {}", wire.kind, super::pull::role(wire.role));
            match wires.iter_mut().find(|(known, _)| *known == text) {
                Some((_, count)) => *count = count.saturating_add(wire.count),
                None => wires.push((text, wire.count)),
            }
        }
        html! {
            (breaker) "; "
            @for (text, count) in &wires { (count) " x " (text) ", " }
            @if wires.is_empty() { "wire " span.blank {} ", " }
            "length " (length)
        }
    }

    fn counts(&self) -> Markup {
        let total = self.report.total();
        html! {
            table.grid {
                thead { tr {
                    th scope="col" { "stage" }
                    th.number scope="col" { "attention" }
                    th.number scope="col" { "unknown" }
                    th.number scope="col" { "pass" }
                } }
                tbody {
                    @for (stage, c) in self.report.counts.iter().filter(|(_, c)| *c != Counts::default()) {
                        tr {
                            th scope="row" { (capital(stage.name())) }
                            td.number { (c.attention) } td.number { (c.unknown) } td.number { (c.pass) }
                        }
                    }
                    tr {
                        th scope="row" { "All" }
                        td.number { b { (total.attention) } } td.number { b { (total.unknown) } } td.number { b { (total.pass) } }
                    }
                }
            }
            @if total.advice > 0 { p.small { "and " (counted(total.advice, "piece")) " of advice that the code does not ask for" } }
            @if !self.options.stages.is_empty() {
                p.small { "Only these stages were checked: " (self.options.stages.iter().map(|s| s.name()).collect::<Vec<_>>().join(", ")) "." }
            }
        }
    }

    /// What needs attention, and the questions that settle most.
    fn first(&self) -> Markup {
        let attention = self.attention.iter().enumerate().filter_map(|(i, group)| Some((i, group.first()?)));
        let more = self.attention.len().saturating_sub(FIRST_SHOWN);
        html! {
            ul.points {
                @for (i, finding) in attention.take(FIRST_SHOWN) {
                    li {
                        (self.mark(&format!("A{}", i.saturating_add(1))))
                        span { (sentence(&finding.message)) " (" (self.line(finding.place)) ")" }
                    }
                }
                @for question in self.report.questions.iter().take(FIRST_SHOWN) {
                    li {
                        (self.question(question))
                        span {
                            (question.ask)
                            @if let Some(place) = question.places.first() { " (" (self.line(*place)) ")" }
                        }
                    }
                }
            }
            @if more > 0 { p.small { "and " (more) " more on sheet " (Sheet::Checks.number()) } }
            @if self.attention.is_empty() { p.small { "Nothing that was checked asks for attention." } }
            @if self.report.questions.is_empty() { p.small { "No question is open." } }
        }
    }

    /// Lines that could not be read: they may change everything else.
    fn unread(&self) -> Markup {
        let unread: Vec<_> = self.report.unread().collect();
        html! {
            @if !unread.is_empty() {
                h3 { "Not read" small { "what these lines might say counts as unknown everywhere in this packet" } }
                ul.points {
                    @for problem in &unread {
                        li {
                            span.mark { "!" }
                            span {
                                (sentence(&problem.message)) " (" (self.line(problem.span)) ")"
                                @if let Some(help) = &problem.help { br; span.soft { (sentence(help)) } }
                            }
                        }
                    }
                }
            }
        }
    }

    /// Whose amendments the rules were read with, and what each of their edits came to.
    fn layers(&self) -> Markup {
        html! {
            @if !self.report.layers.is_empty() {
                h3 { "Local amendments" small { "over the rules that this plan was held against" } }
                @for layer in &self.report.layers { p.small { (layers::named(layer)) } }
                @for (heading, edits) in layers::sections(self.report) {
                    p.small { b { (heading) ":" } }
                    ul.points { @for edit in edits { li { span {} span { (layers::told(self.report, edit)) } } } }
                }
            }
        }
    }

    fn cautions(&self) -> Markup {
        let all = self.report.cautions();
        let has_feeder = self.checked.shop.count(Kind::Feeder) > 0;
        html! {
            div.cautions {
            @if has_feeder {
                p.careful {
                    "The house end of a feeder stays live until its own breaker there is off and locked. Whoever opens the shop's "
                    "panel tests first: the tester on a live part, then here, then on the live part again."
                }
            }
            p.careful { "Call the utility locating service before you dig (811 in the US), and again if the marks are gone." }
            @for caution in all.iter().take(CAUTIONS_SHOWN) { p.careful { (sentence(caution)) } }
            }
            @if all.len() > CAUTIONS_SHOWN { p.small { "Further cautions stand with the checks, on sheet " (Sheet::Checks.number()) "." } }
        }
    }

    fn sign_off(&self) -> Markup {
        html! {
            table.grid.ruled.fixed {
                colgroup { col style="width:.8in"; col style="width:1.7in"; col style="width:1.15in"; col; col style="width:.9in"; }
                thead { tr {
                    th scope="col" { "stage" } th scope="col" { "looked at" } th scope="col" { "owner: ready on" }
                    th scope="col" { "inspector: name, result" } th scope="col" { "date" }
                } }
                tbody {
                    @for stage in Stage::ALL {
                        tr.room {
                            th scope="row" { (capital(stage.name())) } td { (moment(stage)) } td {} td {} td {}
                        }
                    }
                }
            }
        }
    }

    /// Where a sheet begins: its number, or that of its first part.
    fn anchor(&self, sheet: Sheet) -> String {
        match sheet {
            Sheet::Checks => self.check_stages().first().map_or(sheet.number(), |stage| Self::card(*stage)),
            other => other.number(),
        }
    }

    fn digest(&self) -> String {
        let text = self.checked.sources.get(self.checked.file).map_or("", |source| source.text.as_ref());
        let mut digest = String::new();
        for byte in Sha256::digest(text.as_bytes()) {
            // Writing to a string can't fail.
            let _ = write!(digest, "{byte:02x}");
        }
        digest
    }
}

/// With a capital first.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

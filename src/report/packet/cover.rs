//! The cover: the job, what is built, what the check found, room for signatures.

use super::asked::Asked;
use super::frame::fill;
use super::{Packet, Sheet};
use crate::law::code::Stage;
use crate::report::Counts;
use crate::report::text::{counted, layers, listed, moment, sentence};
use crate::shop::{ItemRef, Shop, Value};
use crate::words::{Kind, NameId, name};
use maud::{Markup, html};
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// How many findings and questions the cover names.
const FIRST_SHOWN: usize = 3;
/// How many items of a kind the cover describes.
const ITEMS_SHOWN: usize = 4;

impl Packet<'_> {
    /// The cover; `printed` are the sheets behind it, `left_out` those that have nothing on them.
    pub(super) fn cover(&self, printed: &[Sheet], left_out: &[(Sheet, &str)]) -> Markup {
        let mut asked = Asked::default();
        let installation = self.installation(&mut asked);
        self.sheet(
            Sheet::Cover,
            html! {
                div.cover {
                    (self.blanks())
                    h3 { "The installation" }
                    (installation)
                    (self.asked(&asked))
                    h3 { "First to settle" }
                    (self.first())
                    (self.unread())
                    (self.layers())
                    h3 { "What the check found, and sign-off" small { "the checks of each visit are on sheet " (Sheet::Checks.number()) } }
                    (self.sign_off())
                    (self.cautions())
                    ol.index {
                        @for sheet in std::iter::once(&Sheet::Cover).chain(printed) {
                            li { b { (sheet.number()) } a href={ "#" (self.anchor(*sheet)) } { (sheet.title()) } }
                        }
                    }
                    @for (sheet, why) in left_out {
                        p.small { b { (sheet.number()) } " " (sheet.title()) ": left out. " (why) }
                    }
                    p.small {
                        "Made by ringout " (env!("CARGO_PKG_VERSION")) " from " (self.report.plan) ", "
                        (counted(self.report.line_count as usize, "line")) ". SHA-256 of the plan's text: "
                        span.code { (self.digest()) } ". A plan with another sum is another plan."
                    }
                }
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
                (fill("Job", title, 2))
                (fill("Date of this packet", date, 1))
                (fill("Permit number", permit, 1))
                (fill("Job address", None, 2))
                (fill("Parcel number", None, 1))
                (fill("Telephone", None, 1))
                (fill("Owner", None, 1))
                (fill("Drawn by", None, 1))
                (fill("Electrician and license number, for parts kept for one", None, 2))
                (fill("Edition of the code in force", edition, 1))
                (fill("Local amendments (ask the office for all that are in force)", layers, 3))
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
        let mut rows = Vec::new();
        for item in shop.items(Kind::Supply).take(ITEMS_SHOWN) {
            let facts = html! {
                (self.fact(item, name::AMPS, asked)) " service, " (self.fact(item, name::SYSTEM, asked)) " V; fault current "
                (self.fact(item, name::FAULT_CURRENT, asked))
            };
            rows.push(self.row("Supply", item, facts));
        }
        for item in shop.items(Kind::Feeder).take(ITEMS_SHOWN) {
            let facts = self.feeder(item, asked);
            rows.push(self.row("Feeder", item, facts));
        }
        for item in shop.items(Kind::Panel).take(ITEMS_SHOWN) {
            let facts = self.panel_row(item, asked);
            rows.push(self.row("Panel", item, facts));
        }
        let is_named = |item: &ItemRef| shop.named(&shop.head(*item).name) == Some(*item);
        for item in shop.items(Kind::Electrode).filter(is_named).take(ITEMS_SHOWN) {
            let facts = self.electrode(item, asked);
            rows.push(self.row("Electrode", item, facts));
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

    fn panel_row(&self, item: ItemRef, asked: &mut Asked) -> Markup {
        let neutral = self.checked.shop.value(item, name::IS_NEUTRAL_BONDED);
        html! {
            (self.part(item, name::MAIN, "main", asked)) "; bus " (self.fact(item, name::BUS_AMPS, asked))
            ", " (self.fact(item, name::SPACES, asked)) " spaces, interrupting rating " (self.fact(item, name::INTERRUPTING_RATING, asked))
            "; neutral "
            @match neutral {
                Value::YesNo(true) => "bonded to the cabinet",
                Value::YesNo(false) => "apart from the cabinet",
                _ => { "bonded to the cabinet or apart: " (self.fact(item, name::IS_NEUTRAL_BONDED, asked)) }
            }
        }
    }

    /// `rod, 2 of them, 6 ft apart`.
    fn electrode(&self, item: ItemRef, asked: &mut Asked) -> Markup {
        let count = self.teller.whole(item, name::COUNT);
        html! {
            (self.fact(item, name::TYPE, asked))
            @match count {
                Some(1) => {},
                Some(count) => { ", " (count) " of them, " (self.fact(item, name::SPACING, asked)) " apart" },
                None => { ", how many " (self.fact(item, name::COUNT, asked)) }
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

    /// What needs attention, and the questions that settle most, beside each other.
    fn first(&self) -> Markup {
        let attention = self.attention.iter().enumerate().filter_map(|(i, group)| Some((i, group.first()?)));
        let more = [self.attention.len(), self.report.questions.len()].map(|all| all.saturating_sub(FIRST_SHOWN));
        html! {
            div.columns {
                div {
                    ul.points {
                        @for (i, finding) in attention.take(FIRST_SHOWN) {
                            li {
                                (self.mark(&format!("A{}", i.saturating_add(1))))
                                span { (sentence(&finding.message)) " (" (self.line(finding.place)) ")" }
                            }
                        }
                    }
                    @if self.attention.is_empty() { p.small { "Nothing that was checked asks for attention." } }
                    @if more[0] > 0 { p.small { "and " (more[0]) " more on sheet " (Sheet::Checks.number()) } }
                }
                div {
                    ul.points {
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
                    @if self.report.questions.is_empty() { p.small { "No question is open." } }
                    @if more[1] > 0 { p.small { "and " (more[1]) " more on sheet " (Sheet::Questions.number()) } }
                }
            }
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

    /// What holds for the whole job; what belongs to one check stands with it.
    fn cautions(&self) -> Markup {
        let has_feeder = self.checked.shop.count(Kind::Feeder) > 0;
        html! {
            div.cautions {
                @if has_feeder {
                    p.careful {
                        "The house end of a feeder stays live until its own breaker there is off and locked. Whoever opens the shop's "
                        "panel tests first: the tester on a live part, then here, then on the live part again."
                    }
                }
                p.careful {
                    "Call the utility locating service before you dig (811 in the US), and again if the marks are gone. Further cautions "
                    "stand with the checks, on sheet " (Sheet::Checks.number()) "."
                }
            }
        }
    }

    /// Counts and signatures, a row for each stage.
    fn sign_off(&self) -> Markup {
        let total = self.report.total();
        let of =
            |stage: Stage| self.report.counts.iter().find(|(s, _)| *s == stage).map_or(Counts::default(), |(_, c)| *c);
        html! {
            table.grid.ruled.fixed {
                colgroup {
                    col style="width:.7in"; col style="width:1.65in"; col style="width:.62in"; col style="width:.62in"; col style="width:.5in";
                    col style="width:.85in"; col; col style="width:.75in";
                }
                thead { tr {
                    th scope="col" { "stage" } th scope="col" { "looked at" }
                    th.number scope="col" { "attention" } th.number scope="col" { "unknown" } th.number scope="col" { "pass" }
                    th scope="col" { "owner, ready" } th scope="col" { (self.report.authority) ", result" } th scope="col" { "date" }
                } }
                tbody {
                    @for stage in Stage::ALL {
                        @let counts = of(stage);
                        tr.sign {
                            th scope="row" { (capital(stage.name())) } td { (moment(stage)) }
                            td.number { (counts.attention) } td.number { (counts.unknown) } td.number { (counts.pass) }
                            td {} td {} td {}
                        }
                    }
                    tr {
                        th scope="row" { "All" } td {}
                        td.number { b { (total.attention) } } td.number { b { (total.unknown) } } td.number { b { (total.pass) } }
                        td {} td {} td {}
                    }
                }
            }
            @if total.advice > 0 { p.small { "and " (counted(total.advice, "piece")) " of advice that the code does not ask for" } }
            @if !self.options.stages.is_empty() {
                p.small { "Only these stages were checked: " (self.options.stages.iter().map(|s| s.name()).collect::<Vec<_>>().join(", ")) "." }
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

//! The test record: what to test, how, what should come out, and room for what did.
//!
//! The program fills in no reading. What the plan says was tested is shown with its line; the limit, where
//! there is one, is that of a rule in force, named with its section.

use super::{Packet, Sheet};
use crate::law::code::Rule;
use crate::quantity::day_text;
use crate::report::citation::citations;
use crate::report::text::sentence;
use crate::report::wires::SwitchSheet;
use crate::shop::{ItemRef, Value};
use crate::words::{Kind, choice, name};
use maud::{Markup, html};
use std::collections::HashMap;

/// A test: its mark, what it is, how it is made, what should come out, and for which facts rules ask.
struct Test {
    mark: &'static str,
    title: &'static str,
    how: &'static str,
    wanted: &'static str,
    /// Kind and word of the facts that it settles; rules that ask for them set the limit.
    asked: &'static [(Kind, &'static str)],
}

/// The order is that of the work: dead first, live last. No figure of a code stands here.
const TESTS: [Test; 9] = [
    Test {
        mark: "T1",
        title: "Way home for a fault",
        how: "Dead. Ohmmeter between the equipment ground bar of the panel and the grounding contact, metal box or metal case.",
        wanted: "About the same low reading everywhere, once the reading of the leads alone is taken off.",
        asked: &[],
    },
    Test {
        mark: "T2",
        title: "Neutral apart from the cabinet",
        how: "Dead, the feeder's neutral lifted in the shop panel. Ohmmeter from the neutral bar to the cabinet.",
        wanted: "Open, where a feeder brings an equipment grounding conductor.",
        asked: &[(Kind::Panel, "is-neutral-bonded")],
    },
    Test {
        mark: "T3",
        title: "Insulation",
        how: "Dead; lamps, electronics, GFCI and surge devices unplugged or off the circuit. Insulation tester at the voltage that \
              its maker names for this circuit, from each hot and neutral to the equipment ground.",
        wanted: "What the tester's maker names for new wire; a low reading is looked into before anything is switched on.",
        asked: &[],
    },
    Test {
        mark: "T4",
        title: "Torque of terminals",
        how: "Dead. A torque tool, or the means that the maker names, set to the figure printed at the terminal.",
        wanted: "The figure printed on the part.",
        asked: &[(Kind::Panel, "torque-means"), (Kind::Circuit, "terminal-torque"), (Kind::Feeder, "terminal-torque")],
    },
    Test {
        mark: "T5",
        title: "Voltage",
        how: "Live. From hot to neutral, hot to equipment ground, and hot to hot.",
        wanted: "The voltage of the circuit, as written in each row.",
        asked: &[],
    },
    Test {
        mark: "T6",
        title: "Polarity",
        how: "Live, with a receptacle tester or a voltmeter.",
        wanted: "Hot on the brass screw, neutral on the silver one; of two hots, both live.",
        asked: &[],
    },
    Test {
        mark: "T7",
        title: "GFCI",
        how: "Live. Press the test button of the device or breaker; then try every receptacle that it guards.",
        wanted: "It trips, all that it guards is dead, and it resets and holds.",
        asked: &[(Kind::Test, "is-good")],
    },
    Test {
        mark: "T8",
        title: "AFCI",
        how: "Live. Press the test button of the device or breaker.",
        wanted: "It trips, resets and holds.",
        asked: &[],
    },
    Test {
        mark: "T9",
        title: "Electrode to earth",
        how: "The electrode's wire off its clamp, the supply off and locked. An earth tester with two stakes, or a clamp-on one.",
        wanted: "As the rule below says; a second electrode may spare the test.",
        asked: &[(Kind::Electrode, "resistance")],
    },
];

/// Items with one test stand beside each other.
const BESIDE: usize = 3;

impl Packet<'_> {
    /// The tests, and tables for their readings.
    pub(super) fn record(&self) -> Result<Markup, &'static str> {
        let shop = &self.checked.shop;
        let tested = [Kind::Receptacle, Kind::Light, Kind::Circuit, Kind::Feeder, Kind::Panel, Kind::Electrode];
        if tested.into_iter().all(|kind| shop.count(kind) == 0) {
            return Err("The plan names nothing that could be tested.");
        }
        let done = self.done();
        Ok(self.sheet(
            Sheet::Tests,
            html! {
                p.careful {
                    "Dead tests first, with the supply off and locked and proved dead: tester on a live part, here, on the live part again. "
                    "Live tests only by somebody who may and can: one hand, no rings, covers on. Tester and its number: "
                    span.blank.wide {}
                }
                (self.tests())
                (self.receptacles(&done))
                (self.others(&done))
                (self.panels(&done))
                (self.lines_tested(&done))
                (self.electrodes())
                @for table in &self.wires.switching { (positions(table)) }
            },
        ))
    }

    fn tests(&self) -> Markup {
        html! {
            table.grid.fixed.dense {
                colgroup { col style="width:.3in"; col style="width:.9in"; col; col style="width:1.7in"; col style="width:2in"; }
                thead { tr {
                    th scope="col" { "" } th scope="col" { "test" } th scope="col" { "how" } th scope="col" { "should come out" } th scope="col" { "source" }
                } }
                tbody {
                    @for test in &TESTS {
                        tr { th scope="row" { (test.mark) } td { (test.title) } td { (test.how) } td { (test.wanted) } td { (self.source(test)) } }
                    }
                }
            }
        }
    }

    /// The rules that ask for what a test settles, or that it is common practice.
    fn source(&self, test: &Test) -> Markup {
        let code = &self.rules.code;
        let asks = |rule: &&Rule| {
            test.asked.iter().any(|(kind, word)| {
                let id = code.vocabulary.name(word);
                rule.texts.asks.iter().any(|(kinds, name, _)| Some(*name) == id && kinds.has(*kind))
            })
        };
        let mut rules: Vec<&Rule> = code.rules.iter().filter(asks).collect();
        // Those that met something here, where any did.
        let has_met = |rule: &&Rule| self.report.findings.iter().any(|finding| *finding.rule == *rule.name);
        if rules.iter().any(&has_met) {
            rules.retain(has_met);
        }
        let editions = self.teller.editions();
        html! {
            @for (i, rule) in rules.iter().enumerate() {
                @if i > 0 { br; }
                (sentence(&rule.texts.title)) " "
                @let cites = citations(&rule.texts.cites, &editions);
                @if !cites.is_empty() { (cites.join("; ")) ", " }
                "rule " span.code { (rule.name) }
            }
            @if rules.is_empty() { "common practice, no source" }
        }
    }

    /// Tests that the plan says were made, by item and type.
    fn done(&self) -> HashMap<(ItemRef, String), ItemRef> {
        let shop = &self.checked.shop;
        let mut done = HashMap::new();
        for test in shop.items(Kind::Test) {
            let (Some(of), Value::Choice(bits)) = (shop.head(test).of, shop.value(test, name::TYPE)) else { continue };
            if bits.count_ones() == 1 {
                let what = shop.vocabulary.choice_text(choice::TEST_TYPE, bits.trailing_zeros() as u8);
                done.insert((of, what.to_string()), test);
            }
        }
        done
    }

    /// What the plan says came out, with its line; else room for a reading.
    fn reading(&self, done: &HashMap<(ItemRef, String), ItemRef>, item: ItemRef, what: &str) -> Markup {
        let shop = &self.checked.shop;
        let Some(test) = done.get(&(item, what.to_string())) else { return html! {} };
        let source = shop.source(*test, name::IS_GOOD);
        html! {
            @match shop.value(*test, name::IS_GOOD) {
                Value::YesNo(true) => "came out well",
                Value::YesNo(false) => b { "did not come out well" },
                _ => "made, result not said",
            }
            @if let Some(day) = source.day { ", " (day_text(i64::from(day))) }
            " (" (self.line(source.place)) ")"
        }
    }

    fn named(&self, item: ItemRef) -> Markup {
        let head = self.checked.shop.head(item);
        html! { (head.name) " (" (self.line_number(self.teller.place(head.place, item))) ")" }
    }

    fn receptacles(&self, done: &HashMap<(ItemRef, String), ItemRef>) -> Markup {
        let shop = &self.checked.shop;
        let guarded = self.rules.code.vocabulary.name("is-gfci-protected");
        let gfci = |item| guarded.and_then(|word| self.teller.known(item, word));
        let circuit = |item| match shop.value(item, name::CIRCUIT) {
            Value::Item(circuit) => Some(circuit),
            _ => None,
        };
        let all: Vec<ItemRef> = shop.items(Kind::Receptacle).collect();
        html! {
            @if !all.is_empty() {
                h3 { "Receptacles" }
                table.grid.ruled.fixed {
                    thead { tr {
                        th scope="col" { "receptacle (line)" } th scope="col" { "circuit" } th scope="col" { "T1 ohm" }
                        th scope="col" { "T5 volts" } th scope="col" { "T6 polarity" } th scope="col" { "T7 GFCI" } th scope="col" { "date, initials" }
                    } }
                    tbody {
                        @for item in all {
                            tr.room {
                                th scope="row" { (self.named(item)) }
                                td { @match circuit(item) { Some(circuit) => (shop.head(circuit).name), None => span.blank.short {} } }
                                td { (self.reading(done, item, "ground-path")) }
                                td.soft { @if let Some(volts) = circuit(item).and_then(|c| self.teller.known(c, name::VOLTS)) { "wanted " (volts) } }
                                td { (self.reading(done, item, "polarity")) }
                                td {
                                    @match gfci(item).as_deref() {
                                        Some("no") => span.soft { "no GFCI" },
                                        Some(_) => (self.reading(done, item, "gfci-trips")),
                                        None => { span.soft { "if it has one " } (self.reading(done, item, "gfci-trips")) },
                                    }
                                }
                                td {}
                            }
                        }
                    }
                }
            }
        }
    }

    /// Everything else with a case or a box that a fault could make live.
    fn others(&self, done: &HashMap<(ItemRef, String), ItemRef>) -> Markup {
        let shop = &self.checked.shop;
        let kinds = [Kind::Light, Kind::Equipment, Kind::Box];
        let is_there = |item: &ItemRef| shop.named(&shop.head(*item).name) == Some(*item);
        let all: Vec<ItemRef> = kinds.into_iter().flat_map(|kind| shop.items(kind)).filter(is_there).collect();
        html! {
            @if !all.is_empty() {
                h3 { "Lights, machines and boxes" small { "what is of plastic has nothing to test" } }
                table.grid.ruled.fixed {
                    thead { tr {
                        @for _ in 0..BESIDE { th scope="col" { "item (line)" } th scope="col" { "T1 ohm" } th scope="col" { "date, initials" } }
                    } }
                    tbody {
                        @for part in all.chunks(BESIDE) {
                            tr.room {
                                @for item in part { th scope="row" { (self.named(*item)) } td { (self.reading(done, *item, "ground-path")) } td {} }
                                @for _ in part.len()..BESIDE { td {} td {} td {} }
                            }
                        }
                    }
                }
            }
        }
    }

    fn panels(&self, done: &HashMap<(ItemRef, String), ItemRef>) -> Markup {
        let shop = &self.checked.shop;
        let all: Vec<ItemRef> = shop.items(Kind::Panel).chain(shop.items(Kind::Disconnect)).collect();
        html! {
            @if !all.is_empty() {
                h3 { "Panels and disconnects" }
                table.grid.ruled.fixed {
                    thead { tr {
                        th scope="col" { "item (line)" } th scope="col" { "T1 ohm" } th scope="col" { "T2 neutral apart" } th scope="col" { "T4 printed, set to" }
                        th scope="col" { "T5 volts" } th scope="col" { "date, initials" }
                    } }
                    tbody {
                        @for item in all {
                            tr.room {
                                th scope="row" { (self.named(item)) }
                                td { (self.reading(done, item, "ground-path")) }
                                td { @if item.kind == Kind::Panel { (self.reading(done, item, "neutral-isolation")) } @else { span.soft { "none here" } } }
                                td { (self.reading(done, item, "torque")) }
                                td {} td {}
                            }
                        }
                    }
                }
            }
        }
    }

    fn lines_tested(&self, done: &HashMap<(ItemRef, String), ItemRef>) -> Markup {
        let shop = &self.checked.shop;
        let all: Vec<ItemRef> = shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)).collect();
        html! {
            @if !all.is_empty() {
                h3 { "Feeders and circuits" }
                table.grid.ruled.fixed {
                    thead { tr {
                        th scope="col" { "item (line)" } th scope="col" { "T3 volts used" } th scope="col" { "T3 megohm" }
                        th scope="col" { "T4 printed, set to" } th scope="col" { "T7 breaker trips" } th scope="col" { "T8 breaker trips" }
                        th scope="col" { "date, initials" }
                    } }
                    tbody {
                        @for item in all {
                            @let breaker = match shop.value(item, name::BREAKER) { Value::Item(breaker) => Some(breaker), _ => None };
                            tr.room {
                                th scope="row" { (self.named(item)) }
                                td {}
                                td { (self.reading(done, item, "insulation")) }
                                td { (self.reading(done, item, "torque")) }
                                td { (self.button(breaker, name::HAS_GFCI, "no GFCI")) (self.reading(done, item, "gfci-trips")) }
                                td { (self.button(breaker, name::HAS_AFCI, "no AFCI")) }
                                td {}
                            }
                        }
                    }
                }
            }
        }
    }

    /// Whether a breaker has a button to press.
    fn button(&self, breaker: Option<ItemRef>, word: crate::words::NameId, none: &str) -> Markup {
        match breaker.map(|breaker| self.checked.shop.value(breaker, word)) {
            Some(Value::YesNo(true)) => html! {},
            Some(Value::YesNo(false)) => html! { span.soft { (none) } },
            _ => html! { span.soft { "if it has one " } },
        }
    }

    /// Electrodes whose resistance some finding waits for, or that the plan gives.
    fn electrodes(&self) -> Markup {
        let shop = &self.checked.shop;
        let is_wanted = |item: &ItemRef| {
            let fact = self.teller.ask(*item, name::RESISTANCE).fact;
            let is_open = self.report.findings.iter().flat_map(|f| &f.missing).any(|missing| missing.fact == fact);
            is_open || self.teller.known(*item, name::RESISTANCE).is_some()
        };
        let all: Vec<ItemRef> = shop.items(Kind::Electrode).filter(is_wanted).collect();
        html! {
            @if !all.is_empty() {
                h3 { "Electrodes" }
                table.grid.ruled.fixed {
                    thead { tr {
                        th scope="col" { "electrode (line)" } th scope="col" { "T9 in the plan" } th scope="col" { "T9 ohm" } th scope="col" { "soil: wet, dry, frozen" }
                        th scope="col" { "date, initials" }
                    } }
                    tbody {
                        @for item in all {
                            tr.room {
                                th scope="row" { (self.named(item)) }
                                td { (self.teller.known(item, name::RESISTANCE).unwrap_or_default()) }
                                td {} td {} td {}
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Every position of switches that act together, and what should be on.
fn positions(table: &SwitchSheet) -> Markup {
    html! {
        h3 { "Switching by " (table.switches.join(", ")) small { "every position; what should be on by the drawing, and what is" } }
        table.grid.ruled.fixed {
            thead { tr {
                @for switch in &table.switches { th scope="col" { (switch) } }
                th scope="col" { "on by the drawing" } th scope="col" { "as seen" } th scope="col" { "date, initials" }
            } }
            tbody {
                @for (words, on) in &table.rows {
                    tr.room {
                        @for word in words { td { (word) } }
                        td { @if on.is_empty() { "nothing" } @else { (on.join(", ")) } }
                        td {} td {}
                    }
                }
            }
        }
    }
}

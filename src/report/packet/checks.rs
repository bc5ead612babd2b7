//! What is looked at in each stage: a card for each visit, with room for initials.

use super::frame::{stage_title, tick};
use super::{Packet, Sheet};
use crate::law::code::Stage;
use crate::law::verdict::Outcome;
use crate::report::excerpt::excerpts;
use crate::report::text::{counted, grouped, sentence};
use crate::report::{Finding, Question};
use maud::{Markup, html};

/// How a citation says that its section is from memory.
const MEMORY: &str = " (section from memory)";

impl Packet<'_> {
    /// The cards of every stage that something was checked for.
    pub(super) fn checks(&self) -> Result<Markup, &'static str> {
        let stages = self.check_stages();
        match stages.is_empty() {
            true => Err("No rule met anything in this plan: nothing was checked."),
            false => Ok(html! { @for stage in &stages { (self.stage_card(*stage)) } }),
        }
    }

    /// Stages that have a card.
    pub(super) fn check_stages(&self) -> Vec<Stage> {
        let has = |stage: &Stage| self.report.findings.iter().any(|f| f.stage == *stage);
        Stage::ALL.into_iter().filter(has).collect()
    }

    /// The number of a stage's card: `E10.2`.
    pub(super) fn card(stage: Stage) -> String {
        let place = Stage::ALL.iter().position(|s| *s == stage).unwrap_or_default();
        format!("{}.{}", Sheet::Checks.number(), place.saturating_add(1))
    }

    fn stage_card(&self, stage: Stage) -> Markup {
        let of = |groups: &[Vec<&Finding>]| -> Vec<usize> {
            let is_here = |group: &Vec<&Finding>| group.first().is_some_and(|f| f.stage == stage);
            groups.iter().enumerate().filter(|(_, group)| is_here(group)).map(|(i, _)| i).collect()
        };
        let attention = of(&self.attention);
        let advice = of(&self.advice);
        let with =
            |outcome| grouped(self.report.findings.iter().filter(move |f| f.stage == stage && f.verdict == outcome));
        let unknown = with(Outcome::Unknown);
        let pass = with(Outcome::Pass);
        self.framed(
            &Self::card(stage),
            &format!("Checks: {}", stage_title(stage)),
            false,
            html! {
                p.lead.small {
                    "The owner's copy, to be read beside the department's own card. Nothing is ticked by the program: it says what "
                    "the plan came to, and what somebody saw is written here by hand."
                }
                @if !attention.is_empty() {
                    h3 { "Needs attention" small { "plan and code do not meet here" } }
                    @for index in attention { (self.entry("A", index, self.attention.get(index))) }
                }
                @if !advice.is_empty() {
                    h3 { "Advice" small { "good practice; the code does not ask it" } }
                    @for index in advice { (self.entry("D", index, self.advice.get(index))) }
                }
                @if !unknown.is_empty() {
                    h3 { "Unknown" small { "the plan doesn't say enough; the letters are the questions of sheet " (Sheet::Questions.number()) } }
                    (self.list(&unknown, true))
                }
                @if !pass.is_empty() {
                    h3 { "As the plan says it, this passes" small { "what was built is for the eye" } }
                    (self.list(&pass, false))
                }
                (visit())
            },
        )
    }

    /// One rule that the plan does not meet, with every item's sentence.
    fn entry(&self, letter: &str, index: usize, group: Option<&Vec<&Finding>>) -> Markup {
        let Some((group, first)) = group.and_then(|g| Some((g, g.first()?))) else { return html! {} };
        let name = format!("{letter}{}", index.saturating_add(1));
        let spans: Vec<_> = group.iter().flat_map(|f| std::iter::once(f.place).chain(f.also.iter().copied())).collect();
        let mut remedies: Vec<&str> = Vec::new();
        let mut leans: Vec<&str> = Vec::new();
        for finding in group {
            let all = finding.leans_on.iter().map(String::as_str);
            leans.extend(all.filter(|l| !leans.contains(l)).collect::<Vec<_>>());
            remedies.extend(finding.remedy.as_deref().filter(|r| !remedies.contains(r)));
        }
        html! {
            div.entry id=(name) {
                h4 { span.mark.heavy { (name) } span { (sentence(&first.title)) } }
                @for finding in group {
                    p { (sentence(&finding.message)) " (" (self.line(finding.place)) ")" }
                }
                dl {
                    @for excerpt in excerpts(&self.checked.sources, &spans) {
                        dt { "line " (excerpt.line) } dd.code { (excerpt.text) }
                    }
                    dt { "code" } dd { (self.code(first)) }
                    dt { "why" } dd { (sentence(&first.hazard)) }
                    @if !remedies.is_empty() {
                        dt { "do" } dd { @for (i, remedy) in remedies.iter().enumerate() { @if i > 0 { br; } (sentence(remedy)) } }
                    }
                    @if !leans.is_empty() { dt { "leans on" } dd { (sentence(&leans.join("; "))) } }
                    @if !first.editions.is_empty() { dt { "editions" } dd { (first.editions.join("; ")) } }
                }
                @if let Some(caution) = &first.caution { p.careful { (sentence(caution)) } }
                div.result { "mended on " span.blank {} " owner " span.blank.short {} " " (self.report.authority) " " span.blank.short {} }
            }
        }
    }

    /// Where the code says so.
    fn code(&self, finding: &Finding) -> Markup {
        html! {
            (finding.cites.join("; "))
            @if finding.cites.is_empty() { "no section named" }
            @if finding.is_memory { " (figures from memory)" }
            ", rule " span.code { (finding.rule) }
        }
    }

    /// A rule each, in two columns: what is looked at, where, and a box each for the owner and the inspector.
    fn list(&self, groups: &[Vec<&Finding>], is_open: bool) -> Markup {
        html! {
            ul.looks {
                @for group in groups {
                    @if let Some(first) = group.first() {
                        li {
                            span.boxes { (tick()) (tick()) }
                            span {
                                (sentence(&first.title)) " " span.soft { (brief_code(first)) } br;
                                (self.places(group))
                                @if is_open {
                                    " waits for "
                                    @for question in self.awaited(&first.rule) { (self.question(question)) " " }
                                }
                            }
                        }
                    }
                }
            }
            p.small {
                (counted(groups.iter().map(Vec::len).sum(), "check")) ", by " (counted(groups.len(), "rule"))
                ". Of two boxes the left one is the owner's, the right one the " (self.report.authority) "'s. † section from memory, ‡ figures from memory: look them up."
            }
        }
    }

    /// The questions that may settle something of a rule.
    fn awaited<'r>(&'r self, rule: &'r str) -> impl Iterator<Item = &'r Question> {
        self.report.questions.iter().filter(move |q| q.settles.iter().any(|(name, _)| name == rule))
    }
}

/// Where the code says so, in little room: what is from memory has a mark.
fn brief_code(finding: &Finding) -> Markup {
    let cites: Vec<String> = finding.cites.iter().map(|cite| cite.replace(MEMORY, " †")).collect();
    html! {
        (cites.join("; "))
        @if cites.is_empty() { "no section named" }
        @if finding.is_memory { " ‡" }
        " " span.code { (finding.rule) }
    }
}

/// What the inspector writes.
fn visit() -> Markup {
    html! {
        div.card {
            h3 { "The visit" }
            p.small { "Corrections asked:" }
            div.line {} div.line {} div.line {} div.line {}
            div.fills {
                (super::frame::fill("Inspector", None, 1))
                (super::frame::fill("Result: accepted / corrections / not ready (ring one)", None, 2))
                (super::frame::fill("Date", None, 1))
            }
        }
    }
}

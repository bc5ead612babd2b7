//! The open questions, with room for the answers.

use super::{Packet, Sheet};
use crate::report::Question;
use crate::report::text::{counted, items, phrases};
use maud::{Markup, html};

/// Items that a question's sentence names itself.
const NAMED: usize = 6;

impl Packet<'_> {
    /// Every question, the one that settles most first.
    pub(super) fn questions(&self) -> Result<Markup, &'static str> {
        if self.report.questions.is_empty() {
            return Err("No question is open: nothing that was checked is unknown.");
        }
        let checks = self.report.total().unknown;
        Ok(self.sheet(
            Sheet::Questions,
            html! {
                p.lead {
                    (counted(self.report.questions.len(), "question")) " behind " (counted(checks, "unknown check"))
                    ". The ones that settle most come first, and at a tie the ones that are hardest to mend later. Write the answer, "
                    "how you know it (measured, seen, read off a plate, told by the office) and the day; then put it into the plan and "
                    "print anew."
                }
                @for question in &self.report.questions { (self.asked_question(question)) }
            },
        ))
    }

    fn asked_question(&self, question: &Question) -> Markup {
        let rules: Vec<String> = question
            .settles
            .iter()
            .map(|(rule, n)| if *n == 1 { rule.clone() } else { format!("{rule} ({n})") })
            .collect();
        let write = phrases(question);
        html! {
            div.entry id={ "Q-" (question.letter) } {
                h4 { span.mark.round { (question.letter) } span { (question.ask) } }
                dl {
                    @if question.items.len() > NAMED { dt { "for each" } dd { (items(&question.items, usize::MAX)) } }
                    dt { "settles" } dd { (super::cover::capital(question.stage.name())) ": " span.soft { (rules.join(", ")) } }
                    @if !question.answers.is_empty() {
                        dt { "if" }
                        dd {
                            @for (i, answer) in question.answers.iter().enumerate() {
                                @if i > 0 { "; " } b { (answer.text) } ": " (answer.effect)
                            }
                        }
                    }
                    dt { "goes to" } dd { (self.lines(&question.places)) @if !write.is_empty() { ": " span.code { (write) } } }
                }
                div.answers { "answer" span.line {} "how known" span.line {} "date, initials" span.line {} }
            }
        }
    }
}

//! Text for someone standing in the shop with a phone or a printout: plain words, no color
//! needed, as wide as the screen.

mod ask;
mod check;
mod compare;
mod directory;
mod figures;
pub(super) mod layers;
mod takeoff;
mod why;
mod wires;

pub use ask::ask;
pub use check::check;
pub(super) use check::{grouped, local};
pub use compare::compare;
pub use directory::directory;
pub(super) use directory::letter;
pub use figures::figures;
pub use takeoff::takeoff;
pub use why::finding;
pub use wires::wires;

use super::page::Page;
use super::{About, Finding, Question};
use crate::law::code::Stage;
use crate::law::verdict::Outcome;
use crate::text::Sources;

const LIMITS: &str = "This is what could be read from the plan, no more. The inspector and the code as your county or city adopted it \
                      decide. What the permit or the local law keeps for a licensed electrician is not yours to do.";

/// What everybody should know about what these reports are, with the name that a place gives to whoever decides.
pub(super) fn limits(authority: &str) -> String {
    LIMITS.replace("inspector", authority)
}

/// `1 check`, `3 checks`.
pub fn counted(count: usize, what: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {what}{ending}")
}

/// `R1`, `R1 and R3`, `R1, R3 and 7 more`.
pub(super) fn listed(names: &[&str], most: usize) -> String {
    let more = names.len().saturating_sub(most);
    let shown = names.get(..names.len().min(most)).unwrap_or(names);
    match (shown, more) {
        ([], _) => String::new(),
        ([only], 0) => only.to_string(),
        ([first @ .., last], 0) => format!("{} and {last}", first.join(", ")),
        (all, more) => format!("{} and {more} more", all.join(", ")),
    }
}

/// Items as sentences call them, a kind said once: `receptacle R1, R3 and R5, panel P1`.
pub(super) fn items<'a>(all: impl IntoIterator<Item = &'a About>, most: usize) -> String {
    listed(&short_names(all), most)
}

/// The same name by name.
pub(super) fn short_names<'a>(all: impl IntoIterator<Item = &'a About>) -> Vec<&'a str> {
    let mut kind = None;
    all.into_iter()
        .map(|about| {
            let is_tagged = about.called.strip_prefix(about.kind.name()).is_some_and(|n| n.trim_start() == about.name);
            let is_same = is_tagged && kind == Some(about.kind);
            kind = is_tagged.then_some(about.kind);
            if is_same { about.name.as_str() } else { about.called.as_str() }
        })
        .collect()
}

/// `line 12`, `lines 3, 9 and 2 more`: where the answer to a question goes.
fn lines(question: &Question, sources: &Sources, most: usize) -> String {
    let mut lines: Vec<u32> = question.places.iter().map(|p| sources.place(*p).line).collect();
    lines.dedup();
    let lines: Vec<String> = lines.iter().map(u32::to_string).collect();
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    format!("{} {}", if lines.len() == 1 { "line" } else { "lines" }, listed(&lines, most))
}

/// The phrases that answer a question: `torqued` or `not torqued`, and those of its other facts.
pub(super) fn phrases(question: &Question) -> String {
    let of_fact = |all: &Vec<String>| all.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(" or ");
    question.write.iter().map(of_fact).collect::<Vec<_>>().join("; ")
}

/// An outcome in a word or two.
pub(super) fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Attention => "attention",
        Outcome::Unknown => "unknown",
        Outcome::NotApplicable => "does not apply",
    }
}

/// When a stage's work is looked at.
pub(super) fn moment(stage: Stage) -> &'static str {
    match stage {
        Stage::Footing => "before concrete is poured",
        Stage::Trench => "before it is filled",
        Stage::RoughIn => "before walls are closed",
        Stage::Final => "before the shop is used",
        Stage::Permit => "papers",
    }
}

/// Begins with a capital and ends with a full stop.
pub(super) fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut chars = text.chars();
    let first: String = chars.next().into_iter().flat_map(char::to_uppercase).collect();
    let end = if text.ends_with(['.', '?', '!', ':']) || text.is_empty() { "" } else { "." };
    format!("{first}{}{end}", chars.as_str())
}

/// What the code asks and where it says so.
fn code_field(page: &mut Page, finding: &Finding) {
    let memory = if finding.is_memory { " Its figures are from memory, not met in a public text." } else { "" };
    let cites = if finding.cites.is_empty() { String::new() } else { format!(" {}.", finding.cites.join("; ")) };
    page.field("code", &format!("{}{cites}{memory}", sentence(&finding.title)));
}

/// What it leans on, if on anything.
fn lean_field(page: &mut Page, finding: &Finding) {
    if !finding.leans_on.is_empty() {
        page.field("leans on", &sentence(&finding.leans_on.join("; ")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Look;
    use crate::report::sample::sample;
    use crate::words::Kind;

    /// What a reader sees, at a sheet's width; the hard facts beside it, so that an update of the
    /// picture alone can't hide a loss.
    #[test]
    fn the_report_on_a_small_plan() {
        let (report, sources) = sample();
        let text = check(&report, &sources, Look::new(100, false), false);
        for wanted in ["[buried 16 in], [under drive]", "811", "cover-drive", "gfci-shop", "voltage-drop", "NOT read"] {
            assert!(text.contains(wanted), "{wanted} is missing:\n{text}");
        }
        assert!(!text.contains("[under drive]   #"), "comments are not shown");
        insta::assert_snapshot!("report", text);
    }

    #[test]
    fn the_questions_on_a_small_plan() {
        let (report, sources) = sample();
        let text = ask(&report, &sources, Look::new(100, false));
        assert!(text.contains("line 11") && text.contains("`torqued` or `not torqued`"), "{text}");
        insta::assert_snapshot!("questions", text);
    }

    /// No line runs over, from a phone to a sheet, and no promise is made.
    #[test]
    fn every_width_and_no_promise() {
        let (report, sources) = sample();
        for width in [36, 48, 63, 64, 80, 100] {
            let look = Look::new(width, false);
            let text = check(&report, &sources, look, true) + &ask(&report, &sources, look);
            // Lines of the plan in a drawing are as long as they are.
            for line in text.lines().filter(|l| !l.contains('│')) {
                assert!(crate::report::page::columns(line) <= width, "{width}: {line}");
            }
            for word in ["safe", "legal", "compliant", "approved", "will pass"] {
                assert!(!text.to_lowercase().contains(word), "the report says `{word}`");
            }
        }
    }

    #[test]
    fn lists_and_sentences() {
        assert_eq!(listed(&["R1"], 3), "R1");
        assert_eq!(listed(&["R1", "R2", "R3"], 3), "R1, R2 and R3");
        assert_eq!(listed(&["R1", "R2", "R3", "R4"], 2), "R1, R2 and 2 more");
        let about = |kind: Kind, name: &str| About { kind, name: name.into(), called: format!("{kind} {name}") };
        let stretch = About { kind: Kind::Run, name: "stretch 1 of F1".into(), called: "stretch 1 of F1".into() };
        let all = [about(Kind::Box, "B1"), about(Kind::Box, "B2"), about(Kind::Panel, "P1"), stretch];
        assert_eq!(items(&all, 9), "box B1, B2, panel P1 and stretch 1 of F1");
        assert_eq!(sentence("receptacle R1 is dead"), "Receptacle R1 is dead.");
        assert_eq!(sentence("Is it?"), "Is it?");
    }
}

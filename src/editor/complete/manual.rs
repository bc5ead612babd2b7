//! The phrases of the plan language's manual: those that code reads stand in no word's pattern, and the manual
//! shows them as they are typed. A test of its own reads every one of them as a plan.

use crate::plan::syntax::Keyword;
use std::sync::LazyLock;

/// A row of the manual's tables.
#[derive(Debug)]
pub struct Row {
    /// The items that it is about; none where it is about any.
    pub of: Option<Vec<Keyword>>,
    /// What it says.
    pub says: &'static str,
    /// Phrases, as they are typed.
    pub phrases: Vec<&'static str>,
}

/// Every row of the manual's tables of phrases.
pub static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| rows(include_str!("../../../grammar/README.md")));

impl Row {
    /// Whether it is about items of this keyword.
    pub fn is_of(&self, keyword: Keyword) -> bool {
        self.of.as_ref().is_none_or(|all| all.contains(&keyword))
    }
}

fn rows(manual: &'static str) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut of = Some(Vec::new());
    for line in manual.lines() {
        if let Some(title) = line.trim_start_matches('#').strip_prefix(' ').filter(|_| line.starts_with('#')) {
            of = keywords(title);
        } else if let Some((phrases, says)) = line.strip_prefix("| `").and_then(|l| l.split_once("` | ")) {
            let phrases = phrases.split("` · `").collect();
            let says = says.trim_end_matches([' ', '|']);
            rows.push(Row { of: of.clone(), says, phrases });
        }
    }
    rows
}

/// The items that a section is about, by its title: `Areas and work`. None for `Everywhere`, no item for a
/// section about something else.
fn keywords(title: &str) -> Option<Vec<Keyword>> {
    if title == "Everywhere" {
        return None;
    }
    let title = title.to_lowercase();
    let words: Vec<&str> = title.split(' ').collect();
    let is_named = |k: &&Keyword| {
        let text = k.text();
        let plural = match text {
            "switch" | "box" => format!("{text}es"),
            _ => format!("{text}s"),
        };
        words.iter().any(|w| *w == text || *w == plural)
    };
    Some(Keyword::ALL.iter().filter(is_named).copied().collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_item_has_phrases() {
        use Keyword::*;
        for keyword in [
            Shop, Area, Supply, Feeder, Panel, Disconnect, Electrode, Box, Run, Circuit, Receptacle, Switch, Light,
            Device, Equipment,
        ] {
            let own = ROWS.iter().filter(|r| r.of.is_some() && r.is_of(keyword)).count();
            assert!(own > 0, "the manual has no table for `{}`", keyword.text());
        }
        let everywhere = ROWS.iter().filter(|r| r.of.is_none()).flat_map(|r| &r.phrases);
        assert!(everywhere.clone().any(|p| *p == "lawful when made"), "{:?}", everywhere.collect::<Vec<_>>());
        let says = ROWS.iter().find(|r| r.phrases.contains(&"holds R1, S1")).map(|r| r.says);
        assert!(says.is_some_and(|s| s.starts_with("complete")), "{says:?}");
    }
}

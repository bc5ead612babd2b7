//! Formatting: the plan in its one canonical form.

use super::place::{Encoding, Text};
use crate::plan;
use gen_lsp_types::TextEdit;

/// The edits that tidy a plan: one, around the lines that change; none where the plan is tidy, or holds
/// lines that can't be read, or might say something else afterwards.
pub fn edits(text: &Text, encoding: Encoding) -> Vec<TextEdit> {
    let old = text.as_str();
    let Ok(tidied) = plan::tidy(old) else { return Vec::new() };
    // Line ends are the editor's business: those that are there stay.
    let new = if old.contains("\r\n") { tidied.replace('\n', "\r\n") } else { tidied };
    if new == old {
        return Vec::new();
    }
    let pairs = old.split_inclusive('\n').zip(new.split_inclusive('\n'));
    let before: usize = pairs.take_while(|(a, b)| a == b).map(|(a, _)| a.len()).sum();
    let (old_rest, new_rest) = (old.get(before..).unwrap_or(""), new.get(before..).unwrap_or(""));
    let pairs = old_rest.rsplit('\n').zip(new_rest.rsplit('\n'));
    let behind: usize = pairs.take_while(|(a, b)| a == b).map(|(a, _)| a.len() + 1).sum();
    // The line end before the same lines belongs to the edit, so that it never parts CR from LF.
    let behind = behind.saturating_sub(1).min(old_rest.len()).min(new_rest.len());
    let (old_end, new_end) = (old.len() - behind, new.len() - behind);
    if !is_proved(old, &new, before, behind) {
        return Vec::new();
    }
    let range = text.range(before, old_end, encoding);
    vec![TextEdit::new(range, new.get(before..new_end).unwrap_or("").to_string())]
}

/// Whether tidying the items that change gives the same again, and says the same as before. A plan is read item by
/// item, so the same items before and behind need no proof: somebody waits for the answer.
fn is_proved(old: &str, new: &str, before: usize, behind: usize) -> bool {
    let start = old.get(..before).map_or(0, |same| heads(same).last().unwrap_or(0));
    let same = old.get(old.len() - behind..).unwrap_or("");
    // The first line behind may be the rest of a line that changes.
    let after = same.find('\n').map_or(same.len(), |end| end + 1);
    let next = heads(same.get(after..).unwrap_or("")).next();
    let kept = next.map_or(0, |head| same.len() - after - head);
    let part = |text: &str| {
        let part = text.get(start..text.len() - kept).unwrap_or("").trim_end_matches(['\n', '\r']);
        format!("{}\n", part.replace("\r\n", "\n"))
    };
    let (old, new) = (part(old), part(new));
    plan::tidy(&new).as_deref() == Ok(new.as_str()) && plan::says_the_same(&old, &new)
}

/// Where items begin: at lines that are neither indented nor blank nor comments.
fn heads(text: &str) -> impl Iterator<Item = usize> {
    let mut at = 0;
    let lines = text.split_inclusive('\n').map(move |line| {
        let start = at;
        at += line.len();
        (start, line)
    });
    lines.filter(|(_, line)| line.starts_with(|c: char| c.is_alphabetic())).map(|(start, _)| start)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tidied(text: &str) -> String {
        let mut now = Text::new(text.to_string());
        for edit in edits(&now.clone(), Encoding::Utf16) {
            now.replace(Some(edit.range), &edit.new_text, Encoding::Utf16);
        }
        now.as_str().to_string()
    }

    #[test]
    fn an_applied_edit_is_the_tidy_plan() {
        for text in [
            "panel   P1\nbox B1\n",
            "box B1\npanel   P1",
            "\u{FEFF}box B1\n\n\n\npanel P1:indoors\n",
            "box B1\n   indoors\nbox B2\n\n",
            "box B1\n",
            "\n\nbox B1\n",
            "box B1 \"界🔧\" :  indoors  # 🔧\nbox B2",
        ] {
            assert_eq!(tidied(text), plan::tidy(text).unwrap(), "{text:?}");
            let windows = text.replace('\n', "\r\n");
            let wanted = plan::tidy(&windows).unwrap();
            let wanted = if windows.contains('\r') { wanted.replace('\n', "\r\n") } else { wanted };
            assert_eq!(tidied(&windows), wanted, "{windows:?}");
        }
    }

    /// Whether one item that changes is proved alone or the whole plan is: the answer is the same.
    #[test]
    fn a_part_is_proved_as_the_whole_is() {
        let plan_text = include_str!("../../examples/half-known.shop");
        let lines: Vec<&str> = plan_text.lines().collect();
        for (number, line) in lines.iter().enumerate() {
            for spoiled in
                [format!("{line}  "), line.replacen(' ', "   ", 1), format!("{line} # 12"), format!("\n\n\n{line}")]
            {
                let mut all = lines.clone();
                all[number] = &spoiled;
                let text = all.join("\n");
                let Ok(whole) = plan::tidy(&text) else { continue };
                let is_sound =
                    plan::tidy(&whole).as_deref() == Ok(whole.as_str()) && plan::says_the_same(&text, &whole);
                assert_eq!(tidied(&text), if is_sound { whole } else { text.clone() }, "{spoiled:?}");
            }
        }
    }

    #[test]
    fn an_edit_is_as_small_as_its_lines() {
        let text = Text::new("box B1\npanel   P1\nbox B2\n".to_string());
        let edits = edits(&text, Encoding::Utf16);
        assert_eq!(edits.len(), 1);
        assert_eq!(edits[0].new_text, "panel P1\n");
        assert_eq!((edits[0].range.start.line, edits[0].range.end.line), (1, 2));
        let unread = Text::new("panle   P1\n".to_string());
        assert!(super::edits(&unread, Encoding::Utf16).is_empty());
    }
}

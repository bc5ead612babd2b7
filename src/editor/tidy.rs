//! Formatting: the plan in its one canonical form.

use super::place::{Encoding, Text};
use crate::plan;
use gen_lsp_types::TextEdit;

/// The edits that tidy a plan: one, around the lines that change; none where the plan is tidy, or holds
/// lines that can't be read, or might say something else afterwards.
pub fn edits(text: &Text, encoding: Encoding) -> Vec<TextEdit> {
    let old = text.as_str();
    let Ok(tidied) = plan::tidy(old) else { return Vec::new() };
    if plan::tidy(&tidied).as_deref() != Ok(tidied.as_str()) || !plan::says_the_same(old, &tidied) {
        return Vec::new();
    }
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
    let (old_end, new_end) = (old.len() - behind, new_rest.len() - behind);
    let range = text.range(before, old_end, encoding);
    vec![TextEdit::new(range, new_rest.get(..new_end).unwrap_or("").to_string())]
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

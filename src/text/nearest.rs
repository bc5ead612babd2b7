/// The known word nearest to what was typed, where one is near enough to be meant.
///
/// Damerau-Levenshtein distance (restricted), lower case; at most a third of the letters may
/// differ, so that `fedes` finds `feeds` and `zebra` finds nothing. The one helper for every hint.
pub fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed: Vec<char> = typed.chars().take(64).flat_map(char::to_lowercase).collect();
    let most = (typed.len() / 3).max(1);
    known
        .into_iter()
        .filter(|word| word.chars().count().abs_diff(typed.len()) <= most)
        .map(|word| (distance(&typed, word), word))
        .filter(|(d, _)| *d <= most)
        // Of words as near, the first by the alphabet: what is known often comes in no order.
        .min_by_key(|(d, word)| (*d, word.len(), *word))
        .map(|(_, word)| word)
}

#[expect(
    clippy::indexing_slicing,
    reason = "a row has one place more than the word has letters, and each loop goes over letters"
)]
fn distance(typed: &[char], word: &str) -> usize {
    let word: Vec<char> = word.chars().flat_map(char::to_lowercase).collect();
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=word.len()).collect();
    for (i, a) in typed.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, b) in word.iter().enumerate() {
            let mut best = (last[j + 1] + 1).min(row[j] + 1).min(last[j] + usize::from(a != b));
            if i > 0 && j > 0 && *a == word[j - 1] && typed[i - 1] == *b {
                best = best.min(before[j - 1] + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(usize::MAX)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn finds_slips_and_no_strangers() {
        let known = ["feeds", "feeder", "receptacle", "panel", "stretch"];
        assert_eq!(nearest("fedes", known), Some("feeds"));
        assert_eq!(nearest("recepticle", known), Some("receptacle"));
        assert_eq!(nearest("strecth", known), Some("stretch"));
        assert_eq!(nearest("zebra", known), None);
        assert_eq!(nearest("L1", ["P1", "C1"]), nearest("L1", ["C1", "P1"]), "whatever their order");
    }
}

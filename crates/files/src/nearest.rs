//! The known word that somebody probably meant.

/// The candidate nearest to a word, if it is near enough to be a slip of the finger: at most a
/// third of the letters differ. Of equally near ones the first.
pub(crate) fn nearest<'c>(word: &str, candidates: impl IntoIterator<Item = &'c str>) -> Option<&'c str> {
    let word = word.to_lowercase();
    candidates
        .into_iter()
        .map(|candidate| (distance(&word, &candidate.to_lowercase()), candidate))
        .filter(|(steps, candidate)| 3 * steps <= candidate.chars().count().max(3))
        .min_by_key(|(steps, _)| *steps)
        .map(|(_, candidate)| candidate)
}

/// Fewest insertions, deletions and replacements of a character from one word to the other
/// (Levenshtein's distance), by the usual row-by-row table. Words beyond any key are cut.
fn distance(a: &str, b: &str) -> usize {
    const LONGEST: usize = 64;
    let b: Vec<char> = b.chars().take(LONGEST).collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.chars().take(LONGEST).enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, to) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(from != *to);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_single_steps() {
        assert_eq!(distance("chord", "chord"), 0);
        assert_eq!(distance("chrod", "chord"), 2);
        assert_eq!(distance("", "abc"), 3);
        assert_eq!(distance("kitten", "sitting"), 3);
    }

    #[test]
    fn offers_only_what_is_near() {
        let keys = ["station", "waterline", "chord"];
        assert_eq!(nearest("cord", keys), Some("chord"));
        assert_eq!(nearest("Stations", keys), Some("station"));
        assert_eq!(nearest("mass", keys), None);
        assert_eq!(nearest("", keys), None);
    }
}

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

/// Fewest insertions, deletions, replacements and swaps of neighbours from one word to the other
/// (optimal string alignment), row by row. Words beyond any key are cut.
fn distance(a: &str, b: &str) -> usize {
    const LONGEST: usize = 64;
    let [a, b]: [Vec<char>; 2] = [a, b].map(|word| word.chars().take(LONGEST).collect());
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 0..a.len() {
        let mut row = vec![i + 1];
        for j in 0..b.len() {
            let replaced = last[j] + usize::from(a[i] != b[j]);
            let mut least = replaced.min(row[j] + 1).min(last[j + 1] + 1);
            if i > 0 && j > 0 && a[i] == b[j - 1] && a[i - 1] == b[j] {
                least = least.min(before[j - 1] + 1);
            }
            row.push(least);
        }
        before = core::mem::replace(&mut last, row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_single_steps() {
        assert_eq!(distance("chord", "chord"), 0);
        assert_eq!(distance("chrod", "chord"), 1);
        assert_eq!(distance("", "abc"), 3);
        assert_eq!(distance("kitten", "sitting"), 3);
    }

    #[test]
    fn offers_only_what_is_near() {
        let keys = ["station", "waterline", "chord"];
        assert_eq!(nearest("cord", keys), Some("chord"));
        assert_eq!(nearest("chrod", keys), Some("chord"));
        assert_eq!(nearest("Stations", keys), Some("station"));
        assert_eq!(nearest("mass", keys), None);
        assert_eq!(nearest("", keys), None);
    }
}

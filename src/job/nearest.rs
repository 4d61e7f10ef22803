//! The nearest right word for a mistyped one.

/// The word that the typist most likely meant, if one is near enough: at most a third of its
/// letters wrong, missing, extra or swapped. Capitals do not count.
///
/// Of words equally near, the one that stands first in the list wins, so the same file always
/// gives the same suggestion.
pub fn nearest<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // No name or key is this long: a longer word was not mistyped.
    const LONGEST: usize = 48;
    let plain = |w: &str| -> Vec<char> {
        w.chars()
            .map(|c| if c == ' ' || c == '-' { '_' } else { c })
            .flat_map(char::to_lowercase)
            .collect()
    };
    let typed = plain(word);
    if typed.is_empty() || typed.len() > LONGEST {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for candidate in words {
        let right = plain(candidate);
        let longer = typed.len().max(right.len());
        let allowed = (longer / 3).max(1);
        if right.len().abs_diff(typed.len()) > allowed || right.len() > LONGEST {
            continue;
        }
        let far = distance(&typed, &right);
        // A word of which nothing is right is not a near word, however short.
        if far <= allowed && far < longer && best.is_none_or(|(b, _)| far < b) {
            best = Some((far, candidate));
        }
    }
    best.map(|(_, w)| w)
}

/// Letters wrong, missing, extra, or swapped with their neighbour (optimal string alignment).
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, &ca) in a.iter().enumerate() {
        let mut row = Vec::with_capacity(b.len() + 1);
        row.push(i + 1);
        for (j, &cb) in b.iter().enumerate() {
            let same = usize::from(ca != cb);
            let mut d = (last[j] + same).min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && ca == b[j - 1] && a[i - 1] == cb {
                d = d.min(before[j - 1] + 1);
            }
            row.push(d);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_word_that_was_meant() {
        let keys = ["kind", "floor", "station", "vented_by"];
        assert_eq!(nearest("staton", keys), Some("station"));
        assert_eq!(nearest("knid", keys), Some("kind"));
        assert_eq!(nearest("Floor", keys), Some("floor"));
        assert_eq!(nearest("vented by", keys), Some("vented_by"));
        assert_eq!(nearest("colour", keys), None);
        assert_eq!(nearest("", keys), None);
        assert_eq!(nearest("x", ["a"]), None);
    }

    #[test]
    fn names_with_figures_are_told_apart() {
        assert_eq!(nearest("S-1", ["S1", "S2"]), Some("S1"));
        assert_eq!(nearest("WC1", ["WC-1", "WC-2"]), Some("WC-1"));
    }
}

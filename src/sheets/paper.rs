//! Paper sizes, landscape: the US architectural and engineering series and ISO 216.

use super::Paper;

const fn inches(name: &'static str, width: f64, height: f64) -> Paper {
    Paper {
        name,
        width: width * 25.4,
        height: height * 25.4,
        inches: true,
    }
}

const fn metric(name: &'static str, width: f64, height: f64) -> Paper {
    Paper {
        name,
        width,
        height,
        inches: false,
    }
}

/// Every paper there is, each series from small to large.
pub const PAPERS: &[Paper] = &[
    inches("arch-a", 12.0, 9.0),
    inches("arch-b", 18.0, 12.0),
    inches("arch-c", 24.0, 18.0),
    inches("arch-d", 36.0, 24.0),
    inches("arch-e1", 42.0, 30.0),
    inches("arch-e", 48.0, 36.0),
    inches("ansi-a", 11.0, 8.5),
    inches("ansi-b", 17.0, 11.0),
    inches("ansi-c", 22.0, 17.0),
    inches("ansi-d", 34.0, 22.0),
    inches("ansi-e", 44.0, 34.0),
    metric("a4", 297.0, 210.0),
    metric("a3", 420.0, 297.0),
    metric("a2", 594.0, 420.0),
    metric("a1", 841.0, 594.0),
    metric("a0", 1189.0, 841.0),
];

/// The paper of a name; case does not matter, and `ISO A3` or `ARCH D` will do.
pub fn paper(name: &str) -> Option<Paper> {
    let plain = |s: &str| {
        let word: String = s.chars().filter(char::is_ascii_alphanumeric).collect();
        word.to_ascii_lowercase()
    };
    let asked = plain(name);
    let asked = asked.strip_prefix("iso").unwrap_or(&asked);
    PAPERS.iter().find(|p| plain(p.name) == asked).copied()
}

/// The names of all papers, for messages.
pub fn paper_names() -> impl Iterator<Item = &'static str> {
    PAPERS.iter().map(|p| p.name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_paper_by_any_spelling() {
        assert_eq!(
            paper("arch-d").map(|p| (p.width, p.height)),
            Some((36.0 * 25.4, 24.0 * 25.4))
        );
        assert_eq!(paper("ARCH D"), paper("arch-d"));
        assert_eq!(paper("ISO A1"), paper("a1"));
        assert_eq!(paper("letter"), None);
        assert_eq!(paper(""), None);
    }

    #[test]
    fn all_are_landscape_and_named_once() {
        for p in PAPERS {
            assert!(p.width > p.height, "{}", p.name);
            assert_eq!(paper(p.name), Some(*p));
        }
    }
}

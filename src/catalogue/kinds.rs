use super::list::KINDS;
use crate::units::Length;

/// Where a fixture's waste leaves it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outlet {
    /// Through the wall: the trap arm comes out of the wall above the floor.
    Wall,
    /// Through the floor: the trap lies below it.
    Floor,
    /// Over a receptor: an indirect waste without a trap of its own.
    Indirect,
}

/// A roughing-in figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Roughing {
    /// Above the finished floor; negative: below.
    pub height: Length,
    /// Where the figure comes from.
    pub source: &'static str,
}

impl Roughing {
    /// Common practice: what is used while the job states nothing.
    pub(super) const fn practice(inches: f64) -> Self {
        Roughing {
            height: Length::from_inches(inches),
            source: "common practice, no source",
        }
    }
}

/// A kind of fixture. The code books rate kinds by [`Kind::word`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kind {
    /// The canonical word (`water closet`).
    pub word: &'static str,
    /// Short tag for a sheet (`WC`).
    pub tag: &'static str,
    /// Other words for it, in lower case.
    pub synonyms: &'static [&'static str],
    /// Where its waste leaves it.
    pub outlet: Outlet,
    /// The trap arm's invert at the trap, above the finished floor.
    pub default_outlet: Roughing,
    /// Its flood level rim, above the finished floor.
    pub default_rim: Roughing,
    /// How far its own outlet lies below its rim, at most, where it is a bowl or a tub that stands
    /// clear of the floor; the height is negative.
    pub deepest_bowl: Option<Roughing>,
    /// A water closet: its drain is 3 in at least and its arm has no limit.
    pub closet: bool,
    /// Soil rather than waste: a closet or urinal, kept off waste-stack vents.
    pub soil: bool,
    /// Part of a bathroom group.
    pub bath_group: bool,
    /// Part of a kitchen.
    pub kitchen: bool,
    /// A clothes washer's standpipe.
    pub washer: bool,
    /// A floor drain or another receptor in the floor.
    pub floor_drain: bool,
    /// Seldom used: its seal dries out unless something keeps it.
    pub needs_primer: bool,
    /// Its own siphon clears and refills its trap, so that its arm has no limit of length.
    pub self_siphoning: bool,
}

/// The kind of a word, whatever its case: the canonical word, its tag or a usual synonym.
pub fn kind(word: &str) -> Option<&'static Kind> {
    // Most words are canonical already, and every stage asks; no word means two kinds.
    if let Some(kind) = KINDS.iter().find(|k| k.word == word) {
        return Some(kind);
    }
    let word = word.trim().to_lowercase();
    let word = word.split_whitespace().collect::<Vec<_>>().join(" ");
    let is = |k: &&Kind| {
        k.word == word || k.tag.eq_ignore_ascii_case(&word) || k.synonyms.contains(&word.as_str())
    };
    KINDS.iter().find(is)
}

/// Every kind, in the order of the list.
pub fn kinds() -> &'static [Kind] {
    &KINDS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn knows_the_trades_words() {
        for (said, word) in [
            ("WC", "water closet"),
            ("Water  Closet", "water closet"),
            ("toilet", "water closet"),
            ("lav", "lavatory"),
            ("tub", "bathtub"),
            ("washing machine", "clothes washer"),
            ("FD", "floor drain"),
        ] {
            assert_eq!(kind(said).map(|k| k.word), Some(word), "{said}");
        }
        assert!(kind("orrery").is_none());
        assert!(kind("").is_none());
    }

    #[test]
    fn no_word_means_two_kinds() {
        let mut words: Vec<String> = Vec::new();
        for k in kinds() {
            words.push(k.word.to_owned());
            words.push(k.tag.to_lowercase());
            words.extend(k.synonyms.iter().map(|s| (*s).to_owned()));
        }
        let count = words.len();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), count);
        assert!(kinds().len() >= 25);
    }

    #[test]
    fn synonyms_are_found_and_rims_stand_above_outlets() {
        for k in kinds() {
            for s in k.synonyms {
                assert_eq!(kind(s).map(|f| f.word), Some(k.word), "{s}");
            }
            assert!(
                k.default_rim.height >= k.default_outlet.height,
                "{}",
                k.word
            );
            assert!(!k.default_outlet.source.is_empty() && !k.default_rim.source.is_empty());
        }
    }
}

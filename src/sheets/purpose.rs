//! For whom a set of sheets is.

/// For whom a set of sheets is, which decides its words, its numbers and whether it is stamped.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Purpose {
    /// For plan review.
    #[default]
    Permit,
    /// For the supplier's counter.
    Takeoff,
    /// For the rough-in test.
    Test,
    /// For the inspector on site.
    Inspector,
    /// For the crew.
    Crew,
    /// For laying out the holes.
    Drops,
    /// For whoever lays the building drain.
    Profile,
}

impl Purpose {
    /// The word of `data-sheet`.
    pub fn word(self) -> &'static str {
        match self {
            Purpose::Permit => "permit",
            Purpose::Takeoff => "takeoff",
            Purpose::Test => "test",
            Purpose::Inspector => "inspector",
            Purpose::Crew => "crew",
            Purpose::Drops => "drops",
            Purpose::Profile => "profile",
        }
    }

    /// What stands under the sheet's title.
    pub(super) fn line(self) -> &'static str {
        match self {
            Purpose::Permit => "PERMIT DRAWING, PLUMBING",
            Purpose::Inspector => "FOR INSPECTION ON SITE",
            Purpose::Takeoff
            | Purpose::Test
            | Purpose::Crew
            | Purpose::Drops
            | Purpose::Profile => "WORKING PAPER, NOT FOR PERMIT",
        }
    }

    /// What it was issued for, in the block of revisions.
    pub(super) fn issued(self) -> &'static str {
        match self {
            Purpose::Permit => "ISSUED FOR PERMIT",
            Purpose::Inspector => "FOR INSPECTION",
            Purpose::Takeoff
            | Purpose::Test
            | Purpose::Crew
            | Purpose::Drops
            | Purpose::Profile => "FOR CONSTRUCTION",
        }
    }

    /// Whether an authority stamps it and an engineer seals it.
    pub(super) fn is_stamped(self) -> bool {
        self == Purpose::Permit
    }

    /// The digit of its sheets' numbers by the US National CAD Standard: 0 general, 1 plans, 3
    /// sections, 4 enlarged views, 6 schedules, 7 and 8 for what a user defines. No two papers of
    /// one job share one, so that a number names one sheet; tables beside plans and sections are
    /// counted on from those.
    pub(super) fn tables_digit(self) -> char {
        match self {
            Purpose::Takeoff => '0',
            Purpose::Drops => '1',
            Purpose::Profile => '3',
            Purpose::Crew => '4',
            Purpose::Permit => '6',
            Purpose::Test => '7',
            Purpose::Inspector => '8',
        }
    }

    /// All of them.
    #[cfg(test)]
    const ALL: [Purpose; 7] = [
        Purpose::Permit,
        Purpose::Takeoff,
        Purpose::Test,
        Purpose::Inspector,
        Purpose::Crew,
        Purpose::Drops,
        Purpose::Profile,
    ];
}

#[cfg(test)]
mod tests {
    use super::Purpose;

    /// Drawings to look at have 9; plans and sections those of the papers that they stand in.
    #[test]
    fn no_two_papers_share_a_digit() {
        let mut digits: Vec<char> = Purpose::ALL.iter().map(|p| p.tables_digit()).collect();
        digits.push('9');
        let all = digits.len();
        digits.sort_unstable();
        digits.dedup();
        assert_eq!(digits.len(), all);
    }
}

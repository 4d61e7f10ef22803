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

    /// The digit of its sheets' numbers by the US National CAD Standard: 6 schedules, 7 and 8 for
    /// what a user defines. The crew's are enlarged views, 4.
    pub(super) fn tables_digit(self) -> char {
        match self {
            Purpose::Crew => '4',
            Purpose::Permit => '6',
            Purpose::Test | Purpose::Inspector | Purpose::Drops => '7',
            Purpose::Takeoff | Purpose::Profile => '8',
        }
    }
}

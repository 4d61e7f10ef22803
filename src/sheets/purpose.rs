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
            Purpose::Profile => "profile",
        }
    }

    /// What stands under the sheet's title.
    pub(super) fn line(self) -> &'static str {
        match self {
            Purpose::Permit => "PERMIT DRAWING, PLUMBING",
            Purpose::Takeoff | Purpose::Test | Purpose::Profile => "WORKING PAPER, NOT FOR PERMIT",
            Purpose::Inspector => "FOR INSPECTION ON SITE",
        }
    }

    /// What it was issued for, in the block of revisions.
    pub(super) fn issued(self) -> &'static str {
        match self {
            Purpose::Permit => "ISSUED FOR PERMIT",
            Purpose::Takeoff | Purpose::Test | Purpose::Profile => "FOR CONSTRUCTION",
            Purpose::Inspector => "FOR INSPECTION",
        }
    }

    /// Whether an authority stamps it and an engineer seals it.
    pub(super) fn is_stamped(self) -> bool {
        self == Purpose::Permit
    }

    /// The digit of its sheets' numbers by the US National CAD Standard: 6 schedules, 7 and 8 for
    /// what a user defines.
    pub(super) fn tables_digit(self) -> char {
        match self {
            Purpose::Permit => '6',
            Purpose::Takeoff | Purpose::Profile => '8',
            Purpose::Test | Purpose::Inspector => '7',
        }
    }
}

/// Where a number of a book comes from.
///
/// A permit office may ask; a sheet can say. The order is from firmest to weakest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Provenance {
    /// Given by the town's own amendment, which the user wrote down.
    Amended,
    /// Read in a published page of the model code.
    Seen,
    /// Read in the law of a place that adopts the model code; local changes are possible.
    Adoption,
    /// Read in a page that quotes the code.
    SeenSecondHand,
    /// Arithmetic on other figures of the book.
    Derived,
    /// From general knowledge of the code; no page with the number was found.
    Memory,
    /// What the trade does; no code and no source.
    CommonPractice,
}

impl Provenance {
    /// Every status, firmest first.
    pub const ALL: [Provenance; 7] = [
        Provenance::Amended,
        Provenance::Seen,
        Provenance::Adoption,
        Provenance::SeenSecondHand,
        Provenance::Derived,
        Provenance::Memory,
        Provenance::CommonPractice,
    ];

    /// The words of a book file and of a sheet.
    pub fn words(self) -> &'static str {
        match self {
            Provenance::Amended => "amended",
            Provenance::Seen => "seen",
            Provenance::Adoption => "seen in an adoption",
            Provenance::SeenSecondHand => "seen second-hand",
            Provenance::Derived => "derived",
            Provenance::Memory => "from memory",
            Provenance::CommonPractice => "common practice, no source",
        }
    }
    /// Reads the words of a book file.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.words() == words)
    }
    /// The weaker of two: what a figure made of both is worth.
    pub fn weaker(self, other: Self) -> Self {
        self.max(other)
    }
}

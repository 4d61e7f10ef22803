/// A nominal pipe size. Carries both its names in the books: the nominal inch and the DN.
///
/// Ordered by size. Only sizes of the trade's list exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PipeSize(u8);

/// Nominal inches, DN, and other numbers that mean the same size: first the outside diameter in mm
/// of plastic pipe. 2 1/2 in is the DN 70 of drainage (EN 12056-2), elsewhere DN 65 (ISO 6708).
const SIZES: [(f64, &str, u16, &[u16]); 13] = [
    (1.25, "1 1/4", 32, &[]),
    (1.5, "1 1/2", 40, &[]),
    (2.0, "2", 50, &[]),
    (2.5, "2 1/2", 70, &[75, 65]),
    (3.0, "3", 80, &[90]),
    (4.0, "4", 100, &[110]),
    (5.0, "5", 125, &[]),
    (6.0, "6", 150, &[160]),
    (8.0, "8", 200, &[]),
    (10.0, "10", 250, &[]),
    (12.0, "12", 300, &[315]),
    (15.0, "15", 375, &[]),
    (18.0, "18", 450, &[]),
];

/// Nominal inches as they are lettered; printed for every pipe, several times.
const LETTERED: [&str; SIZES.len()] = [
    "1¼″", "1½″", "2″", "2½″", "3″", "4″", "5″", "6″", "8″", "10″", "12″", "15″", "18″",
];

impl PipeSize {
    /// The smallest size of the list.
    pub const SMALLEST: PipeSize = PipeSize(0);
    /// Every size, smallest first.
    pub fn all() -> impl DoubleEndedIterator<Item = PipeSize> {
        (0..SIZES.len() as u8).map(PipeSize)
    }
    /// The size of this nominal inch, if there is one.
    pub fn from_inches(inches: f64) -> Option<Self> {
        Self::all().find(|s| (s.inches() - inches).abs() < 1e-6)
    }
    /// The size of this DN, or of another number in millimetres that means the same, if there is one.
    pub fn from_dn(dn: u16) -> Option<Self> {
        let by_dn = SIZES.iter().position(|s| s.2 == dn);
        let by_other = || SIZES.iter().position(|s| s.3.contains(&dn));
        by_dn.or_else(by_other).map(|i| PipeSize(i as u8))
    }
    /// The nominal size in inches.
    pub fn inches(self) -> f64 {
        SIZES[self.0 as usize].0
    }
    /// The nominal size in inches as the trade writes it in plain text: `1 1/2`.
    pub fn trade_name(self) -> &'static str {
        SIZES[self.0 as usize].1
    }
    /// The same as it is lettered on a sheet: `1½″`.
    pub fn lettered(self) -> &'static str {
        LETTERED[self.0 as usize]
    }
    /// The DN in millimetres.
    pub fn dn(self) -> u16 {
        SIZES[self.0 as usize].2
    }
    /// The outside diameter in millimetres that plastic pipe of this size goes by, where it is
    /// another number than its DN.
    pub fn sold_outside(self) -> Option<u16> {
        SIZES[self.0 as usize].3.first().copied()
    }
    /// The next size of the list, up.
    pub fn next_up(self) -> Option<Self> {
        ((self.0 as usize) + 1 < SIZES.len()).then(|| PipeSize(self.0 + 1))
    }
    /// The next size of the list, down.
    pub fn next_down(self) -> Option<Self> {
        self.0.checked_sub(1).map(PipeSize)
    }
}

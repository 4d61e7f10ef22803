/// A direction in the building that a pipe can run in: eight in plan, and up and down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Heading {
    /// Plan north.
    North,
    /// Between north and east, 45° in plan.
    Northeast,
    /// Plan east.
    East,
    /// Between south and east, 45° in plan.
    Southeast,
    /// Plan south.
    South,
    /// Between south and west, 45° in plan.
    Southwest,
    /// Plan west.
    West,
    /// Between north and west, 45° in plan.
    Northwest,
    /// Straight up.
    Up,
    /// Straight down.
    Down,
}

impl Heading {
    /// The eight plan headings, clockwise from north.
    pub const PLAN: [Heading; 8] = [
        Heading::North,
        Heading::Northeast,
        Heading::East,
        Heading::Southeast,
        Heading::South,
        Heading::Southwest,
        Heading::West,
        Heading::Northwest,
    ];

    /// Reads the trade's word for a heading.
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "up" => Some(Heading::Up),
            "down" => Some(Heading::Down),
            _ => Self::PLAN.into_iter().find(|h| h.word() == word),
        }
    }
    /// The trade's word for it.
    pub fn word(self) -> &'static str {
        match self {
            Heading::North => "north",
            Heading::Northeast => "northeast",
            Heading::East => "east",
            Heading::Southeast => "southeast",
            Heading::South => "south",
            Heading::Southwest => "southwest",
            Heading::West => "west",
            Heading::Northwest => "northwest",
            Heading::Up => "up",
            Heading::Down => "down",
        }
    }
    /// The same by its first letters, as on a compass: `NW`; up and down in full.
    pub fn letters(self) -> &'static str {
        match self {
            Heading::North => "N",
            Heading::Northeast => "NE",
            Heading::East => "E",
            Heading::Southeast => "SE",
            Heading::South => "S",
            Heading::Southwest => "SW",
            Heading::West => "W",
            Heading::Northwest => "NW",
            Heading::Up => "UP",
            Heading::Down => "DOWN",
        }
    }
    /// Position in [`Heading::PLAN`], eighths of a turn clockwise from north; none for up and down.
    pub fn eighth(self) -> Option<usize> {
        Self::PLAN.into_iter().position(|h| h == self)
    }
    /// Turned clockwise in plan by eighths of a turn; up and down stay.
    pub fn turned(self, eighths: i32) -> Self {
        match self.eighth() {
            Some(i) => Self::PLAN[(i as i32 + eighths).rem_euclid(8) as usize],
            None => self,
        }
    }
    /// The opposite heading.
    pub fn reversed(self) -> Self {
        match self {
            Heading::Up => Heading::Down,
            Heading::Down => Heading::Up,
            plan => plan.turned(4),
        }
    }
    /// Whether it is straight up or down.
    pub fn is_vertical(self) -> bool {
        matches!(self, Heading::Up | Heading::Down)
    }
    /// Whether it is one of the four headings between the plan axes.
    pub fn is_diagonal(self) -> bool {
        self.eighth().is_some_and(|i| i % 2 == 1)
    }
    /// East and north parts of one unit along it (up and down: none).
    pub fn east_north(self) -> (f64, f64) {
        const D: f64 = std::f64::consts::FRAC_1_SQRT_2;
        match self {
            Heading::North => (0.0, 1.0),
            Heading::Northeast => (D, D),
            Heading::East => (1.0, 0.0),
            Heading::Southeast => (D, -D),
            Heading::South => (0.0, -1.0),
            Heading::Southwest => (-D, -D),
            Heading::West => (-1.0, 0.0),
            Heading::Northwest => (-D, D),
            Heading::Up | Heading::Down => (0.0, 0.0),
        }
    }
}

//! The one list of keys per record. The reader, the JSON Schema and the reference all walk it;
//! a key that does not stand here does not exist, and a key that does is read by its kind.

mod head;
mod pipes;
mod progress;
mod repetition;
mod things;

pub use head::{DRAWING, DROPS, EXIT, FLOOR, JOB, LINE, ROOF, TAKEOFF, TEST, TYPICAL};
pub use pipes::{BANK, DRAIN, GROUP_DRAIN, STACK, VENT};
pub use progress::PROGRESS;
pub use repetition::{GROUP, REPEAT};
pub use things::{
    BASIN, CLEANOUT, FIXTURE, FOOTING, GROUP_BASIN, GROUP_FIXTURE, PIN, VALVE, WAIVER,
};

use crate::units::Heading;

/// A table of the job file and the keys it may hold.
#[derive(Debug)]
pub struct Record {
    /// What one is called in a message, with its article: `a drain`.
    pub called: &'static str,
    /// What it is, in one sentence.
    pub doc: &'static str,
    /// Its keys, in the order of the reference.
    pub keys: &'static [Key],
}

/// One key.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// As written.
    pub name: &'static str,
    /// What it says, in one sentence.
    pub doc: &'static str,
    /// How its value is read.
    pub kind: Kind,
    /// Whether its record cannot do without it.
    pub required: bool,
}

/// A key that may be left out.
const fn may(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key {
        name,
        doc,
        kind,
        required: false,
    }
}

/// A key for a table of its own, which is explained there; it may be left out.
const fn part(name: &'static str, record: &'static Record) -> Key {
    may(name, Kind::One(record), record.doc)
}

/// A plan position.
const AT: Key = may(
    "at",
    Kind::At,
    "Plan position, east and north of plan zero.",
);

/// A key that may not.
const fn must(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key {
        name,
        doc,
        kind,
        required: true,
    }
}

/// Keys of a record that is another one but for a few: some first that only it has, then those of
/// the other without some.
const fn other<const F: usize, const N: usize, const M: usize>(
    first: [Key; F],
    keys: &[Key; N],
    without: &[&str],
) -> [Key; M] {
    let mut all = [may("", Kind::Flag, ""); M];
    let mut count = 0;
    while count < F {
        all[count] = first[count];
        count += 1;
    }
    let mut i = 0;
    while i < N {
        let mut kept = true;
        let mut j = 0;
        while j < without.len() {
            kept = kept && !same(keys[i].name, without[j]);
            j += 1;
        }
        if kept {
            // Worked out when the tool is built: a wrong count does not build.
            all[count] = keys[i];
            count += 1;
        }
        i += 1;
    }
    assert!(count == M, "as many keys as there are");
    all
}

const fn same(a: &str, b: &str) -> bool {
    let (a, b) = (a.as_bytes(), b.as_bytes());
    let mut i = 0;
    while a.len() == b.len() && i < a.len() && a[i] == b[i] {
        i += 1;
    }
    a.len() == b.len() && i == a.len()
}

/// Which lengths make sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// A level, or a height from a floor: either sign.
    Any,
    /// Nil or more.
    NotNegative,
    /// More than nil.
    Positive,
}

/// What a name may stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// An exit.
    Exit,
    /// A drain.
    Drain,
    /// A stack.
    Stack,
    /// A vent.
    Vent,
    /// A basin.
    Basin,
    /// A fixture.
    Fixture,
    /// A group of things that are placed many times.
    Group,
    /// The open air above the roof, by its reserved name.
    Roof,
    /// A cleanout.
    Cleanout,
    /// A valve.
    Valve,
    /// A footing.
    Footing,
    /// Anything else that has a name of its own: nothing can lead into it, and nobody builds it.
    Other,
}

impl What {
    /// In a message, with its article.
    pub fn called(self) -> &'static str {
        match self {
            What::Exit => "an exit",
            What::Drain => "a drain",
            What::Stack => "a stack",
            What::Vent => "a vent",
            What::Basin => "a basin",
            What::Fixture => "a fixture",
            What::Group => "a group",
            What::Roof => "the roof",
            What::Cleanout => "a cleanout",
            What::Valve => "a valve",
            What::Footing => "a footing",
            What::Other => "a part of another kind",
        }
    }
}

/// What is built and has a name: what can be marked as roughed in, tested or changed.
pub const PARTS: &[What] = &[
    What::Exit,
    What::Drain,
    What::Stack,
    What::Fixture,
    What::Vent,
    What::Basin,
    What::Cleanout,
    What::Valve,
    What::Footing,
];

/// How a value is read.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// Words on one line, at most so many characters.
    Text(usize),
    /// A date, as text or as a TOML date; kept as written.
    Date,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A list of these words.
    Words(&'static [&'static str]),
    /// A list of words of another list, which stands elsewhere.
    Texts(usize),
    /// `true` or `false`.
    Flag,
    /// A length.
    Length(Sign),
    /// A pipe size.
    Size,
    /// A list of pipe sizes.
    Sizes,
    /// A fall.
    Fall,
    /// A table of falls by (quoted) size.
    Falls,
    /// A flow.
    Flow,
    /// US gallons in one flush.
    Gallons,
    /// A load in drainage fixture units.
    Load,
    /// A whole number from 1 up to this.
    Count(u32),
    /// One of these whole numbers.
    Choice(&'static [u32]),
    /// One of these headings.
    Heading(&'static [Heading]),
    /// A plan heading and, if known, a length.
    Go,
    /// A list of legs.
    Run,
    /// East and north of plan zero.
    At,
    /// The name of a floor.
    Floor,
    /// The name of a floor, or `roof`.
    FloorOrRoof,
    /// The name of one of these things.
    Name(&'static [What]),
    /// A table of its own.
    One(&'static Record),
    /// A list of tables.
    Many(&'static Record),
    /// A table of named things.
    Named(&'static Record),
    /// Names and ranges of names: one, or a list.
    Ranges,
    /// Some keys of the things that the record's `on` names: read once it is known what those are.
    Now,
    /// The table of floors, with the roof and ranges of typical floors among them.
    Floors,
    /// The table of stacks, with ranges of like ones among them.
    Stacks,
}

/// The four corners to look from.
pub const CORNERS: &[Heading] = &[
    Heading::Southwest,
    Heading::Southeast,
    Heading::Northwest,
    Heading::Northeast,
];
/// The plan headings.
pub const PLAN: &[Heading] = &Heading::PLAN;
/// The plan axes.
pub const AXES: &[Heading] = &[Heading::North, Heading::East, Heading::South, Heading::West];

/// The whole file.
pub static FILE: Record = Record {
    called: "a job file",
    doc: "A job: its fixtures, floors and stacks, and as much of the rest as is known.",
    keys: &[
        may(
            "job",
            Kind::One(&JOB),
            "Title block, code book, units, and the job's own practice.",
        ),
        part("drawing", &DRAWING),
        part("takeoff", &TAKEOFF),
        part("test", &TEST),
        part("drops", &DROPS),
        may(
            "lines",
            Kind::Named(&LINE),
            "Reference lines that holes are measured from, by name.",
        ),
        may(
            "floors",
            Kind::Floors,
            "Finished floors by name, typical ones by a range of names, and `roof`.",
        ),
        may("exit", Kind::One(&EXIT), "Where the building drain leaves."),
        may("exits", Kind::Named(&EXIT), "More than one exit, by name."),
        may(
            "drains",
            Kind::Named(&DRAIN),
            "Horizontal drains by name, each written from its downstream end up.",
        ),
        may(
            "stacks",
            Kind::Stacks,
            "Stacks by name, like ones by a range of names.",
        ),
        may(
            "fixtures",
            Kind::Named(&FIXTURE),
            "Fixtures by name; the name is the tag on the sheet.",
        ),
        may(
            "vents",
            Kind::Named(&VENT),
            "Vents by name, each written from the drain upward.",
        ),
        may("cleanouts", Kind::Named(&CLEANOUT), "Cleanouts by name."),
        may("basins", Kind::Named(&BASIN), "Ejector basins by name."),
        may("valves", Kind::Named(&VALVE), "Valves in drains, by name."),
        may(
            "footings",
            Kind::Named(&FOOTING),
            "Footings that a drain passes, by name.",
        ),
        may(
            "progress",
            Kind::Named(&PROGRESS),
            "How far the work is on site, and what was changed there, by name.",
        ),
        may(
            "pins",
            Kind::Named(&PIN),
            "What is to be drawn in one of the ways that the job leaves free, by name.",
        ),
        may(
            "waivers",
            Kind::Named(&WAIVER),
            "Findings that the authority has let pass, by name.",
        ),
        may(
            "groups",
            Kind::Named(&GROUP),
            "What is written once and placed many times: a bathroom, a flat.",
        ),
        may(
            "repeat",
            Kind::Named(&REPEAT),
            "Where the groups are placed.",
        ),
    ],
};

impl Record {
    /// The key of this name.
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|k| k.name == name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn walk(record: &'static Record) {
        for (i, key) in record.keys.iter().enumerate() {
            assert!(
                !key.doc.is_empty() && key.doc.ends_with('.'),
                "{}",
                key.name
            );
            assert!(
                record.keys[i + 1..].iter().all(|k| k.name != key.name),
                "{} twice",
                key.name
            );
            if let Kind::One(r) | Kind::Many(r) | Kind::Named(r) = key.kind {
                walk(r);
            }
        }
    }

    #[test]
    fn every_key_stands_once_and_is_explained() {
        walk(&FILE);
        walk(&FLOOR);
        for record in [&ROOF, &TYPICAL, &STACK, &BANK] {
            walk(record);
        }
    }
}

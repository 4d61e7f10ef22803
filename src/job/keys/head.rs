//! Keys of the head of the file: job, drawing, floors, exits.

use super::{AT, AXES, CORNERS, Key, Kind, PLAN, Record, Sign, may, must, other, part};

/// Text on the sheet's title block.
const TITLE: Kind = Kind::Text(160);
const LEVEL: Kind = Kind::Length(Sign::Any);
const THICK: Kind = Kind::Length(Sign::Positive);

/// Venting methods, in the words of the code books.
pub(super) const METHODS: &[&str] = &[
    "individual",
    "common",
    "wet vent",
    "island",
    "stack vent",
    "waste stack",
    "single stack",
    "circuit",
    "combination",
    "air admittance valve",
];

/// `[job]`
pub static JOB: Record = Record {
    called: "the job",
    doc: "Title block, code book, units, and the job's own practice above the book.",
    keys: &[
        may(
            "title",
            TITLE,
            "Name of the job; the file's name if not stated.",
        ),
        may("number", TITLE, "The office's number of the job."),
        may(
            "address",
            TITLE,
            "Where the building stands; printed on every sheet.",
        ),
        may("client", TITLE, "For whom."),
        may("drawn_by", TITLE, "Who drew it."),
        may(
            "drawn_by_address",
            TITLE,
            "Address of who drew it; printed on every sheet, as some offices ask.",
        ),
        may("checked_by", TITLE, "Who checked it."),
        may("license", TITLE, "The plumber's licence."),
        may("permit", TITLE, "The permit's number."),
        may(
            "scope",
            Kind::Text(600),
            "What the work is, and what it is not.",
        ),
        may(
            "date",
            Kind::Date,
            "Date of issue, as it is to be printed; never today's date by itself.",
        ),
        may("revision", TITLE, "Revision of the sheet."),
        may(
            "code",
            TITLE,
            "A built-in code book such as `irc-2021` or `en-12056-2`, or the path of one.",
        ),
        may(
            "code_options",
            Kind::Texts(60),
            "What is chosen where the code book leaves a choice, such as `system II`; `stackfall book ID` lists the choices.",
        ),
        may(
            "units",
            Kind::Word(&["feet", "metric"]),
            "What bare numbers mean and what is printed; feet if not stated.",
        ),
        part("zero", &ZERO),
        may(
            "fall",
            Kind::Falls,
            "Preferred fall by pipe size; sizes as keys are quoted.",
        ),
        may(
            "steepest",
            Kind::Fall,
            "Steepest fall of a drain that is not upright; 1/2 in per ft if not stated (common practice).",
        ),
        may(
            "stock",
            Kind::Sizes,
            "Sizes on the truck; nothing else is proposed.",
        ),
        may("least", Kind::One(&PRACTICE_LEAST), "Least sizes by place."),
        may(
            "join",
            Kind::Word(&["centre", "crown", "invert"]),
            "How bores meet at wyes and reducers; centre if not stated.",
        ),
        may("spare", Kind::Length(Sign::NotNegative), "Room to keep."),
        may(
            "faces",
            Kind::Word(&["stud", "finish"]),
            "The face of a wall to which lengths and positions are measured; the crew's sheets say it.",
        ),
        may(
            "whole_risers",
            Kind::Flag,
            "A vent riser has one size from its lowest branch to its top, the largest that any part \
             of it needs.",
        ),
        may(
            "material",
            Kind::One(&MATERIAL),
            "Pipe materials; PVC DWV if not stated.",
        ),
        part("terminal", &TERMINAL),
        may(
            "methods",
            Kind::One(&METHOD),
            "Venting methods to prefer, to allow beyond the usual, and to forbid.",
        ),
    ],
};

/// `zero` of `[job]`
static ZERO: Record = Record {
    called: "the zero level",
    doc: "What level 0 is, and how it ties to the survey.",
    keys: &[
        may("is", TITLE, "What level 0 is, in words: `first floor`."),
        may("survey", LEVEL, "Survey elevation of level 0."),
        may("benchmark", TITLE, "The benchmark, in words."),
        may("level", LEVEL, "The benchmark's level above zero."),
    ],
};

/// `least` of `[job]`
pub static PRACTICE_LEAST: Record = Record {
    called: "the least sizes",
    doc: "Least sizes that this job lays, above the book's.",
    keys: &[
        may(
            "under_slab",
            Kind::Size,
            "Least size under a slab: of drains, and of traps that lie there.",
        ),
        may("kitchen", Kind::Size, "Least size of a kitchen drain."),
        may("vent", Kind::Size, "Least size of a vent."),
    ],
};

static MATERIAL: Record = Record {
    called: "the materials",
    doc: "Pipe materials, in the trade's words.",
    keys: &[
        may("below", TITLE, "Below ground."),
        may("above", TITLE, "Above ground."),
        may("vents", TITLE, "Vents."),
    ],
};

static TERMINAL: Record = Record {
    called: "the vent terminals",
    doc: "Vent terminals above the roof.",
    keys: &[
        may(
            "above_roof",
            THICK,
            "How far a terminal stands above the roof.",
        ),
        may(
            "frost",
            Kind::Size,
            "Least size of a terminal where frost closes smaller ones.",
        ),
    ],
};

static METHOD: Record = Record {
    called: "the venting methods",
    doc: "Venting methods, in the trade's words.",
    keys: &[
        may(
            "prefer",
            Kind::Words(METHODS),
            "Tried first, where the book allows them.",
        ),
        may(
            "allow",
            Kind::Words(METHODS),
            "Allowed beyond the usual ones, where the book allows them.",
        ),
        may(
            "forbid",
            Kind::Words(METHODS),
            "Not proposed, whatever the book allows; an error where the job states one.",
        ),
    ],
};

/// `[drawing]`
pub static DRAWING: Record = Record {
    called: "the drawing",
    doc: "How to draw; all of it is chosen if not stated.",
    keys: &[
        may(
            "from",
            Kind::Heading(CORNERS),
            "Corner of the building to look from.",
        ),
        may(
            "sheet",
            Kind::Text(24),
            "Paper: `arch-d`, `ansi-b`, `iso-a1` and so on.",
        ),
        may(
            "to_scale",
            Kind::Flag,
            "Draw lengths to scale; diagrammatic if not stated.",
        ),
        may(
            "in_full",
            Kind::Flag,
            "Draw storeys and stacks that are built alike one by one; on several sheets one of each is \
             drawn if not stated.",
        ),
        may(
            "plain_tags",
            Kind::Flag,
            "A trap and its tag for each fixture, without a drawing of the fixture.",
        ),
    ],
};

/// `[takeoff]`
pub static TAKEOFF: Record = Record {
    called: "the list of material",
    doc: "How material is counted.",
    keys: &[
        may(
            "waste",
            Kind::Count(100),
            "Percent that is added to lengths of pipe for waste; none if not stated.",
        ),
        may(
            "stock_length",
            Kind::Length(Sign::Positive),
            "Length that pipe is bought in; 10 ft or 3 m if not stated (common practice).",
        ),
    ],
};

/// `[test]`
pub static TEST: Record = Record {
    called: "the rough-in test",
    doc: "How the rough-in is tested.",
    keys: &[may(
        "plug_rating",
        Kind::Length(Sign::Positive),
        "Head of water that the test plugs bear.",
    )],
};

/// `[drops]`
pub static DROPS: Record = Record {
    called: "the drops",
    doc: "Holes that are bored for the pipes.",
    keys: &[may(
        "clearance",
        Kind::Length(Sign::NotNegative),
        "How much larger a hole is than the outside of its pipe, before it is rounded up to a bit.",
    )],
};

/// One of `[lines]`
pub static LINE: Record = Record {
    called: "a reference line",
    doc: "A line or face on site from which holes are measured; give `east` or `north`.",
    keys: &[
        must(
            "is",
            Kind::Text(60),
            "What it is: `inside face of the west wall`.",
        ),
        may(
            "east",
            LEVEL,
            "How far east of plan zero it stands, of one that runs north and south.",
        ),
        may(
            "north",
            LEVEL,
            "How far north of plan zero it stands, of one that runs east and west.",
        ),
    ],
};

/// Keys of a floor.
const FLOOR_KEYS: [Key; 12] = [
    must("level", LEVEL, "Level of the finished floor above zero."),
    may("slab", THICK, "Thickness of the slab, if it is one."),
    may("deck", THICK, "Thickness of the deck above the joists."),
    may("joists", THICK, "Depth of the joists."),
    may(
        "joists_run",
        Kind::Heading(AXES),
        "Which way the joists run.",
    ),
    may("spacing", THICK, "Spacing of the joists."),
    may(
        "first_joist",
        LEVEL,
        "Middle of the first joist north of plan zero where they run east or west, else east of it.",
    ),
    may(
        "joist_width",
        THICK,
        "Thickness of a joist seen from above, of an engineered one that of its flanges.",
    ),
    may(
        "ceiling",
        THICK,
        "Thickness of the ceiling below the joists.",
    ),
    may(
        "soffit",
        THICK,
        "Depth of a soffit below the joists' bottom, clear for pipes that lie under joists.",
    ),
    may("grade", LEVEL, "Level of the ground outside."),
    may(
        "part_of",
        Kind::Floor,
        "The floor that this pit is part of.",
    ),
];

/// One floor of `[floors]`
pub static FLOOR: Record = Record {
    called: "a floor",
    doc: "A finished floor.",
    keys: &FLOOR_KEYS,
};

/// A range of `[floors]`
pub static TYPICAL: Record = Record {
    called: "a range of floors",
    doc: "Typical floors by one line, `\"3..17\" = { … }`: their names have one beginning and count up.",
    keys: &other::<2, 12, 12>(
        [
            must(
                "from",
                LEVEL,
                "Level of the first of these floors above zero.",
            ),
            must(
                "each",
                LEVEL,
                "How much higher each lies than the one before; below nought for cellars that count downwards.",
            ),
        ],
        &FLOOR_KEYS,
        &["level", "part_of"],
    ),
};

/// `roof` of `[floors]`
pub static ROOF: Record = Record {
    called: "the roof",
    doc: "The roof that vents go through.",
    keys: &[must("level", LEVEL, "Level of the roof above zero.")],
};

/// `[exit]`, and one of `[exits]`
pub static EXIT: Record = Record {
    called: "an exit",
    doc: "Where a building drain leaves the building.",
    keys: &[
        may(
            "to",
            TITLE,
            "What it goes to: `public sewer`, `septic tank`.",
        ),
        may(
            "invert",
            LEVEL,
            "Invert at the outside face of the wall, above zero.",
        ),
        may("heading", Kind::Heading(PLAN), "The way the water leaves."),
        AT,
        may(
            "footing_top",
            LEVEL,
            "Top of the footing there, above zero.",
        ),
        may(
            "footing_bottom",
            LEVEL,
            "Bottom of the footing there, above zero.",
        ),
        part("sewer", &SEWER),
    ],
};

static SEWER: Record = Record {
    called: "the sewer",
    doc: "The sewer beyond the wall.",
    keys: &[
        may("length", THICK, "Its length."),
        may("size", Kind::Size, "Its size."),
        may("existing", Kind::Flag, "Whether it is there already."),
        may("tap", LEVEL, "Invert where it is tapped, above zero."),
        may(
            "manhole_rim",
            LEVEL,
            "Rim of the next upstream manhole, above zero.",
        ),
        may("grade", LEVEL, "Level of the ground over it, above zero."),
    ],
};

#[cfg(test)]
mod tests {
    use super::METHODS;
    use crate::codebook::Book;

    /// A method that the reader does not let through could never be allowed, and one that no
    /// book has could never be found.
    #[test]
    fn methods_are_those_of_the_books() {
        let books: Vec<_> = Book::builtin_ids()
            .iter()
            .filter_map(|id| Book::builtin(id))
            .collect();
        assert!(!books.is_empty());
        for word in METHODS {
            assert!(
                books.iter().any(|b| b.methods().get(word).is_some()),
                "{word}"
            );
        }
        for method in books.iter().flat_map(|b| b.methods().all.clone()) {
            assert!(METHODS.contains(&method.word.as_str()), "{}", method.word);
        }
    }
}

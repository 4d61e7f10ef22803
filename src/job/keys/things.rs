//! Keys of what stands on the pipes: fixtures, cleanouts, basins, valves, footings, pins, waivers.

use super::pipes::SIDE;
use super::{AT, Key, Kind, PLAN, Record, Sign, What, may, must, other};

const STATION: Kind = Kind::Length(Sign::NotNegative);
const HEIGHT: Kind = Kind::Length(Sign::Any);
const THICK: Kind = Kind::Length(Sign::Positive);
const ON_DRAIN: Kind = Kind::Name(&[What::Drain]);
const FIXTURE_NAME: Kind = Kind::Name(&[What::Fixture]);
const STATION_DOC: &str = "Developed length up that drain, from its downstream end.";

/// Keys of a fixture.
const FIXTURE_KEYS: [Key; 28] = [
    must(
        "kind",
        Kind::Text(60),
        "What it is, in the trade's words: `water closet`, `lavatory`, `kitchen sink`.",
    ),
    may("room", Kind::Text(60), "Room it stands in."),
    may(
        "floor",
        Kind::Floor,
        "Floor it stands on; the only floor if there is one.",
    ),
    may(
        "into",
        Kind::Name(&[
            What::Drain,
            What::Stack,
            What::Basin,
            What::Fixture,
            What::Exit,
        ]),
        "What it drains into; the only stack, else the building drain, if not stated.",
    ),
    may("station", STATION, STATION_DOC),
    may("side", SIDE, "Side of the drain it stands on."),
    AT,
    may(
        "run",
        Kind::Run,
        "Legs from the drain to the vent fitting, walking upstream.",
    ),
    may(
        "arm",
        THICK,
        "Developed length of the trap arm, from the vent fitting to the trap weir.",
    ),
    may(
        "size",
        Kind::Size,
        "Stated size of the trap arm and fixture drain.",
    ),
    may("fall", Kind::Fall, "Stated fall of the arm."),
    may(
        "outlet",
        HEIGHT,
        "The arm's invert at the trap, above the finished floor.",
    ),
    may("rim", HEIGHT, "Flood level rim above the finished floor."),
    may(
        "gpf",
        Kind::Gallons,
        "Gallons per flush, of a water closet or urinal.",
    ),
    may("flow", Kind::Flow, "Flow into it, all heads together."),
    may("heads", Kind::Count(100), "Number of shower heads."),
    may(
        "with",
        Kind::Words(&["disposer", "dishwasher"]),
        "What drains with it.",
    ),
    may(
        "vent",
        Kind::Name(&[What::Vent]),
        "The vent it uses; fixtures that name one vent share it.",
    ),
    may(
        "vented_by",
        FIXTURE_NAME,
        "The fixture whose vent serves this one as a wet vent.",
    ),
    may(
        "primed_by",
        FIXTURE_NAME,
        "The fixture whose use feeds this trap's primer.",
    ),
    may(
        "over",
        FIXTURE_NAME,
        "The receptor that this indirect waste stands over.",
    ),
    may("gap", THICK, "Air gap above the receptor."),
    may(
        "load",
        Kind::Load,
        "Load in drainage fixture units, for a fixture the book does not know.",
    ),
    may(
        "trap",
        Kind::Size,
        "Trap size, for a fixture the book does not know.",
    ),
    may("public", Kind::Flag, "In public use."),
    may(
        "emergency",
        Kind::Flag,
        "A floor drain for emergencies only.",
    ),
    may(
        "existing",
        Kind::Flag,
        "There already: drawn lighter, marked (E), never resized.",
    ),
    may(
        "future",
        Kind::Flag,
        "Roughed in for later: counted, marked (F).",
    ),
];

/// One of `[fixtures]`
pub static FIXTURE: Record = Record {
    called: "a fixture",
    doc: "A fixture; its name is the tag on the sheet.",
    keys: &FIXTURE_KEYS,
};

/// One of `[groups.NAME.fixtures]`
pub static GROUP_FIXTURE: Record = Record {
    called: "a fixture of a group",
    doc: "A fixture of a group; each copy is named after it, `WC-1@S1-3`.",
    keys: &other::<0, 28, 27>([], &FIXTURE_KEYS, &["floor"]),
};

/// One of `[cleanouts]`
pub static CLEANOUT: Record = Record {
    called: "a cleanout",
    doc: "A cleanout.",
    keys: &[
        must(
            "on",
            Kind::Name(&[What::Drain, What::Stack]),
            "The drain or stack it opens.",
        ),
        may(
            "station",
            STATION,
            "Developed length up that drain; its upstream end if not stated.",
        ),
        may(
            "kind",
            Kind::Word(&["floor", "wall", "grade", "two-way", "stack", "end"]),
            "Its kind.",
        ),
        may("size", Kind::Size, "Stated size; worked out if not stated."),
    ],
};

/// Keys of a basin.
const BASIN_KEYS: [Key; 7] = [
    may("floor", Kind::Floor, "Floor it stands in."),
    may("pump", Kind::Flow, "Flow of its pump."),
    may(
        "into",
        Kind::Name(&[What::Drain, What::Stack, What::Exit]),
        "What it discharges into.",
    ),
    may("station", STATION, STATION_DOC),
    may("size", Kind::Size, "Size of its discharge."),
    may(
        "inlet",
        HEIGHT,
        "Invert of its inlet, from its floor: the drains that enter it fall to that.",
    ),
    may("vent", Kind::Name(&[What::Vent]), "Its vent."),
];

/// One of `[basins]`
pub static BASIN: Record = Record {
    called: "a basin",
    doc: "An ejector basin.",
    keys: &BASIN_KEYS,
};

/// One of `[groups.NAME.basins]`
pub static GROUP_BASIN: Record = Record {
    called: "a basin of a group",
    doc: "An ejector basin of a group.",
    keys: &other::<0, 7, 6>([], &BASIN_KEYS, &["floor"]),
};

/// One of `[valves]`
pub static VALVE: Record = Record {
    called: "a valve",
    doc: "A valve in a drain.",
    keys: &[
        must("kind", Kind::Word(&["backwater"]), "Its kind."),
        must("on", ON_DRAIN, "The drain it stands in."),
        may("station", STATION, STATION_DOC),
    ],
};

/// One of `[footings]`
pub static FOOTING: Record = Record {
    called: "a footing",
    doc: "A footing that a drain passes.",
    keys: &[
        must("on", ON_DRAIN, "The drain that passes it."),
        may("station", STATION, STATION_DOC),
        may("top", HEIGHT, "Its top above zero."),
        may("bottom", HEIGHT, "Its bottom above zero."),
    ],
};

/// One of `[pins]`
pub static PIN: Record = Record {
    called: "a pin",
    doc: "How one thing is drawn, where the job leaves it free; what cannot be kept is a finding.",
    keys: &[
        must(
            "on",
            Kind::Text(80),
            "What is pinned: a drain, a stack, a fixture, or a pipe as the pipe schedule names it.",
        ),
        may(
            "side",
            Kind::Word(&["left", "right"]),
            "The side of the paper to which it leads from what it drains into.",
        ),
        may(
            "heading",
            Kind::Heading(PLAN),
            "The way on which it leads from there, as a leg of a `run` does; above `side`.",
        ),
        may(
            "after",
            Kind::Text(80),
            "What it joins upstream of, on a stack above, where no station says it.",
        ),
        may(
            "length",
            Kind::Length(Sign::Positive),
            "The least length of the pipe on paper.",
        ),
    ],
};

/// One of `[waivers]`
pub static WAIVER: Record = Record {
    called: "a waiver",
    doc: "A finding that the authority has let pass.",
    keys: &[
        must("code", Kind::Text(40), "Code or name of the finding."),
        may(
            "on",
            Kind::Text(80),
            "The thing it is waived on, by name or id; the whole job if not stated.",
        ),
        must("reason", Kind::Text(300), "Why."),
        may("by", Kind::Text(160), "Who approved."),
    ],
};

//! Keys of the pipes: drains, stacks, vents.

use super::{AT, Key, Kind, PLAN, Record, Sign, What, may, must, other, part};

const STATION: Kind = Kind::Length(Sign::NotNegative);
const HEIGHT: Kind = Kind::Length(Sign::Any);
const EXISTING: &str = "There already: drawn lighter, marked (E), never resized.";
const FUTURE: &str = "Roughed in for later: counted, marked (F).";
const SIZE: &str = "Stated size; worked out if not stated.";
const STATION_DOC: &str =
    "Developed length up the drain it joins, from that drain's downstream end.";

/// Keys of a drain.
const DRAIN_KEYS: [Key; 11] = [
    may(
        "into",
        Kind::Name(&[What::Exit, What::Drain, What::Stack, What::Basin]),
        "What it drains into.",
    ),
    may("floor", Kind::Floor, "The floor it hangs beneath."),
    may(
        "station",
        STATION,
        "Developed length up the drain it joins, from that drain's downstream end; without it, it goes on in line from that drain's end.",
    ),
    may(
        "wye",
        Kind::Word(&["flat", "rolled", "on back"]),
        "How it joins.",
    ),
    may("run", Kind::Run, "Its legs, walking upstream."),
    may("size", Kind::Size, SIZE),
    may("fall", Kind::Fall, "Stated fall; worked out if not stated."),
    may(
        "invert",
        HEIGHT,
        "Invert where it meets its stack, from the finished floor of `floor`.",
    ),
    may(
        "method",
        Kind::Word(&["circuit", "combination"]),
        "How one vent serves the fixtures on it that state no vent; vents are proposed if not stated.",
    ),
    may("existing", Kind::Flag, EXISTING),
    may("future", Kind::Flag, FUTURE),
];

/// One of `[drains]`
pub static DRAIN: Record = Record {
    called: "a drain",
    doc: "A horizontal drain, written from its downstream end up.",
    keys: &DRAIN_KEYS,
};

/// One of `[groups.NAME.drains]`
pub static GROUP_DRAIN: Record = Record {
    called: "a drain of a group",
    doc: "A horizontal drain of a group, written from its downstream end up.",
    keys: &other::<0, 11, 10>([], &DRAIN_KEYS, &["floor"]),
};

/// Keys of a stack.
const STACK_KEYS: [Key; 11] = [
    may(
        "into",
        Kind::Name(&[What::Exit, What::Drain]),
        "The drain or the exit that it stands on.",
    ),
    may("station", STATION, STATION_DOC),
    AT,
    may(
        "run",
        Kind::Run,
        "Legs from the drain to its base, walking upstream.",
    ),
    may("size", Kind::Size, SIZE),
    may("wall", Kind::Text(40), "The wall it stands in: `2x6`."),
    may(
        "up_to",
        Kind::FloorOrRoof,
        "The floor it ends at, or `roof`; roof if not stated.",
    ),
    may("offsets", Kind::Many(&OFFSET), "Where it steps aside."),
    may(
        "method",
        Kind::Word(&["single stack", "waste stack"]),
        "How its own vent serves the fixtures on it that state no vent; vents are proposed if not stated.",
    ),
    may("existing", Kind::Flag, EXISTING),
    may("future", Kind::Flag, FUTURE),
];

/// One of `[stacks]`
pub static STACK: Record = Record {
    called: "a stack",
    doc: "A stack.",
    keys: &STACK_KEYS,
};

/// A range of `[stacks]`
pub static BANK: Record = Record {
    called: "a range of stacks",
    doc: "Like stacks by one line, `\"S1..S8\" = { … }`: their names have one beginning and count up.",
    keys: &other::<1, 11, 11>(
        [may(
            "each",
            Kind::Length(Sign::Positive),
            "How much farther up the drain each stands than the one before; `station` is that of the first.",
        )],
        &STACK_KEYS,
        &["at"],
    ),
};

static OFFSET: Record = Record {
    called: "an offset",
    doc: "Where a stack steps aside below a floor.",
    keys: &[
        must("floor", Kind::Floor, "The floor beneath which it lies."),
        may("invert", HEIGHT, "Its invert, from that finished floor."),
        must(
            "go",
            Kind::Go,
            "Which way and how far, from the lower stack to the upper.",
        ),
        may(
            "by",
            Kind::Choice(&[45, 90]),
            "By which bends, in degrees from the vertical; 45 if not stated.",
        ),
    ],
};

/// One of `[vents]`
pub static VENT: Record = Record {
    called: "a vent",
    doc: "A vent, written from the drain upward.",
    keys: &[
        may(
            "kind",
            Kind::Word(&["island", "air admittance valve"]),
            "What sort of vent; a plain dry vent if not stated.",
        ),
        may(
            "into",
            Kind::Name(&[What::Stack, What::Vent, What::Roof]),
            "A stack, another vent, or `roof`.",
        ),
        may("run", Kind::Run, "Its legs, from the drain upward."),
        may("size", Kind::Size, SIZE),
        part("foot", &FOOT),
        may("existing", Kind::Flag, EXISTING),
        may("future", Kind::Flag, FUTURE),
    ],
};

static FOOT: Record = Record {
    called: "a foot vent",
    doc: "Where the foot vent of an island loop drains back.",
    keys: &[
        must("into", Kind::Name(&[What::Drain]), "The drain."),
        may("station", STATION, "Developed length up that drain."),
    ],
};

/// Where a heading in plan is asked for a side.
pub(super) const SIDE: Kind = Kind::Heading(PLAN);

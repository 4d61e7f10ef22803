//! Keys of what is written once and placed many times.

use super::{
    CLEANOUT, GROUP_BASIN, GROUP_DRAIN, GROUP_FIXTURE, Kind, Record, VALVE, VENT, What, may, must,
};

/// One of `[groups]`
pub static GROUP: Record = Record {
    called: "a group",
    doc: "Things that are placed together on many stacks and floors. Names are looked up in the group first; what names no `into` goes into what `[repeat]` names.",
    keys: &[
        may(
            "drains",
            Kind::Named(&GROUP_DRAIN),
            "Its drains, as in `[drains]` but without `floor`.",
        ),
        may(
            "fixtures",
            Kind::Named(&GROUP_FIXTURE),
            "Its fixtures, as in `[fixtures]` but without `floor`.",
        ),
        may("vents", Kind::Named(&VENT), "Its vents, as in `[vents]`."),
        may(
            "cleanouts",
            Kind::Named(&CLEANOUT),
            "Cleanouts on its drains, as in `[cleanouts]`.",
        ),
        may(
            "basins",
            Kind::Named(&GROUP_BASIN),
            "Its ejector basins, as in `[basins]` but without `floor`.",
        ),
        may(
            "valves",
            Kind::Named(&VALVE),
            "Valves in its drains, as in `[valves]`.",
        ),
    ],
};

/// One of `[repeat]`
pub static REPEAT: Record = Record {
    called: "a repeat",
    doc: "A group, placed once on each of these floors of each of these stacks.",
    keys: &[
        must("group", Kind::Name(&[What::Group]), "The group."),
        must(
            "into",
            Kind::Ranges,
            "Stacks, by name or range, or a drain (then on one floor only): what of the group names no `into` goes there.",
        ),
        must(
            "floors",
            Kind::Ranges,
            "Floors, by name or by a range from a lower to a higher one, whatever lies between; pits are passed over.",
        ),
    ],
};

//! The one list of fixture kinds.

use super::kinds::{Kind, Outlet, Roughing};

/// A kind with nothing special about it, to spell out only what differs.
const fn plain(
    word: &'static str,
    tag: &'static str,
    synonyms: &'static [&'static str],
    outlet: Outlet,
    heights: (f64, f64),
) -> Kind {
    Kind {
        word,
        tag,
        synonyms,
        outlet,
        default_outlet: Roughing::practice(heights.0),
        default_rim: Roughing::practice(heights.1),
        deepest_bowl: None,
        closet: false,
        soil: false,
        bath_group: false,
        kitchen: false,
        washer: false,
        floor_drain: false,
        needs_primer: false,
        self_siphoning: false,
    }
}

/// The outlet of a bowl lies so many inches below its rim, at most.
const fn bowl(inches: f64) -> Option<Roughing> {
    Some(Roughing::practice(-inches))
}

use Outlet::{Floor, Indirect, Wall};

/// Heights are outlet, rim, in inches above the finished floor.
pub(super) const KINDS: [Kind; 27] = [
    Kind {
        closet: true,
        soil: true,
        bath_group: true,
        self_siphoning: true,
        ..plain(
            "water closet",
            "WC",
            &["toilet", "closet"],
            Floor,
            // The invert of its bend below the floor.
            (-8.0, 15.0),
        )
    },
    Kind {
        soil: true,
        ..plain("urinal", "UR", &[], Wall, (20.0, 24.0))
    },
    Kind {
        deepest_bowl: bowl(8.0),
        bath_group: true,
        ..plain(
            "lavatory",
            "LAV",
            &[
                "wash basin",
                "basin",
                "hand sink",
                "bathroom sink",
                "vanity",
            ],
            Wall,
            (18.0, 32.0),
        )
    },
    Kind {
        bath_group: true,
        ..plain("bidet", "BD", &[], Floor, (-6.0, 15.0))
    },
    Kind {
        bath_group: true,
        ..plain(
            "bathtub",
            "BT",
            &[
                "tub",
                "bath",
                "bath tub",
                "whirlpool",
                "tub and shower",
                "tub/shower",
            ],
            Floor,
            (-8.0, 15.0),
        )
    },
    Kind {
        bath_group: true,
        ..plain("shower", "SH", &["shower stall"], Floor, (-8.0, 2.0))
    },
    Kind {
        deepest_bowl: bowl(12.0),
        kitchen: true,
        ..plain("kitchen sink", "KS", &[], Wall, (16.0, 36.0))
    },
    Kind {
        deepest_bowl: bowl(10.0),
        kitchen: true,
        ..plain(
            "bar sink",
            "BS",
            &["wet bar", "prep sink"],
            Wall,
            (16.0, 36.0),
        )
    },
    Kind {
        kitchen: true,
        ..plain("dishwasher", "DW", &["dish washer"], Wall, (16.0, 34.0))
    },
    Kind {
        deepest_bowl: bowl(16.0),
        ..plain(
            "laundry tub",
            "LT",
            &["laundry tray", "laundry sink", "utility sink"],
            Wall,
            (14.0, 34.0),
        )
    },
    Kind {
        washer: true,
        ..plain(
            "clothes washer",
            "CLW",
            &[
                "washer",
                "washing machine",
                "laundry standpipe",
                "standpipe",
                "washer box",
            ],
            Wall,
            (8.0, 42.0),
        )
    },
    Kind {
        washer: true,
        ..plain(
            "commercial clothes washer",
            "CCW",
            &["commercial washer"],
            Wall,
            (8.0, 42.0),
        )
    },
    Kind {
        floor_drain: true,
        needs_primer: true,
        ..plain("floor drain", "FD", &[], Floor, (-10.0, 0.0))
    },
    Kind {
        floor_drain: true,
        ..plain("floor sink", "FS", &[], Floor, (-12.0, 0.0))
    },
    Kind {
        floor_drain: true,
        ..plain("hub drain", "HD", &["open hub"], Floor, (-10.0, 2.0))
    },
    plain(
        "service sink",
        "SS",
        &["mop sink", "mop basin", "slop sink"],
        Floor,
        (-6.0, 10.0),
    ),
    Kind {
        deepest_bowl: bowl(14.0),
        ..plain(
            "sink",
            "SK",
            &["work sink", "compartment sink"],
            Wall,
            (16.0, 34.0),
        )
    },
    Kind {
        deepest_bowl: bowl(12.0),
        ..plain(
            "wash sink",
            "WS",
            &["wash fountain", "circular wash sink"],
            Wall,
            (14.0, 32.0),
        )
    },
    Kind {
        deepest_bowl: bowl(16.0),
        ..plain(
            "sink and tray",
            "ST",
            &["combination sink and tray"],
            Wall,
            (14.0, 34.0),
        )
    },
    Kind {
        deepest_bowl: bowl(6.0),
        ..plain(
            "drinking fountain",
            "DF",
            &["water cooler", "bubbler"],
            Wall,
            (22.0, 38.0),
        )
    },
    Kind {
        deepest_bowl: bowl(8.0),
        ..plain("dental lavatory", "DL", &[], Wall, (18.0, 32.0))
    },
    plain(
        "dental unit",
        "DU",
        &["cuspidor", "dental chair"],
        Floor,
        (-6.0, 30.0),
    ),
    plain(
        "condensate",
        "CD",
        &["condensate drain", "air conditioner", "furnace condensate"],
        Indirect,
        (1.0, 1.0),
    ),
    plain(
        "ice machine",
        "IM",
        &["ice maker", "ice bin"],
        Indirect,
        (4.0, 4.0),
    ),
    plain(
        "water softener",
        "SFT",
        &["softener", "filter backwash"],
        Indirect,
        (4.0, 4.0),
    ),
    plain(
        "relief drain",
        "RD",
        &["water heater", "relief valve", "water heater pan", "t&p"],
        Indirect,
        (4.0, 4.0),
    ),
    plain(
        "refrigerated case",
        "RC",
        &["display case", "cooler"],
        Indirect,
        (4.0, 4.0),
    ),
];

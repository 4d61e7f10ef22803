//! What bounds a pipe's level, in words.

use super::model::Bound;
use crate::catalogue;
use crate::job::{FloorIx, Job};
use crate::network::Network;
use crate::units::Printer;

/// In words: `outlet of WC-1`, `2″ below the slab of ground`.
pub fn words(job: &Job, net: &Network, bound: Bound) -> String {
    let floor = |f: FloorIx| job.floors.get(f.0).map_or("?", |f| f.name.as_str());
    match bound {
        Bound::Outlet(trap) => {
            let fixture = net.traps.get(trap.0).map(|t| t.fixture);
            let fixture = fixture.and_then(|f| job.fixtures.get(f));
            format!("outlet of {}", fixture.map_or("?", |f| f.name.as_str()))
        }
        Bound::Slab(f) => {
            let print = Printer { units: job.units };
            let cover = catalogue::under_slab().map(|d| print.short(d.value));
            format!(
                "{} below the slab of {}",
                cover.unwrap_or_default(),
                floor(f)
            )
        }
        Bound::Deck(f) => format!("deck of {}", floor(f)),
        Bound::Joists(f) => format!("joists of {}", floor(f)),
        Bound::JoistBottom(f) => format!("bottom of the joists of {}", floor(f)),
        Bound::OverHole(f) => format!("wood over a hole in the joists of {}", floor(f)),
        Bound::UnderHole(f) => format!("wood under a hole in the joists of {}", floor(f)),
        Bound::Soffit(f) => format!("soffit of {}", floor(f)),
    }
}

/// What sets a limit in a word or two: the fixture's name, else what lies there.
pub fn brief(job: &Job, net: &Network, bound: Bound) -> String {
    match bound {
        Bound::Outlet(trap) => {
            let fixture = net.traps.get(trap.0).map(|t| t.fixture);
            let fixture = fixture.and_then(|f| job.fixtures.get(f));
            fixture.map_or("?", |f| f.name.as_str()).to_owned()
        }
        Bound::Slab(_) => "slab".to_owned(),
        Bound::Deck(_) => "deck".to_owned(),
        Bound::Joists(_) | Bound::JoistBottom(_) | Bound::OverHole(_) | Bound::UnderHole(_) => {
            "joists".to_owned()
        }
        Bound::Soffit(_) => "soffit".to_owned(),
    }
}

/// With its article, but before a figure.
pub fn with_article(bound: &str) -> String {
    match bound.starts_with(|c: char| c.is_ascii_alphabetic()) {
        true => format!("the {bound}"),
        false => bound.to_owned(),
    }
}

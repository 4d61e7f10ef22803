//! Keys of how far the work is on site.

use super::{Kind, Record, may, must};

/// How a part can stand, as the job file writes it.
pub const STANDINGS: [&str; 3] = ["roughed in", "tested", "changed"];

/// One of `[progress]`
pub static PROGRESS: Record = Record {
    called: "a mark of the progress",
    doc: "How far parts of the work are on site, and what was built otherwise than approved.",
    keys: &[
        must(
            "on",
            Kind::Ranges,
            "What it is about, by name or range, or several: anything that has a name and is built; what was proposed by its id.",
        ),
        must("is", Kind::Word(&STANDINGS), "How it stands."),
        may(
            "now",
            Kind::Now,
            "What is otherwise than in the approved job: any keys of what `on` names, laid over what they say there. With `is = \"changed\"`, and only with that.",
        ),
        may("why", Kind::Text(160), "Why it was changed."),
        may(
            "date",
            Kind::Date,
            "When; `2026-03-09` can be compared with other dates.",
        ),
        may("by", Kind::Text(160), "Who did it, or who saw it."),
    ],
};

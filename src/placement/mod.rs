//! Stage 9 of 12. In: captions and symbols. Out: a [`Placement`], in mm of paper, labels
//! included. Promises: nothing touches anything; only bare vents may cross another pipe.
//!
//! `ways` chooses where pipes lead, `grow` builds the drawing from finished, labelled blocks that
//! are pushed along straight trunks until they stand clear (`trunk`, `contour`, `outline`),
//! `heights` keeps floors level across all stacks, `assemble` makes pipes of it.

pub mod assemble;
mod bands;
pub mod block;
mod columns;
mod contour;
mod divide;
mod done;
pub mod figures;
mod grow;
mod heights;
mod key;
pub mod labeller;
mod lanes;
mod lengths;
mod lettering;
mod measure;
pub mod outline;
mod part;
mod passes;
mod plan;
mod scale;
mod settle;
mod share;
mod shows;
mod stage;
mod tree;
mod trunk;
mod view;
mod ways;

pub use assemble::{PlacedKey, PlacedPipe, Placement};
pub use bands::Bands;
pub use block::{Flush, PlacedLabel, PlacedMark, PlacedSymbol};
pub use divide::{Division, LeftOff};
pub use figures::{Figures, Stands};
pub use grow::MARK_HALF;
pub use heights::Step;
pub use lengths::Lengths;
pub use plan::{Placer, Plan, plan};
pub use scale::Scale;
pub(crate) use scale::scale;
pub use settle::covers;
pub use share::{Root, Share};
pub use shows::Shows;
pub use view::{Building, Left};

//! Stage 11 of 12. In: scenes and tables. Out: [`SheetSet`]. Promises: title block, schedules,
//! notes and key plan are set in the free paper; what does not fit opens a further sheet.

mod layout;
pub mod model;
mod paper;

pub use layout::{Frame, layout};
pub use model::*;
pub use paper::{PAPERS, paper, paper_names};

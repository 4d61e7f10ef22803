//! Stage 11 of 12. In: scenes and tables. Out: [`SheetSet`]. Promises: title block, schedules,
//! notes and key plan are set in the free paper; what does not fit opens a further sheet.
//!
//! `layout` gives the fixed parts of a paper; `tables` and `notes` say what is to be said;
//! `block` measures it, `fill` finds it a place, `compose` makes the sheets.

mod arrange;
mod block;
mod compose;
mod crew;
mod document;
mod fill;
mod free;
mod here;
mod layout;
mod legend;
mod lettered;
mod lettering;
mod measured;
pub mod model;
mod notes;
mod paper;
mod purpose;
mod scale_bar;
mod scaled;
mod set_block;
mod tables;
mod title_block;

pub use compose::{compose, drawing_number};
pub use crew::{CREW_CAP, CrewLine, CrewPage, CrewPlace, crew_field, crew_number, crew_set};
pub use document::{Document, document};
pub use free::Free;
pub use layout::{Frame, layout};
pub use model::*;
pub use paper::{PAPERS, paper, paper_names};
pub use purpose::Purpose;
pub use scaled::{ScaledDrawing, plan_number, with_room_for_tables};
pub use tables::{Form, Say, levels_whole, tables, tables_as};

use crate::captions::MatchMark;
use crate::codebook::Book;
use crate::findings::Findings;
use crate::job::Job;
use crate::network::Network;
use crate::placement::Shows;
use crate::solve::Solution;
use crate::standing::Standing;
use crate::typical::Typical;

/// Words as they are lettered: in capitals, what the bundled font lacks as a question mark.
pub fn lettered(words: &str) -> String {
    lettering::capitals(words)
}

/// All that a set of sheets is made from, but for the drawings themselves.
#[derive(Clone, Copy)]
pub struct Inputs<'a> {
    /// The job.
    pub job: &'a Job,
    /// The network, complete.
    pub net: &'a Network,
    /// The code book.
    pub book: &'a Book,
    /// Sizes, levels and fittings.
    pub solution: &'a Solution,
    /// Findings, open and waived.
    pub findings: &'a Findings,
    /// The paper of every sheet.
    pub paper: Paper,
    /// Where the drawing goes on from sheet to sheet.
    pub marks: &'a [MatchMark],
    /// What each drawing shows.
    pub shows: &'a [Shows],
    /// The scale of the drawings, if the job asks for one.
    pub scale: Option<&'a ToScale>,
    /// What of the drawings stands for more than itself.
    pub typical: Option<&'a Typical>,
    /// How the work stands on site, if the job says so.
    pub standing: Option<&'a Standing>,
}

/// A drawing to scale.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToScale {
    /// The scale, as the title block says it.
    pub words: &'static str,
    /// Ids of the drains that are drawn longer than they are.
    pub missed: Vec<String>,
}

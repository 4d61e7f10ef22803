//! Stage 10 of 12. In: a placement. Out: a [`Scene`](crate::sheets::Scene). Promises: crossings
//! gapped, hatches and leaders drawn, order front to back; nothing is moved.

mod cells;
mod crossing;
mod free;
mod largest;
mod scene;

pub use crossing::{Gap, breaks, crossings, find as gaps};
pub use free::paper as free_paper;
pub use scene::{Style, Subject, scene};

//! Stage 10 of 12. In: a placement. Out: a [`Scene`](crate::sheets::Scene). Promises: crossings
//! gapped, hatches and leaders drawn, order front to back; nothing is moved.

mod crossing;
mod free;
mod scene;

pub use crossing::crossings;
pub use scene::{Style, Subject, scene};

//! Turns what was looked up in the book into [`Working`].

use super::model::Working;
use crate::codebook::{Beyond, Found};

/// The working of one look-up; steps are the caller's.
pub fn of<T>(found: &Found<T>) -> Working {
    Working {
        section: found.section.clone(),
        table: found.table.clone(),
        row: Some(found.place()).filter(|s| !s.is_empty()),
        provenance: Some(found.provenance),
        steps: Vec::new(),
    }
}

/// The working of a look-up that went beyond its table.
pub fn of_beyond(beyond: &Beyond) -> Working {
    Working {
        section: beyond.section.clone(),
        table: beyond.table.clone(),
        ..Working::default()
    }
}

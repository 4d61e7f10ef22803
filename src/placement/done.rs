//! What is placed already: parts that are drawn alike are placed once.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use kurbo::Rect;

use super::assemble::Placement;
use super::heights::Heights;
use super::key::Key;

/// What was placed of a building from one corner. It is only ever looked up by key, so that the
/// order in which parts are placed does not matter.
#[derive(Debug, Default)]
pub struct Memo(Mutex<HashMap<Key, Arc<Done>>>);

/// What was placed of all parts of one key; whoever asks first works it out.
#[derive(Debug, Default)]
pub struct Done {
    /// The box round the least drawing, before any label is settled.
    pub bounds: OnceLock<Rect>,
    /// The least drawing, and the heights of its floors.
    pub least: OnceLock<(Placement, Heights)>,
    plans: Mutex<BTreeMap<Paper, Arc<OnceLock<Placement>>>>,
}

/// A field's width and height and the scale of lengths (none: what fills the field), as bits.
type Paper = (u64, u64, Option<u64>);

impl Memo {
    /// What was placed of the parts of a key.
    pub fn of(&self, key: Key) -> Arc<Done> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(all.entry(key).or_default())
    }
}

impl Done {
    /// The drawing in a field at a scale, its labels settled.
    pub fn plan(
        &self,
        field: Rect,
        scale: Option<f64>,
        make: impl FnOnce() -> Placement,
    ) -> Placement {
        let paper = (
            field.width().to_bits(),
            field.height().to_bits(),
            scale.map(f64::to_bits),
        );
        let plan = {
            let mut plans = self.plans.lock().unwrap_or_else(PoisonError::into_inner);
            Arc::clone(plans.entry(paper).or_default())
        };
        plan.get_or_init(make).clone()
    }
}

//! The free boxes of a drawing's field, found when they are first asked for: on most sheets all
//! panels stand at the edges, and none is.

use std::sync::{Arc, LazyLock};

use kurbo::Rect;

/// How they are found.
type Find = Box<dyn FnOnce() -> Vec<Rect> + Send>;

/// Free boxes of a field.
#[derive(Clone, Debug)]
pub struct Free(Arc<LazyLock<Vec<Rect>, Find>>);

impl Free {
    /// Those that a search will find.
    pub fn found_by(find: impl FnOnce() -> Vec<Rect> + Send + 'static) -> Free {
        Free(Arc::new(LazyLock::new(Box::new(find))))
    }

    /// The boxes.
    pub fn boxes(&self) -> &[Rect] {
        &self.0
    }
}

impl From<Vec<Rect>> for Free {
    fn from(boxes: Vec<Rect>) -> Free {
        Free::found_by(|| boxes)
    }
}

//! What would put a finding right, as words and as edits of the job file.

use crate::job::edit::Edit;

/// One change that removes a finding and adds none: it was made and worked through before it is
/// offered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cure {
    /// What to do, in words, with the amount.
    pub words: String,
    /// What to write into the job file; all of it together.
    pub edits: Vec<Edit>,
}

impl Cure {
    /// What to write, as a person would type it: `exit.invert = "-10' 11"`.
    pub fn typed(&self) -> String {
        let each = self.edits.iter().map(|e| match &e.value {
            Some(value) => format!("{} = {value}", e.place()),
            None => format!("{} taken out", e.place()),
        });
        each.collect::<Vec<_>>().join(", ")
    }
}

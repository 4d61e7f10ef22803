//! `stackfall schema`: the JSON Schema of the job file.

use super::{End, terminal};
use crate::job;
use crate::writers::json;

pub(super) fn schema() -> End {
    terminal::out(&json::print(&job::schema()));
    End::Clean
}

//! How far the work is on site.

use crate::job::laid::Marked;
use crate::job::model::{Progress, Standing};
use crate::job::resolve::Resolver;
use crate::job::values::Values;

/// Reads the marks; what they name must be a part of the work. Ids of what was proposed are looked up
/// once it is.
pub(super) fn progress(file: &Values, marked: Vec<Marked>, r: &mut Resolver<'_>) -> Vec<Progress> {
    let marks = file.many("progress").iter().zip(marked);
    let read = |(v, mut marked): (&Values, Marked)| {
        marked
            .on
            .retain(|said| said.value.contains('.') || r.is_part(v, said));
        Some(Progress {
            name: v.name.clone(),
            span: v.span.clone(),
            on: marked.on,
            is: standing(&v.words("is")?),
            date: v.text("date"),
            by: v.words("by"),
            why: v.words("why"),
            laid: marked.laid,
        })
    };
    marks.filter_map(read).collect()
}

fn standing(word: &str) -> Standing {
    match word {
        "roughed in" => Standing::RoughedIn,
        "tested" => Standing::Tested,
        _ => Standing::Changed,
    }
}

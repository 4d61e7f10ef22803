//! What stacks carry at the floors that are not drawn, because they are built like one that is.

use super::{Inputs, Say, Table, floor_name, heads};

/// Each floor left out of a stack that is drawn, with the stack's size and load below it.
pub fn storeys(set: &Inputs<'_>, say: &Say) -> Table {
    let left = set.typical.map_or(&[][..], |t| &t.out().storeys);
    let mut last = String::new();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (stack, floor, piece) in left.iter().rev() {
        let name = set.net.runs.get(stack.0).map_or("", |r| r.id.as_str());
        let ranges = set.typical.and_then(|t| t.ranges.get(stack));
        let range = ranges.and_then(|r| r.iter().find(|r| (r.first..=r.last).contains(floor)));
        let size = set.solution.sizing.pieces.get(piece);
        // On a sheet a stack is named once.
        let shown = match !say.data() && last == name {
            true => String::new(),
            false => name.to_owned(),
        };
        name.clone_into(&mut last);
        rows.push(vec![
            shown,
            floor_name(set.job, Some(*floor)),
            floor_name(set.job, range.map(|r| r.drawn)),
            say.size(size.map(|s| s.size)),
            size.map_or_else(|| say.nothing(), |s| say.print.load(s.load)),
        ]);
    }
    let unit = set.book.unit().to_uppercase();
    let mut table = Table {
        name: "storeys",
        title: "Storeys built like one drawn".into(),
        head: heads(&["Stack", "Floor", "As floor", "Stack below it"]),
        rows,
        ..Table::default()
    };
    table.head.push(unit);
    if !say.data() {
        let foot = "What stands on such a floor has the sizes and falls of the floor drawn; its tags \
                    end in its own stack and floor.";
        table.foot.push(foot.into());
    }
    table
}

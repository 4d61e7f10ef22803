//! The part of the pipe schedule that stands on the sheet of its pipes, where a set has several
//! drawings: whoever holds one sheet then holds the figures of what is drawn on it.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::block::Block;
use super::{Inputs, Role, Scene, Table, tables};
use crate::at_once;

/// Name of such a block.
pub(super) const HERE: &str = "pipes-here";

/// The pipe schedule, sheet by sheet.
pub(super) struct Here {
    whole: Option<Table>,
    /// The rows of each drawing's pipes.
    rows: Vec<Vec<usize>>,
    /// They as blocks.
    pub blocks: Vec<Option<Block>>,
    /// The rest, as it was asked for last.
    rest: Mutex<Option<Rest>>,
}

/// Which sheets list their own pipes, and the schedule of the others'.
type Rest = (Vec<bool>, Option<Arc<Block>>);

impl Here {
    /// Parts the pipe schedule, if there are several drawings.
    pub fn of(set: &Inputs<'_>, scenes: &[Scene], lettered: &[Table]) -> Here {
        let whole = lettered.iter().find(|t| t.name == PIPES);
        let whole = whole.filter(|_| scenes.len() > 1).cloned();
        let listed = tables::pipes_listed(set).enumerate();
        // Only looked up, never gone through.
        let places: HashMap<&str, usize> = match whole {
            Some(_) => listed
                .map(|(i, p)| (set.net.graph[p].id.as_str(), i))
                .collect(),
            None => HashMap::new(),
        };
        let of = |scene: &Scene| {
            let pipes = scene.items.iter().filter(|i| i.role == Role::Pipe);
            let mut rows: Vec<usize> = pipes
                .filter_map(|i| places.get(i.id.as_str()).copied())
                .collect();
            rows.sort_unstable();
            rows.dedup();
            rows
        };
        let rows: Vec<Vec<usize>> = scenes.iter().map(of).collect();
        let block = |rows: &Vec<usize>| {
            let part = part(whole.as_ref()?, rows.iter().copied());
            let named = Table {
                name: HERE,
                title: "Pipes on this sheet".to_owned(),
                ..part
            };
            (!named.rows.is_empty()).then(|| Block::table(&named))
        };
        Here {
            blocks: at_once::each(&rows, block),
            rows,
            whole,
            rest: Mutex::default(),
        }
    }

    /// The rows that stand on no sheet of their pipes, if `set` says which sheets have theirs.
    pub fn rest(&self, set: &[bool]) -> Option<Arc<Block>> {
        let mut kept = self.rest.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, same)) = kept.as_ref().filter(|(was, _)| was == set) {
            return same.clone();
        }
        let made = self.made(set).map(Arc::new);
        *kept = Some((set.to_vec(), made.clone()));
        made
    }

    fn made(&self, set: &[bool]) -> Option<Block> {
        let whole = self.whole.as_ref()?;
        let mut done = vec![false; whole.rows.len()];
        let here = self.rows.iter().zip(set).filter(|(_, set)| **set);
        for row in here.flat_map(|(rows, _)| rows) {
            if let Some(done) = done.get_mut(*row) {
                *done = true;
            }
        }
        let left = (0..whole.rows.len()).filter(|i| !done[*i]);
        let mut rest = part(whole, left);
        if rest.rows.len() < whole.rows.len() {
            rest.title = format!("{}, pipes not listed on their sheet", rest.title);
        }
        (!rest.rows.is_empty()).then(|| Block::table(&rest))
    }
}

/// Name of the whole schedule.
pub(super) const PIPES: &str = "pipes";

fn part(whole: &Table, rows: impl Iterator<Item = usize>) -> Table {
    Table {
        name: whole.name,
        title: whole.title.clone(),
        head: whole.head.clone(),
        rows: rows.filter_map(|i| whole.rows.get(i).cloned()).collect(),
        foot: whole.foot.clone(),
        strong: Vec::new(),
    }
}

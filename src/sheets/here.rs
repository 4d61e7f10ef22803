//! The part of the pipe schedule that stands on the sheet of its pipes, where a set has several
//! drawings: whoever holds one sheet then holds the figures of what is drawn on it.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::block::Block;
use super::lettered::Lettered;
use super::{Inputs, Role, Scene, tables};
use crate::at_once;

/// Name of such a block.
pub(super) const HERE: &str = "pipes-here";
/// Name of the whole schedule.
pub(super) const PIPES: &str = "pipes";

/// The pipe schedule, sheet by sheet.
pub(super) struct Here {
    whole: Option<Lettered>,
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
    /// Parts the pipe schedule, if one is given: where there are several drawings.
    pub fn of(set: &Inputs<'_>, scenes: &[Scene], whole: Option<Lettered>) -> Here {
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
            let part = whole.as_ref()?.part(HERE, "Pipes on this sheet", rows);
            (part.len() > 0).then_some(part)
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
        let mut done = vec![false; whole.len()];
        let here = self.rows.iter().zip(set).filter(|(_, set)| **set);
        for row in here.flat_map(|(rows, _)| rows) {
            if let Some(done) = done.get_mut(*row) {
                *done = true;
            }
        }
        let left: Vec<usize> = (0..whole.len()).filter(|i| !done[*i]).collect();
        let title = match left.len() < whole.len() {
            true => format!("{}, pipes not listed on their sheet", whole.title()),
            false => whole.title().to_owned(),
        };
        (!left.is_empty()).then(|| whole.part(PIPES, &title, &left))
    }
}

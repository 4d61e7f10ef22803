//! How the columns that come up from other sheets stand beside their stack: in a line with it, as
//! long as no two of their headers would share a stretch of that line. Where they would, headers
//! that come in from the side have a line of their own, so that no header
//! lies over another.

use std::collections::BTreeSet;

use crate::network::VentLevel;
use crate::projection::Way;

/// A header between two columns, by their places in the list of columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Link {
    /// Its ends.
    pub(super) ends: (usize, usize),
    /// The level at which it goes across.
    pub(super) level: VentLevel,
}

/// Columns in one line.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    /// The column that it begins at; none for the line that all others lead to.
    pub(super) on: Option<usize>,
    /// The way in which it leads.
    pub(super) way: Way,
    /// Its columns, nearest to its beginning first.
    pub(super) columns: Vec<usize>,
}

/// The lines in which so many columns stand, each after the one that it begins on. The last column
/// stands farthest along `way`: a stack, if one stands there.
pub(super) fn lines(count: usize, links: &[Link], way: Way) -> Vec<Line> {
    let first = Line {
        on: None,
        way,
        columns: (0..count).collect(),
    };
    if clear(links) {
        return vec![first];
    }
    let tree = Tree::of(count, links);
    let mut lines = vec![Line {
        columns: tree.roots.iter().flat_map(|r| tree.inward(*r)).collect(),
        ..first
    }];
    let mut at = 0;
    while let Some(line) = lines.get(at).cloned() {
        at += 1;
        for &column in &line.columns {
            // Its own line goes on to one of them, or comes in from one.
            let aside = tree.over[column].iter().skip(1);
            for (&next, way) in aside.zip(aside_of(line.way)) {
                lines.push(Line {
                    on: Some(column),
                    way,
                    columns: tree.outward(next),
                });
            }
        }
    }
    // More headers at one column than there are ways: they follow in the line.
    let set: BTreeSet<usize> = lines.iter().flat_map(|l| &l.columns).copied().collect();
    let left = (0..count).filter(|c| !set.contains(c));
    let left: Vec<usize> = left.collect();
    if let Some(line) = lines.first_mut() {
        line.columns.splice(0..0, left);
    }
    lines
}

/// Whether columns in the order of their places have no header that would lie over another, or on
/// a column between its ends that has a header at its level.
fn clear(links: &[Link]) -> bool {
    let sorted = |l: &Link| (l.ends.0.min(l.ends.1), l.ends.0.max(l.ends.1));
    links.iter().enumerate().all(|(i, a)| {
        let (from, to) = sorted(a);
        links[i + 1..].iter().all(|b| {
            let (low, high) = sorted(b);
            a.level != b.level || to <= low || high <= from
        })
    })
}

/// The ways in which lines may begin on a line, those that lead away from the viewer first.
fn aside_of(way: Way) -> impl Iterator<Item = Way> {
    let other = match way.parallel_on_paper(Way::X) {
        true => Way::Y,
        false => Way::X,
    };
    let level = Way::of_signs(1, -1, 0).into_iter();
    let level = level.flat_map(|w| [w, w.reversed()]);
    let both = match other.recedes() {
        true => [other, other.reversed()],
        false => [other.reversed(), other],
    };
    both.into_iter().chain(level)
}

/// Columns as their headers lead: each tree of them from the column that leads on.
struct Tree {
    /// The columns that lead on, the last column's tree last.
    roots: Vec<usize>,
    /// For each column, those whose headers come to it: the one with most behind it first.
    over: Vec<Vec<usize>>,
}

impl Tree {
    fn of(count: usize, links: &[Link]) -> Tree {
        let mut next: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); count];
        for l in links {
            for (a, b) in [l.ends, (l.ends.1, l.ends.0)] {
                next[a].insert(b);
            }
        }
        let mut tree = Tree {
            roots: Vec::new(),
            over: vec![Vec::new(); count],
        };
        let mut depth = vec![0usize; count];
        let mut done = vec![false; count];
        // From the last on, so that what a stack stands with is found from the stack.
        for root in (0..count).rev() {
            if done[root] {
                continue;
            }
            done[root] = true;
            let mut order = vec![root];
            let mut at = 0;
            while let Some(&c) = order.get(at) {
                at += 1;
                for &n in &next[c] {
                    if !done[n] {
                        done[n] = true;
                        tree.over[c].push(n);
                        order.push(n);
                    }
                }
            }
            for &c in order.iter().rev() {
                tree.over[c].sort_by_key(|n| (std::cmp::Reverse(depth[*n]), *n));
                depth[c] = tree.over[c].first().map_or(0, |n| depth[*n] + 1);
            }
            tree.roots.push(root);
        }
        tree.roots.reverse();
        tree
    }

    /// The longest line of columns from a column outward.
    fn outward(&self, from: usize) -> Vec<usize> {
        let next = |c: &usize| self.over[*c].first().copied();
        std::iter::successors(Some(from), next).collect()
    }

    /// The same from its far end inward.
    fn inward(&self, to: usize) -> Vec<usize> {
        let mut line = self.outward(to);
        line.reverse();
        line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn link(a: usize, b: usize) -> Link {
        Link {
            ends: (a, b),
            level: VentLevel::Roof,
        }
    }

    /// What leads from column to column stands in one line, in that order.
    #[test]
    fn a_chain_is_one_line() {
        let all = lines(3, &[link(0, 1), link(1, 2)], Way::X);
        assert_eq!(all.len(), 1);
        assert_eq!(all[0].columns, [0, 1, 2]);
    }

    /// Headers that come in from the side have lines of their own, and each column stands once.
    #[test]
    fn a_comb_has_its_teeth_aside() {
        // 0 and 1 come in at 3, 2 at 4, 3 at 4; 4 leads on.
        let links = [link(0, 3), link(1, 3), link(2, 4), link(3, 4)];
        let all = lines(5, &links, Way::X);
        assert_eq!(all[0].columns, [0, 3, 4]);
        let begin: Vec<_> = all.iter().map(|l| (l.on, l.columns.clone())).collect();
        assert!(begin.contains(&(Some(3), vec![1])) && begin.contains(&(Some(4), vec![2])));
        assert!(all[1..].iter().all(|l| !l.way.parallel_on_paper(Way::X)));
        let stand: usize = all.iter().map(|l| l.columns.len()).sum();
        assert_eq!(stand, 5);
    }

    /// A column that leads to none of the others keeps its place before them.
    #[test]
    fn what_leads_nowhere_stands_too() {
        let all = lines(4, &[link(0, 2), link(1, 2)], Way::X);
        let mut stand: Vec<usize> = all.iter().flat_map(|l| l.columns.clone()).collect();
        stand.sort_unstable();
        assert_eq!(stand, [0, 1, 2, 3]);
    }
}

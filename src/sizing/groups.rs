//! Group loads: one figure of the book for the fixtures of a bathroom, or their own loads.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::model::TrapSize;
use super::traps::kind_of;
use crate::catalogue::Kind;
use crate::codebook::{Book, Found, GroupKind};
use crate::job::{Fixture, Job};
use crate::network::{Network, Table, TrapIx};
use crate::units::Load;

/// What a laundry group is called.
pub const LAUNDRY: &str = "laundry group";

/// A group that the book gives a figure for, lower than its members' own loads together.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupLoad {
    /// What to call it (`bathroom group`).
    pub name: &'static str,
    /// The fixtures that the figure covers; each is in one group only.
    pub members: Vec<TrapIx>,
    /// Their own loads together.
    pub singles: Load,
    /// The book's figure.
    pub found: Found<Load>,
}

/// All groups that are counted as such, and which trap is in which.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Groups {
    /// The groups.
    pub list: Vec<GroupLoad>,
    /// Index into the list, by trap.
    pub of: Table<TrapIx, usize>,
    /// How many groups the network has, counted as such or not.
    pub offered: usize,
    /// What the catalogue knows of each trap's fixture, looked up once.
    pub kinds: Vec<Option<&'static Kind>>,
}

/// Finds the groups. [`crate::network::Trap::group`] tells the members.
///
/// A figure covers one fixture of each sort: a second lavatory, or a shower beside a tub, adds its
/// own load, and of two alike it covers the one with the lower load. A fixture of public use, or
/// one with a stated or an unknown load, is never covered.
pub fn groups(
    job: &Job,
    net: &Network,
    book: &Book,
    traps: &Table<TrapIx, Arc<TrapSize>>,
) -> Groups {
    let mut members: BTreeMap<usize, Vec<TrapIx>> = BTreeMap::new();
    for (i, trap) in net.traps.iter().enumerate() {
        if let Some(group) = trap.group {
            members.entry(group).or_default().push(TrapIx(i));
        }
    }
    let kinds = net
        .traps
        .iter()
        .map(|t| job.fixtures.get(t.fixture).and_then(kind_of))
        .collect();
    let mut groups = Groups {
        offered: members.len(),
        kinds,
        ..Groups::default()
    };
    for ixs in members.values() {
        let Some(group) = figure(job, net, book, traps, ixs) else {
            continue;
        };
        if group.found.value < group.singles {
            for t in &group.members {
                groups.of.insert(*t, groups.list.len());
            }
            groups.list.push(group);
        }
    }
    groups
}

struct Member<'a> {
    ix: TrapIx,
    load: Load,
    fixture: &'a Fixture,
    kind: &'static Kind,
}

fn figure(
    job: &Job,
    net: &Network,
    book: &Book,
    traps: &Table<TrapIx, Arc<TrapSize>>,
    ixs: &[TrapIx],
) -> Option<GroupLoad> {
    let mut all: Vec<Member<'_>> = ixs
        .iter()
        .filter_map(|ix| {
            let fixture = job.fixtures.get(net.traps.get(ix.0)?.fixture)?;
            let size = traps.get(ix)?;
            let plain = !fixture.public && fixture.load.is_none() && size.unknown.is_none();
            plain.then_some(())?;
            Some(Member {
                ix: *ix,
                load: size.load,
                fixture,
                kind: kind_of(fixture)?,
            })
        })
        .collect();
    // The lower load first, so that a figure covers the lower of two alike.
    all.sort_by(|a, b| a.load.dfu().total_cmp(&b.load.dfu()).then(a.ix.cmp(&b.ix)));
    let one = |want: &dyn Fn(&Kind) -> bool| all.iter().find(|m| want(m.kind));
    let closet = one(&|k| k.closet);
    let lavatory = one(&|k| k.word == "lavatory");
    let bath = one(&|k| k.word == "bathtub" || k.word == "shower");
    let bidet = one(&|k| k.word == "bidet");
    let over_1_6_gpf = closet.is_some_and(|c| heavy(book, c));
    let (kind, name, covered) = match (closet, lavatory, bath) {
        (Some(c), Some(l), Some(b)) => (
            GroupKind::FullBath { over_1_6_gpf },
            "bathroom group",
            [Some(c), Some(l), Some(b), bidet],
        ),
        (Some(c), Some(l), None) => (
            GroupKind::HalfBath { over_1_6_gpf },
            "half-bath group",
            [Some(c), Some(l), bidet, None],
        ),
        (None, None, None) => {
            let washer = one(&|k| k.washer)?;
            let tub = one(&|k| k.word == "laundry tub")?;
            (
                GroupKind::Laundry,
                LAUNDRY,
                [Some(washer), Some(tub), None, None],
            )
        }
        _ => return None,
    };
    let mut members: Vec<TrapIx> = covered.iter().flatten().map(|m| m.ix).collect();
    members.sort_unstable();
    Some(GroupLoad {
        name,
        singles: covered.iter().flatten().map(|m| m.load).sum(),
        members,
        found: book.group(kind)?,
    })
}

/// Whether the book counts this closet above an ordinary one, so that its group is the heavier.
fn heavy(book: &Book, closet: &Member<'_>) -> bool {
    let plain = crate::codebook::FixtureQuery {
        kind: closet.kind.word,
        with: &closet.fixture.with,
        ..crate::codebook::FixtureQuery::default()
    };
    closet.fixture.gpf.is_some()
        && book
            .fixture(&plain)
            .is_some_and(|row| closet.load > row.value.load)
}

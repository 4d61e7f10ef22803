//! Labels that look for a place, all at once: what each could be is given to the labeller, which
//! exchanges places between them. What an inspector needs first is placed first.

use std::collections::BTreeMap;

use kurbo::Rect;

use super::cells::{Cells, Owner, line};
use super::forms::Form;
use super::named::World;
use super::{covers, keyed, take};
use crate::captions::Captions;
use crate::network::{Network, System};
use crate::placement::assemble::Placement;
use crate::placement::labeller::{Conflicts, Labels, choose};
use crate::placement::outline::Outline;

/// Longest leader of a label, mm.
const LONGEST_LEADER: f64 = 60.0;
/// Moves of the search for each label.
const EFFORT: usize = 60;

/// What a label is worth, by how much an inspector needs it: sizes, falls and loads of drains and
/// stacks; tags; inverts; sizes of vents; names of rooms.
const NEEDED: [u32; 5] = [60_000, 50_000, 40_000, 30_000, 20_000];
/// A place on a leader is worth so much less.
const LEADER: u32 = 6_000;
/// A place is worth so much less for each mm that it is off, and at most so much.
const PER_MM: f64 = 40.0;
const MOST: f64 = 6_000.0;

/// Places all labels that touch something, or stand far from what they name, and those from
/// `stood` on, which stand nowhere yet.
pub(super) fn place(placement: &mut Placement, world: &World<'_>, cells: &mut Cells, stood: usize) {
    let captions = world.captions;
    let settled = |i: usize| {
        let l = &placement.labels[i];
        let own = covers(&captions.all[l.caption], l.at, l.slant, l.flush);
        let skip = |o: Owner| o == Owner::Label(i);
        i < stood && own.iter().all(|o| cells.free(o, skip)) && world.near(placement, l)
    };
    let loose: Vec<usize> = (0..placement.labels.len())
        .filter(|i| !settled(*i))
        .collect();
    if loose.is_empty() {
        return;
    }
    cells.clear(|o| matches!(o, Owner::Label(i) if loose.binary_search(&i).is_ok()));
    let needed = needed(captions, world.net);
    let mut labels = Labels::new();
    let mut forms: Vec<Form> = Vec::new();
    for &i in &loose {
        let label = &placement.labels[i];
        let words = &captions.all[label.caption];
        let mut places = Vec::new();
        let own = covers(words, label.at, label.slant, label.flush);
        let free = own.iter().all(|o| cells.free(o, |_| false));
        // As it stands, if only another loose label touches it there.
        if i < stood && free && world.near(placement, label) {
            places.push(Form {
                at: label.at,
                slant: label.slant,
                flush: label.flush,
                covers: own,
                leader: label.leader,
            });
        }
        places.extend(world.places(placement, cells, words, label, LONGEST_LEADER));
        let worth = needed.get(&label.caption).copied().unwrap_or(NEEDED[1]);
        labels.add(places.iter().map(|f| {
            let off = match f.leader {
                Some((a, b)) => LEADER + ((b - a).hypot() * PER_MM).min(MOST) as u32,
                None => ((f.at - label.at).hypot() * PER_MM).min(MOST) as u32,
            };
            worth - off
        }));
        forms.extend(places);
    }
    let chosen = choose(&labels, &touching(&labels, &forms), EFFORT);
    let mut lost = Vec::new();
    for (&i, chosen) in loose.iter().zip(chosen) {
        match chosen {
            Some(c) => {
                take(&forms[c], i, cells);
                placement.labels[i] = forms[c].label(placement.labels[i].caption);
            }
            None => lost.push(i),
        }
    }
    keyed::place(placement, world, cells, lost);
}

/// Which forms cannot both stand.
fn touching(labels: &Labels, forms: &[Form]) -> Conflicts {
    let covered = |f: &Form| {
        let leader = f.leader.map(|(a, b)| line(a, b, 0.12));
        f.covers
            .iter()
            .cloned()
            .chain(leader)
            .collect::<Vec<Outline>>()
    };
    let covered: Vec<Vec<Outline>> = forms.iter().map(covered).collect();
    let bounds = |c: &Vec<Outline>| {
        let all = c.iter().map(Outline::bounds).reduce(|a, b| a.union(b));
        all.unwrap_or_default()
    };
    let boxes: Vec<Rect> = covered.iter().map(bounds).collect();
    Conflicts::find(labels, &boxes, |a, b| {
        let meets = |o: &Outline| covered[b].iter().any(|p| o.meets(p));
        covered[a].iter().any(meets)
    })
}

/// What each caption is worth.
fn needed(captions: &Captions, net: &Network) -> BTreeMap<usize, u32> {
    let pieces = captions
        .pieces
        .iter()
        .map(|(p, c)| match net.graph[*p].system {
            System::Waste => (*c, NEEDED[0]),
            System::Vent => (*c, NEEDED[3]),
        });
    let tags = captions.traps.values().chain(captions.symbols.values());
    let tags = tags.map(|c| (*c, NEEDED[1]));
    let joints = captions.joints.values().map(|c| (*c, NEEDED[2]));
    let rooms = captions.rooms.values().map(|c| (*c, NEEDED[4]));
    pieces.chain(tags).chain(joints).chain(rooms).collect()
}

//! The fixture schedule.

use crate::network::{TrapIx, VentMethod};
use crate::result::vent_words;

use super::{Inputs, Say, Table, floor_name, heads};
use crate::units::{LITRES_PER_GALLON, UnitSystem, number};

/// Every fixture: where it is, its load, and the sizes of trap, drain and vent.
pub fn fixtures(set: &Inputs<'_>, say: &Say) -> Table {
    let changed = set.job.changed();
    let (job, net, sizing) = (set.job, set.net, &set.solution.sizing);
    let mut rows = Vec::with_capacity(net.traps.len());
    for (i, trap) in net.traps.iter().enumerate() {
        let Some(f) = job.fixtures.get(trap.fixture) else {
            continue;
        };
        let out = set.typical.map(|t| &t.out().traps);
        if !say.data() && out.is_some_and(|out| out.contains(&TrapIx(i))) {
            continue;
        }
        let size = sizing.traps.get(&TrapIx(i));
        let of = |p| sizing.pieces.get(&p).map(|s| s.size);
        let trapped = trap.joint.is_some();
        let mut kind = f.kind.value.clone();
        if !f.with.is_empty() {
            kind = format!("{kind} with {}", f.with.join(", "));
        }
        if let Some(flow) = f.flow {
            kind = format!("{kind}, {}", say.flow(flow));
        }
        if let Some(heads) = f.heads {
            kind = format!("{kind}, {heads} heads");
        }
        if let Some(gpf) = f.gpf {
            let flush = match say.print.units {
                UnitSystem::Feet => format!("{} gpf", number(gpf, 2, false)),
                UnitSystem::Metric => {
                    format!("{} L flush", number(gpf * LITRES_PER_GALLON, 1, false))
                }
            };
            kind = format!("{kind}, {flush}");
        }
        let load = size.map_or_else(
            || say.nothing(),
            |s| {
                if s.unknown.is_some() {
                    say.nothing()
                } else {
                    say.print.load(s.load)
                }
            },
        );
        rows.push(vec![
            say.marked(&f.name, trap.state, changed.contains(f.name.as_str())),
            kind,
            f.room.clone().unwrap_or_default(),
            floor_name(job, f.floor),
            "1".to_owned(),
            load,
            say.size(size.map(|s| s.size).filter(|_| trapped)),
            say.size(trap.arm.and_then(of)),
            say.size(trap.vent_piece.and_then(of)),
            method(set, &trap.vent),
        ]);
    }
    Table {
        name: "fixtures",
        title: "Fixture schedule".into(),
        head: heads(&[
            "Tag",
            "Fixture",
            "Room",
            "Floor",
            "Count",
            &set.book.unit().to_uppercase(),
            "Trap",
            "Drain",
            "Vent",
            "Vented by",
        ]),
        foot: if say.data() { Vec::new() } else { counts(set) },
        rows,
        ..Table::default()
    }
}

fn method(set: &Inputs<'_>, vent: &VentMethod) -> String {
    let name = |t: &TrapIx| {
        let trap = set.net.traps.get(t.0)?;
        set.job.fixtures.get(trap.fixture).map(|f| f.name.as_str())
    };
    match vent {
        VentMethod::Wet(by) => match name(by) {
            Some(name) => format!("wet vent, {name}"),
            None => vent_words(vent).to_owned(),
        },
        VentMethod::Common(with) => {
            let names: Vec<&str> = with.iter().filter_map(name).collect();
            if names.is_empty() {
                vent_words(vent).to_owned()
            } else {
                format!("common vent with {}", names.join(", "))
            }
        }
        VentMethod::Island if set.book.cleanouts().asks_in_island_vents() => {
            format!("{}, with cleanout", vent_words(vent))
        }
        _ => vent_words(vent).to_owned(),
    }
}

/// How many of each kind, in the order in which the job first names them.
fn counts(set: &Inputs<'_>) -> Vec<String> {
    let mut kinds: Vec<(&str, usize)> = Vec::new();
    for f in &set.job.fixtures {
        match kinds.iter_mut().find(|k| k.0 == f.kind.value) {
            Some(k) => k.1 += 1,
            None => kinds.push((&f.kind.value, 1)),
        }
    }
    let out = set.typical.map_or(0, |t| t.out().traps.len());
    let each: Vec<String> = kinds.iter().map(|(k, n)| format!("{k} {n}")).collect();
    let all = set.job.fixtures.len();
    let mut foot = vec![format!("{all} fixtures: {}.", each.join(", "))];
    if out > 0 {
        let words = "Listed are those that are drawn; {out} more stand on storeys and stacks that are \
                     built like those.";
        foot.push(words.replace("{out}", &out.to_string()));
    }
    foot
}

//! The plan of the test as tables, with the form that is filled in on site.

use super::model::{Air, Closure, Lift, Section, Standpipe, WaterTest};
use super::record::record;
use crate::codebook::Provenance;
use crate::sheets::{Say, Table};
use crate::units::{Length, Pressure, UnitSystem, Volume, number};

/// The tables of a test; empty ones are left out.
pub fn tables(test: &WaterTest, say: &Say) -> Vec<Table> {
    let all = [
        sections(test, say),
        below(test, say),
        lifts(test, say),
        closures(test, say),
        uncounted(test),
        air(test, say),
        record(test, say),
    ];
    all.into_iter().filter(|t| !t.rows.is_empty()).collect()
}

const CAUTION: &str = "Caution: a plug under head is driven out with great force, and the water after \
                       it. Tie it, stand clear of its mouth, and let the water out from below \
                       before a plug is loosened. Support filled pipe. Where it may freeze, drain \
                       it at once.";

const CAUTION_AIR: &str = "Caution: compressed air does not let go as water does: a plug or a cap that \
                           slips is shot out. Water is the safer test. With air: gauge and relief \
                           valve set just over the pressure of the test, every closure tied, nobody \
                           before one, and all pressure let off before one is loosened.";

/// What who makes the test must know.
pub fn notes(test: &WaterTest, say: &Say) -> Vec<String> {
    let water = &test.rules.water;
    let head = say.print.length(water.head.value);
    let cite = water.head.cite();
    let mut notes = vec![CAUTION.to_owned()];
    notes.push(match (water.over_fittings.value, water.fills_whole()) {
        (true, false) => format!(
            "Water stands {head} at least above the highest fitting of the part under test ({cite})."
        ),
        (true, true) => format!(
            "Water stands {head} at least above the highest fitting of the part under test, or at \
             the highest point of the whole ({cite})."
        ),
        (false, _) => format!(
            "Every joint stands under {head} of water at least, but for the uppermost {head} of \
             the whole ({cite})."
        ),
    });
    notes.push(held(test));
    if matches!(test.air, Air::Allowed { .. }) {
        notes.push(CAUTION_AIR.to_owned());
    }
    notes.extend(
        test.noted
            .iter()
            .map(|n| format!("The code book notes: {n}")),
    );
    if !test.valves.is_empty() {
        let names: Vec<String> = test.valves.iter().map(|v| format!("`{v}`")).collect();
        notes.push(format!(
            "Backwater valves shut against the filling: the flap of {} is taken out or tied open \
             before, and put back after.",
            names.join(", and of ")
        ));
    }
    notes.extend(standpipe(test, say));
    if !test.nominal.is_empty() {
        let all = test.nominal.iter().map(|(made_of, sizes)| {
            let sizes: Vec<String> = sizes.iter().map(|s| say.size(Some(*s))).collect();
            format!("{made_of} {}", sizes.join(", "))
        });
        let all: Vec<String> = all.collect();
        notes.push(format!(
            "The catalogue has no bore of {}: the nominal size stands for it in the water to fill and \
             in the level of the highest pipe where that is above the floor.",
            all.join("; ")
        ));
    }
    notes.push(match &test.fill {
        Some(fill) => format!(
            "The whole is filled at the vent terminal of `{}`, the lowest, where it overflows at {}; \
             what ends higher stays open. Head is the water's level less the invert; {}, of water \
             at 1000 kg/m³.",
            fill.vent,
            say.print.level(fill.level),
            match say.print.units {
                UnitSystem::Feet => "1 ft of it is 0.4335 psi",
                UnitSystem::Metric => "1 m of it is 9.81 kPa",
            },
        ),
        None if !water.fills_whole() => {
            "Pipes above the ground: the code book has no test of them. Local rules and the maker's \
             instructions say how they are tested, and how much head their joints bear."
                .to_owned()
        }
        None => {
            "The level of the roof is not stated: how high the water stands over the joints of \
                 the whole is not known."
                .to_owned()
        }
    });
    if test.sections.iter().any(|s| !s.uncounted.is_empty()) {
        let more = "Pipes without a known length or level are not counted in the water to fill. The \
                    list of material leaves out only those without a length.";
        notes.push(more.to_owned());
    }
    if !test.tested.is_empty() {
        notes.push(format!(
            "Tested already, as the job says: {}.",
            test.tested.join("; ")
        ));
    }
    notes.push(match (test.rating, test.lifts.len()) {
        (None, _) => "The head that the plugs bear is not stated in the job: read it on each plug \
                      and compare it with its head here. With `plug_rating` under `[test]` a whole \
                      that stands too high for them is filled in lifts, with a test tee at the foot of \
                      each."
            .to_owned(),
        (Some(r), 0) => match test.least_rating {
            Some(least) => format!(
                "Plugs bear {} of water, as the job states: too little for the whole, and for \
                 lifts from floor to floor, which take plugs that bear {}.",
                say.print.length(r),
                say.print.length(say.print.rounded_up(least)),
            ),
            None => format!(
                "Plugs bear {} of water, as the job states.",
                say.print.length(r)
            ),
        },
        (Some(r), 1) => format!(
            "Plugs bear {} of water, as the job states: enough for the whole at once.",
            say.print.length(r)
        ),
        (Some(r), n) => format!(
            "Plugs bear {} of water, as the job states: the whole is tested in {n} lifts, each \
             filled to the level said, from the lowest up.",
            say.print.length(r)
        ),
    });
    notes.push(
        "Caution: worked out by a computer program from what its author stated. The licensed \
         plumber and the authority having jurisdiction decide how the test is made, and witness it."
            .to_owned(),
    );
    notes
}

/// How long the water is held, and what may be added meanwhile.
fn held(test: &WaterTest) -> String {
    let water = &test.rules.water;
    let first = water.stands.as_ref().map(|s| {
        let minutes = s.value;
        format!("Full, it stands {minutes} minutes first ({}). ", s.cite())
    });
    let added = test.sections.iter().find_map(|s| s.added);
    let level = match water.added.as_ref().zip(added) {
        Some((rule, all)) => format!(
            "adding no more than {} L to keep its level, {} L for each m² of the inside ({})",
            number(all.litres(), 2, true),
            number(rule.value.mm(), 2, false),
            rule.cite()
        ),
        None => "without a drop in level".to_owned(),
    };
    format!(
        "{}Hold it {} minutes ({}), {level}, before any joint is covered; let the air out at the \
         highest openings while it fills.",
        first.unwrap_or_default(),
        water.held.value,
        water.held.cite(),
    )
}

/// Where the drains below ground are filled, and from where.
fn standpipe(test: &WaterTest, say: &Say) -> Option<String> {
    let part = test.sections.iter().find(|s| s.phase.is_some())?;
    let over = say.print.length(part.standpipe?);
    let one = |s: &Standpipe| match (s.rises, s.holds) {
        (Some(rises), Some(holds)) => format!(
            "that of `{}` is {} from its invert at the drain, and holds {}",
            s.on,
            say.print.length(rises),
            say.volume(holds)
        ),
        _ => format!(
            "how long that of `{}` is, is not known, nor is its water counted",
            s.on
        ),
    };
    let each: Vec<String> = part.standpipes.iter().map(one).collect();
    if each.is_empty() {
        return None;
    }
    Some(format!(
        "The drains below ground are filled by a standpipe, whose water stands {over} over the highest \
         opening, a cap or plug at the floor: {}. What of a stub stands there already is the first of it; its water is counted in the \
         water to fill. The other ends are closed as listed.",
        each.join("; ")
    ))
}

fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// Pressure of a head of water.
fn pressure(head: Option<Length>, say: &Say) -> String {
    match head {
        Some(head) if say.data() => say.print.pressure_plain(Pressure::of_water(head)),
        Some(head) => say.print.pressure_to_a_tenth(Pressure::of_water(head)),
        None => say.nothing(),
    }
}

/// Water to fill: at least so much where pipes are not counted, nothing known where none is.
fn volume(volume: Volume, uncounted: usize, say: &Say) -> String {
    let none = volume.litres() <= 0.0;
    match uncounted {
        0 => say.volume(volume),
        _ if none => say.nothing(),
        _ if say.data() => say.volume(volume),
        _ => format!("at least {}", say.volume(volume)),
    }
}

/// What is said of each standpipe of a part.
fn each(s: &Section, say: &Say, of: impl Fn(&Standpipe) -> String) -> String {
    match s.standpipes.as_slice() {
        [] => say.nothing(),
        all => all.iter().map(of).collect::<Vec<_>>().join(", "),
    }
}

fn sections(test: &WaterTest, say: &Say) -> Table {
    let water = &test.rules.water;
    let least = water.head.value;
    let row = |s: &Section| {
        let head = s.head();
        let reaches = match (head, s.phase) {
            (None, _) => say.nothing(),
            (Some(_), Some(_)) => "with its standpipe".to_owned(),
            (Some(head), None) if head >= least && !water.over_fittings.value => {
                format!("all but the uppermost {}", say.print.length(least))
            }
            (Some(_), None) => "filled to the highest point".to_owned(),
        };
        vec![
            s.what.to_owned(),
            s.lowest
                .as_ref()
                .map_or_else(|| say.nothing(), |l| l.0.clone()),
            say.level(s.lowest.as_ref().map(|l| l.1)),
            say.level(s.water),
            say.length(head),
            pressure(head, say),
            say.length(s.standpipe),
            each(s, say, |p| p.on.clone()),
            each(s, say, |p| say.length(p.rises)),
            reaches,
            volume(s.volume, s.uncounted.len(), say),
            s.uncounted.len().to_string(),
        ]
    };
    let bar = say.pressure_unit();
    Table {
        name: "sections",
        title: "Parts under test".into(),
        head: vec![
            "Part".into(),
            "Lowest joint".into(),
            say.in_unit("Invert there"),
            say.in_unit("Water to"),
            say.in_unit("Head there"),
            format!("Pressure there{bar}"),
            say.in_unit("Over the highest opening"),
            "Standpipe on".into(),
            say.in_unit("Its length"),
            "Reaches the head".into(),
            format!("Water to fill{}", say.volume_unit()),
            "Pipes not counted".into(),
        ],
        rows: test.sections.iter().map(row).collect(),
        ..Table::default()
    }
}

/// The pipes that are not counted in the water, by name.
fn uncounted(test: &WaterTest) -> Table {
    let mut rows = Vec::new();
    for s in &test.sections {
        for (level_only, why) in [(false, "no length given"), (true, "level not known")] {
            let pipes = s.uncounted.iter().filter(|u| u.level_only == level_only);
            let pipes: Vec<&str> = pipes.map(|u| u.pipe.as_str()).collect();
            if !pipes.is_empty() {
                rows.push(vec![
                    s.what.to_owned(),
                    why.to_owned(),
                    pipes.len().to_string(),
                    pipes.join(", "),
                ]);
            }
        }
    }
    Table {
        name: "not-counted",
        title: "Not counted in the water".into(),
        head: heads(&["Part", "Why", "Pipes", "Pipe"]),
        rows,
        ..Table::default()
    }
}

fn lifts(test: &WaterTest, say: &Say) -> Table {
    let row = |(i, l): (usize, &Lift)| {
        let within = match test.rating {
            Some(r) if l.head() <= r || l.head().same(r) => "yes",
            Some(_) => "no",
            None => "not stated",
        };
        vec![
            (i + 1).to_string(),
            l.plug_at.clone(),
            say.level(Some(l.bottom)),
            say.level(Some(l.top)),
            say.length(Some(l.head())),
            pressure(Some(l.head()), say),
            within.to_owned(),
            volume(l.volume, l.uncounted, say),
        ]
    };
    Table {
        name: "lifts",
        title: "Filling, from the lowest up".into(),
        head: vec![
            "Lift".into(),
            "Plug at".into(),
            say.in_unit("Plug"),
            say.in_unit("Water to"),
            say.in_unit("Head on the plug"),
            format!("Pressure{}", say.pressure_unit()),
            "Within its rating".into(),
            format!("Water to fill{}", say.volume_unit()),
        ],
        rows: test.lifts.iter().enumerate().map(row).collect(),
        ..Table::default()
    }
}

/// What closes the drains below ground while they are tested by themselves.
fn below(test: &WaterTest, say: &Say) -> Table {
    Table {
        name: "closures-below-ground",
        title: "What is closed below ground, before it is covered".into(),
        ..closed(&test.below, test.rating, say)
    }
}

fn closures(test: &WaterTest, say: &Say) -> Table {
    Table {
        name: "closures",
        title: "What is closed for the whole".into(),
        ..closed(&test.closures, test.rating, say)
    }
}

fn closed(closures: &[Closure], rating: Option<Length>, say: &Say) -> Table {
    // Stubs have no floor of their own.
    let floors = say.data() || closures.iter().any(|c| !c.floor.is_empty());
    let rows = closures.iter().map(|c| {
        let over = match (rating, c.head) {
            (Some(r), Some(h)) if h > r && !h.same(r) => "over its rating",
            (Some(_), Some(_)) => "within",
            _ => "",
        };
        let mut row = vec![c.with.words().to_owned(), say.size(Some(c.size))];
        row.extend(floors.then(|| c.floor.clone()));
        row.extend([
            c.of.len().to_string(),
            c.of.join(", "),
            say.level(c.lowest),
            say.length(c.head),
            pressure(c.head, say),
        ]);
        row.extend(rating.map(|_| over.to_owned()));
        row
    });
    let mut head = heads(&["With", "Size"]);
    head.extend(floors.then(|| "Floor".to_owned()));
    head.extend(heads(&["Count", "At"]));
    head.push(say.in_unit("Lowest"));
    head.push(say.in_unit("Most head"));
    head.push(format!("Pressure{}", say.pressure_unit()));
    // Without a stated rating there is nothing to compare.
    head.extend(rating.map(|_| "Rating".to_owned()));
    Table {
        head,
        rows: rows.collect(),
        ..Table::default()
    }
}

fn air(test: &WaterTest, say: &Say) -> Table {
    let row = match &test.air {
        Air::Refused { plastic, rule } => vec![
            "refused".to_owned(),
            format!("not on plastic pipe: {}", plastic.join(", ")),
            rule.cite().to_owned(),
        ],
        Air::Allowed { test, unknown } => {
            let mut words = say.print.pressure(test.pressure.value);
            if let Some(settles) = &test.settles {
                words += &format!(", left to settle for {} minutes", settles.value);
            }
            words += &format!(", held for {} minutes without more air", test.held.value);
            if let Some(drop) = &test.drop {
                words += &format!(
                    ", falling by {} at the most",
                    say.print.pressure(drop.value)
                );
            }
            if !unknown.is_empty() {
                words += &format!("; ask the maker of {}", unknown.join(", "));
            }
            let from = match test.pressure.provenance {
                Provenance::Seen | Provenance::Amended => String::new(),
                other => format!(" ({})", other.words()),
            };
            let cite = format!("{}{from}", test.pressure.cite());
            vec!["allowed".to_owned(), words, cite]
        }
    };
    Table {
        name: "air",
        title: "Test with air instead".into(),
        head: heads(&["Air test", "How", "Section"]),
        rows: vec![row],
        ..Table::default()
    }
}

//! Joins, arms, offsets and slabs read off whole small jobs; see [`super::jobs`].

use stackfall::catalogue;
use stackfall::job::{Join, Wye};
use stackfall::levels::{Bound, Room, joins};
use stackfall::units::Length;

use super::case::{Answer, Case};
use super::jobs::{levels, solved};

type Given = Result<Answer, String>;

/// The answer to a case, if it is of a kind of this file.
pub fn answer(kind: &str, case: &mut Case) -> Option<Given> {
    let inches = |l: Length| Answer::from(l.inches());
    Some(match kind {
        "step, in" => step(case),
        "step in a job, in" => step_in_a_job(case),
        "arm drops, in" => arm(case),
        "45 offset: travel, in" => offset(case).map(|o| inches(o.0)),
        "45 offset: rise, in" => offset(case).map(|o| inches(o.1)),
        "45 travel in plan ends there" => travel(case),
        "highest invert under a slab, in" => under_slab(case),
        _ => return None,
    })
}

fn join_of(word: &str) -> Result<(Join, Wye), String> {
    Ok(match word {
        "centre" => (Join::Centre, Wye::Flat),
        "crown" => (Join::Crown, Wye::Flat),
        "invert" => (Join::Invert, Wye::Flat),
        "rolled" => (Join::Centre, Wye::Rolled),
        "on back" => (Join::Centre, Wye::OnBack),
        other => return Err(format!("no way to join `{other}`")),
    })
}

/// Step of inverts of two pipes of the catalogue.
fn step(case: &mut Case) -> Given {
    let (join, wye) = join_of(&case.text("join")?)?;
    let material = case.text("material")?;
    let (drain, branch) = (case.size("drain")?, case.size("branch")?);
    let bore = |size| catalogue::bore(&material, size).map(|d| d.value);
    let (drain, branch) = bore(drain).zip(bore(branch)).ok_or("not listed")?;
    let step = joins::step(join, wye, false, drain, branch);
    Ok(step.inches().into())
}

/// The same, of a branch on a drain as the level table has the two inverts.
fn step_in_a_job(case: &mut Case) -> Given {
    let said = case.text("join")?;
    join_of(&said)?;
    let material = case.text("material")?;
    let (drain, branch) = (case.number("drain")?, case.number("branch")?);
    let join = match said.as_str() {
        "rolled" | "on back" => "centre",
        join => join,
    };
    let wye = match said.as_str() {
        wye @ ("rolled" | "on back") => wye,
        _ => "flat",
    };
    let text = format!(
        "[job]\ncode = \"ipc-2021\"\njoin = \"{join}\"\nmaterial = {{ below = \"{material}\" }}\n\
         [floors]\nground = {{ level = \"0\" }}\n[exit]\nheading = \"south\"\ninvert = \"-4'\"\n\
         [drains]\nmain = {{ into = \"exit\", size = {drain}, run = [\"north 24'\"] }}\n\
         b = {{ into = \"main\", station = \"12'\", wye = \"{wye}\", size = {branch}, run = [\"east 4'\"] }}\n\
         [fixtures]\nFD = {{ kind = \"floor drain\", floor = \"ground\", into = \"main\", station = \"24'\" }}\n\
         LAV = {{ kind = \"lavatory\", floor = \"ground\", into = \"b\", station = \"4'\" }}\n"
    );
    let worked = solved(&text)?;
    let rows = &worked.solution.levels.stations;
    let at = |place: &str| {
        let row = rows.iter().find(|s| s.place == place);
        row.and_then(|s| s.invert)
            .ok_or_else(|| format!("no `{place}`"))
    };
    Ok((at("b at main")? - at("junction of b")?).inches().into())
}

/// How far an arm drops from its weir to its vent.
fn arm(case: &mut Case) -> Given {
    let (size, long, fall) = (case.number("size")?, case.text("long")?, case.text("fall")?);
    let text = format!(
        "[job]\ncode = \"ipc-2021\"\nfall = {{ \"{size}\" = \"{fall}\" }}\nstock = [1.25, 1.5, 2, 3, 4]\n\
         [floors]\nground = {{ level = \"0\" }}\n[exit]\nheading = \"south\"\ninvert = \"-4'\"\n\
         [drains]\nmain = {{ into = \"exit\", size = 4, run = [\"north 9'\"] }}\n[fixtures]\n\
         LAV = {{ kind = \"laundry tub\", floor = \"ground\", into = \"main\", station = \"9'\", \
         run = [\"up 3'\"], trap = {size}, arm = \"{long}\", side = \"west\" }}\n"
    );
    let worked = solved(&text)?;
    let arm = levels(&worked, "LAV.arm")?;
    let ends = arm.invert_up.zip(arm.invert_down);
    let (up, down) = ends.ok_or("no inverts of the arm")?;
    Ok((up - down).inches().into())
}

/// A 45° offset of a stack: length of the pipe between its bends, and how far that climbs.
fn offset(case: &mut Case) -> Result<(Length, Length), String> {
    let set = case.text("set")?;
    let text = format!(
        "[job]\ncode = \"ipc-2021\"\n[floors]\nground = {{ level = \"0\" }}\nup = {{ level = \"30'\" }}\n\
         [exit]\nheading = \"south\"\ninvert = \"-4'\"\n[stacks]\n\
         S = {{ offsets = [{{ floor = \"ground\", invert = \"2'\", go = \"east {set}\", by = 45 }}] }}\n\
         [fixtures]\nLAV = {{ kind = \"lavatory\", floor = \"up\", into = \"S\" }}\n"
    );
    let worked = solved(&text)?;
    let across = levels(&worked, "S.head-ground")?;
    let ends = across.invert_up.zip(across.invert_down);
    let (up, down) = ends.ok_or("no inverts of the offset")?;
    Ok((across.length.ok_or("no length")?, up - down))
}

/// Whether a stack that stands so far east and north of plan zero is where the tool thinks that a
/// diagonal of this length ends, which starts 10 ft north of it: else it says that position and
/// run disagree.
fn travel(case: &mut Case) -> Given {
    let travel = case.text("travel")?;
    let (east, north) = (case.text("east")?, case.text("north")?);
    let text = format!(
        "[job]\ncode = \"ipc-2021\"\n[floors]\nground = {{ level = \"0\" }}\n[exit]\nheading = \"south\"\n\
         invert = \"-4'\"\n[drains]\nmain = {{ into = \"exit\", run = [\"north 9'\"] }}\n[stacks]\n\
         S = {{ into = \"main\", station = \"9'\", run = [\"north 1'\", \"northeast {travel}\"], \
         at = [\"{east}\", \"{north}\"] }}\n\
         [fixtures]\nLAV = {{ kind = \"lavatory\", floor = \"ground\", into = \"S\" }}\n"
    );
    let worked = solved(&text)?;
    let open = &worked.findings.open;
    Ok(Answer::Yes(open.iter().all(|d| d.code != "L102")))
}

/// The highest that a drain may lie at its lower end under a slab at zero: its invert there and
/// the room above that.
fn under_slab(case: &mut Case) -> Given {
    let (material, size) = (case.text("material")?, case.number("size")?);
    let slab = case.text("slab")?;
    let text = format!(
        "[job]\ncode = \"ipc-2021\"\nmaterial = {{ below = \"{material}\" }}\n\
         [floors]\nground = {{ level = \"0\", slab = \"{slab}\" }}\n[exit]\nheading = \"south\"\n\
         invert = \"-4'\"\n[drains]\nmain = {{ into = \"exit\", size = {size}, fall = \"1/8\", \
         run = [\"lies under slab\", \"north 4'\"] }}\n[fixtures]\n\
         LAV = {{ kind = \"laundry tub\", floor = \"ground\", into = \"main\", station = \"4'\", \
         run = [\"up 1'\"], arm = \"2'\", side = \"west\" }}\n"
    );
    let worked = solved(&text)?;
    let main = worked.net.piece_by_id("main.LAV").ok_or("no main.LAV")?;
    let up = levels(&worked, "main.LAV")?.invert_up.ok_or("no invert")?;
    let rooms = worked.solution.levels.rooms.get(&main);
    let room: Room = rooms.and_then(|r| r.up).ok_or("no room")?;
    if !matches!(room.bound, Bound::Slab(_)) {
        return Err(format!("bound by {:?}", room.bound));
    }
    Ok((up + room.spare).inches().into())
}

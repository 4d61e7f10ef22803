//! Levels read off whole small jobs: what a case gives is written into a job file in the job's own
//! words, the job is solved, and the answer stands in the tables that the tool prints.

use std::fmt::Write;

use stackfall::levels::{Bores, PieceLevels};
use stackfall::sheets::{Inputs, levels_whole, paper};
use stackfall::units::Length;

use super::case::{Answer, Case};
use super::common::{Worked, complete};

type Given = Result<Answer, String>;

/// The answer to a case, if it is of a kind of this file.
pub fn answer(kind: &str, case: &mut Case) -> Option<Given> {
    let of = |l: Result<Length, String>, read: fn(Length) -> f64| l.map(|l| read(l).into());
    Some(match kind {
        "invert up the drain, ft" => of(Drain::of(case).and_then(|d| d.invert()), Length::feet),
        "invert up the drain, m" => of(Drain::of(case).and_then(|d| d.invert()), metres),
        "rise up the drain, in" => of(Drain::of(case).and_then(|d| d.rise()), Length::inches),
        "rise up the drain, ft" => of(Drain::of(case).and_then(|d| d.rise()), Length::feet),
        "rise up the drain, mm" => of(Drain::of(case).and_then(|d| d.rise()), Length::mm),
        "survey elevation" => Drain::of(case).and_then(|d| d.surveyed()),
        "cut, ft" => of(cut(case), Length::feet),
        "rod on the invert, ft" => of(rod(case, |_, _| Length::ZERO), Length::feet),
        "rod on top of the pipe, ft" => of(rod(case, |bore, wall| bore + wall), Length::feet),
        "rod under the pipe, ft" => of(rod(case, |_, wall| -wall), Length::feet),
        "fall of the sewer, percent" => sewer(case).map(|f| Answer::Number(f * 100.0)),
        "fall of the sewer, one in" => sewer(case).map(|f| Answer::Number(1.0 / f)),
        "wall, in" => wall(case),
        _ => return None,
    })
}

fn metres(l: Length) -> f64 {
    l.mm() / 1000.0
}

/// A job of a case, solved.
pub fn solved(text: &str) -> Result<Worked, String> {
    let done = complete("case", text).map_err(|d| format!("{d:#?}\n{text}"))?;
    if done.is_faulty() {
        return Err(format!("{:#?}\n{text}", done.told));
    }
    Ok(done.worked())
}

/// Levels of the piece of an id.
pub fn levels<'a>(of: &'a Worked, id: &str) -> Result<&'a PieceLevels, String> {
    let piece = of.net.piece_by_id(id);
    let levels = piece.and_then(|p| of.solution.levels.pieces.get(&p));
    levels.ok_or_else(|| format!("no levels of {id}"))
}

fn head(case: &mut Case) -> Result<String, String> {
    let mut text = "[job]\ncode = \"ipc-2021\"\n".to_owned();
    if let Some(survey) = case.may_text("zero")? {
        text += &format!("zero = {{ is = \"datum\", survey = \"{survey}\" }}\n");
    }
    if let Some(material) = case.may_text("material")? {
        text += &format!("material = {{ below = \"{material}\", above = \"{material}\" }}\n");
    }
    text += "[floors]\nground = { level = \"6000'\" }\n";
    Ok(text)
}

/// One straight drain from the exit, and a mark (a cleanout) somewhere up it.
struct Drain {
    worked: Worked,
    row: usize,
}

impl Drain {
    fn of(case: &mut Case) -> Result<Drain, String> {
        let mut text = head(case)?;
        let (exit, up) = (case.text("exit")?, case.text("up")?);
        let long = case.may_text("long")?.unwrap_or_else(|| up.clone());
        let size = case.may_number("size")?.unwrap_or(4.0);
        let fall = case.text("fall")?;
        let _ = write!(
            text,
            "[exit]\nheading = \"south\"\ninvert = \"{exit}\"\n[drains]\n\
             main = {{ into = \"exit\", size = {size}, fall = \"{fall}\", run = [\"north {long}\"] }}\n\
             [cleanouts]\nHUB = {{ on = \"main\", station = \"{up}\" }}\n[fixtures]\n\
             FD = {{ kind = \"floor drain\", floor = \"ground\", into = \"main\", \
             station = \"{long}\", arm = \"2'\", side = \"west\" }}\n"
        );
        let worked = solved(&text)?;
        let mut rows = worked.solution.levels.stations.iter();
        let is_hub = |place: &str| place.split([' ', ',']).any(|w| w == "HUB");
        let row = rows.position(|s| is_hub(&s.place));
        let row = row.ok_or("no row of the mark")?;
        Ok(Drain { worked, row })
    }
    fn invert(&self) -> Result<Length, String> {
        let row = &self.worked.solution.levels.stations[self.row];
        row.invert.ok_or_else(|| format!("{:?}", row.missing))
    }
    fn rise(&self) -> Result<Length, String> {
        let exit = self.worked.solution.levels.stations.first();
        let exit = exit.and_then(|s| s.invert).ok_or("no invert at the exit")?;
        Ok(self.invert()? - exit)
    }
    /// What the printed table says in its column of survey elevations.
    fn surveyed(&self) -> Given {
        let w = &self.worked;
        let table = levels_whole(&Inputs {
            job: &w.job,
            net: &w.net,
            book: &w.book,
            solution: &w.solution,
            findings: &w.findings,
            paper: paper("ARCH D").ok_or("no such paper")?,
            marks: &[],
            shows: &[],
            scale: None,
            typical: None,
            standing: None,
        });
        let column = table.head.iter().position(|h| h == "Survey elev.");
        let column = column.ok_or("no survey elevations")?;
        let cell = table.rows.get(self.row).and_then(|r| r.get(column));
        Ok(Answer::Word(cell.cloned().unwrap_or_default()))
    }
    /// Bore and wall of the drain at the mark.
    fn pipe(&self) -> Result<(Length, Length), String> {
        let w = &self.worked;
        let piece = w.solution.levels.stations[self.row].piece;
        let size = w.solution.sizing.pieces.get(&piece).ok_or("no size")?.size;
        let bores = Bores::new(&w.job, &w.net);
        Ok((bores.of(piece, size), bores.wall(piece, size)))
    }
}

/// From the top of a hub down to the invert.
fn cut(case: &mut Case) -> Result<Length, String> {
    let hub = Length::from_feet(case.number("hub")?);
    Ok(hub - Drain::of(case)?.invert()?)
}

/// What a rod reads on a point of the pipe, so far above its invert, at a height of instrument.
fn rod(case: &mut Case, above: fn(Length, Length) -> Length) -> Result<Length, String> {
    let line_of_sight = Length::from_feet(case.number("hi")?);
    let drain = Drain::of(case)?;
    let (bore, wall) = drain.pipe()?;
    Ok(line_of_sight - (drain.invert()? + above(bore, wall)))
}

/// The fall of a sewer between two stated inverts.
fn sewer(case: &mut Case) -> Result<f64, String> {
    let mut text = head(case)?;
    let (exit, tap, long) = (case.text("exit")?, case.text("tap")?, case.text("long")?);
    let _ = write!(
        text,
        "[exit]\nheading = \"south\"\ninvert = \"{exit}\"\n\
         sewer = {{ length = \"{long}\", size = 4, tap = \"{tap}\" }}\n[drains]\n\
         main = {{ into = \"exit\", run = [\"north 9'\"] }}\n[fixtures]\n\
         FD = {{ kind = \"floor drain\", floor = \"ground\", into = \"main\", station = \"9'\" }}\n"
    );
    let worked = solved(&text)?;
    let sewers = worked.net.graph.edge_indices().filter(|p| {
        let run = worked.net.runs.get(worked.net.graph[*p].run.0);
        run.is_some_and(|r| r.kind == stackfall::network::RunKind::Sewer)
    });
    let mut falls = sewers.filter_map(|p| worked.solution.levels.pieces.get(&p)?.fall);
    Ok(falls.next().ok_or("no fall of a sewer")?.ratio())
}

/// Wall of a drain of this material and size, as the levels reckon with it.
fn wall(case: &mut Case) -> Given {
    let material = case.text("material")?;
    let size = case.number("size")?;
    let text = format!(
        "[job]\ncode = \"ipc-2021\"\nmaterial = {{ below = \"{material}\" }}\n\
         [floors]\nground = {{ level = \"0\" }}\n[exit]\nheading = \"south\"\ninvert = \"-4'\"\n\
         [drains]\nmain = {{ into = \"exit\", size = {size}, run = [\"north 9'\"] }}\n\
         [cleanouts]\nHUB = {{ on = \"main\", station = \"9'\" }}\n[fixtures]\n\
         LAV = {{ kind = \"lavatory\", floor = \"ground\", into = \"main\", station = \"9'\" }}\n"
    );
    let worked = solved(&text)?;
    let stations = &worked.solution.levels.stations;
    let row = stations.iter().position(|s| s.place.contains("HUB"));
    let row = row.ok_or("no row of the mark")?;
    let drain = Drain { worked, row };
    Ok(drain.pipe()?.1.inches().into())
}

//! The crew's sheets: drains, then vents, one band of floors a sheet or as many sheets as it takes.

use std::collections::{BTreeMap, BTreeSet};

use super::drawn::{LEAST_CAP, figures, marks_from};
use crate::at_once;
use crate::captions::{self, Captions, CrewWords, MatchMark, Subject, Trade};
use crate::crew::{self, CrewSheet, Datum};
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::bores::{Part, part};
use crate::linework::{self, Style};
use crate::network::{JointIx, Network, PieceIx, System};
use crate::placement::{Bands, Building, Division, Figures, Left, Placer, Plan, Root, Step};
use crate::projection::Corner;
use crate::sheets::{self, CREW_CAP, Paper, Scene};
use crate::solve::Work;

/// What a pipe that is cut says again takes so much of a sheet on each side, mm.
const AGAIN: f64 = 5.0;

/// The crew's sheets with their drawings.
pub(super) struct Drawn {
    pub sheets: Vec<(CrewSheet, Scene, Paper)>,
    /// The numbers of the joints of the drains.
    numbers: BTreeMap<JointIx, usize>,
    pub said: Vec<Diagnostic>,
}

/// Draws the crew's sheets: drains, and vents, each on the first of some papers that holds them.
pub(super) fn drawn(work: &Work<'_>, papers: &[Paper]) -> Drawn {
    let corner = corner(work);
    let drains = crew::drains_only(work.net);
    let mut drawn = Drawn {
        sheets: Vec::new(),
        numbers: BTreeMap::new(),
        said: Vec::new(),
    };
    let mut marks = 0;
    for (trade, net) in [(Trade::Drains, &drains), (Trade::Vents, work.net)] {
        let work = Work { net, ..*work };
        let first = drawn.sheets.len();
        let before = marks;
        for (i, &paper) in papers.iter().enumerate() {
            let pass = Pass {
                work,
                trade,
                paper,
                first,
            };
            let own = pass.draw(corner, before, &mut drawn);
            marks = before + own;
            if drawn.said.is_empty() || i + 1 == papers.len() {
                break;
            }
            drawn.sheets.truncate(first);
            drawn.said.clear();
        }
    }
    drawn
}

/// The corner that the permit set is seen from, so that who holds both finds his way.
fn corner(work: &Work<'_>) -> Corner {
    let subject = subject(work, work.net);
    let captions = captions::permit(&subject, LEAST_CAP, &[]);
    let usual = sheets::paper("arch-d").map(|p| sheets::layout(p).field);
    let field = usual.unwrap_or_default();
    let left = Left::default();
    let figures = figures(subject);
    let building = building(work, &left);
    Placer::new(building, &captions, &figures, field, field).corner()
}

fn subject<'a>(work: &Work<'a>, net: &'a Network) -> Subject<'a> {
    Subject {
        job: work.job,
        net,
        solution: work.solution,
        typical: None,
    }
}

fn building<'a>(work: &Work<'a>, left: &'a Left) -> Building<'a> {
    Building {
        job: work.job,
        net: work.net,
        left,
        step: Step::FINE,
        earlier: None,
    }
}

/// The sheets of drains, or those of vents.
struct Pass<'a> {
    work: Work<'a>,
    trade: Trade,
    paper: Paper,
    /// Index of its first sheet.
    first: usize,
}

impl Pass<'_> {
    /// Draws them; gives how many marks they take. `named` marks have their names already.
    fn draw(&self, corner: Corner, named: usize, drawn: &mut Drawn) -> usize {
        let (job, net) = (self.work.job, self.work.net);
        let subject = subject(&self.work, net);
        let field = sheets::crew_field(self.paper);
        let (left, none) = (Left::default(), Captions::default());
        let figures = figures(subject).with_mark_cap(CREW_CAP);
        let building = building(&self.work, &left);
        let placer = Placer::from_corner(building, &none, &figures, corner);
        let bands = match self.trade {
            Trade::Drains => placer.by_floor(),
            // Vents rise past floors: they are cut where the paper asks for it.
            Trade::Vents => {
                let (captions, figures) = self.dressed(
                    (&subject, &BTreeMap::new()),
                    &Bands::default(),
                    (&[], false),
                    &figures,
                );
                placer.bands(&captions, &figures, field, 0)
            }
        };
        let numbers = self.numbers(&bands, drawn);
        let dressed = |bands: &Bands, marks: (&[MatchMark], bool)| {
            self.dressed((&subject, &numbers), bands, marks, &figures)
        };
        let datums = datums(&self.work, &bands);
        let number = |i: usize| sheets::crew_number(self.first + i);
        // While it is not known where the cuts will be, every one that may be has a mark.
        let all = placer.cuttable(&bands).into_iter();
        let all = marks_from(named, all, |_| Some((0, 0)), number);
        let division = {
            let (captions, figures) = dressed(&bands, (&all, false));
            // Room for what is said again at a cut.
            placer.divide(
                &captions,
                &figures,
                field.inflate(-AGAIN, -AGAIN / 2.0),
                bands,
            )
        };
        let ends: BTreeMap<PieceIx, (usize, usize)> =
            (division.cuts.iter().map(|c| (c.piece, (c.down, c.up)))).collect();
        let cuts = || division.cuts.iter().map(|c| c.piece);
        let mut marks = marks_from(named, cuts(), |p| ends.get(&p).copied(), number);
        let plans = |marks: &[MatchMark]| {
            let (captions, figures) = dressed(&division.bands, (marks, true));
            let plans = placer.each(&captions, &figures, &division, |p| p.plan(field));
            (captions, figures, plans)
        };
        let (mut captions, mut figures, mut placed) = plans(&marks);
        let mut kept: Vec<usize> = (0..placed.len()).collect();
        if self.trade == Trade::Vents {
            // What shows no vent stands on the sheets of drains already.
            kept.retain(|&i| placed.get(i).is_some_and(|p| has_vents(net, p)));
            if kept.len() < placed.len() {
                let now: BTreeMap<usize, usize> = kept
                    .iter()
                    .enumerate()
                    .map(|(new, old)| (*old, new))
                    .collect();
                marks = self.marks_to_drains(&division, &now, named, &drawn.sheets);
                (captions, figures, placed) = plans(&marks);
            }
        }
        let plans: Vec<Plan> = (placed.into_iter().enumerate())
            .filter(|(i, _)| kept.contains(i))
            .map(|(_, p)| p)
            .collect();
        let style = Style::crew();
        let drawing = linework::Subject {
            job,
            net,
            solution: self.work.solution,
            captions: &captions,
            figures: &figures,
        };
        let scenes = at_once::each(&plans, |plan| {
            linework::scene(&drawing, plan, field, &style)
        });
        let bands: Vec<usize> = kept.iter().map(|&i| band(&division, net, i)).collect();
        for (i, (plan, scene)) in plans.iter().zip(scenes).enumerate() {
            let number = number(i);
            // The upper end of a vent is the one that it flows from.
            let vent = |p| {
                net.graph
                    .edge_weight(p)
                    .is_some_and(|p| p.system == System::Vent)
            };
            let cut = marks.iter().filter(|m| match vent(m.piece) {
                true => m.up == number,
                false => m.down == number,
            });
            let cut = cut.map(|m| m.piece);
            let ground = Ground {
                bands: &bands,
                division: &division,
                datums: &datums,
                numbers: &numbers,
                cut: cut.collect(),
            };
            let sheet = self.sheet(i, plan, &ground);
            if !plan.fits {
                drawn.said.push(too_large(&sheet.number, self.paper));
            }
            drawn.sheets.push((sheet, scene, self.paper));
        }
        marks.len()
    }

    /// The marks of the sheets that are kept, by their old and new places. What goes on on a sheet that
    /// is not kept is marked with the sheet of drains that shows it.
    fn marks_to_drains(
        &self,
        division: &Division,
        now: &BTreeMap<usize, usize>,
        named: usize,
        drains: &[(CrewSheet, Scene, Paper)],
    ) -> Vec<MatchMark> {
        let net = self.work.net;
        let number = |i: &usize| Some(sheets::crew_number(self.first + now.get(i)?));
        let on_drains = |joint: Option<JointIx>| {
            let shows = |s: &&(CrewSheet, Scene, Paper)| {
                let ends = s.0.pieces.iter().filter(|p| !s.0.cut.contains(p));
                joint.is_some() && ends.clone().any(|p| net.from(*p) == joint)
            };
            Some(drains.iter().find(shows)?.0.number.clone())
        };
        let mut marks: Vec<MatchMark> = Vec::new();
        for cut in &division.cuts {
            let (down, up) = (number(&cut.down), number(&cut.up));
            let whole = down.is_some() && up.is_some();
            let name = MatchMark::name_of(named + marks.len());
            let (Some(down), Some(up)) = (match (down, up) {
                (None, None) => continue,
                (down, up) => (
                    down.or_else(|| on_drains(net.to(cut.piece))),
                    up.or_else(|| on_drains(net.from(cut.piece))),
                ),
            }) else {
                continue;
            };
            let run = net
                .graph
                .edge_weight(cut.piece)
                .and_then(|p| net.runs.get(p.run.0));
            marks.push(MatchMark {
                piece: cut.piece,
                name,
                down,
                up,
                like: run.filter(|_| !whole).map(|r| r.id.clone()),
            });
        }
        marks
    }

    /// The numbers of the joints; those of the drains are kept for the sheets of vents.
    fn numbers(&self, bands: &Bands, drawn: &mut Drawn) -> BTreeMap<JointIx, usize> {
        match self.trade {
            Trade::Drains => {
                drawn.numbers = crew::numbers(self.work.net, |j| bands.of_joint(j));
                drawn.numbers.clone()
            }
            Trade::Vents => crew::vent_numbers(&self.work, &drawn.numbers),
        }
    }

    /// Words and symbols with some marks.
    fn dressed(
        &self,
        (subject, numbers): (&Subject<'_>, &BTreeMap<JointIx, usize>),
        bands: &Bands,
        (marks, cuts): (&[MatchMark], bool),
        figures: &Figures,
    ) -> (Captions, Figures) {
        let words = CrewWords {
            trade: self.trade,
            cuts,
            number: &|joint| numbers.get(&joint).copied(),
            place: &|joint| {
                let floor = bands.of_joint(joint).checked_sub(1)?;
                let floor = bands.bounds().get(floor)?;
                Some(self.work.job.floors.get(floor.0)?.name.clone())
            },
        };
        let captions = captions::crew(subject, words, CREW_CAP, marks);
        (captions, figures.clone().with_marks(self.work.net, marks))
    }

    /// What is said on a sheet.
    fn sheet(&self, i: usize, plan: &Plan, ground: &Ground<'_>) -> CrewSheet {
        let Ground {
            bands,
            division,
            datums,
            numbers,
            cut,
        } = ground;
        let band = bands.get(i).copied().unwrap_or_default();
        let mut pieces: Vec<PieceIx> = plan.placement.pipes.iter().map(|p| p.piece).collect();
        pieces.sort_unstable();
        pieces.dedup();
        let floor = band
            .checked_sub(1)
            .and_then(|b| division.bands.bounds().get(b))
            .and_then(|f| self.work.job.floors.get(f.0));
        let below = |p: &PieceIx| part(self.work.net, *p) == Part::Below;
        let mut title = match (self.trade, floor) {
            (Trade::Drains, Some(f)) => format!("Drains, {}", f.name),
            (Trade::Vents, Some(f)) => format!("Vents, {}", f.name),
            (Trade::Drains, None) if pieces.iter().any(below) => "Underground".to_owned(),
            (Trade::Drains, None) => "Building drain".to_owned(),
            (Trade::Vents, None) => "Vents".to_owned(),
        };
        let datum = datums.get(band).cloned();
        let datum = datum.unwrap_or_else(|| Datum::of_underground(self.work.job));
        let of = bands.iter().filter(|b| **b == band).count();
        if of > 1 {
            let before = bands.iter().take(i).filter(|b| **b == band).count();
            title.push_str(&format!(", {} of {of}", before + 1));
        }
        let last = bands.iter().rposition(|b| *b == band) == Some(i);
        CrewSheet {
            number: sheets::crew_number(self.first + i),
            title,
            trade: self.trade,
            set_out: match self.trade {
                Trade::Drains => crew::set_out(&self.work, &datum, numbers, &pieces, cut),
                Trade::Vents => crew::vents_set_out(&self.work, &datum, numbers, &pieces, cut),
            },
            datum,
            steps: crew::steps(&self.work, self.trade, &pieces, last),
            pieces,
            cut: cut.clone(),
        }
    }
}

fn has_vents(net: &Network, plan: &Plan) -> bool {
    let mut pieces = plan.placement.pipes.iter().map(|p| p.piece);
    pieces.any(|p| {
        net.graph
            .edge_weight(p)
            .is_some_and(|p| p.system == System::Vent)
    })
}

/// What all sheets of a pass have in common, and what is cut on one of them.
struct Ground<'a> {
    bands: &'a [usize],
    division: &'a Division,
    datums: &'a [Datum],
    numbers: &'a BTreeMap<JointIx, usize>,
    cut: BTreeSet<PieceIx>,
}

/// What the levels of each band are measured down from.
fn datums(work: &Work<'_>, bands: &Bands) -> Vec<Datum> {
    let floors = bands.bounds().iter().map(|f| Datum::of_floor(work.job, *f));
    std::iter::once(Datum::of_underground(work.job))
        .chain(floors)
        .collect()
}

/// The band of floors that a sheet shows.
fn band(division: &Division, net: &Network, sheet: usize) -> usize {
    let shares = division.sheets.get(sheet);
    let root = shares.and_then(|s| s.first()).map(|s| s.root);
    match root {
        Some(Root::Cut(piece)) => net.from(piece).map_or(0, |j| division.bands.of_joint(j)),
        Some(Root::Vents { band, .. }) => band,
        Some(Root::Exit(_)) | None => 0,
    }
}

fn too_large(number: &str, paper: Paper) -> Diagnostic {
    let message = format!(
        "a part of the crew's drawing that cannot be cut is larger than its field on {}: {number}",
        paper.name
    );
    Diagnostic {
        help: Some("choose a larger paper with --sheet".to_owned()),
        ..Diagnostic::plain("P102", "drawing-does-not-fit", Severity::Error, message)
    }
}

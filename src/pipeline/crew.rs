//! The crew's sheets: drains, then vents, one band of floors a sheet or as many sheets as it takes.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::Rect;

use super::drawn::{LEAST_CAP, figures, marks_from};
use crate::at_once;
use crate::captions::{self, Captions, CrewWords, MatchMark, Subject, Trade};
use crate::crew::{self, CrewSheet, Datum, Last};
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

/// Vents are cut between floors so many times more before a larger paper is taken.
const MORE: usize = 4;

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
    let vents = crew::vents_alone(work.net);
    let mut drawn = Drawn {
        sheets: Vec::new(),
        numbers: BTreeMap::new(),
        said: Vec::new(),
    };
    let mut letters = 0;
    for (trade, net) in [(Trade::Drains, &drains), (Trade::Vents, &vents)] {
        // Vents rise past floors: they are cut between floors only where the paper asks for it.
        let cuts = match trade {
            Trade::Drains => 0,
            Trade::Vents => work.job.floors.len().min(MORE),
        };
        let mut best: Option<Sheets> = None;
        for more in 0..=cuts {
            let pass = Pass {
                work: Work { net, ..*work },
                trade,
                papers,
                more,
                letters,
                before: &drawn,
            };
            let made = pass.draw(corner);
            let larger = made.larger(papers);
            if best.as_ref().is_none_or(|b| larger < b.larger(papers)) {
                best = Some(made);
            }
            if larger == (0, 0) {
                break;
            }
        }
        if let Some(best) = best {
            letters = best.letters;
            drawn.sheets.extend(best.sheets);
            drawn.said.extend(best.said);
            if trade == Trade::Drains {
                drawn.numbers = best.numbers;
            }
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

/// The sheets of one trade.
struct Sheets {
    sheets: Vec<(CrewSheet, Scene, Paper)>,
    /// So many marks have letters by then.
    letters: usize,
    numbers: BTreeMap<JointIx, usize>,
    said: Vec<Diagnostic>,
}

impl Sheets {
    /// How many do not fit, and how many are larger than the first of some papers.
    fn larger(&self, papers: &[Paper]) -> (usize, usize) {
        let larger = |s: &&(CrewSheet, Scene, Paper)| Some(&s.2) != papers.first();
        (self.said.len(), self.sheets.iter().filter(larger).count())
    }
}

/// The sheets of drains, or those of vents.
struct Pass<'a> {
    work: Work<'a>,
    trade: Trade,
    /// A sheet takes the first that holds it.
    papers: &'a [Paper],
    /// So many more bands of floors than vents need by their height.
    more: usize,
    /// So many marks have letters already.
    letters: usize,
    /// The sheets before these.
    before: &'a Drawn,
}

impl Pass<'_> {
    /// Draws them.
    fn draw(&self, corner: Corner) -> Sheets {
        let (job, net) = (self.work.job, self.work.net);
        let subject = subject(&self.work, net);
        let fields: Vec<(Paper, Rect)> = (self.papers.iter())
            .map(|p| (*p, sheets::crew_field(*p)))
            .collect();
        let field = fields.first().map(|(_, f)| *f).unwrap_or_default();
        let (left, none) = (Left::default(), Captions::default());
        let figures = figures(subject).with_mark_cap(CREW_CAP);
        let building = building(&self.work, &left);
        let placer = Placer::from_corner(building, &none, &figures, corner);
        let bands = match self.trade {
            Trade::Drains => placer.by_floor(),
            Trade::Vents => {
                let (captions, figures) = self.dressed(
                    (&subject, &BTreeMap::new()),
                    &Bands::default(),
                    (&[], false),
                    &figures,
                );
                placer.bands(&captions, &figures, field, self.more)
            }
        };
        let numbers = self.numbers(&bands);
        let dressed = |bands: &Bands, marks: (&[MatchMark], bool)| {
            self.dressed((&subject, &numbers), bands, marks, &figures)
        };
        let datums = datums(&self.work, &bands);
        let first = self.before.sheets.len();
        let number = |i: usize| sheets::crew_number(first + i);
        // While it is not known where the cuts will be, every one that may be has a mark.
        let all = placer.cuttable(&bands).into_iter();
        let all = marks_from(self.letters, all, |_| Some((0, 0)), number);
        // Room for what is said again at a cut.
        let room = field.inflate(-AGAIN, -AGAIN / 2.0);
        // Sheets of one floor stand together where the paper holds several. What shows no vent stands
        // on the sheets of drains already, and is left out; it comes last.
        let (division, count) = {
            let (captions, figures) = dressed(&bands, (&all, false));
            let each = placer.divide(&captions, &figures, room, bands);
            let own = match self.trade {
                Trade::Drains => System::Waste,
                Trade::Vents => System::Vent,
            };
            let shown = placer.each(&captions, &figures, &each, |p| p.shows(own));
            let groups = shown.into_iter().enumerate();
            let groups: Vec<Option<usize>> = groups
                .map(|(i, shown)| shown.then(|| band(&each, net, i)))
                .collect();
            let packed = placer.pack(&captions, &figures, room, &each, &groups);
            let left_out = groups.iter().filter(|g| g.is_none()).count();
            let count = packed.sheets.len() - left_out;
            (packed, count)
        };
        let marks = self.marks(&division, count);
        let (captions, figures) = dressed(&division.bands, (&marks, true));
        let placed = |p: &Placer<'_>| {
            let mut last = None;
            for (paper, field) in &fields {
                let plan = p.plan(*field);
                let fits = plan.fits;
                last = Some((*paper, *field, plan));
                if fits {
                    break;
                }
            }
            last
        };
        let plans = placer.each(&captions, &figures, &division, placed);
        let plans: Vec<(Paper, Rect, Plan)> = plans.into_iter().take(count).flatten().collect();
        let style = Style::crew();
        let drawing = linework::Subject {
            job,
            net,
            solution: self.work.solution,
            captions: &captions,
            figures: &figures,
        };
        let scenes = at_once::each(&plans, |(_, field, plan)| {
            linework::scene(&drawing, plan, *field, &style)
        });
        let bands: Vec<usize> = (0..count).map(|i| band(&division, net, i)).collect();
        let (mut made, mut said) = (Vec::new(), Vec::new());
        for (i, ((paper, _, plan), scene)) in plans.iter().zip(scenes).enumerate() {
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
                said.push(too_large(&sheet.number, *paper));
            }
            made.push((sheet, scene, *paper));
        }
        let lettered = marks.iter().filter(|m| m.like.is_none());
        Sheets {
            letters: self.letters + lettered.count(),
            sheets: made,
            numbers,
            said,
        }
    }

    /// The marks of the first `count` sheets. What goes on on a sheet that is left out is marked with
    /// the sheet of drains that shows it.
    fn marks(&self, division: &Division, count: usize) -> Vec<MatchMark> {
        let (net, drawn) = (self.work.net, self.before);
        let first = drawn.sheets.len();
        let number = |i: usize| (i < count).then(|| sheets::crew_number(first + i));
        let on_drains = |joint: Option<JointIx>| {
            let shows = |s: &&(CrewSheet, Scene, Paper)| {
                let ends = s.0.pieces.iter().filter(|p| !s.0.cut.contains(p));
                joint.is_some() && ends.clone().any(|p| net.from(*p) == joint)
            };
            Some(drawn.sheets.iter().find(shows)?.0.number.clone())
        };
        let mut marks: Vec<MatchMark> = Vec::new();
        let mut letters = self.letters;
        for cut in &division.cuts {
            let (down, up) = (number(cut.down), number(cut.up));
            let whole = down.is_some() && up.is_some();
            let up_here = up.is_some();
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
            // Where the other sheet is not cut it has no letter, but the joint's number.
            let joint = if up_here {
                net.to(cut.piece)
            } else {
                net.from(cut.piece)
            };
            let number = joint.and_then(|j| drawn.numbers.get(&j));
            let name = match number.filter(|_| !whole) {
                Some(number) => number.to_string(),
                None => {
                    letters += 1;
                    MatchMark::name_of(letters - 1)
                }
            };
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

    /// The numbers of the joints; vents go on from those of the drains.
    fn numbers(&self, bands: &Bands) -> BTreeMap<JointIx, usize> {
        match self.trade {
            Trade::Drains => crew::numbers(self.work.net, |j| bands.of_joint(j)),
            Trade::Vents => crew::vent_numbers(&self.work, &self.before.numbers),
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
            datum: Datum::of_underground(self.work.job).level,
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
        let last = match bands.iter().rposition(|b| *b == band) == Some(i) {
            true if i + 1 == bands.len() => Last::OfAll,
            true => Last::OfFloor,
            false => Last::No,
        };
        let ground = crew::Ground {
            trade: self.trade,
            datum: &datum,
            numbers,
            pieces: &pieces,
            cut,
            last,
        };
        CrewSheet {
            number: sheets::crew_number(self.before.sheets.len() + i),
            title,
            trade: self.trade,
            parts: crew::parts(&self.work, &ground),
            pieces,
            cut: cut.clone(),
        }
    }
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

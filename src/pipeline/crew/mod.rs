//! The crew's sheets: drains, then vents, one band of floors a sheet or as many sheets as it takes.
//! Where the job repeats groups, storeys and stacks that are built like one another have one sheet.

mod marks;
mod sheet;

use std::collections::BTreeMap;

use kurbo::Rect;

use self::sheet::{Ground, band, count_titles, datums};
use super::drawn::{LEAST_CAP, figures, left_out, marks_from, typical};
use crate::at_once;
use crate::captions::{self, Captions, CrewWords, MatchMark, Subject, Trade};
use crate::crew::{self, CrewSheet, Datum, Framing};
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::Job;
use crate::linework::{self, Style};
use crate::network::{JointIx, Network, PieceIx, System};
use crate::placement::{Bands, Building, Figures, Left, Placer, Plan, Step};
use crate::projection::Corner;
use crate::sheets::{self, CREW_CAP, Paper, Scene};
use crate::solve::Work;
use crate::takeoff::Phase;
use crate::typical::Typical;

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
    let typical = typical(subject(work, (work.net, None)));
    let net = typical.as_ref().map_or(work.net, |t| &t.net);
    let drawn_net = (net, typical.as_ref());
    let corner = corner(work, drawn_net);
    let framing = Framing::of(work);
    let drains = crew::drains_only(net);
    let vents = crew::vents_alone(net);
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
                whole: work.net,
                framing: &framing,
                typical: typical.as_ref(),
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
fn corner(work: &Work<'_>, net: (&Network, Option<&Typical>)) -> Corner {
    let subject = subject(work, net);
    let captions = captions::permit(&subject, LEAST_CAP, &[]);
    let usual = sheets::paper("arch-d").map(|p| sheets::layout(p).field);
    let field = usual.unwrap_or_default();
    let left = left(net.0, net.1);
    let figures = figures(subject);
    let building = building(work.job, net.0, &left);
    Placer::new(building, &captions, &figures, field, field).corner()
}

fn subject<'a>(work: &Work<'a>, (net, typical): (&'a Network, Option<&'a Typical>)) -> Subject<'a> {
    Subject {
        job: work.job,
        net,
        solution: work.solution,
        typical,
    }
}

/// What is left out of a network that may have fewer pipes than the one that is like others.
fn left(net: &Network, typical: Option<&Typical>) -> Left {
    let mut left = typical.map(left_out).unwrap_or_default();
    let there = |p: &PieceIx| net.graph.edge_weight(*p).is_some();
    left.feet.retain(|p, like| there(p) && there(like));
    left
}

fn building<'a>(job: &'a Job, net: &'a Network, left: &'a Left) -> Building<'a> {
    Building {
        job,
        net,
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
    /// The work with the pipes of its trade alone.
    work: Work<'a>,
    /// All pipes.
    whole: &'a Network,
    /// What the plan of holes says of them.
    framing: &'a Framing,
    /// What of them stands for more than itself.
    typical: Option<&'a Typical>,
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
        let subject = subject(&self.work, (net, self.typical));
        let fields: Vec<(Paper, Rect)> = (self.papers.iter())
            .map(|p| (*p, sheets::crew_field(*p)))
            .collect();
        let field = fields.first().map(|(_, f)| *f).unwrap_or_default();
        let (left, none) = (left(net, self.typical), Captions::default());
        let figures = figures(subject).with_mark_cap(CREW_CAP);
        let figures = figures.without_stack_cleanouts(net);
        let figures = match self.trade {
            Trade::Drains => figures.with_vents_up(net, self.whole),
            Trade::Vents => figures,
        };
        let building = building(job, net, &left);
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
            let shown = placer.each(&captions, &figures, &each, |p| p.pieces());
            let groups = self.groups(&each, &shown);
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
        let below = |plan: &Plan| {
            let mut pipes = plan.placement.pipes.iter();
            pipes.any(|p| Phase::of(&self.work, p.piece) == Phase::Underground)
        };
        let below = plans.iter().map(|(.., plan)| below(plan));
        let bands: Vec<(usize, bool)> = (0..count)
            .map(|i| band(&division, net, i))
            .zip(below)
            .collect();
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
        count_titles(&mut made);
        let lettered = marks.iter().filter(|m| m.like.is_none());
        Sheets {
            letters: self.letters + lettered.count(),
            sheets: made,
            numbers,
            said,
        }
    }

    /// The numbers of the joints that are drawn; vents go on from those of the drains.
    fn numbers(&self, bands: &Bands) -> BTreeMap<JointIx, usize> {
        let is_drawn = |j: &JointIx| self.typical.is_none_or(|t| !t.out().joints.contains(j));
        match self.trade {
            Trade::Drains => {
                crew::numbers(self.work.net, |j| is_drawn(&j).then(|| bands.of_joint(j)))
            }
            Trade::Vents => crew::vent_numbers(&self.work, &self.before.numbers, |j| is_drawn(&j)),
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
        let datum = Datum::of_underground(self.work.job);
        let all: Vec<PieceIx> = self.work.net.graph.edge_indices().collect();
        let hung = crew::hung_over(&self.work, &all).map(|f| Datum::of_floor(self.work.job, f));
        let differs = hung.is_some_and(|h| h != datum);
        let words = CrewWords {
            trade: self.trade,
            whole: self.whole,
            cuts,
            datum: datum.level,
            from: differs.then_some(datum.words.as_str()),
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

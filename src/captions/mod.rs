//! Stage 8 of 12. In: network, sizes, levels, fittings. Out: [`Captions`], the words that every
//! pipe, joint and fixture must carry, measured in the bundled font. Promises: each run says its
//! size, and each drain its fall, for every stretch over which neither changes; nothing is left
//! out because it might crowd.

mod crew;
mod words;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::assets;
use crate::at_once;
use crate::job::Job;
use crate::levels::Storeys;
use crate::network::{JointIx, Network, Openings, PieceIx, RunKind, System, TrapIx};
use crate::sheets::Weight;
use crate::solve::Solution;
use crate::typical::Typical;
use crate::units::Printer;

pub use crew::{CrewWords, Trade, called, numbered};
pub(crate) use words::part_of;
pub use words::{lettered_run, marked, on_site};

/// Words for one thing.
#[derive(Clone, Debug)]
pub struct Caption {
    /// The id of the pipe, run or symbol that it names.
    pub names: String,
    /// Its lines.
    pub lines: Vec<String>,
    /// Width of each line, mm.
    pub widths: Vec<f64>,
    /// Em size, mm.
    pub em: f64,
    /// Weight of the first line; the others are regular.
    pub weight: Weight,
}

impl Caption {
    /// Sets lines at a capital height in mm.
    pub fn new(names: impl Into<String>, lines: Vec<String>, weight: Weight, cap: f64) -> Self {
        let em = cap / assets::CAP;
        let widths = lines
            .iter()
            .enumerate()
            .map(|(i, l)| assets::room(l, if i == 0 { weight } else { Weight::Regular }) * em)
            // Browsers space letters up to 0.4 % wider than the shaper that measured them.
            .map(|w| w * 1.01 + 0.1)
            .collect();
        Caption {
            names: names.into(),
            lines,
            widths,
            em,
            weight,
        }
    }
    /// Width of its widest line, mm.
    pub fn width(&self) -> f64 {
        self.widths.iter().copied().fold(0.0, f64::max)
    }
    /// From one baseline to the next, mm.
    pub fn pitch(&self) -> f64 {
        self.em * 1.16
    }
    /// Ink above the first baseline, mm.
    pub fn rise(&self) -> f64 {
        self.em * 0.76
    }
    /// Ink below the last baseline, mm.
    pub fn sink(&self) -> f64 {
        self.em * 0.2
    }
    /// Height of its ink, mm.
    pub fn height(&self) -> f64 {
        self.rise() + self.sink() + self.pitch() * (self.lines.len().max(1) - 1) as f64
    }
}

/// All words of the drawing, and which thing carries which.
#[derive(Clone, Debug, Default)]
pub struct Captions {
    /// The captions.
    pub all: Vec<Arc<Caption>>,
    /// Set along a piece.
    pub pieces: BTreeMap<PieceIx, usize>,
    /// Set beside a trap's arm: tag, size and fall.
    pub traps: BTreeMap<TrapIx, usize>,
    /// Set beside a joint of the drains.
    pub joints: BTreeMap<JointIx, usize>,
    /// The room that a branch serves: set beside it, by its farthest piece, once all else stands.
    pub rooms: BTreeMap<PieceIx, usize>,
    /// Set beside a symbol, by the symbol's id.
    pub symbols: Arc<BTreeMap<String, usize>>,
    /// Joints of stacks whose branches come in above their floor: the floor's mark stands below them.
    pub above_floor: BTreeSet<JointIx>,
    /// Words of each floor's mark, by floor index, and of the roof (last).
    pub floors: Vec<Arc<Caption>>,
    /// Whether what is said of a joint is its number in a list: it stands by the joint and not
    /// somewhere along its pipe.
    pub numbers_joints: bool,
}

impl Captions {
    /// The same words at another capital height.
    pub(crate) fn lettered(&self, cap: f64) -> Captions {
        let again = |c: &Caption| Caption::new(c.names.as_str(), c.lines.clone(), c.weight, cap);
        Captions {
            all: self.all.iter().map(|c| Arc::new(again(c))).collect(),
            floors: self.floors.iter().map(|c| Arc::new(again(c))).collect(),
            pieces: self.pieces.clone(),
            rooms: self.rooms.clone(),
            traps: self.traps.clone(),
            joints: self.joints.clone(),
            above_floor: self.above_floor.clone(),
            symbols: Arc::clone(&self.symbols),
            numbers_joints: self.numbers_joints,
        }
    }
}

/// A pipe that goes on from one sheet to another, and the mark that both carry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MatchMark {
    /// The pipe that is cut.
    pub piece: PieceIx,
    /// The mark's name: a letter or two.
    pub name: String,
    /// Whether its name is the number of its joint instead: a crew's other sheet is not cut there.
    pub is_joint: bool,
    /// Number of the sheet that shows what lies downstream of the cut.
    pub down: String,
    /// Number of the sheet that shows what lies upstream of it.
    pub up: String,
    /// The stack that is drawn there in place of this one, which is built like it.
    pub like: Option<String>,
}

impl MatchMark {
    /// Element ids of the mark: on the sheet that shows what lies downstream, and upstream.
    pub fn ids(&self) -> [String; 2] {
        // No name in a job holds a colon. Those built like one another share a name.
        if self.like.is_some() {
            let own = format!("like:{}:{}", self.name, self.piece.index());
            return [own.clone(), format!("{own}:on")];
        }
        [
            format!("match:{}", self.name),
            format!("match:{}:on", self.name),
        ]
    }
    /// The name of the mark of this index: A to Z, then AA on.
    pub fn name_of(index: usize) -> String {
        let letter = |i: usize| char::from(b'A' + (i % 26) as u8);
        match index.checked_div(26) {
            Some(0) | None => letter(index).to_string(),
            Some(more) => format!("{}{}", Self::name_of(more - 1), letter(index)),
        }
    }
}

/// What is lettered.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The job.
    pub job: &'a Job,
    /// The network that is drawn.
    pub net: &'a Network,
    /// Sizes, levels and fittings.
    pub solution: &'a Solution,
    /// What of it stands for more.
    pub typical: Option<&'a Typical>,
}

impl<'a> Subject<'a> {
    /// What is lettered of it where storeys and stacks that are built alike are drawn once.
    pub fn of_typical(self, typical: &'a Typical) -> Subject<'a> {
        Subject {
            net: &typical.net,
            typical: Some(typical),
            ..self
        }
    }
}

/// Words of everything that a permit sheet shows; `cap` is the capital height in mm, `marks` are
/// where the drawing goes on from sheet to sheet.
pub fn permit(subject: &Subject<'_>, cap: f64, marks: &[MatchMark]) -> Captions {
    lettered(subject, None, cap, marks)
}

/// Words of everything that a crew's sheets show, as [`permit`].
pub fn crew(subject: &Subject<'_>, crew: CrewWords<'_>, cap: f64, marks: &[MatchMark]) -> Captions {
    Captions {
        numbers_joints: true,
        ..lettered(subject, Some(crew), cap, marks)
    }
}

fn lettered(
    subject: &Subject<'_>,
    crew: Option<CrewWords<'_>>,
    cap: f64,
    marks: &[MatchMark],
) -> Captions {
    let Subject {
        job,
        net,
        solution,
        typical,
    } = *subject;
    let print = Printer { units: job.units };
    let mut c = Captions::default();
    let (mut all, mut symbols) = (Vec::new(), BTreeMap::new());
    let cuts: BTreeSet<PieceIx> = marks.iter().map(|m| m.piece).collect();
    let writer = words::Words {
        job,
        net,
        solution,
        openings: Openings::of(net),
        changed: job.changed(),
        first_at_fitting: words::first_at_fitting(net),
        typical,
        crew,
        print,
    };
    let traps = at_once::many(net.traps.len(), |i| {
        let (names, lines) = writer.trap(TrapIx(i));
        Caption::new(names, lines, Weight::Bold, cap)
    });
    for (i, caption) in traps.into_iter().enumerate() {
        c.traps.insert(TrapIx(i), push(&mut all, caption));
    }
    // The words along each run, by the pieces that carry them.
    let along = at_once::many(net.runs.len(), |ix| {
        let mut found: Vec<(PieceIx, Caption)> = Vec::new();
        let run = &net.runs[ix];
        if matches!(run.kind, RunKind::Arm | RunKind::FixtureDrain) {
            return found;
        }
        let mut before = None;
        for &piece in &run.pieces {
            let cut = cuts.contains(&piece);
            let relief = net.from(piece).is_some_and(|j| writer.is_relief(j));
            let relief = relief && run.kind == RunKind::VentStack;
            let vent = net.graph[piece].system == System::Vent;
            // A crew cuts every piece of its own by itself.
            let own = crew.is_some_and(|c| vent == (c.trade == Trade::Vents));
            let main = crew.is_none_or(|c| c.trade == Trade::Drains)
                && matches!(run.kind, RunKind::BuildingDrain | RunKind::Stack);
            let key = writer.stretch(piece);
            let first = before.as_ref() != Some(&key);
            if !(cut || relief || own || main || first || writer.says_itself(piece)) {
                continue;
            }
            let again = cut && crew.is_none_or(|c| c.cuts);
            let line = writer.piece(piece, first || again);
            before = Some(key);
            let names = lettered_run(net, piece);
            let lines = line.lines().map(str::to_owned).collect();
            found.push((piece, Caption::new(names, lines, Weight::Regular, cap)));
        }
        found
    });
    for (piece, caption) in along.into_iter().flatten() {
        c.pieces.insert(piece, push(&mut all, caption));
    }
    for (run, room) in words::rooms(job, net) {
        let run = &net.runs[run.0];
        let branch = matches!(run.kind, RunKind::Branch | RunKind::BuildingBranch);
        if let (true, Some(room), Some(&last)) = (branch, room, run.pieces.last()) {
            let lines = vec![room.to_uppercase()];
            let caption = Caption::new(run.id.clone(), lines, Weight::Regular, cap);
            c.rooms.insert(last, push(&mut all, caption));
        }
    }
    let joints: Vec<JointIx> = net.graph.node_indices().collect();
    let beside = at_once::many(joints.len(), |i| {
        let (names, lines) = writer.joint(joints[i])?;
        Some(Caption::new(names, lines, Weight::Bold, cap))
    });
    for (joint, caption) in joints.into_iter().zip(beside) {
        if let Some(caption) = caption {
            c.joints.insert(joint, push(&mut all, caption));
        }
    }
    for (id, lines) in writer.symbols() {
        let caption = Caption::new(id.clone(), lines, Weight::Regular, cap);
        symbols.insert(id, push(&mut all, caption));
    }
    for mark in marks {
        let [down, up] = mark.ids();
        let run = &net.runs[net.graph[mark.piece].run.0];
        // A stack says its name again; at its foot it has said it already.
        let stack = run.kind == RunKind::Stack;
        let between = stack && run.pieces.first() != Some(&mark.piece);
        for (id, sheet, again) in [(down, &mark.up, between), (up, &mark.down, stack)] {
            let above = crew.filter(|_| stack && sheet == &mark.up);
            let above = above.map(|c| writer.crew_from(c, mark.piece));
            let mut lines: Vec<String> = above.unwrap_or_default();
            lines.push(match mark.is_joint {
                true => format!("({}) ON {sheet}", mark.name),
                false => format!("SEE {sheet}"),
            });
            if let Some(like) = mark.like.as_ref().filter(|l| stack && **l != run.id) {
                lines.insert(0, format!("AS STACK {like}"));
            } else if again {
                lines.insert(0, words::stack_name(run));
                let at_foot = run.pieces.first() == Some(&mark.piece);
                lines.extend(
                    writer
                        .stands_for(net.graph[mark.piece].run)
                        .filter(|_| at_foot),
                );
            }
            let caption = Caption::new(id.clone(), lines, Weight::Bold, cap);
            symbols.insert(id, push(&mut all, caption));
        }
    }
    let floors = writer.floors().into_iter();
    let floors = floors.map(|lines| Arc::new(Caption::new("", lines, Weight::Regular, cap)));
    c.floors = floors.collect();
    c.above_floor = above_floor(subject, crew.map(|c| c.whole));
    c.all = all;
    c.symbols = Arc::new(symbols);
    c
}

/// Joints of stacks whose branches come in above the floor that they serve.
fn above_floor(subject: &Subject<'_>, whole: Option<&Network>) -> BTreeSet<JointIx> {
    // What enters there may be left out of the network that is drawn.
    let net = whole.unwrap_or(subject.net);
    let storeys = Storeys {
        job: subject.job,
        net,
        drains: &subject.solution.levels.pieces,
    };
    let above = |joint: &JointIx| {
        let floor = net.entering(*joint).find_map(|r| r.floor);
        floor.is_some_and(|f| storeys.is_above(*joint, f))
    };
    let stacks = net.runs.iter().filter(|r| r.kind == RunKind::Stack);
    let joints = stacks.flat_map(|r| r.pieces.iter().filter_map(|p| net.from(*p)));
    joints.filter(above).collect()
}

fn push(all: &mut Vec<Arc<Caption>>, caption: Caption) -> usize {
    all.push(Arc::new(caption));
    all.len() - 1
}

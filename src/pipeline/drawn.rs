//! The drawing on paper: lettered as large as its sheet allows, on one sheet if it fits one, else
//! shared out over several at match marks.

use std::collections::BTreeMap;

use super::papers::Papers;
use super::{like, problem};
use crate::captions::{self, Captions, MatchMark, Subject};
use crate::diagnostics::{Diagnostic, Outcome, Severity};
use crate::earlier::{Earlier, Told};
use crate::job::{FloorIx, Job};
use crate::network::{Network, PieceIx, RunIx, System};
use crate::placement::{Bands, Building, Figures, Left, LeftOff, Placer, Plan, Scale, Step};
use crate::sheets::{self, Paper};
use crate::typical::Typical;

/// Capital heights of the lettering of a permit sheet, in mm, the largest that leaves room is
/// taken; the least is a little over 3/32 in.
pub(super) const LARGER_CAPS: [f64; 2] = [4.0, 3.2];
/// The least capital height, in mm.
pub(super) const LEAST_CAP: f64 = 2.5;
/// A drawing lettered larger than the least leaves this share of its field free each way, for the
/// schedules.
const ROOMY: f64 = 0.8;
/// A drawing that takes no more than this of a field may fit it with its floors closer together.
pub(super) const NEARLY: f64 = 1.15;

/// A drawing on paper.
pub struct Drawn {
    /// The paper of its sheets.
    pub paper: Paper,
    /// Its words.
    pub captions: Captions,
    /// Its symbols.
    pub figures: Figures,
    /// What stands on each of its sheets.
    pub plans: Vec<Plan>,
    /// Where it goes on from sheet to sheet.
    pub marks: Vec<MatchMark>,
    /// Its scale, if the job asks for one.
    pub scale: Option<Scale>,
    /// What of it stands for more than itself.
    pub typical: Option<Typical>,
    /// What is to be said about it.
    pub said: Vec<Diagnostic>,
    /// What was chosen for it; its sheets apart.
    pub told: Told,
}

/// Draws on the first paper that the whole drawing fits, else shares it out; like storeys and like
/// stacks are drawn once if it takes several sheets in full.
/// With an `earlier` drawing it is like that where it still fits so.
pub fn drawn(whole: Subject<'_>, papers: &Papers, earlier: Option<&Earlier>) -> Outcome<Drawn> {
    let again = earlier.and_then(|e| like::like(whole, papers, e));
    let anew = || anew(whole, papers, earlier);
    match (again, earlier) {
        // What is kept must not be paid for with sheets.
        (Some(again), Some(e)) if again.plans.len() > e.sheets.len() => Ok(fewer(again, anew()?)),
        (Some(again), _) => Ok(again),
        (None, _) => anew(),
    }
}

/// The one with fewer sheets, the first of two with as many.
fn fewer(one: Drawn, other: Drawn) -> Drawn {
    match other.plans.len() < one.plans.len() {
        true => other,
        false => one,
    }
}

/// Draws as nothing was drawn before, but for what takes several sheets now and took one.
fn anew(whole: Subject<'_>, papers: &Papers, earlier: Option<&Earlier>) -> Outcome<Drawn> {
    let (all, none) = (figures(whole), Left::default());
    let placed = Whole::new(whole, (&none, Step::COARSE), &all, papers, None);
    let one = placed.on_one_sheet(papers);
    // Floors closer together, before it is shared out.
    let one = one.or_else(|| {
        let closer = || Whole::new(whole, (&none, Step::FINE), &all, papers, None);
        placed.nearly(papers).then(closer)?.on_one_sheet(papers)
    });
    if let Some(drawn) = one {
        return Ok(drawn);
    }
    let Some(typical) = typical(whole) else {
        // From the same corner at least, with the lengths that still serve.
        let again = earlier.and_then(|e| like::shared_out(whole, papers, e));
        let anew = on_several(&placed, papers);
        return Ok(match again {
            Some(again) => fewer(again, anew),
            None => anew,
        });
    };
    drop(placed);
    let subject = whole.of_typical(&typical);
    let (all, left) = (figures(subject), left_out(&typical));
    let placed = Whole::new(subject, (&left, Step::COARSE), &all, papers, None);
    // Where storeys alone make one sheet of it, all stacks stand on that.
    let one = match typical.ranges.is_empty() {
        true => None,
        false => placed.on_one_sheet(papers),
    };
    let whole_stacks = one.is_some();
    let mut drawn = one.unwrap_or_else(|| on_several(&placed, papers));
    drop(placed);
    drawn.typical = Some(match whole_stacks {
        true => typical.storeys_only(whole.net),
        false => typical,
    });
    Ok(drawn)
}

/// What is left out of a drawing for something like it.
pub(super) fn left_out(typical: &Typical) -> Left {
    Left {
        feet: typical.as_drawn.clone(),
        storeys: typical.ranges.clone(),
    }
}

/// The symbols of what is drawn.
pub(super) fn figures(of: Subject<'_>) -> Figures {
    Figures::of(of.job, of.net).with_reducers(of.net, &of.solution.fittings)
}

/// What of it stands for more than itself, unless the job wants all of it drawn.
pub(super) fn typical(of: Subject<'_>) -> Option<Typical> {
    let wanted = !of.job.drawing.in_full;
    wanted.then(|| Typical::of(of.job, of.net, of.solution))?
}

/// A drawing that is to be set on paper.
pub(super) struct Whole<'a> {
    pub(super) subject: Subject<'a>,
    /// Its words, lettered as small as they go.
    pub(super) captions: Captions,
    figures: &'a Figures,
    pub(super) placer: Placer<'a>,
    left: &'a Left,
}

impl<'a> Whole<'a> {
    pub(super) fn new(
        subject: Subject<'a>,
        (left, step): (&'a Left, Step),
        figures: &'a Figures,
        papers: &Papers,
        earlier: Option<&'a Earlier>,
    ) -> Self {
        let field = |paper: Paper| sheets::layout(paper).field;
        let captions = captions::permit(&subject, LEAST_CAP, &[]);
        let largest = papers.whole.iter().map(|p| field(*p));
        let largest = largest.reduce(|a, b| if b.area() > a.area() { b } else { a });
        let first = field(papers.shared);
        let building = Building {
            job: subject.job,
            net: subject.net,
            left,
            step,
            earlier,
        };
        let largest = largest.unwrap_or(first);
        let placer = Placer::new(building, &captions, figures, first, largest);
        Whole {
            subject,
            captions,
            figures,
            placer,
            left,
        }
    }

    /// Whether the drawing takes not much more than the largest of its papers.
    fn nearly(&self, papers: &Papers) -> bool {
        let field = |paper: &Paper| sheets::layout(*paper).field;
        papers
            .whole
            .iter()
            .any(|p| self.placer.fits(field(p), NEARLY))
    }

    /// The whole drawing on the first paper that it fits.
    pub(super) fn on_one_sheet(&self, papers: &Papers) -> Option<Drawn> {
        let (job, placer, captions) = (self.subject.job, &self.placer, &self.captions);
        let scales = job.drawing.to_scale.then(|| Scale::all(job.units));
        for &paper in &papers.whole {
            let field = sheets::layout(paper).field;
            if !placer.fits(field, 1.0) {
                continue;
            }
            if let Some(scales) = scales {
                let Some(scale) = placer.scale_for(field, scales) else {
                    continue;
                };
                let plan = placer.plan_at(field, scale);
                if plan.fits {
                    let drawn = on_one_sheet(self, paper, (captions.clone(), LEAST_CAP), plan);
                    return Some(Drawn {
                        scale: Some(scale),
                        ..drawn
                    });
                }
                continue;
            }
            // Larger lettering never takes less room than the least.
            let roomy = placer.fits(field, ROOMY);
            for cap in LARGER_CAPS.into_iter().filter(|_| roomy) {
                let larger_words = captions.lettered(cap);
                let larger = placer.lettered(&larger_words);
                if larger.fits(field, ROOMY) {
                    let plan = larger.plan(field);
                    drop(larger);
                    if plan.fits {
                        return Some(on_one_sheet(self, paper, (larger_words, cap), plan));
                    }
                }
            }
            let plan = placer.plan(field);
            // Labels that settled last may stand out of the field; a larger paper then, or several.
            if plan.fits {
                let words = (captions.clone(), LEAST_CAP);
                return Some(on_one_sheet(self, paper, words, plan));
            }
        }
        None
    }
}

/// What was chosen for a drawing on some paper, its words lettered at a height.
fn told(whole: &Whole<'_>, paper: Paper, cap: f64, bands: Option<&Bands>) -> Told {
    Told {
        corner: whole.placer.corner(),
        paper: paper.name,
        lettering: cap,
        step: whole.placer.step().mm(),
        divided: bands.is_some(),
        bands: bands.map_or(Vec::new(), |b| b.bounds().to_vec()),
        sheets: Vec::new(),
    }
}

/// A drawing on one sheet, with its words and how high they are lettered.
pub(super) fn on_one_sheet(
    whole: &Whole<'_>,
    paper: Paper,
    (captions, cap): (Captions, f64),
    plan: Plan,
) -> Drawn {
    Drawn {
        told: told(whole, paper, cap, None),
        paper,
        captions,
        figures: whole.figures.clone(),
        plans: vec![plan],
        marks: Vec::new(),
        scale: None,
        typical: None,
        said: Vec::new(),
    }
}

/// Bands are made lower so many times, if one proves too high with its marks.
const AGAIN: usize = 3;
/// A sheet with no more pipes than this was not worth a cut.
const BARE: usize = 3;

/// Divides a drawing over as many sheets as it takes, all of one paper.
fn on_several(whole: &Whole<'_>, papers: &Papers) -> Drawn {
    let first = shared(whole, papers.shared);
    let has_room = |d: &Drawn| d.plans.iter().all(|p| p.fits);
    if has_room(&first) {
        return first;
    }
    let mut larger = papers.larger.iter().map(|p| shared(whole, *p));
    larger.find(has_room).unwrap_or(first)
}

/// Divides a drawing over as many sheets of a paper as it takes.
pub(super) fn shared(whole: &Whole<'_>, paper: Paper) -> Drawn {
    let field = sheets::layout(paper).field;
    let bands = |more| {
        whole
            .placer
            .bands(&whole.captions, whole.figures, field, more)
    };
    // What stands out of its sheet, and sheets with hardly anything: lower bands do better.
    let poor = |d: &Drawn| {
        let spills = d.plans.iter().filter(|p| !p.fits).count();
        let bare = d.plans.iter().filter(|p| p.placement.pipes.len() <= BARE);
        // In a large set that is drawn in full it would take too long.
        let bare = if whole.left.is_empty() {
            0
        } else {
            bare.count()
        };
        (spills, bare)
    };
    let mut drawn = divided(whole, paper, bands(0));
    for more in 1..=AGAIN {
        if poor(&drawn) == (0, 0) {
            break;
        }
        let again = divided(whole, paper, bands(more));
        if poor(&again) < poor(&drawn) {
            drawn = again;
        }
    }
    drawn
}

/// Divides a drawing over sheets of a paper, cut by floors into bands.
pub(super) fn divided(whole: &Whole<'_>, paper: Paper, bands: Bands) -> Drawn {
    let (subject, placer) = (&whole.subject, &whole.placer);
    let (job, net) = (subject.job, subject.net);
    let field = sheets::layout(paper).field;
    let dressed = |marks: &[MatchMark]| {
        let captions = captions::permit(subject, LEAST_CAP, marks);
        (captions, whole.figures.clone().with_marks(net, marks))
    };
    // While it is not known where the cuts will be, every one that may be has a mark.
    let all = marks(placer.cuttable(&bands).into_iter(), |_| Some((0, 0)));
    let division = {
        let (captions, figures) = dressed(&all);
        placer.divide(&captions, &figures, field, bands)
    };
    let cuts = division.cuts.iter();
    let sheets: BTreeMap<PieceIx, (usize, usize)> =
        cuts.clone().map(|c| (c.piece, (c.down, c.up))).collect();
    let mut marks = marks(cuts.map(|c| c.piece), |p| sheets.get(&p).copied());
    let others = division.left.iter();
    let others = others.filter_map(|l| as_other(net, l, &marks, sheets::drawing_number(l.foot)));
    let others: Vec<MatchMark> = others.collect();
    marks.extend(others);
    let (captions, figures) = dressed(&marks);
    // One scale for all sheets: the largest that suits every one.
    let scale = job.drawing.to_scale.then(|| {
        let scales = Scale::all(job.units);
        let each = placer.each(&captions, &figures, &division, |p| {
            p.scale_for(field, scales)
        });
        each.into_iter().reduce(least_of).flatten()
    });
    let scale = scale.flatten();
    let plans: Vec<Plan> = placer.each(&captions, &figures, &division, |p| match scale {
        Some(scale) => p.plan_at(field, scale),
        None => p.plan_like(field).unwrap_or_else(|| p.plan(field)),
    });
    let spills = plans.iter().enumerate().filter(|(_, p)| !p.fits);
    let spills: Vec<String> = spills.map(|(i, p)| spilled(job, net, i, p)).collect();
    let said = (!spills.is_empty()).then(|| too_large(paper, &spills));
    Drawn {
        told: told(whole, paper, LEAST_CAP, Some(&division.bands)),
        paper,
        captions,
        figures,
        plans,
        marks,
        scale,
        typical: None,
        said: said.into_iter().collect(),
    }
}

/// The smaller of two scales; none if either is.
fn least_of(a: Option<Scale>, b: Option<Scale>) -> Option<Scale> {
    let (a, b) = (a?, b?);
    Some(if b.ratio < a.ratio { b } else { a })
}

fn marks(
    cuts: impl Iterator<Item = PieceIx>,
    sheets_of: impl Fn(PieceIx) -> Option<(usize, usize)>,
) -> Vec<MatchMark> {
    marks_from(0, cuts, sheets_of, sheets::drawing_number)
}

/// Marks of cut pipes, named from one on; `sheets_of` gives the sheets that show their downstream
/// and upstream ends, `number` how a sheet is numbered.
pub(super) fn marks_from(
    first: usize,
    cuts: impl Iterator<Item = PieceIx>,
    sheets_of: impl Fn(PieceIx) -> Option<(usize, usize)>,
    number: impl Fn(usize) -> String,
) -> Vec<MatchMark> {
    let mark = |(i, piece)| {
        let (down, up) = sheets_of(piece)?;
        Some(MatchMark {
            piece,
            name: MatchMark::name_of(first + i),
            is_joint: false,
            down: number(down),
            up: number(up),
            like: None,
        })
    };
    cuts.enumerate().filter_map(mark).collect()
}

/// The mark of a pipe that goes on as another does, with the letter of the other's; `here` is the number
/// of the sheet of its foot.
pub(super) fn as_other(
    net: &Network,
    left: &LeftOff,
    marks: &[MatchMark],
    here: String,
) -> Option<MatchMark> {
    let other = marks.iter().find(|m| m.piece == left.like)?;
    let like = net.runs.get(net.graph.edge_weight(left.like)?.run.0)?;
    // Waste comes down to the sheet of its drain, a vent leads up from it.
    let (down, up) = match net.graph.edge_weight(left.piece)?.system {
        System::Waste => (here, other.up.clone()),
        System::Vent => (other.down.clone(), here),
    };
    Some(MatchMark {
        piece: left.piece,
        name: other.name.clone(),
        is_joint: other.is_joint,
        down,
        up,
        like: Some(like.id.clone()),
    })
}

/// A sheet that is too small for what stands on it, in words.
fn spilled(job: &Job, net: &Network, sheet: usize, plan: &Plan) -> String {
    let number = sheets::drawing_number(sheet);
    let floor = |f: FloorIx| job.floors.get(f.0).map_or("", |f| f.name.as_str());
    let stack = |&(run, low, high): &(RunIx, FloorIx, FloorIx)| {
        let floors = match low == high {
            true => format!("floor {}", floor(low)),
            false => format!("floors {} to {}", floor(low), floor(high)),
        };
        format!("{}, {floors}", net.runs[run.0].id)
    };
    let stacks: Vec<String> = plan.shows.stacks.iter().map(stack).collect();
    match stacks.is_empty() {
        true => number,
        false => format!("{number} ({})", stacks.join("; ")),
    }
}

fn too_large(paper: Paper, spills: &[String]) -> Diagnostic {
    /// More sheets than this are not named.
    const NAMED: usize = 4;
    let more = match spills.len().checked_sub(NAMED) {
        Some(more) if more > 0 => format!(" and {more} more"),
        _ => String::new(),
    };
    let named = &spills[..spills.len().min(NAMED)];
    Diagnostic {
        help: Some("choose a larger paper with --sheet".to_owned()),
        ..problem(
            "P102",
            "drawing-does-not-fit",
            Severity::Error,
            format!(
                "a part of the drawing that cannot be cut is larger than its field on {}: {}{more}",
                paper.name,
                named.join(", "),
            ),
        )
    }
}

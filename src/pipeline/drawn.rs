//! The drawing on paper: lettered as large as its sheet allows, on one sheet if it fits one, else
//! shared out over several at match marks.

use std::collections::BTreeMap;

use super::papers::Papers;
use super::problem;
use crate::captions::{self, Captions, MatchMark};
use crate::diagnostics::{Diagnostic, Outcome, Severity};
use crate::job::{FloorIx, Job};
use crate::network::{Network, PieceIx, RunIx};
use crate::placement::{Bands, Figures, Placer, Plan, Scale};
use crate::sheets::{self, Paper};
use crate::solve::Solution;

/// Capital heights of the lettering of a permit sheet, in mm, the largest that leaves room is
/// taken; the least is a little over 3/32 in.
const LARGER_CAPS: [f64; 2] = [4.0, 3.2];
/// The least capital height, in mm.
const LEAST_CAP: f64 = 2.5;
/// A drawing lettered larger than the least leaves this share of its field free each way, for the
/// schedules.
const ROOMY: f64 = 0.8;

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
    /// What is to be said about it.
    pub said: Vec<Diagnostic>,
}

/// Draws on the first paper that the whole drawing fits, else shares it out.
pub fn drawn(
    job: &Job,
    net: &Network,
    solution: &Solution,
    figures: Figures,
    papers: &Papers,
) -> Outcome<Drawn> {
    let field = |paper: Paper| sheets::layout(paper).field;
    let captions = captions::permit(job, net, solution, LEAST_CAP, &[]);
    let largest = papers.whole.iter().map(|p| field(*p));
    let largest = largest.reduce(|a, b| if b.area() > a.area() { b } else { a });
    let first = field(papers.shared);
    let largest = largest.unwrap_or(first);
    let placer = Placer::new(job, net, &captions, &figures, first, largest);
    let scales = job.drawing.to_scale.then(|| Scale::all(job.units));
    for &paper in &papers.whole {
        let field = field(paper);
        if !placer.fits(field, 1.0) {
            continue;
        }
        if let Some(scales) = scales {
            let Some(scale) = placer.scale_for(field, scales) else {
                continue;
            };
            let plan = placer.plan_at(field, scale);
            if plan.fits {
                let captions = captions.clone();
                let drawn = on_one_sheet(paper, captions, figures.clone(), vec![plan]);
                return Ok(Drawn {
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
                    let figures = figures.clone();
                    return Ok(on_one_sheet(paper, larger_words, figures, vec![plan]));
                }
            }
        }
        let plan = placer.plan(field);
        // Labels that settled last may stand out of the field; a larger paper then, or several.
        if plan.fits {
            let captions = captions.clone();
            return Ok(on_one_sheet(paper, captions, figures.clone(), vec![plan]));
        }
    }
    let work = Whole {
        job,
        net,
        solution,
        captions: &captions,
        figures: &figures,
        placer: &placer,
    };
    Ok(shared(&work, papers.shared))
}

fn on_one_sheet(paper: Paper, captions: Captions, figures: Figures, plans: Vec<Plan>) -> Drawn {
    Drawn {
        paper,
        captions,
        figures,
        plans,
        marks: Vec::new(),
        scale: None,
        said: Vec::new(),
    }
}

/// A drawing that does not fit one sheet.
struct Whole<'a> {
    job: &'a Job,
    net: &'a Network,
    solution: &'a Solution,
    captions: &'a Captions,
    figures: &'a Figures,
    placer: &'a Placer<'a>,
}

/// Bands are made lower so many times, if one proves too high with its marks.
const AGAIN: usize = 3;

/// Divides a drawing over as many sheets of a paper as it takes.
fn shared(whole: &Whole<'_>, paper: Paper) -> Drawn {
    let field = sheets::layout(paper).field;
    let bands = |more| {
        whole
            .placer
            .bands(whole.captions, whole.figures, field, more)
    };
    let mut drawn = divided(whole, paper, bands(0));
    for more in 1..=AGAIN {
        if drawn.plans.iter().all(|p| p.fits) {
            break;
        }
        let again = divided(whole, paper, bands(more));
        let spill = |d: &Drawn| d.plans.iter().filter(|p| !p.fits).count();
        if spill(&again) < spill(&drawn) {
            drawn = again;
        }
    }
    drawn
}

fn divided(whole: &Whole<'_>, paper: Paper, bands: Bands) -> Drawn {
    let (job, net, placer) = (whole.job, whole.net, whole.placer);
    let field = sheets::layout(paper).field;
    let dressed = |marks: &[MatchMark]| {
        let captions = captions::permit(job, net, whole.solution, LEAST_CAP, marks);
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
    let marks = marks(cuts.map(|c| c.piece), |p| sheets.get(&p).copied());
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
    let plans: Vec<Plan> = placer.each(&captions, &figures, &division, |p| {
        scale.map_or_else(|| p.plan(field), |s| p.plan_at(field, s))
    });
    let spills = plans.iter().enumerate().filter(|(_, p)| !p.fits);
    let spills: Vec<String> = spills.map(|(i, p)| spilled(job, net, i, p)).collect();
    let said = (!spills.is_empty()).then(|| too_large(paper, &spills));
    Drawn {
        paper,
        captions,
        figures,
        plans,
        marks,
        scale,
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
    let mark = |(i, piece)| {
        let (down, up) = sheets_of(piece)?;
        Some(MatchMark {
            piece,
            name: MatchMark::name_of(i),
            down: sheets::drawing_number(down),
            up: sheets::drawing_number(up),
        })
    };
    cuts.enumerate().filter_map(mark).collect()
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

//! The drawing on paper: lettered as large as its sheet allows, on one sheet if it fits one, else
//! shared out over several at match marks.

use super::papers::Papers;
use super::problem;
use crate::captions::{self, Captions, MatchMark};
use crate::diagnostics::{Diagnostic, Outcome, Severity};
use crate::job::Job;
use crate::network::{Network, PieceIx};
use crate::placement::{Figures, Placer, Plan, Root, Scale, Share};
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
    let placer = Placer::new(job, net, &captions, &figures, field(papers.shared));
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
    Ok(shared(job, net, solution, &figures, &placer, papers.shared))
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

/// Shares a drawing out over as many sheets of a paper as it takes.
fn shared(
    job: &Job,
    net: &Network,
    solution: &Solution,
    figures: &Figures,
    placer: &Placer<'_>,
    paper: Paper,
) -> Drawn {
    let field = sheets::layout(paper).field;
    // While it is not known where the cuts will be, every one that may be has a mark.
    let all = marks(placer.cuttable().into_iter(), |_| (0, 0));
    let shares = {
        let captions = captions::permit(job, net, solution, LEAST_CAP, &all);
        let figures = figures.clone().with_marks(net, &all);
        placer.share_out(&captions, &figures, field)
    };
    let marks = marks_of(&shares);
    let captions = captions::permit(job, net, solution, LEAST_CAP, &marks);
    let figures = figures.clone().with_marks(net, &marks);
    // One scale for all sheets: the largest that suits every one.
    let scale = job.drawing.to_scale.then(|| {
        let scales = Scale::all(job.units);
        let each = placer.each(&captions, &figures, &shares, |p| p.scale_for(field, scales));
        each.into_iter().reduce(least_of).flatten()
    });
    let scale = scale.flatten();
    let plans: Vec<Plan> = placer.each(&captions, &figures, &shares, |p| {
        scale.map_or_else(|| p.plan(field), |s| p.plan_at(field, s))
    });
    let said = plans.iter().any(|p| !p.fits).then(|| too_large(paper));
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

/// The marks of the cuts between some shares, in the order of the sheets.
fn marks_of(shares: &[Share]) -> Vec<MatchMark> {
    let cuts = shares.iter().filter_map(|s| match s.root {
        Root::Cut(piece) => Some(piece),
        Root::Exit(_) => None,
    });
    let sheet = |piece: PieceIx| {
        let down = shares.iter().position(|s| s.cuts.contains(&piece));
        let up = shares.iter().position(|s| s.root == Root::Cut(piece));
        (down.unwrap_or(0), up.unwrap_or(0))
    };
    marks(cuts, sheet)
}

fn marks(
    cuts: impl Iterator<Item = PieceIx>,
    sheets_of: impl Fn(PieceIx) -> (usize, usize),
) -> Vec<MatchMark> {
    let mark = |(i, piece)| {
        let (down, up) = sheets_of(piece);
        MatchMark {
            piece,
            name: MatchMark::name_of(i),
            down: sheets::drawing_number(down),
            up: sheets::drawing_number(up),
        }
    };
    cuts.enumerate().map(mark).collect()
}

fn too_large(paper: Paper) -> Diagnostic {
    Diagnostic {
        help: Some("choose a larger paper with --sheet".to_owned()),
        ..problem(
            "P102",
            "drawing-does-not-fit",
            Severity::Error,
            format!(
                "a part of the drawing that cannot be cut is larger than its field on {}",
                paper.name
            ),
        )
    }
}

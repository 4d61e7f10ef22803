//! A drawing that is to be like an earlier one: its corner, paper, lettering, scale, heights and
//! lengths are taken again, each as long as the drawing still fits with it.

use super::drawn::{
    Drawn, LARGER_CAPS, LEAST_CAP, NEARLY, Whole, divided, figures, left_out, on_one_sheet, shared,
    typical,
};
use super::papers::Papers;
use crate::captions::Subject;
use crate::earlier::Earlier;
use crate::placement::{Left, Plan, Scale, Step};
use crate::sheets::{self, Paper};

/// A drawing lettered larger than the least keeps that as long as it leaves this share of its
/// field free each way: less than a new one must leave, so that a small edit does not change it.
const STILL_ROOMY: f64 = 0.9;

/// Draws as before; none where that does not fit any more.
pub fn like(whole: Subject<'_>, papers: &Papers, earlier: &Earlier) -> Option<Drawn> {
    let step = Step::of(earlier.step).unwrap_or_default();
    if !earlier.typical {
        let (all, none) = (figures(whole), Left::default());
        let whole = Whole::new(whole, (&none, step), &all, papers, Some(earlier));
        return on_paper(&whole, papers, earlier);
    }
    let typical = typical(whole)?;
    let subject = whole.of_typical(&typical);
    let (all, left) = (figures(subject), left_out(&typical));
    let placed = Whole::new(subject, (&left, step), &all, papers, Some(earlier));
    let mut drawn = on_paper(&placed, papers, earlier)?;
    drop(placed);
    drawn.typical = Some(match earlier.divided {
        true => typical,
        false => typical.storeys_only(whole.net),
    });
    Some(drawn)
}

/// Shares out from the same corner what stood on one sheet and does not any more.
pub fn shared_out(whole: Subject<'_>, papers: &Papers, earlier: &Earlier) -> Option<Drawn> {
    if earlier.divided || earlier.typical {
        return None;
    }
    let all = figures(whole);
    let none = Left::default();
    let whole = Whole::new(whole, (&none, Step::COARSE), &all, papers, Some(earlier));
    let drawn = shared(&whole, papers.shared);
    drawn.plans.iter().all(|p| p.fits).then_some(drawn)
}

fn on_paper(whole: &Whole<'_>, papers: &Papers, earlier: &Earlier) -> Option<Drawn> {
    if earlier.divided {
        let holds = |d: &Drawn| d.plans.len() > 1 && d.plans.iter().all(|p| p.fits);
        let mut all = std::iter::once(papers.shared).chain(papers.larger.iter().copied());
        let same = all.find(|p| p.name == earlier.paper);
        let paper = same.unwrap_or(papers.shared);
        if same.is_some() {
            let again = divided(whole, paper, whole.placer.bands_at(&earlier.bands));
            if holds(&again) {
                return Some(again);
            }
        }
        return Some(shared(whole, paper)).filter(holds);
    }
    // Its own paper first, whatever else it would fit.
    let (same, other): (Vec<Paper>, Vec<Paper>) =
        (papers.whole.iter()).partition(|p| p.name == earlier.paper);
    // A larger one before several: what is known of the sheet stays as it is.
    let larger = papers.larger.iter().copied();
    let larger = larger.filter(|p| papers.whole.iter().all(|w| w.name != p.name));
    let mut all = same.into_iter().chain(other).chain(larger);
    all.find_map(|paper| on_sheet(whole, paper, papers, earlier))
}

fn on_sheet(whole: &Whole<'_>, paper: Paper, papers: &Papers, earlier: &Earlier) -> Option<Drawn> {
    let field = sheets::layout(paper).field;
    let job = whole.subject.job;
    let set = |captions, plan: Plan| on_one_sheet(whole, paper, captions, plan);
    if job.drawing.to_scale {
        let mut scales = Scale::all(job.units).iter();
        let was = earlier.sheets.first().map_or(0.0, |s| s.scale);
        let scale = scales.find(|s| (s.ratio - was).abs() < s.ratio * 1e-9);
        let again = scale.map(|s| (s, whole.placer.plan_at(field, *s)));
        if let Some((scale, plan)) = again.filter(|(_, p)| p.fits) {
            return Some(Drawn {
                scale: Some(*scale),
                ..set((whole.captions.clone(), LEAST_CAP), plan)
            });
        }
    } else {
        // The same lettering first; a smaller one for the sake of the lengths.
        for cap in LARGER_CAPS.into_iter().filter(|c| *c <= earlier.lettering) {
            let words = whole.captions.lettered(cap);
            let larger = whole.placer.lettered(&words);
            if !larger.fits(field, STILL_ROOMY) {
                continue;
            }
            let again = larger.plan_like(field);
            let anew = || (cap == earlier.lettering).then(|| larger.plan(field));
            if let Some(plan) = again.or_else(anew).filter(|p| p.fits) {
                drop(larger);
                return Some(set((words, cap), plan));
            }
        }
        if whole.placer.fits(field, NEARLY)
            && let Some(plan) = whole.placer.plan_like(field)
        {
            return Some(set((whole.captions.clone(), LEAST_CAP), plan));
        }
    }
    // From the same corner at least, and on the same paper.
    whole.on_one_sheet(&Papers {
        whole: vec![paper],
        shared: papers.shared,
        larger: Vec::new(),
    })
}

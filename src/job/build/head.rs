//! The head of the file: title block, practice, drawing, exits.

use crate::job::model::{
    Counting, Drawing, Exit, Faces, Job, Join, Practice, Sewer, Testing, Title, Zero,
};
use crate::job::values::Values;

/// Reads `[job]` and `[drawing]`.
pub(super) fn fill(job: &mut Job, file: &Values) {
    job.title.title = job.name.clone();
    if let Some(v) = file.one("job") {
        job.title = title(v, &job.name);
        job.code = v.text("code");
        job.code_options = (v.texts("code_options")).map_or_else(Vec::new, |t| t.value);
        job.zero = v.one("zero").map(|z| Zero {
            is: z.words("is"),
            survey: z.plain_length("survey"),
            benchmark: z.words("benchmark"),
            level: z.plain_length("level"),
        });
        job.practice = practice(v);
    }
    if let Some(v) = file.one("takeoff") {
        job.takeoff = Counting {
            waste: v.count("waste").map(|n| n.value),
            stock_length: v.plain_length("stock_length"),
        };
    }
    if let Some(v) = file.one("test") {
        job.test = Testing {
            plug_rating: v.plain_length("plug_rating"),
        };
    }
    if let Some(v) = file.one("drops") {
        job.hole_clearance = v.plain_length("clearance");
    }
    if let Some(v) = file.one("drawing") {
        job.drawing = Drawing {
            from: v.heading("from"),
            sheet: v.text("sheet"),
            to_scale: v.flag("to_scale"),
            in_full: v.flag("in_full"),
            plain_tags: v.flag("plain_tags"),
        };
    }
}

fn title(v: &Values, name: &str) -> Title {
    Title {
        title: v.words("title").unwrap_or_else(|| name.to_owned()),
        number: v.words("number"),
        address: v.words("address"),
        client: v.words("client"),
        drawn_by: v.words("drawn_by"),
        drawn_by_address: v.words("drawn_by_address"),
        license: v.words("license"),
        permit: v.words("permit"),
        scope: v.words("scope"),
        date: v.words("date"),
        revision: v.words("revision"),
        checked_by: v.words("checked_by"),
    }
}

fn practice(v: &Values) -> Practice {
    let mut p = Practice::default();
    if let Some(falls) = v.falls("fall") {
        p.falls = falls.value;
    }
    p.steepest = v.fall("steepest");
    if let Some(stock) = v.sizes("stock") {
        p.stock = stock.value;
    }
    if let Some(least) = v.one("least") {
        p.least_under_slab = least.plain_size("under_slab");
        p.least_kitchen = least.plain_size("kitchen");
        p.least_vent = least.plain_size("vent");
    }
    p.join = match v.words("join").as_deref() {
        Some("crown") => Join::Crown,
        Some("invert") => Join::Invert,
        _ => Join::Centre,
    };
    p.spare = v.plain_length("spare");
    p.faces = v.words("faces").map(|w| match w.as_str() {
        "finish" => Faces::Finish,
        _ => Faces::Stud,
    });
    p.whole_risers = v.flag("whole_risers");
    if let Some(material) = v.one("material") {
        let or = |key: &str, usual: String| material.words(key).unwrap_or(usual);
        p.material_below = or("below", p.material_below);
        p.material_above = or("above", p.material_above);
        p.material_vents = or("vents", p.material_vents);
    }
    if let Some(terminal) = v.one("terminal") {
        p.above_roof = terminal.plain_length("above_roof");
        p.frost = terminal.plain_size("frost");
    }
    if let Some(methods) = v.one("methods") {
        p.prefer = methods.texts("prefer").map(|t| t.value).unwrap_or_default();
        p.allow = methods.texts("allow").map(|t| t.value).unwrap_or_default();
        p.forbid = methods.texts("forbid").map(|t| t.value).unwrap_or_default();
    }
    p
}

/// Reads one exit.
pub(super) fn exit(v: &Values) -> Exit {
    Exit {
        name: v.name.clone(),
        span: v.span.clone(),
        to: v.words("to"),
        invert: v.length("invert"),
        heading: v.heading("heading"),
        at: v.at("at"),
        footing_top: v.plain_length("footing_top"),
        footing_bottom: v.plain_length("footing_bottom"),
        sewer: v.one("sewer").map(|s| Sewer {
            length: s.plain_length("length"),
            size: s.plain_size("size"),
            existing: s.flag("existing"),
            tap: s.plain_length("tap"),
            manhole_rim: s.plain_length("manhole_rim"),
            grade: s.plain_length("grade"),
        }),
    }
}

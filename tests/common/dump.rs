//! What the placement gives, as plain text: a line a thing, in mm of the drawing's own frame, in an
//! order that does not tell how it was made.

use std::fmt::Write as _;

use kurbo::Point;
use stackfall::pipeline::Placed;
use stackfall::placement::Plan;
use stackfall::projection::Space;
use stackfall::sheets::drawing_number;

/// All sheets of a drawing.
pub fn dump(placed: &Placed) -> String {
    let mut text = format!("paper {}\n", placed.paper.name);
    for (i, plan) in placed.plans.iter().enumerate() {
        text += &sheet(placed, &drawing_number(i), plan);
    }
    text
}

/// To a hundredth, without a sign before nothing.
fn mm(value: f64) -> String {
    let shown = format!("{value:.2}");
    match shown.trim_start_matches('-') {
        "0.00" => "0.00".to_owned(),
        _ => shown,
    }
}

fn point(p: Point) -> String {
    format!("{},{}", mm(p.x), mm(p.y))
}

fn space(s: &Space) -> String {
    format!("{},{},{}", mm(s.x), mm(s.y), mm(s.z))
}

fn sheet(of: &Placed, number: &str, plan: &Plan) -> String {
    let placement = &plan.placement;
    let b = placement.bounds;
    let mut text = format!(
        "\nsheet {number} from the {:?}, bounds {} {}, origin {}{}\n",
        placement.corner,
        point(b.origin()),
        point(Point::new(b.x1, b.y1)),
        point(plan.origin.to_point()),
        if plan.fits { "" } else { ", does not fit" },
    );
    let mut lines = Vec::new();
    for p in &placement.pipes {
        let path: Vec<String> = p.path.iter().map(space).collect();
        let hatched = p.hatched.iter().any(|h| *h);
        let hatched = if hatched { " hatched" } else { "" };
        let id = &of.net.graph[p.piece].id;
        lines.push(format!("pipe {id}: {}{hatched}", path.join(" ")));
    }
    for s in &placement.symbols {
        let id = &of.figures.all[s.symbol].id;
        let way = space(&s.way.unit()).replace(".00", "");
        lines.push(format!("symbol {id}: {} facing {way}", point(s.at)));
    }
    for l in &placement.labels {
        let caption = &of.captions.all[l.caption];
        let mut line = format!("label {}: {}", caption.names, point(l.at));
        let _ = write!(line, " {:?} {:?}", l.slant, l.flush);
        if let Some((a, b)) = l.leader {
            let _ = write!(line, " leader {} {}", point(a), point(b));
        }
        let _ = write!(line, " “{}”", caption.lines.join(" / "));
        lines.push(line);
    }
    for m in &placement.marks {
        let floor = m.floor.and_then(|f| of.job.floors.get(f.0));
        let floor = floor.map_or("roof", |f| f.name.as_str());
        let (at, words) = (point(m.at), point(m.text_at));
        lines.push(format!("mark {floor}: {at} words {words} {:?}", m.slant));
    }
    lines.sort();
    text += &(lines.join("\n") + "\n");
    text
}

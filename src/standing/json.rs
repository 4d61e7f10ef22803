//! How the work stands, as JSON: lengths and levels in millimetres, as in the whole result.

use serde_json::{Value, json};

use super::model::{Amount, By, Standing};
use crate::units::{Length, Printer};

/// The object `progress` of the result.
pub fn json(standing: &Standing, print: Printer) -> Value {
    let marks = standing.marks.iter().map(|m| {
        json!({
            "mark": m.mark, "on": m.part, "is": m.is.words(),
            "date": m.date, "by": m.by, "why": m.why,
        })
    });
    let changes = standing.differences.iter().map(|d| {
        json!({
            "from": d.part.0, "to": d.part.1.as_ref().unwrap_or(&d.part.0), "what": d.what,
            "approved": amount(&d.approved, print), "now": amount(&d.now, print), "by": by(d.by), "why": d.why,
        })
    });
    json!({
        "marks": marks.collect::<Vec<_>>(),
        "changes": changes.collect::<Vec<_>>(),
    })
}

/// Millimetres to a hundredth.
fn mm(l: Length) -> Value {
    json!((l.mm() * 100.0).round() / 100.0)
}

fn amount(amount: &Amount, print: Printer) -> Value {
    match amount {
        Amount::Nothing => Value::Null,
        Amount::Words(words) => json!(words),
        Amount::Size(size) => json!(print.size_plain(*size)),
        Amount::Fall(fall) => json!(print.fall_plain(*fall)),
        Amount::Length(l) | Amount::Level(l) => mm(*l),
        Amount::Levels(a, b) => json!([mm(*a), mm(*b)]),
    }
}

fn by(by: By) -> Value {
    match by {
        By::Nothing => Value::Null,
        By::Higher(l) | By::Longer(l) => mm(l),
        By::Word(word) => json!(word),
    }
}

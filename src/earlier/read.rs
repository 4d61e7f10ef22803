//! Reads the object `drawing` of a result; whatever it holds, what comes of it is finite and small.

use std::collections::BTreeMap;

use serde_json::{Map, Value};

use super::{Earlier, EarlierRun, EarlierSheet, FORM};
use crate::projection::Corner;
use crate::units::Heading;

type Read<T> = Result<T, String>;

/// No length of a drawing is larger, mm.
const LONGEST: f64 = 100_000.0;

pub(super) fn earlier(result: &Value) -> Read<Earlier> {
    let drawing = result.get("drawing").filter(|d| d.is_object());
    let Some(drawing) = drawing else {
        return Err("it has no `drawing`, so it tells nothing of how its sheets were drawn".into());
    };
    let all = At {
        of: drawing,
        path: "drawing".to_owned(),
    };
    match all.get("form")?.of.as_u64() {
        Some(FORM) => {}
        _ => {
            let said = &drawing["form"];
            return Err(format!(
                "its drawing has form {said}, and only {FORM} is known here"
            ));
        }
    }
    let from = all.get("from")?;
    let corner = Heading::from_word(from.text()?).and_then(Corner::from_heading);
    let bands = all.get("bands");
    Ok(Earlier {
        corner: corner.ok_or_else(|| from.is_no("corner, such as \"southwest\""))?,
        paper: all.get("paper")?.text()?.to_owned(),
        lettering: all.get("lettering")?.length()?,
        step: all.get("step")?.length()?,
        divided: all.get("divided")?.truth()?,
        typical: all.get("typical")?.truth()?,
        bands: bands?
            .list()?
            .iter()
            .map(|b| Ok(b.text()?.to_owned()))
            .collect::<Read<_>>()?,
        sheets: all
            .get("sheets")?
            .list()?
            .iter()
            .map(sheet)
            .collect::<Read<_>>()?,
    })
}

fn sheet(at: &At<'_>) -> Read<EarlierSheet> {
    let heights = at.get("heights")?;
    Ok(EarlierSheet {
        origin: at.get("origin")?.place()?,
        scale: at.get("scale")?.length()?,
        floors: heights.get("floors")?.each(|floor| {
            let height = |key| floor.get(key)?.length();
            Ok([height("branches")?, height("mark")?, height("vents")?])
        })?,
        roof: heights.get("roof")?.length()?,
        low: heights.get("low")?.length()?,
        runs: at.get("runs")?.each(run)?,
    })
}

fn run(at: &At<'_>) -> Read<EarlierRun> {
    let cut = match at.of.get("cut") {
        None | Some(Value::Null) => None,
        Some(_) => Some(at.get("cut")?.text()?.to_owned()),
    };
    let pipes = at.get("pipes")?;
    Ok(EarlierRun {
        cut,
        at: at.get("at")?.place()?,
        pipes: pipes.each(|pipe| pipe.list()?.iter().map(At::place::<3>).collect())?,
    })
}

/// A value and where it stands.
struct At<'a> {
    of: &'a Value,
    path: String,
}

impl<'a> At<'a> {
    fn is_no(&self, what: &str) -> String {
        format!("{} is no {what}", self.path)
    }
    fn get(&self, key: &str) -> Read<At<'a>> {
        let path = format!("{}.{key}", self.path);
        match self.of.get(key) {
            Some(of) => Ok(At { of, path }),
            None => Err(format!("{path} is missing")),
        }
    }
    fn text(&self) -> Read<&'a str> {
        self.of.as_str().ok_or_else(|| self.is_no("text"))
    }
    fn truth(&self) -> Read<bool> {
        self.of.as_bool().ok_or_else(|| self.is_no("true or false"))
    }
    fn number(&self) -> Read<f64> {
        let number = self.of.as_f64().filter(|n| n.abs() <= LONGEST);
        number.ok_or_else(|| self.is_no("number that a drawing could have"))
    }
    /// A number that is not below nought.
    fn length(&self) -> Read<f64> {
        let number = self.number().ok().filter(|n| *n >= 0.0);
        number.ok_or_else(|| self.is_no("length that a drawing could have"))
    }
    fn list(&self) -> Read<Vec<At<'a>>> {
        let list = self.of.as_array().ok_or_else(|| self.is_no("list"))?;
        let each = list.iter().enumerate().map(|(i, of)| At {
            of,
            path: format!("{}[{i}]", self.path),
        });
        Ok(each.collect())
    }
    fn each<T>(&self, read: impl Fn(&At<'a>) -> Read<T>) -> Read<BTreeMap<String, T>> {
        let object: &Map<String, Value> =
            self.of.as_object().ok_or_else(|| self.is_no("object"))?;
        let each = object.iter().map(|(key, of)| {
            let path = format!("{}.{key}", self.path);
            Ok((key.clone(), read(&At { of, path })?))
        });
        each.collect()
    }
    fn place<const N: usize>(&self) -> Read<[f64; N]> {
        let all: Read<Vec<f64>> = self.list()?.iter().map(At::number).collect();
        let all: Result<[f64; N], _> = all?.try_into();
        all.map_err(|_| self.is_no(&format!("place of {N} numbers")))
    }
}

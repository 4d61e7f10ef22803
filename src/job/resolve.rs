//! Names become things: `into`, `on`, `vent` and their like are looked up by name alone.

use std::collections::BTreeMap;

use super::keys::{Kind, PARTS, What};
use super::model::{FloorIx, Said, Target};
use super::names::Names;
use super::problems::{Problems, UNKNOWN_NAME, WRONG_KIND_OF_THING, any_of, shown};
use super::values::Values;

/// Looks names up; mistakes go to the problems.
pub struct Resolver<'r> {
    /// All names of things.
    pub names: &'r Names,
    /// All floors by name, after sorting by level.
    pub floors: &'r BTreeMap<String, FloorIx>,
    /// Names of the floors, lowest first.
    pub floor_order: &'r [String],
    /// Exits: how many, and their names.
    pub exits: &'r [String],
    /// Where mistakes go.
    pub problems: &'r mut Problems,
}

impl Resolver<'_> {
    /// The thing that a key names, if it is of a kind that the list of keys allows there.
    pub fn target(&mut self, v: &Values, key: &str) -> Option<Said<Target>> {
        let said = v.text(key)?;
        let kinds = kinds(v, key);
        let target = match said.value.as_str() {
            "exit" if kinds.contains(&What::Exit) => self.the_exit(v, &said),
            "roof" if kinds.contains(&What::Roof) => Some(Target::Roof),
            _ => self.look_up(&v.name, &said, kinds)?.0,
        };
        target.map(|value| Said {
            value,
            span: said.span,
        })
    }

    /// The index of the thing that a key names, where that can be of one kind only.
    pub fn index(&mut self, v: &Values, key: &str) -> Option<Said<usize>> {
        let said = v.text(key)?;
        let (_, value) = self.look_up(&v.name, &said, kinds(v, key))?;
        Some(Said {
            value,
            span: said.span,
        })
    }

    /// The floor that a key names.
    pub fn floor(&mut self, v: &Values, key: &str) -> Option<FloorIx> {
        self.floor_named(&v.name, v.text(key)?)
    }

    /// The floor of this name, for the thing `at`.
    pub fn floor_named(&mut self, at: &str, said: Said<String>) -> Option<FloorIx> {
        if let Some(floor) = self.floors.get(&said.value) {
            return Some(*floor);
        }
        let floors = || self.floor_order.iter().map(String::as_str);
        let help = match self.problems.nearest(&said.value, floors()) {
            Some(near) => format!("did you mean `{near}`?"),
            None if self.floor_order.is_empty() => {
                "the job has no floors: add `[floors]`".to_owned()
            }
            None if said.value.contains("..") => {
                "expected one floor: a range stands in `[floors]` and `[repeat]`".to_owned()
            }
            None => format!("expected {}", any_of(floors())),
        };
        let message = format!("there is no floor `{}`", shown(&said.value));
        self.problems
            .add(UNKNOWN_NAME, at, said.span, message, Some(help));
        None
    }

    /// The floor a stack ends at; none is the roof.
    pub fn floor_or_roof(&mut self, v: &Values, key: &str) -> Option<FloorIx> {
        match v.text(key) {
            Some(said) if said.value == "roof" => None,
            _ => self.floor(v, key),
        }
    }

    /// Whether a name is that of a part of the work; what is not is told.
    pub fn is_part(&mut self, v: &Values, said: &Said<String>) -> bool {
        match said.value.as_str() {
            "exit" => self.the_exit(v, said).is_some(),
            _ => self.look_up(&v.name, said, PARTS).is_some(),
        }
    }

    /// `exit` is the exit, as long as there is only one, or one of that name.
    fn the_exit(&mut self, v: &Values, said: &Said<String>) -> Option<Target> {
        if let Some(index) = self.exits.iter().position(|name| name == "exit") {
            return Some(Target::Exit(index));
        }
        if let [_] = self.exits {
            return Some(Target::Exit(0));
        }
        let message = format!(
            "there are {} exits, and none is called `exit`",
            self.exits.len()
        );
        let help = format!("expected {}", any_of(self.exits.iter().map(String::as_str)));
        self.problems.add(
            UNKNOWN_NAME,
            &v.name,
            said.span.clone(),
            message,
            Some(help),
        );
        None
    }

    /// What a name stands for, for the thing `at`, if it is one of these kinds.
    pub fn look_up(
        &mut self,
        at: &str,
        said: &Said<String>,
        kinds: &[What],
    ) -> Option<(Option<Target>, usize)> {
        let name = said.value.as_str();
        let expected = expected(kinds);
        match self.names.get(name) {
            Some((what, target, index)) if kinds.contains(&what) => return Some((target, index)),
            Some((what, ..)) => {
                let message = format!("`{}` is {}", shown(name), what.called());
                let help = format!("expected {expected}");
                self.problems.add(
                    WRONG_KIND_OF_THING,
                    at,
                    said.span.clone(),
                    message,
                    Some(help),
                );
            }
            None => {
                let reserved = kinds.iter().filter_map(|k| match k {
                    What::Exit => Some("exit"),
                    What::Roof => Some("roof"),
                    _ => None,
                });
                let candidates = self.names.of(kinds, name).chain(reserved);
                let help = match self.problems.nearest(name, candidates) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => format!("expected the name of {expected}"),
                };
                let message = format!("nothing is called `{}`", shown(name));
                self.problems
                    .add(UNKNOWN_NAME, at, said.span.clone(), message, Some(help));
            }
        }
        None
    }
}

/// The kinds that the list of keys allows a key to name.
fn kinds(v: &Values, key: &str) -> &'static [What] {
    match v.record.key(key).map(|k| k.kind) {
        Some(Kind::Name(kinds)) => kinds,
        _ => &[],
    }
}

fn expected(kinds: &[What]) -> String {
    match kinds {
        [] => String::new(),
        [one] => one.called().to_owned(),
        [head @ .., last] => {
            let head: Vec<&str> = head.iter().map(|k| k.called()).collect();
            format!("{} or {}", head.join(", "), last.called())
        }
    }
}

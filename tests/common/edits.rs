//! Every single edit of a job file: a fixture more, a fixture less, a fixture by another name.

use toml::{Table, Value};

/// What an edit does to a fixture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Add,
    Remove,
    Rename,
}

impl Kind {
    pub const ALL: [Kind; 3] = [Kind::Add, Kind::Remove, Kind::Rename];

    pub fn word(self) -> &'static str {
        match self {
            Kind::Add => "add",
            Kind::Remove => "remove",
            Kind::Rename => "rename",
        }
    }
}

/// A job file with one fixture of it edited.
#[derive(Clone, Debug)]
pub struct Edit {
    pub kind: Kind,
    /// The fixture that was copied, taken out or renamed.
    pub name: String,
    /// Its copy, or its name afterwards.
    pub then: String,
    pub text: String,
}

impl Edit {
    pub fn words(&self) -> String {
        match self.kind {
            Kind::Add => format!("add {} beside {}", self.then, self.name),
            Kind::Remove => format!("remove {}", self.name),
            Kind::Rename => format!("rename {} to {}", self.name, self.then),
        }
    }
    /// Whether an id of a drawing speaks of the fixture that was edited.
    pub fn touches(&self, id: &str) -> bool {
        let own = |word: &str| word == self.then || (self.kind != Kind::Add && word == self.name);
        // A copy of a group's fixture is named `WC-1@S1-3`.
        id.split('.')
            .any(|part| own(part.split('@').next().unwrap_or(part)))
    }
}

/// All edits of a job file, in the order of its fixtures.
pub fn edits(text: &str) -> Vec<Edit> {
    let lines: Vec<&str> = text.lines().collect();
    let mut section = "";
    let mut all = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        if let Some(head) = line.strip_prefix('[') {
            section = head.split(']').next().unwrap_or("");
        }
        if !section.ends_with("fixtures") {
            continue;
        }
        let Some((name, _)) = line.split_once('=').filter(|(_, r)| r.contains('{')) else {
            continue;
        };
        let job = Text {
            lines: &lines,
            own: scope(section),
        };
        let name = name.trim();
        all.extend(Kind::ALL.map(|kind| job.edit(kind, at, name)));
    }
    all
}

/// Names inside a group are its own.
fn scope(section: &str) -> Option<&str> {
    section.strip_suffix("fixtures").filter(|s| !s.is_empty())
}

struct Text<'a> {
    lines: &'a [&'a str],
    /// What heads of sections that can name the fixture begin with; none: all but groups.
    own: Option<&'a str>,
}

impl Text<'_> {
    fn edit(&self, kind: Kind, at: usize, name: &str) -> Edit {
        let then = match kind {
            Kind::Remove => name.to_owned(),
            _ => self.free_name(name),
        };
        let keys = keys(self.lines[at]);
        let mut lines: Vec<String> = self.lines.iter().map(|l| (*l).to_owned()).collect();
        match kind {
            Kind::Add => lines.insert(at + 1, format!("{then} = {{ {} }}", copied(&keys))),
            Kind::Remove => {
                self.each(&mut lines, |line| without(line, name, &keys));
                lines.remove(at);
            }
            Kind::Rename => {
                self.each(&mut lines, |line| {
                    line.replace(&format!("\"{name}\""), &format!("\"{then}\""))
                });
                lines[at] = lines[at].replacen(name, &then, 1);
            }
        }
        Edit {
            kind,
            name: name.to_owned(),
            then,
            text: lines.join("\n") + "\n",
        }
    }

    /// Changes each line that can name the fixture.
    fn each(&self, lines: &mut [String], change: impl Fn(&str) -> String) {
        let mut own = self.own.is_none();
        for line in lines {
            if let Some(head) = line.strip_prefix('[') {
                own = match self.own {
                    Some(group) => head.starts_with(group),
                    None => !head.starts_with("groups."),
                };
            }
            if own {
                *line = change(line);
            }
        }
    }

    /// The next number of a name: `WC-3` where `WC-1` and `WC-2` are.
    fn free_name(&self, name: &str) -> String {
        let stem = name.trim_end_matches(|c: char| c.is_ascii_digit());
        let number = |line: &&str| {
            let (other, _) = line.split_once('=')?;
            other.trim().strip_prefix(stem)?.parse::<u32>().ok()
        };
        let most = self.lines.iter().filter_map(number).max().unwrap_or(1);
        format!("{stem}{}", most + 1)
    }
}

fn keys(line: &str) -> Table {
    let table: Table = line.parse().unwrap_or_default();
    let first = table.into_iter().next();
    first
        .and_then(|(_, v)| v.as_table().cloned())
        .unwrap_or_default()
}

/// What a second one of the kind in the same place says: not where it stands, which is left open.
fn copied(keys: &Table) -> String {
    let same = ["kind", "room", "floor", "into", "over", "public"];
    let kept = keys.iter().filter(|(k, _)| same.contains(&k.as_str()));
    let kept: Vec<String> = kept.map(|(k, v)| format!("{k} = {v}")).collect();
    kept.join(", ")
}

/// A line that no longer speaks of a fixture which is taken out: what flowed into it flows where it
/// flowed, what it primed or vented is primed or vented by nothing stated.
fn without(line: &str, name: &str, keys: &Table) -> String {
    let into = keys.get("into").and_then(Value::as_str);
    let mut line = match into {
        Some(into) => line.replace(&format!("into = \"{name}\""), &format!("into = \"{into}\"")),
        None => line.replace(&format!(", into = \"{name}\""), ""),
    };
    for key in ["primed_by", "vented_by"] {
        line = line.replace(&format!(", {key} = \"{name}\""), "");
    }
    line
}

//! How a table says its figures.

use crate::captions;
use crate::catalogue;
use crate::network::State;
use crate::units::{Fall, Flow, Length, PipeSize, Printer, UnitSystem, Volume, number};

/// For whom a table is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Lettered on a sheet.
    Sheet,
    /// For a file of data.
    Data,
    /// For a terminal: lettered as on a sheet, with all that is known.
    Terminal,
}

/// How a table says its figures.
pub struct Say {
    /// How quantities are printed.
    pub print: Printer,
    /// For whom.
    pub form: Form,
}

/// What stands where nothing is known.
const UNKNOWN: &str = "—";

impl Say {
    /// Whether it is for a file of data.
    pub fn data(&self) -> bool {
        self.form == Form::Data
    }
    /// Whether columns that a sheet has no room for are there too.
    pub fn whole(&self) -> bool {
        self.form != Form::Sheet
    }
    /// A pipe size.
    pub fn size(&self, s: Option<PipeSize>) -> String {
        let say = |s| {
            if self.data() {
                self.print.size_plain(s)
            } else {
                self.print.size(s)
            }
        };
        s.map_or_else(|| self.nothing(), say)
    }
    /// A fall.
    pub fn fall(&self, f: Option<Fall>) -> String {
        let say = |f| {
            if self.data() {
                self.print.fall_plain(f)
            } else {
                self.print.fall(f)
            }
        };
        f.map_or_else(|| self.nothing(), say)
    }
    /// A length.
    pub fn length(&self, l: Option<Length>) -> String {
        let say = |l| {
            if self.data() {
                self.decimal(l)
            } else {
                self.print.length(l)
            }
        };
        l.map_or_else(|| self.nothing(), say)
    }
    /// A level.
    pub fn level(&self, l: Option<Length>) -> String {
        let say = |l| {
            if self.data() {
                self.decimal(l)
            } else {
                self.print.level(l)
            }
        };
        l.map_or_else(|| self.nothing(), say)
    }
    /// A short length: inches or millimetres.
    pub fn short(&self, l: Option<Length>) -> String {
        match l {
            None => self.nothing(),
            Some(l) if self.data() => self.decimal(l),
            Some(l) => self.print.short(l),
        }
    }
    /// Room to spare: of what is wanting more than anyone sets a pipe to is rounded up.
    pub fn room(&self, spare: Option<Length>) -> String {
        let step = self.print.step();
        let wanting = |spare: Length| -spare > catalogue::fine() && !self.data();
        let shown = |spare: Length| match wanting(spare) {
            true => step * (spare / step + 1e-6).floor(),
            false => spare,
        };
        self.short(spare.map(shown))
    }
    /// What room less than nothing means.
    pub fn wanting(&self) -> String {
        format!(
            "it does not fit; up to {} is within setting tolerance, and fits (common practice, no source).",
            self.print.short(catalogue::fine())
        )
    }
    /// A survey elevation: decimal feet or metres, as surveyors write it.
    pub fn elevation(&self, l: Option<Length>) -> String {
        l.map_or_else(
            || self.nothing(),
            |l| match self.print.units {
                UnitSystem::Feet => number(l.feet(), 2, true),
                UnitSystem::Metric => number(l.mm() / 1000.0, 3, true),
            },
        )
    }
    /// A flow, in the job's units.
    pub fn flow(&self, flow: Flow) -> String {
        match self.print.units {
            UnitSystem::Feet => format!("{} gpm", number(flow.gpm(), 1, false)),
            UnitSystem::Metric => {
                let litres = flow.litres_per_second();
                format!("{} L/s", number(litres, 2, false))
            }
        }
    }
    /// A length in decimal feet or metres, without its unit.
    pub fn decimal(&self, l: Length) -> String {
        match self.print.units {
            UnitSystem::Feet => number(l.feet(), 3, true),
            UnitSystem::Metric => number(l.mm() / 1000.0, 3, true),
        }
    }
    /// The head of a column of lengths: data need their unit.
    pub fn in_unit(&self, head: &str) -> String {
        match (self.form, self.print.units) {
            (Form::Sheet | Form::Terminal, _) => head.to_owned(),
            (Form::Data, UnitSystem::Feet) => format!("{head} (ft)"),
            (Form::Data, UnitSystem::Metric) => format!("{head} (m)"),
        }
    }
    /// A volume: gallons or litres, to a tenth.
    pub fn volume(&self, v: Volume) -> String {
        let (figure, unit) = match self.print.units {
            UnitSystem::Feet => (v.gallons(), "gal"),
            UnitSystem::Metric => (v.litres(), "L"),
        };
        match self.data() {
            true => number(figure, 1, true),
            false => format!("{} {unit}", number(figure, 1, true)),
        }
    }
    /// The unit of a column of volumes, for data.
    pub fn volume_unit(&self) -> &'static str {
        match (self.form, self.print.units) {
            (Form::Sheet | Form::Terminal, _) => "",
            (Form::Data, UnitSystem::Feet) => " (gal)",
            (Form::Data, UnitSystem::Metric) => " (L)",
        }
    }
    /// The unit of a column of pressures, for data.
    pub fn pressure_unit(&self) -> &'static str {
        match (self.form, self.print.units) {
            (Form::Sheet | Form::Terminal, _) => "",
            (Form::Data, UnitSystem::Feet) => " (psi)",
            (Form::Data, UnitSystem::Metric) => " (kPa)",
        }
    }
    /// What stands where nothing is known.
    pub fn nothing(&self) -> String {
        if self.data() {
            String::new()
        } else {
            UNKNOWN.to_owned()
        }
    }
    /// A name with the mark of its state, and that of what is built otherwise than approved.
    pub fn marked(&self, name: &str, state: State, changed: bool) -> String {
        if self.data() {
            name.to_owned()
        } else {
            captions::on_site(captions::marked(name, state), changed)
        }
    }
}

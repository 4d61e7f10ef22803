use super::{Demand, Fall, Flow, Length, Load, PipeSize, Pressure, UnitSystem, Velocity};

/// Prints quantities the way the job's trade reads them. Every writer and every label goes
/// through it, so no number can look different in two places.
#[derive(Clone, Copy, Debug)]
pub struct Printer {
    /// The job's unit system.
    pub units: UnitSystem,
}

impl Printer {
    /// The step to which lengths and levels are printed: an eighth of an inch, or a millimetre.
    pub fn step(self) -> Length {
        match self.units {
            UnitSystem::Feet => Length::from_inches(0.125),
            UnitSystem::Metric => Length::from_mm(1.0),
        }
    }
    /// A length rounded up to what is printed.
    pub fn rounded_up(self, l: Length) -> Length {
        let step = self.step();
        step * (l / step - 1e-6).ceil()
    }
    /// A length: `12′-4½″` to the nearest 1/8 in, or metres to the millimetre: `3.200 m`.
    pub fn length(self, l: Length) -> String {
        match self.units {
            UnitSystem::Feet => feet_inches(l),
            UnitSystem::Metric => format!("{} m", number(l.mm() / 1000.0, 3, true)),
        }
    }
    /// The length as it is printed: to the nearest 1/8 in, or to the millimetre.
    pub fn nearest(self, l: Length) -> Length {
        match self.units {
            UnitSystem::Feet => {
                let part = to_eighths(l.abs()) as f64 / 8.0;
                Length::from_inches(part.copysign(l.mm()))
            }
            UnitSystem::Metric => Length::from_mm(l.mm().round()),
        }
    }
    /// A short length: `9½″` to the nearest 1/8 in, or `241 mm`.
    pub fn short(self, l: Length) -> String {
        match self.units {
            UnitSystem::Feet => {
                let part = to_eighths(l.abs());
                let sign = if l.mm() < 0.0 && part > 0 { "-" } else { "" };
                format!("{sign}{}″", eighths(part))
            }
            UnitSystem::Metric => format!("{} mm", number(l.mm(), 0, true)),
        }
    }
    /// A level or an invert above the job's zero, with its sign: `-10′-8″`, `+0.000 m`.
    pub fn level(self, l: Length) -> String {
        match self.units {
            UnitSystem::Feet => feet_inches(l),
            UnitSystem::Metric => {
                let text = number(l.mm() / 1000.0, 3, true);
                if text.starts_with('-') {
                    text
                } else {
                    format!("+{text}")
                }
            }
        }
    }
    /// A pipe size as data: `1 1/2`, `100`.
    pub fn size_plain(self, s: PipeSize) -> String {
        match self.units {
            UnitSystem::Feet => s.trade_name().to_owned(),
            UnitSystem::Metric => s.dn().to_string(),
        }
    }
    /// A pipe size as lettered on a sheet: `1½″`, `DN 100`.
    pub fn size(self, s: PipeSize) -> String {
        match self.units {
            UnitSystem::Feet => s.lettered().to_owned(),
            UnitSystem::Metric => format!("DN {}", s.dn()),
        }
    }
    /// A fall as data: `1/4` (inches per foot), `2.08%`.
    pub fn fall_plain(self, f: Fall) -> String {
        match self.units {
            UnitSystem::Feet => plain_fraction(f.inches_per_foot()),
            UnitSystem::Metric => format!("{}%", number(f.percent(), 2, false)),
        }
    }
    /// A fall as lettered on a sheet: `¼″/ft`, `2.08%`.
    pub fn fall(self, f: Fall) -> String {
        match self.units {
            UnitSystem::Feet => feet_fall(f),
            UnitSystem::Metric => self.fall_plain(f),
        }
    }
    /// A gauge pressure: `5 psi`, `34.5 kPa`.
    pub fn pressure(self, p: Pressure) -> String {
        match self.units {
            UnitSystem::Feet => format!("{} psi", number(p.psi(), 1, false)),
            UnitSystem::Metric => format!("{} kPa", number(p.kpa(), 1, false)),
        }
    }
    /// A gauge pressure that stands among others: to a tenth always, so that they line up.
    pub fn pressure_to_a_tenth(self, p: Pressure) -> String {
        match self.units {
            UnitSystem::Feet => format!("{} psi", number(p.psi(), 1, true)),
            UnitSystem::Metric => format!("{} kPa", number(p.kpa(), 1, true)),
        }
    }
    /// A gauge pressure as data: psi or kPa.
    pub fn pressure_plain(self, p: Pressure) -> String {
        match self.units {
            UnitSystem::Feet => number(p.psi(), 2, true),
            UnitSystem::Metric => number(p.kpa(), 1, true),
        }
    }
    /// A flow: `21 gpm`, `1.32 L/s`.
    pub fn flow(self, q: Flow) -> String {
        match self.units {
            UnitSystem::Feet => format!("{} gpm", number(q.gpm(), 0, false)),
            UnitSystem::Metric => format!("{} L/s", number(q.litres_per_second(), 2, false)),
        }
    }
    /// A velocity: `2.2 ft/s`, `0.68 m/s`.
    pub fn velocity(self, v: Velocity) -> String {
        match self.units {
            UnitSystem::Feet => format!("{} ft/s", number(v.feet_per_second(), 1, true)),
            UnitSystem::Metric => format!("{} m/s", number(v.metres_per_second(), 2, true)),
        }
    }
    /// What a pipe carries or may, with its unit: `12 dfu`, `2.24 L/s` (in any system, as the books
    /// that go by flows give them).
    pub fn demand(self, d: Demand) -> String {
        match d {
            Demand::Units(load) => format!("{} dfu", self.load(load)),
            Demand::Flow(q) => format!("{} L/s", number(q.litres_per_second(), 2, false)),
        }
    }
    /// A load: `12`, `½` (dfu; the unit is the reader's to add).
    pub fn load(self, l: Load) -> String {
        number(l.dfu(), 2, false)
    }
}

/// A number with up to `places` decimals; `fixed` keeps the trailing noughts. Never prints `-0`.
pub fn number(value: f64, places: usize, fixed: bool) -> String {
    // Most loads are whole, and those need no rounding.
    let whole = value.trunc();
    if whole == value && whole.abs() < 1e15 && (!fixed || places == 0) {
        return (whole as i64).to_string();
    }
    let mut text = format!("{value:.places$}");
    if !fixed && text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text.starts_with('-') && text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        text.remove(0);
    }
    text
}

fn to_eighths(l: Length) -> i64 {
    (l.inches() * 8.0).round() as i64
}

fn eighths(e: i64) -> String {
    const PART: [&str; 8] = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
    let (whole, part) = (e / 8, PART[(e % 8) as usize]);
    if whole == 0 && !part.is_empty() {
        part.to_owned()
    } else {
        format!("{whole}{part}")
    }
}

fn feet_inches(l: Length) -> String {
    let total = to_eighths(l.abs());
    let sign = if l.mm() < 0.0 && total > 0 { "-" } else { "" };
    // Beside feet a bare fraction gets its nought: 2′-0¾″.
    let inches = total % 96;
    let nought = if (1..8).contains(&inches) { "0" } else { "" };
    format!("{sign}{}′-{nought}{}″", total / 96, eighths(inches))
}

/// `1/4` for a quarter, `3/16`, else a decimal.
fn plain_fraction(value: f64) -> String {
    for den in [1i64, 2, 4, 8, 16] {
        let num = (value * den as f64).round() as i64;
        if (num as f64 / den as f64 - value).abs() < 1e-6 {
            let (whole, rest) = (num / den, num % den);
            return match (whole, rest) {
                (w, 0) => w.to_string(),
                (0, r) => format!("{r}/{den}"),
                (w, r) => format!("{w} {r}/{den}"),
            };
        }
    }
    number(value, 3, false)
}

/// Sixteenths of an inch in a foot, as falls are lettered; printed for every drain, several times.
const FALLS: [&str; 9] = [
    "0″/ft",
    "1/16″/ft",
    "⅛″/ft",
    "3/16″/ft",
    "¼″/ft",
    "5/16″/ft",
    "⅜″/ft",
    "7/16″/ft",
    "½″/ft",
];

fn feet_fall(f: Fall) -> String {
    let sixteenths = f.inches_per_foot() * 16.0;
    let whole = sixteenths.round();
    let listed = (0.0..FALLS.len() as f64).contains(&whole) && (whole - sixteenths).abs() < 1e-6;
    match FALLS.get(whole as usize).filter(|_| listed) {
        Some(words) => (*words).to_owned(),
        None => format!("{}″/ft", glyphs(&plain_fraction(f.inches_per_foot()))),
    }
}

/// Fractions as single glyphs: `1 1/2` becomes `1½`. Sixteenths stay in plain figures.
fn glyphs(plain: &str) -> String {
    if !plain.contains('/') {
        return plain.to_owned();
    }
    let mut text = plain.to_owned();
    for (from, to) in [
        ("1/2", "½"),
        ("1/4", "¼"),
        ("3/4", "¾"),
        ("1/8", "⅛"),
        ("3/8", "⅜"),
        ("5/8", "⅝"),
        ("7/8", "⅞"),
    ] {
        if let Some(head) = text.strip_suffix(from) {
            text = format!("{}{to}", head.trim_end());
            break;
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    const FEET: Printer = Printer {
        units: UnitSystem::Feet,
    };
    const METRIC: Printer = Printer {
        units: UnitSystem::Metric,
    };

    #[test]
    fn prints_as_the_trade_writes() {
        assert_eq!(FEET.length(Length::from_inches(148.5)), "12′-4½″");
        assert_eq!(FEET.level(Length::from_inches(-128.0)), "-10′-8″");
        assert_eq!(FEET.level(Length::from_inches(-0.01)), "0′-0″");
        assert_eq!(FEET.level(Length::from_inches(-24.75)), "-2′-0¾″");
        assert_eq!(FEET.short(Length::from_inches(0.25)), "¼″");
        assert_eq!(FEET.fall(Fall::from_inches_per_foot(0.25)), "¼″/ft");
        for n in 0..40 {
            let fall = Fall::from_inches_per_foot(f64::from(n) / 32.0);
            let wanted = glyphs(&FEET.fall_plain(fall)) + "″/ft";
            assert_eq!(FEET.fall(fall), wanted);
        }
        assert_eq!(
            FEET.fall_plain(Fall::from_inches_per_foot(3.0 / 16.0)),
            "3/16"
        );
        assert_eq!(METRIC.fall_plain(Fall::from_percent(2.0)), "2%");
        assert_eq!(METRIC.level(Length::from_mm(-3251.0)), "-3.251");
        let one_and_half = PipeSize::from_inches(1.5).expect("a size of the list");
        assert_eq!(FEET.size(one_and_half), "1½″");
        for size in PipeSize::all() {
            assert_eq!(FEET.size(size), glyphs(size.trade_name()) + "″");
        }
        assert_eq!(METRIC.size(one_and_half), "DN 40");
        assert_eq!(FEET.pressure(Pressure::from_psi(5.0)), "5 psi");
        assert_eq!(METRIC.pressure(Pressure::from_psi(5.0)), "34.5 kPa");
        assert_eq!(number(-0.001, 2, false), "0");
        assert_eq!(number(-0.0, 2, false), "0");
        assert_eq!(number(-12.0, 2, false), "-12");
        assert_eq!(number(12.0, 2, true), "12.00");
        assert_eq!(number(0.5, 2, false), "0.5");
    }
}

//! Reads the rules that are single figures.

use std::ops::Range;

use super::Found;
use super::check::Checker;
use super::found::TableInfo;
use super::number::Number;
use super::raw::{RawTable, RawValue};
use super::rules::{
    AirTest, ArmRules, BuildingVent, CleanoutRules, FlowRules, JoistRules, OffsetRule, ReliefRule,
    SmokeTest, StackRules, TerminalRules, TestRules, TrapRules, VentRule, VentStackRule, WaterTest,
    WetVentRules,
};
use crate::units::{Fall, Length, Load, PipeSize, Pressure};

/// The figures of one table of rules, taken out one by one; what is left over is an error.
pub struct Figures<'c, 'a, 'r> {
    check: &'c mut Checker<'a>,
    pub info: TableInfo,
    rows: Vec<(Range<usize>, &'r RawValue)>,
    whole: Range<usize>,
}

impl<'c, 'a, 'r> Figures<'c, 'a, 'r> {
    pub fn new(
        check: &'c mut Checker<'a>,
        key: &str,
        raw: &'r toml::Spanned<RawTable<RawValue>>,
    ) -> Self {
        let info = check.head(key, raw);
        let rows = raw.get_ref().rows.iter();
        Figures {
            check,
            info,
            rows: rows.map(|r| (r.span(), r.get_ref())).collect(),
            whole: raw.span(),
        }
    }

    /// Takes a figure if it is there; it must have the wanted unit and no other.
    fn take<T>(
        &mut self,
        rule: &str,
        unit: &str,
        read: impl Fn(&mut Checker<'a>, &RawValue, Range<usize>) -> Option<T>,
    ) -> Option<Found<T>> {
        let at = self.rows.iter().position(|(_, r)| r.rule == rule)?;
        let (span, raw) = self.rows.remove(at);
        let units = [
            raw.dfu,
            raw.feet,
            raw.inches,
            raw.metres,
            raw.mm,
            raw.degrees,
            raw.fall,
            raw.diameters,
            raw.sizes,
            raw.count,
            raw.part,
            raw.minutes,
            raw.psi,
        ];
        let others = usize::from(raw.yes.is_some()) + usize::from(raw.size.is_some());
        let given = units.iter().flatten().count() + others;
        let value = read(self.check, raw, span.clone()).filter(|_| given == 1);
        let Some(value) = value else {
            let message = format!("`{rule}` of [{}] is one figure, in {unit}", self.info.key);
            self.check
                .says("B012", "book-row-incomplete", span, message);
            return None;
        };
        for n in units.iter().flatten() {
            self.check.positive(n.0, "a figure", span.clone());
        }
        if raw.section.as_ref().is_some_and(|s| s.trim().is_empty()) {
            let message = format!("`{rule}` of [{}] has no section", self.info.key);
            self.check
                .says("B005", "book-section-missing", span.clone(), message);
        }
        let words = raw.provenance.as_deref();
        let provenance = self.check.provenance(words, self.info.provenance, span);
        let mut found = self.info.found(value, rule, "", provenance);
        if let Some(section) = &raw.section {
            // A figure with a section of its own does not stand in this table.
            found.section.clone_from(section);
            found.table = None;
        }
        Some(found)
    }

    /// A figure that must be there. The stand-in is never seen: the book is refused.
    fn need<T>(&mut self, rule: &str, found: Option<Found<T>>, stand_in: T) -> Found<T> {
        if let Some(found) = found {
            return found;
        }
        let (message, span) = (
            format!("[{}] lacks the rule `{rule}`", self.info.key),
            self.whole.clone(),
        );
        self.check.says("B014", "book-rule-missing", span, message);
        self.info.found(stand_in, rule, "", self.info.provenance)
    }

    pub fn may_length(&mut self, rule: &str) -> Option<Found<Length>> {
        self.take(rule, "feet, inches, metres or mm", |_, r, _| {
            let feet = r.feet.map(|n| Length::from_feet(n.0));
            let inches = r.inches.map(|n| Length::from_inches(n.0));
            let metric = r.metres.map(|n| Length::from_m(n.0));
            let metric = metric.or(r.mm.map(|n| Length::from_mm(n.0)));
            feet.or(inches).or(metric)
        })
    }
    pub fn length(&mut self, rule: &str) -> Found<Length> {
        let found = self.may_length(rule);
        self.need(rule, found, Length::ZERO)
    }
    /// A time, in whole minutes.
    pub fn may_minutes(&mut self, rule: &str) -> Option<Found<u32>> {
        self.take(rule, "minutes", |_, r, _| Self::whole_number(r.minutes))
    }
    pub fn minutes(&mut self, rule: &str) -> Found<u32> {
        let found = self.may_minutes(rule);
        self.need(rule, found, 0)
    }
    pub fn may_pressure(&mut self, rule: &str) -> Option<Found<Pressure>> {
        self.take(rule, "psi", |_, r, _| {
            r.psi.map(|n| Pressure::from_psi(n.0))
        })
    }
    pub fn pressure(&mut self, rule: &str) -> Found<Pressure> {
        let found = self.may_pressure(rule);
        self.need(rule, found, Pressure::default())
    }
    /// A fall, in inches per foot.
    pub fn may_fall(&mut self, rule: &str) -> Option<Found<Fall>> {
        self.take(rule, "a fall", |_, r, _| {
            r.fall.map(|n| Fall::from_inches_per_foot(n.0))
        })
    }
    pub fn may_size(&mut self, rule: &str) -> Option<Found<PipeSize>> {
        self.take(rule, "a pipe size", |check, r, span| {
            r.size.and_then(|n| check.size(n, span))
        })
    }
    pub fn size(&mut self, rule: &str) -> Option<Found<PipeSize>> {
        let found = self.may_size(rule);
        if found.is_none() {
            let message = format!("[{}] lacks the rule `{rule}`", self.info.key);
            let span = self.whole.clone();
            self.check.says("B014", "book-rule-missing", span, message);
        }
        found
    }
    pub fn may_yes(&mut self, rule: &str) -> Option<Found<bool>> {
        self.take(rule, "yes", |_, r, _| r.yes)
    }
    pub fn yes(&mut self, rule: &str) -> Found<bool> {
        let found = self.may_yes(rule);
        self.need(rule, found, false)
    }
    fn whole_number(n: Option<Number>) -> Option<u32> {
        let n = n?.0;
        (n.fract() == 0.0 && (0.0..=10_000.0).contains(&n)).then_some(n as u32)
    }
    pub fn may_count(&mut self, rule: &str) -> Option<Found<u32>> {
        self.take(rule, "a whole count or sizes", |_, r, _| {
            Self::whole_number(r.count).or(Self::whole_number(r.sizes))
        })
    }
    pub fn count(&mut self, rule: &str) -> Found<u32> {
        let found = self.may_count(rule);
        self.need(rule, found, 0)
    }
    pub fn may_plain(&mut self, rule: &str) -> Option<Found<f64>> {
        self.take(rule, "degrees, diameters, a part or a load", |_, r, _| {
            let said = r.degrees.or(r.diameters).or(r.part).or(r.dfu);
            said.map(|n| n.0)
        })
    }
    pub fn plain(&mut self, rule: &str) -> Found<f64> {
        let found = self.may_plain(rule);
        self.need(rule, found, 0.0)
    }

    /// Reports what nobody took: a rule that no code knows would else be silently ignored.
    pub fn done(self) -> TableInfo {
        for (span, row) in self.rows {
            let message = format!("[{}] has no rule called `{}`", self.info.key, row.rule);
            self.check.says("B015", "book-rule-unknown", span, message);
        }
        self.info
    }
}

/// A table of rules in the book file.
pub type Raw = toml::Spanned<RawTable<RawValue>>;

pub fn flow(
    check: &mut Checker,
    flow: Option<&Raw>,
    receptors: &Raw,
) -> (FlowRules, Vec<TableInfo>) {
    let mut infos = Vec::new();
    let per_gpm = flow.map(|raw| {
        let mut f = Figures::new(check, "flow", raw);
        let per_gpm = f.plain("load of 1 gpm");
        infos.push(f.done());
        per_gpm
    });
    let mut f = Figures::new(check, "receptors", receptors);
    let receptor = f.yes("sum, not less than its own");
    let clear_water = f.may_plain("clear water only");
    let info = f.done();
    let rules = FlowRules {
        per_gpm,
        receptor,
        clear_water: clear_water.map(|c| c.map(Load::from_dfu)),
    };
    infos.push(info);
    (rules, infos)
}

pub fn stack(check: &mut Checker, raw: &Raw) -> (StackRules, TableInfo) {
    let mut f = Figures::new(check, "stack", raw);
    let rules = StackRules {
        interval: f.length("branch interval"),
        heel: f.may_plain("branch below the base"),
        discharge: f.may_length("pumped discharge from the base"),
        leave_part: f.may_plain("least part going up"),
    };
    (rules, f.done())
}

pub fn single_size(
    check: &mut Checker,
    key: &str,
    rule: &str,
    raw: &Raw,
) -> Option<(Found<PipeSize>, TableInfo)> {
    let mut f = Figures::new(check, key, raw);
    let size = f.size(rule);
    let info = f.done();
    Some((size?, info))
}

/// The least drain of a closet, and the most closets in a row that are proposed on one branch.
pub fn closets(
    check: &mut Checker,
    raw: &Raw,
) -> Option<(Found<PipeSize>, Option<Found<u32>>, TableInfo)> {
    let mut f = Figures::new(check, "closets", raw);
    let size = f.size("least drain");
    let row = f.may_count("in a row on one branch");
    let info = f.done();
    Some((size?, row, info))
}

pub fn arms(check: &mut Checker, raw: &Raw) -> (ArmRules, TableInfo) {
    let mut f = Figures::new(check, "arm_rules", raw);
    let closet_exempt = f.yes("closets exempt");
    let fall_diameters = f.may_plain("most fall");
    let crown_diameters = f.plain("vent from weir");
    let closet_arm = f.may_length("closet arm, most length");
    let rated_by_trap = f.may_yes("carries what its size is rated at");
    let info = f.done();
    let section = (fall_diameters.as_ref())
        .map_or(&info.section, |f| &f.section)
        .clone();
    let rules = ArmRules {
        closet_arm,
        rated_by_trap,
        info: info.clone(),
        closet_exempt,
        fall_diameters,
        crown_diameters,
        section,
    };
    (rules, info)
}

/// `by_table`: whether the book has a table of vents by load and length, which stands in for the
/// one length over which vents go up in size.
pub fn vents(
    check: &mut Checker,
    raw: &Raw,
    by_table: bool,
) -> Option<(VentRule, Found<Length>, TableInfo)> {
    let mut f = Figures::new(check, "vents", raw);
    let half_of_required = f.plain("part of the required drain");
    let least = f.size("least");
    let least_closet = f.may_size("least for a closet");
    let over = match by_table {
        true => f.may_length("larger over"),
        false => Some(f.length("larger over")),
    };
    let sizes_up = f.count("larger by");
    let together = f.may_plain("vents outdoors together");
    let (together, part) = match together {
        Some(part) => (true, part),
        None => (false, f.plain("building vent")),
    };
    let intervals = f.may_count("vent stack from intervals");
    let storeys = f.may_count("vent stack from storeys");
    let of_own_vents = f.may_yes("single and waste stacks have vent stacks");
    let within = f.may_plain("vent stack from the base within");
    let more = f.may_count("relief vents over");
    let each = f.may_count("relief vent each");
    let head = f.may_length("relief vent above its floor");
    let relief = more.zip(each).zip(head);
    let relief = relief.filter(|((_, each), _)| each.value > 0);
    let offset_from = f.may_count("offset vent from intervals");
    let larger_by = f.may_count("offset without a vent larger by");
    let offset = offset_from.zip(larger_by);
    let offset = offset.map(|(from, larger_by)| OffsetRule { from, larger_by });
    let vent_stack = intervals.or(storeys.clone()).map(|from| VentStackRule {
        by_storeys: storeys.as_ref() == Some(&from),
        from,
        of_own_vents,
        within,
        relief: relief.map(|((over, each), head)| ReliefRule { over, each, head }),
        offset,
    });
    let tie_in = f.length("above flood level rim");
    let info = f.done();
    let rule = VentRule {
        info: info.clone(),
        section: half_of_required.section.clone(),
        half_of_required,
        least: least?,
        least_closet,
        over,
        sizes_up,
        building_vent: BuildingVent {
            section: part.section.clone(),
            part,
            together,
        },
        vent_stack,
    };
    Some((rule, tie_in, info))
}

pub fn wet_vents(check: &mut Checker, raw: &Raw) -> (WetVentRules, TableInfo) {
    let mut f = Figures::new(check, "wet_vent_rules", raw);
    let groups = f.count("bathroom groups");
    let same_floor = f.yes("one floor");
    let bath_group_only = f.yes("bathroom group only");
    let upstream_of_dry_vent = f.count("drains upstream of the dry vent");
    let closet_joins_level = f.yes("closet with the dry vent joins level");
    let emergency_drain_may_carry = f.yes("emergency floor drain carries the dry vent");
    let closet_anywhere = f.yes("closet need not be last");
    let info = f.done();
    let rules = WetVentRules {
        section: info.section.clone(),
        info: info.clone(),
        groups,
        same_floor,
        bath_group_only,
        upstream_of_dry_vent,
        closet_joins_level,
        emergency_drain_may_carry,
        closet_anywhere,
    };
    (rules, info)
}

pub fn cleanouts(check: &mut Checker, raw: &Raw) -> Option<(CleanoutRules, TableInfo)> {
    let mut f = Figures::new(check, "cleanouts", raw);
    let spacing = f.length("spacing");
    let junction_within = f.length("junction within");
    let turn_degrees = f.plain("turns over");
    let turns_added = f.may_yes("turns added up").is_some_and(|f| f.value);
    let turn_reach = f.length("one for turns within");
    let full_size_to = f.size("full size to");
    let least_on_larger = f.size("least on larger");
    let near_to = f.size("smaller clearance to");
    let clearance = f.length("clearance");
    let clearance_larger = f.length("clearance of larger");
    let stack_sizes_less = f.count("stack cleanout smaller by");
    let trap_serves_sizes_more = f.count("trap serves pipe larger by");
    let upper_end = f.may_length("upper end of drains from");
    let base_of_stack = f.yes("base of each stack");
    let island_vent = f.may_yes("island vent");
    let info = f.done();
    let rules = CleanoutRules {
        info: info.clone(),
        spacing,
        junction_within,
        turn_degrees,
        turns_added,
        turn_reach,
        full_size_to: full_size_to?,
        least_on_larger: least_on_larger?,
        near_to: near_to?,
        clearance,
        clearance_larger,
        stack_sizes_less,
        trap_serves_sizes_more,
        upper_end,
        base_of_stack,
        island_vent,
    };
    Some((rules, info))
}

pub fn terminals(check: &mut Checker, raw: &Raw) -> Option<(TerminalRules, TableInfo)> {
    let mut f = Figures::new(check, "terminals", raw);
    let above_roof = f.length("above roof");
    let above_roof_frost = f.may_length("above roof against frost");
    let above_snow = f.yes("above snow");
    let above_walked_roof = f.length("above walked roof");
    let frost = f.size("frost");
    let least = f.may_size("least through the roof");
    let frost_inside = f.length("frost increase inside");
    let from_openings = f.length("from openings");
    let above_openings = f.length("above openings");
    let below_openings = f.may_length("below openings");
    let wall_lot_line = f.may_length("wall: lot line");
    let wall_above_grade = f.may_length("wall: above grade");
    let info = f.done();
    let rules = TerminalRules {
        info: info.clone(),
        above_roof,
        above_roof_frost,
        above_snow,
        above_walked_roof,
        frost: frost?,
        least,
        frost_inside,
        from_openings,
        above_openings,
        below_openings,
        wall_lot_line,
        wall_above_grade,
    };
    Some((rules, info))
}

pub fn traps(check: &mut Checker, raw: &Raw) -> (TrapRules, TableInfo) {
    let mut f = Figures::new(check, "trap_rules", raw);
    let seal_least = f.length("seal, least");
    let seal_most = f.length("seal, most");
    let outlet_to_weir = f.length("outlet to weir");
    let outlet_to_trap = f.may_length("outlet to trap");
    let standpipe_least = f.length("standpipe, least");
    let standpipe_most = f.length("standpipe, most");
    let primer = f.yes("seal kept in floor drains");
    let info = f.done();
    let rules = TrapRules {
        info: info.clone(),
        seal_least,
        seal_most,
        outlet_to_weir,
        outlet_to_trap,
        standpipe_least,
        standpipe_most,
        primer,
    };
    (rules, info)
}

pub fn test(check: &mut Checker, raw: &Raw) -> (TestRules, TableInfo) {
    let mut f = Figures::new(check, "test", raw);
    let rules = TestRules {
        water: WaterTest {
            head: f.length("water, head"),
            over_fittings: f.yes("water, head over the highest fitting"),
            stands: f.may_minutes("water, stands full before"),
            held: f.minutes("water, held"),
            added: f.may_length("water, added over the inside"),
            whole: f.may_yes("water, the whole at once"),
        },
        air: AirTest {
            pressure: f.pressure("air, pressure"),
            settles: f.may_minutes("air, settling"),
            drop: f.may_pressure("air, drop allowed"),
            held: f.minutes("air, held"),
            on_plastic: f.yes("air, on plastic pipe"),
        },
        smoke: f
            .may_length("smoke, column of water")
            .map(|column| SmokeTest {
                column,
                held: f.minutes("smoke, held"),
            }),
    };
    (rules, f.done())
}

/// By how many sizes a sleeve through a foundation wall is larger than its pipe.
pub fn foundations(check: &mut Checker, raw: &Raw) -> (Found<u32>, TableInfo) {
    let mut f = Figures::new(check, "foundations", raw);
    let larger = f.count("sleeve larger by");
    (larger, f.done())
}

pub fn joists(check: &mut Checker, raw: &Raw) -> (JoistRules, TableInfo) {
    let mut f = Figures::new(check, "joists", raw);
    let rules = JoistRules {
        hole: f.plain("hole, part of the depth"),
        edge: f.length("hole from top and bottom"),
        apart: f.length("hole from a hole or notch"),
    };
    (rules, f.done())
}

pub fn backwater(check: &mut Checker, raw: &Raw) -> (Found<bool>, TableInfo) {
    let mut f = Figures::new(check, "backwater", raw);
    let by_floor = f.yes("judged by the floor");
    (by_floor, f.done())
}

//! Hydraulics against the general-purpose package `fluids`: `hydraulics/record.py` wrote down what it
//! computes, and `.ci/run` lets it compute that again.

use stackfall::sizing::hydraulics::{full_flow, manning, stack_flow, terminal_velocity};
use stackfall::units::{Fall, Flow, Length};
use toml::{Table, Value};

use super::flows::part;

/// Our 1.486 is the rounded cube root of the feet in a metre, 1.48592: 5.5e-5 of it.
const DRAINS: f64 = 1e-4;
/// Our 27.8 is rounded: the velocity through the ring of water gives 27.75, 0.18 % less.
const STACKS: f64 = 2.5e-3;

fn recorded() -> Table {
    let path = super::folder().join("hydraulics/hydraulics.toml");
    let text = std::fs::read_to_string(path).expect("what was recorded");
    toml::from_str(&text).expect("a table")
}

fn rows(of: &Table, name: &str) -> Vec<Table> {
    let rows = of.get(name).and_then(Value::as_array).expect("rows");
    let tables = rows.iter().map(|r| r.as_table().expect("a row").clone());
    tables.collect()
}

fn number(row: &Table, key: &str) -> f64 {
    match row.get(key) {
        Some(Value::Float(x)) => *x,
        Some(Value::Integer(x)) => *x as f64,
        other => panic!("{key} is {other:?}"),
    }
}

fn fraction(row: &Table, key: &str) -> f64 {
    let text = row.get(key).and_then(Value::as_str).expect("a fraction");
    part(text).expect("a fraction")
}

/// What the tool has for each recorded number of a row, with its tolerance.
fn ours(name: &str, row: &Table) -> Vec<(&'static str, f64, f64)> {
    let bore = Length::from_inches(number(row, "bore"));
    if name == "stacks" {
        let flow = stack_flow(bore, fraction(row, "part"));
        // At the recorded flow, so that the two formulas are looked at one by one.
        let v = terminal_velocity(Flow::from_gpm(number(row, "flow")), bore);
        return vec![
            ("flow", flow.gpm(), STACKS),
            ("velocity", v.feet_per_second(), 1e-9),
        ];
    }
    let fall = Fall::from_inches_per_foot(fraction(row, "fall"));
    let v = manning(bore, fall, number(row, "n"));
    let full = full_flow(bore, v).gpm();
    vec![
        ("velocity", v.feet_per_second(), DRAINS),
        ("velocity_half", v.feet_per_second(), DRAINS),
        ("full", full, DRAINS),
        ("half", full / 2.0, DRAINS),
    ]
}

/// What differs, and how many numbers were compared.
fn differences(of: &Table) -> (Vec<String>, usize) {
    let (mut wrong, mut compared) = (Vec::new(), 0);
    for name in ["drains", "stacks"] {
        for row in rows(of, name) {
            for (key, value, within) in ours(name, &row) {
                compared += 1;
                let theirs = number(&row, key);
                let off = (value / theirs - 1.0).abs();
                if off.is_nan() || off > within {
                    wrong.push(format!("{key} of {row}: ours is {value}"));
                }
            }
        }
    }
    (wrong, compared)
}

#[test]
fn hydraulics_agree_with_what_another_program_computes() {
    let recorded = recorded();
    assert_eq!(
        recorded.get("package").and_then(Value::as_str),
        Some("fluids")
    );
    assert!(recorded.get("version").is_some_and(Value::is_str));
    let (wrong, compared) = differences(&recorded);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // 12 bores at 4 falls and 4 n with 4 numbers each; 12 bores at 3 parts with 2.
    assert_eq!(compared, 12 * 4 * 4 * 4 + 12 * 3 * 2);
}

/// Each recorded number, half a percent off, is noticed.
#[test]
fn a_number_that_is_off_is_noticed() {
    let mut recorded = recorded();
    for name in ["drains", "stacks"] {
        let count = rows(&recorded, name).len();
        for i in 0..count {
            for (key, _, _) in ours(name, &rows(&recorded, name)[i]) {
                let value = recorded.get_mut(name).and_then(|rows| rows.get_mut(i));
                let value = value.and_then(|row| row.get_mut(key)).expect("a number");
                let right = value.as_float().expect("a number");
                *value = Value::Float(right * 1.005);
                let single = |table: &Table| {
                    let row = Value::Table(rows(table, name)[i].clone());
                    let other = if name == "drains" { "stacks" } else { "drains" };
                    let pair = [(name, vec![row]), (other, Vec::new())];
                    let pair = pair.map(|(n, rows)| (n.to_owned(), Value::Array(rows)));
                    Table::from_iter(pair)
                };
                assert!(
                    !differences(&single(&recorded)).0.is_empty(),
                    "{name} {i}: {key} is not looked at"
                );
                let value = recorded.get_mut(name).and_then(|rows| rows.get_mut(i));
                *value.and_then(|row| row.get_mut(key)).expect("a number") = Value::Float(right);
            }
        }
    }
}

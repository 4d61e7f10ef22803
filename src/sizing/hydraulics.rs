//! What a pipe carries by hydraulics, as a second opinion beside the code's tables: stacks by the
//! annulus of water on their wall, sloping drains by Manning. No size is chosen by it.

use crate::units::{Fall, Flow, Length, Velocity};

/// Flow of a stack whose bore is filled to this part by the water on its wall.
///
/// ```text
/// q = 27.8 · r^(5/3) · d^(8/3)
/// ```
/// `q` US gal/min, `r` part of the bore's area, `d` bore in inches. Holds at terminal velocity; `r`
/// from 1/4, where pressures begin to trouble, to 1/3. NBS Monograph 31 (Wyly and Eaton 1961), from
/// memory. Example: 4 in at 7/24: 143.8 gal/min.
pub fn stack_flow(bore: Length, part: f64) -> Flow {
    let (r, d) = (part.cbrt().powi(5), bore.inches().cbrt().powi(8));
    Flow::from_gpm(27.8 * r * d)
}

/// Velocity at which water falls in a stack once it falls no faster.
///
/// ```text
/// V = 3.0 · (q / d)^0.4
/// ```
/// `V` ft/s, `q` US gal/min, `d` bore in inches. Source as [`stack_flow`]. Example: 4 in at 7/24
/// full: 12.6 ft/s.
pub fn terminal_velocity(flow: Flow, bore: Length) -> Velocity {
    let x = flow.gpm() / bore.inches();
    Velocity::from_feet_per_second(3.0 * fifth_root(x * x))
}

/// Velocity of a round pipe that runs full or half full under its own fall.
///
/// ```text
/// V = 1.486 / n · (D / 4)^(2/3) · S^(1/2)
/// ```
/// `V` ft/s, `n` Manning's roughness, `D` bore in ft, `S` fall as a ratio. Full and half full have
/// the same hydraulic radius, `D / 4`. Example: 4 in at 1/8 in per ft, n 0.013: 2.23 ft/s.
pub fn manning(bore: Length, fall: Fall, n: f64) -> Velocity {
    let radius = bore.feet() / 4.0;
    let v = 1.486 / n * radius.cbrt().powi(2) * fall.ratio().max(0.0).sqrt();
    Velocity::from_feet_per_second(v)
}

/// Flow of a full pipe at this velocity.
pub fn full_flow(bore: Length, v: Velocity) -> Flow {
    /// US gallons in a cubic foot.
    const GALLONS: f64 = 7.480_519_5;
    let area = std::f64::consts::PI / 4.0 * bore.feet().powi(2);
    Flow::from_gpm(v.feet_per_second() * area * GALLONS * 60.0)
}

/// Fifth root by Newton's steps: the same on every machine.
fn fifth_root(x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let mut y = x.max(1.0);
    for _ in 0..200 {
        let next = (4.0 * y + x / y.powi(4)) / 5.0;
        if (next - y).abs() <= 1e-13 * y {
            return next;
        }
        y = next;
    }
    y
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: f64, b: f64, within: f64) {
        assert!((a - b).abs() <= within, "{a} is not {b}");
    }

    /// NBS Monograph 31, from memory (the project's reference of worked examples, A1).
    #[test]
    fn stacks_at_parts_of_their_bore() {
        for (bore, part, gpm) in [
            (2.0, 7.0 / 24.0, 22.6),
            (3.0, 7.0 / 24.0, 66.8),
            (4.0, 7.0 / 24.0, 143.8),
            (6.0, 7.0 / 24.0, 424.0),
            (2.0, 0.25, 17.5),
            (4.0, 0.25, 111.2),
            (3.0, 1.0 / 3.0, 83.4),
            (4.0, 1.0 / 3.0, 179.6),
        ] {
            let q = stack_flow(Length::from_inches(bore), part).gpm();
            close(q, gpm, gpm * 0.006);
        }
        let bore = Length::from_inches(4.0);
        let v = terminal_velocity(stack_flow(bore, 7.0 / 24.0), bore);
        close(v.feet_per_second(), 12.6, 0.05);
    }

    /// House drains at n 0.013 and nominal bores: full flow and velocity (reference of worked
    /// examples, A7 M6, derived there).
    #[test]
    fn drains_by_manning() {
        for (bore, fall, gpm, v) in [
            (3.0, 0.25, 57.0, 2.60),
            (4.0, 0.25, 123.0, 3.15),
            (4.0, 0.125, 87.0, 2.23),
            (6.0, 0.125, 257.0, 2.92),
        ] {
            let bore = Length::from_inches(bore);
            let velocity = manning(bore, Fall::from_inches_per_foot(fall), 0.013);
            close(velocity.feet_per_second(), v, 0.006);
            close(full_flow(bore, velocity).gpm(), gpm, 0.6);
        }
        // 12 in at 0.3 %, n 0.013: full 1.95 cfs, 2.48 ft/s (textbook problem, inputs seen).
        let bore = Length::from_inches(12.0);
        let v = manning(bore, Fall::from_percent(0.3), 0.013);
        close(v.feet_per_second(), 2.48, 0.006);
        close(full_flow(bore, v).gpm() / 448.831, 1.95, 0.006);
    }

    #[test]
    fn fifth_roots() {
        close(fifth_root(32.0), 2.0, 1e-12);
        close(fifth_root(1e-10), 0.01, 1e-12);
        close(fifth_root(0.0), 0.0, 0.0);
    }
}

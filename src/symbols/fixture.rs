//! Which body stands for which kind of fixture.

use super::stand::{Stem, stand};
use super::{Axes, PLAIN, Symbol, trap};
use super::{bathtub, drinking_fountain, floor_drain, indirect, lavatory, shower, sink, urinal};
use super::{washer_box, water_closet};

/// Bodies are drawn to a small measure; this makes them 7 to 9 mm of paper across.
const SCALE: f64 = 1.15;

/// The symbol of a fixture, by its kind in the trade's words or by its tag. A kind that has no
/// drawing of its own is a plain cabinet; [`PLAIN`] is no more than a trap.
pub fn fixture(word: &str, axes: &Axes) -> Symbol {
    let word = word.trim().to_ascii_lowercase();
    let has = |part: &str| word.contains(part);
    let is = |tag: &str| word == tag;
    if is(PLAIN) {
        let trap = trap(axes);
        return Symbol {
            kind: "fixture",
            ..trap
        };
    }
    // The narrower word first: a "clothes washer" is no lavatory for washing.
    let (body, stem) = if has("floor drain") || has("floor sink") || has("hub drain") || is("fd") {
        (floor_drain::body(), Stem::Trap(1.6))
    } else if has("bidet") || is("bd") {
        (water_closet::bidet(), Stem::Trap(0.5))
    } else if has("urinal") || is("ur") {
        (urinal::body(), Stem::Trap(0.8))
    } else if has("closet") || has("toilet") || is("wc") {
        (water_closet::body(), Stem::Bend)
    } else if has("lavator") || has("wash basin") || has("washbasin") || is("lav") {
        (lavatory::body(), Stem::Trap(0.9))
    } else if has("bath") || has("tub") && !has("laundry") && !has("sink") || is("bt") {
        (bathtub::body(), Stem::Trap(0.8))
    } else if has("shower") || is("sh") {
        (shower::body(), Stem::Trap(0.8))
    } else if has("fountain") || has("water cooler") || is("df") {
        (drinking_fountain::body(), Stem::Trap(0.9))
    } else if has("dishwasher") || is("dw") {
        (indirect::dishwasher(), Stem::Trap(0.5))
    } else if has("clothes") || has("washer") || has("standpipe") || is("cw") {
        (washer_box::body(), Stem::Trap(0.8))
    } else if has("laundry") || is("lt") || is("ls") {
        (sink::laundry(), Stem::Trap(0.8))
    } else if has("service") || has("mop") || has("slop") || is("ss") || is("ms") {
        (sink::service(), Stem::Trap(0.8))
    } else if has("bar sink") || has("hand sink") || has("prep") || is("bs") {
        (sink::bar(), Stem::Trap(0.9))
    } else if has("sink") || has("disposer") || is("ks") {
        (sink::kitchen(), Stem::Trap(0.9))
    } else if has("condensate") || has("relief") || has("indirect") || has("heater") || is("cd") {
        (indirect::condensate(), Stem::Bend)
    } else {
        (indirect::cabinet(), Stem::Trap(0.8))
    };
    stand("fixture", axes, body.scaled(SCALE), stem)
}

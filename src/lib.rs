//! stackfall: sizes, levels, checks and draws a building's drains and vents from one short
//! text file. The pipeline is the folder tree; `pipeline` knows the order of the stages.
#![forbid(unsafe_code)]

pub mod assets;
mod at_once;
pub mod captions;
pub mod catalogue;
pub mod cli;
pub mod codebook;
pub mod crew;
pub mod diagnostics;
pub mod drops;
pub mod earlier;
pub mod findings;
pub mod fittings;
pub mod inspection;
pub mod job;
pub mod levels;
pub mod linework;
pub mod network;
pub mod pins;
pub mod pipeline;
pub mod placement;
pub mod profile;
pub mod projection;
pub mod proposals;
pub mod reach;
pub mod result;
pub mod sheets;
pub mod sizing;
pub mod solve;
pub mod standing;
pub mod symbols;
pub mod takeoff;
pub mod typical;
pub mod units;
pub mod water_test;
pub mod why;
pub mod writers;

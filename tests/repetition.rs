//! What is written once and placed many times, taken through stages 1 to 7: it comes out as if all
//! of it had been written by hand.

#[path = "repetition/by_hand.rs"]
mod by_hand;
mod common;
#[path = "repetition/told.rs"]
mod told;
#[path = "repetition/tower.rs"]
mod tower;

//! Stages 4 to 6 on small networks: look-ups by hand, and what holds on any network.

#[path = "sizing/bounds.rs"]
mod bounds;
mod common;
#[path = "sizing/fittings.rs"]
mod fittings;
#[path = "sizing/four_books.rs"]
mod four_books;
#[path = "sizing/houses.rs"]
mod houses;
#[path = "sizing/levels.rs"]
mod levels;
#[path = "sizing/levels_random.rs"]
mod levels_random;
#[path = "sizing/random.rs"]
mod random;
#[path = "sizing/reach.rs"]
mod reach;
#[path = "sizing/room.rs"]
mod room;
#[path = "sizing/small.rs"]
mod small;
#[path = "sizing/tall.rs"]
mod tall;
#[path = "sizing/uniform.rs"]
mod uniform;
#[path = "sizing/vents.rs"]
mod vents;
#[path = "sizing/waste.rs"]
mod waste;
#[path = "sizing/whole.rs"]
mod whole;

//! The writers, on a set made by hand.

#[path = "writers/handmade.rs"]
mod handmade;

#[path = "writers/folder.rs"]
mod folder;
#[path = "writers/pdf.rs"]
mod pdf;
#[path = "writers/png.rs"]
mod png;
#[path = "writers/svg.rs"]
mod svg;
#[path = "writers/temp.rs"]
mod temp;

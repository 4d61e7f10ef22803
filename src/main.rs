//! The `stackfall` command: a thin shell over the library.
#![forbid(unsafe_code)]

fn main() {}

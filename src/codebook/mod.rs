//! Code books: TOML tables with their sections and provenance, and their look-up.

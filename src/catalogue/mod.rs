//! Bores, outside diameters and roughing-in figures, each with its source: neither code nor book.

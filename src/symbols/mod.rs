//! The symbols of the drawing, one file a symbol.

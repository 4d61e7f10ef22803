//! The bundled font and its licence, and the measuring of text set in it.

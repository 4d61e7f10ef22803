//! Stage 12 of 12. In: a [`SheetSet`](crate::sheets::SheetSet) and tables. Out: SVG, PNG, PDF,
//! CSV and JSON. Promises: same input, same bytes.

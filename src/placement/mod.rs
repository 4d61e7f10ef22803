//! Stage 9 of 12. In: captions and symbols. Out: a placement per sheet, in mm of paper, labels
//! included. Promises: nothing touches anything.

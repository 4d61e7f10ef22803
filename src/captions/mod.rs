//! Stage 8 of 12. In: network, sizes, levels, fittings. Out: the words that every pipe, joint
//! and symbol must carry, in each of their forms, measured in the bundled font.

//! Stage 7 of 12. In: everything so far. Out: findings, one rule a file. Promises: every rule
//! ran; waivers are applied; an unused waiver is a finding.

//! Stage 3 of 12. In: the stated [`Network`](crate::network::Network) and the code book. Out: the
//! same network, complete and frozen. Promises: every fixture reaches an exit, every trap has a
//! vent by a method that book and job allow; each proposed part is marked and has its reason.

//! The commands, one file a command.

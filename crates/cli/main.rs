//! The command line of Countermix.
fn main() {}

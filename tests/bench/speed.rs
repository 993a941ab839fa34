//! Prints how fast the program's parts are; ratios within one run, never asserted.

fn main() {}

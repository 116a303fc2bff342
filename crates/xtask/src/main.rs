//! Tasks of the project.
fn main() {}

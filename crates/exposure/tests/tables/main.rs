//! The calculation against published tables, worked cases and its own laws, through the public interface only.
//!
//! Reference tables are CSV files in `tests/data`; their head says where the figures come from, how they were read, and
//! how far a result may be off and why.
//! Marks: `[SEEN]` read in the source named, `[PKG]` printed by the program named, `[CALC]` worked out from a formula
//! whose source is given, `[MEM]` from memory, to be checked against print before it counts as evidence.

mod check;

mod apex;
mod axes;
mod cases;
mod conflicts;
mod corrections;
mod depth;
mod doubts;
mod figures;
mod films;
mod flash;
mod laws;
mod lights;
mod long;
mod meta;
mod meters;
mod parsing;
mod practice;
mod properties;
mod saying;
mod shutters;
mod units;

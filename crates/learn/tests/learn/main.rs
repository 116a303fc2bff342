//! What teaches the trade, against published tables and its own laws, through the public interface only.
//!
//! Marks of the figures: `[SEEN]` read in the source named, `[CALC]` worked out from a formula whose source is given, `[MEM]` from
//! memory, to be checked against print before it counts as evidence, `[OURS]` a model of this project.

mod check;

mod codes;
mod effects;
mod exercises;
mod fingerprints;
mod lessons;
mod luck;
mod records;
mod saying;

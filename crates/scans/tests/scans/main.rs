//! What measures scans, against published tables, synthetic brackets and its own laws, through the public interface only.
//!
//! Marks of the figures: `[SEEN]` read in the source named, `[PKG]` printed by a named package, `[CALC]` worked out from a formula whose
//! source is given, `[MEM]` from memory, to be checked against print before it counts as evidence, `[OURS]` a model of this project.

mod check;
mod made;

mod any;
mod comparing;
mod curves;
mod desk;
mod measuring;
mod records;
mod rolls;
mod sureness;
mod typing;

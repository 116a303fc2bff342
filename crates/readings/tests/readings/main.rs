//! Readings of the light against published tables, files that the tests write themselves, and their own laws, through the
//! public interface only.
//!
//! Reference tables are CSV files in `tests/data`; their head says where the figures come from and how far a result may be off.

mod check;
mod fixture;
mod wrapped;

mod agreeing;
mod containers;
mod courses;
mod doubting;
mod metering;
mod mutated;
mod photos;
mod properties;
mod scene_tables;
mod skies;
mod tonality;
mod toning;
mod typing;

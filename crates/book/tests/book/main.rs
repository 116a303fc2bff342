//! The book from the outside: bag, log, start rating, verdict, keeping, papers.

mod bag;
mod check;
mod fitting;
mod keeping;
mod kit;
mod lining;
mod log;
mod long;
mod merging;
mod papers;
mod rating;
mod starting;
mod undoing;

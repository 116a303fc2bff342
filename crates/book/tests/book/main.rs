//! The book from the outside: bag, log, start rating, verdict, keeping, papers.

mod bag;
mod check;
mod log;
mod rating;
mod starting;

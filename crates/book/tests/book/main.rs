//! The book from the outside: bag, log, start rating, verdict, keeping, papers.

mod bag;
mod cameras;
mod check;
mod copying;
mod correcting;
mod doubting;
mod fitting;
mod keeping;
mod kit;
mod lining;
mod loading;
mod log;
mod long;
mod merging;
mod ordering;
mod pairing;
mod papers;
mod putting;
mod rating;
mod reading_json;
mod really;
mod removing;
mod shelving;
mod starting;
mod testing;
mod undoing;

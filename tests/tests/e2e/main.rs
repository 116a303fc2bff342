//! The built page in a real browser, used as a person uses it.

mod accessibility;
mod bracket;
mod camera;
mod corrections;
mod dials;
mod doubt;
mod film_book;
mod job;
mod keyboard;
mod layout;
mod light;
mod light_corrections;
mod light_readings;
mod light_ways;
mod link;
mod live_camera;
mod offline;
mod pairs;
mod policy;
mod reading;
mod sheets;
mod shoot;
mod sky;
mod storage;
mod themes;
mod update;

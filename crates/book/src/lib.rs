//! The bag, the roll and the verdict: what film there is, what each frame was really shot at, and what follows for the
//! rest of it. Pure: no browser, no clock, no input or output.
//!
//! # Conventions
//!
//! - A difference is [`Stops`](exposure::Stops); positive is **more light on the film**. In records it is a whole number
//!   of twelfths (what was planned) or thousandths (what was worked out) of a stop, and its name says so.
//! - Offset from box speed is log2(box / EI). As-shot EI is `ISO_reading · 2^(EV_set − EV_reading)`, which is
//!   [`Reading::amounts_to`](exposure::Reading::amounts_to), of the reading after the correction of its device
//!   ([`Light::reading`]) and after what else stood between it and the film ([`Correction`]).
//! - Figures are kept as they are engraved ([`Time`], [`Aperture`], [`Speed`]), days as `2026-11-25`.
//! - A plan is never changed: what happened is kept beside it ([`Plan`], [`Shot`]).
//! - A result belongs to a [`Group`] and to no other ([`Group::barrier`]).
//! - Days and times of day arrive as values.
//!
//! # Map
//!
//! [`Film`] [`Storage`] [`Stock`] [`Batch`] [`Group`] [`warnings`] · [`Roll`] [`Scene`] [`Frame`] · [`as_shot`]
//! [`series`] [`stale`] · [`Book`] [`Record`] [`Key`] · [`Edit`] [`Desk`] · [`Rules`] [`Finding`] ·
//! [`start()`] [`start_for`] [`budget`] · [`conclude`] [`findings_of`] [`age_words`] · [`encode`] [`open`] [`export`] [`plan_import`] [`SmallCopy`] ·
//! [`Past`] [`Written`] [`Shelved`] [`Head`] [`Keeper`] ·
//! [`Device`] [`Lens`] [`Correction`] [`Reciprocity`] · [`Lineup`] [`line_up`] · [`serves`] [`Reach`] · [`rows`] [`csv`] [`xmp()`] [`sidecars`] [`zip()`] · [`lab_slip`] [`tape`] ·
//! [`example()`] · [`Error`]
//!
//! # Out of scope
//!
//! Where texts are kept, files, and how anything looks. Formulas of exposure are in the crate `exposure`.

/// The examples of the document are compiled and run as tests.
#[cfg(doctest)]
#[doc = include_str!("../DESIGN.md")]
mod design {}

mod bag;
mod by_key;
mod camera;
mod copies;
mod correction;
mod date;
mod devices;
mod edit;
mod evidence_plot;
mod example;
mod figure;
mod film;
mod film_test;
mod finding;
mod fit;
pub mod json;
mod keep;
mod keeper;
mod kit;
mod lineup;
mod long;
mod merge;
mod order;
mod pairs;
mod papers;
mod past;
mod read;
mod records;
mod removal;
mod roll;
mod series;
mod shelf;
mod start;
mod text;
mod verdict;
mod xmp;
mod zip;

pub use bag::{InBag, Shows, WORTH_SEARCHING, bag, labels};
pub use by_key::ByKey;
pub use camera::{Known, Marks, OfDial, OwnCamera};
pub use copies::{LARGEST_COPY, SmallCopy, bytes_words};
pub use correction::{
    Correction, LONGEST_CORRECTION_NAME, MOST_CORRECTIONS, MOST_EFFECT, MOST_TOGETHER,
};
pub use date::{Date, Expiry, Moment};
pub use devices::devices;
pub use edit::{Desk, Done, Edit, Extra, NewScene, Planned, Run, Slip, Spot, Unlogged};
pub use evidence_plot::{EvidencePlot, PlotMark, PlotRow, evidence_plot};
pub use example::{EXAMPLE, example};
pub use exposure::Refused as Error;
/// What a few scenes that agree can show.
pub use exposure::chance::{by_chance, is_shown, share};
pub use figure::{Aperture, Speed, Time};
pub use film::{Batch, Film, Group, Process, Stock, Storage, process, warnings};
pub use film_test::{FilmTest, LONGEST_CONDITIONS, MOST_STEPS, TestBy, TestStep, tests_of};
pub use finding::{Evidence, Finding, Limits, Rules, Sureness};
pub use fit::{HandLimit, Reach, Serves, reach_of, serves};
pub use keep::{
    AFTER_COPIES, Import, Opened, Reader, VERSION, encode, export, export_all,
    export_before_copies, open, plan_import,
};
pub use keeper::{Heard, Keeper, Step};
pub use kit::{Device, DeviceSteps, LONGEST_FOCAL, Lens, MOST_CORRECTION};
pub use lineup::{
    Compared, Lineup, Place, anchored, by_names, carried, compared, line_up, lying, names, runs,
    turned,
};
pub use long::Reciprocity;
pub use order::{Against, against_log, verdicts_against_log};
pub use pairs::{Pair, PairedOffsets, Round, next_pair, pair_wins, paired_offsets};
pub use papers::{CSV_HEAD, Row, csv, lab_slip, rows, slip_caution, tape};
pub use past::Past;
pub use records::{Aside, Book, Key, Kind, Record};
pub use removal::would_remove;
pub use roll::{
    Development, Fate, Frame, Grade, Light, Loading, MOST_FRAMES, Plan, Roll, SPARE_FRAMES, Scans,
    Scene, Setting, Shot, State, Tick, Verdict,
};
pub use series::{
    AsShot, Held, Missing, Series, as_planned, as_set, as_shot, count_words, frame_words,
    last_frames, light_of, meter_words, no_evidence, series, stale,
};
pub use shelf::{Head, Shelved, Taken, Written, unread_words};
pub use start::{
    Budget, Question, RuleSays, RuleValue, Source, Start, Unit, budget, rating_for, start,
    start_for,
};
pub use text::hash;
pub use verdict::{
    Conclusion, Suggestion, age_words, comparing_order, conclude, findings_elsewhere, findings_of,
    scans_words, telling_frame,
};
pub use xmp::{sidecars, xmp};
pub use zip::zip;

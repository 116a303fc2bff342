//! What the forms of corrections come to: typed text in, sentences and a change of the dial's setting out.
//!
//! The numbers are worked out in [`exposure`]; here they are put into words and tied to the setting at hand.
//!
//! ```
//! use panel::{State, correct};
//!
//! let state = State::default();
//! let worked = correct::filter(&state, "factor", "8", "").unwrap();
//! assert!(worked.says[0].starts_with("Factor 8: 3 stops"));
//! let state = state.with(&worked.change.unwrap()).unwrap();
//! assert_eq!(state.lines()[0].name(), "Filter, factor 8");
//! ```

mod drawn;
mod flash;

use book::Device;
use exposure::{
    Asked, Circle, Control, DepthOfField, Effect, FORMATS, Format, KINDS, LongRule, LongTimes,
    Mark, PUBLISHED_LONG, Scale, Steps, Stops,
    extension::Extension,
    filter::{Filter, Given, PUBLISHED},
    meter,
    range::{self, Range},
    shutter::{self, Timings, Tolerance, VideoTime},
    transmission::Transmission,
    words,
};

pub use self::flash::{BRACKETS, FlashForm, POWERS, STEPS, flash, powers};
use crate::{
    derive::capital,
    drawn::Drawn,
    intent::{Intent, Refusal},
    light::{Change, Depth, LONGEST_NAME, Line, LineKind, Long},
    state::State,
};

/// What a form comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// What was worked out, a sentence or a row each.
    pub says: Vec<String>,
    /// What can be drawn of it.
    pub drawn: Drawn,
    /// What the dial can take over; none where there is nothing to take.
    pub change: Option<Change>,
}

const fn worked(says: Vec<String>, change: Option<Change>) -> Worked {
    seen(says, Drawn::Nothing, change)
}

/// The same where some of it is drawn.
const fn seen(says: Vec<String>, drawn: Drawn, change: Option<Change>) -> Worked {
    Worked {
        says,
        drawn,
        change,
    }
}

fn same_figure(a: &Mark, b: &Mark) -> bool {
    a.engraved().to_bits() == b.engraved().to_bits()
}

/// Why a form comes to nothing yet. Fields go by the ids that the page gives them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotYet {
    /// A field that is needed is still empty: no mistake, and nothing to complain of.
    Empty {
        /// The field.
        field: &'static str,
        /// What belongs there: `a guide number`.
        what: &'static str,
    },
    /// What a field holds cannot be taken, alone or beside the others.
    Wrong {
        /// The field; empty where it is about no single one.
        field: &'static str,
        /// Why.
        sentence: String,
    },
}

impl NotYet {
    /// Why what a field holds cannot be taken; empty where nothing is wrong with it.
    #[must_use]
    pub fn wrong_at(&self, at: &str) -> &str {
        match self {
            Self::Wrong { field, sentence } if *field == at => sentence,
            _ => "",
        }
    }

    /// What is waited for, in a quiet sentence; empty where something is wrong.
    #[must_use]
    pub fn waits(&self) -> String {
        match self {
            Self::Empty { what, .. } => format!("Still to be typed: {what}."),
            Self::Wrong { .. } => String::new(),
        }
    }
}

/// What a form comes to, or why not.
pub type Answer = Result<Worked, NotYet>;

/// A choice of a form: its key and its words.
pub type Row = (String, String);

fn wrong<T>(field: &'static str, sentence: &str) -> Result<T, NotYet> {
    Err(NotYet::Wrong {
        field,
        sentence: sentence.to_owned(),
    })
}

/// Says at which field something was refused.
trait At<T> {
    fn at(self, field: &'static str) -> Result<T, NotYet>;
}

impl<T, E: Into<Refusal>> At<T> for Result<T, E> {
    fn at(self, field: &'static str) -> Result<T, NotYet> {
        self.map_err(|error| NotYet::Wrong {
            field,
            sentence: error.into().sentence,
        })
    }
}

/// What a field holds, read; an empty one is waited for.
fn read<T, E: Into<Refusal>>(
    field: &'static str,
    what: &'static str,
    text: &str,
    read: impl FnOnce(&str) -> Result<T, E>,
) -> Result<T, NotYet> {
    if text.trim().is_empty() {
        return Err(NotYet::Empty { field, what });
    }
    read(text).at(field)
}

/// Two fields at once, so that what is wrong in one is said though the other is still empty.
fn both<A, B>(a: Result<A, NotYet>, b: Result<B, NotYet>) -> Result<(A, B), NotYet> {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok((a, b)),
        (Err(NotYet::Empty { .. }), Err(wrong @ NotYet::Wrong { .. })) => Err(wrong),
        (Err(not_yet), _) | (_, Err(not_yet)) => Err(not_yet),
    }
}

fn figure(field: &'static str, what: &'static str, text: &str) -> Result<f64, NotYet> {
    read(field, what, text, |text| words::parse_figure(what, text))
}

/// A length in millimetres within its range.
fn length(
    field: &'static str,
    what: &'static str,
    text: &str,
    range: &Range,
) -> Result<f64, NotYet> {
    read(field, what, text, |text| {
        range.check(words::parse_length(what, text)?)
    })
}

/// A distance in millimetres; none is infinity.
fn distance(field: &'static str, what: &'static str, text: &str) -> Result<Option<f64>, NotYet> {
    read(field, what, text, words::parse_distance)
}

/// A name that no line of this kind has, so that a second filter of the same strength does not take the place of the first.
fn free_name(state: &State, kind: LineKind, name: &str) -> String {
    let taken = |name: &str| {
        state
            .lines()
            .iter()
            .any(|line| line.kind() == kind && line.name() == name)
    };
    let mut free = name.to_owned();
    let mut count = 2;
    while taken(&free) {
        free = format!("{name} ({count})");
        count += 1;
    }
    free
}

/// A typed name and what follows it, cut so that both fit on a line.
fn named(typed: &str, usual: &str, what: &str) -> String {
    let typed = typed.trim();
    let name = if typed.is_empty() { usual } else { typed };
    let room = LONGEST_NAME.saturating_sub(what.chars().count() + 6);
    let name: String = name.chars().take(room).collect();
    format!("{}, {what}", name.trim_end())
}

// ---- Device, and anything else ----

/// A correction by a number of stops; `gives` is `less` where the film gets less light than it should, and `more` where it gets
/// more. For a reading device, what could be set on it instead is said as well, on its `scale`.
///
/// # Errors
///
/// Where the stops were not understood, are none, or too many; where the name is too long; where the scale was not understood.
pub fn by_stops(
    state: &State,
    kind: LineKind,
    name: &str,
    gives: &str,
    stops: &str,
    scale: &IsoScale,
) -> Answer {
    let is_device = kind == LineKind::Device;
    let usual = if is_device {
        "Reading device"
    } else {
        "Something else"
    };
    let size = read(
        "plain-stops",
        "a number of stops",
        stops,
        words::parse_stops,
    )?;
    if size.is_even() {
        return wrong("plain-stops", "No stops are no correction.");
    }
    let effect = if gives == "more" { size } else { -size };
    let name = if name.trim().is_empty() { usual } else { name };
    // The name first, for it is by itself right or wrong, whatever the stops are.
    Line::new(kind, name, Stops::ZERO).at("plain-name")?;
    let line = Line::new(kind, name, effect).at("plain-stops")?;
    let mut says = vec![format!(
        "Without it the film gets {}{}; the dials make up for that.",
        words::difference(effect),
        words::in_brackets(effect)
    )];
    if is_device {
        says.push(set_instead(state, effect, &scale.read()?).words);
        says.push(EITHER_OR.to_owned());
    }
    let change = if is_device {
        Change::Only(line)
    } else {
        Change::Line(line)
    };
    Ok(worked(says, Some(change)))
}

/// One thing is corrected once.
const EITHER_OR: &str = "Either the line or the setting counts, never both: for readings that were taken with that setting, leave the line out.";

/// The kinds of scale that a reading device may have for its sensitivities.
pub const ISO_SCALES: [(&str, &str); 3] = [
    ("thirds", "in third stops, as most have"),
    ("full", "in full stops: 50, 100, 200"),
    ("own", "a list of its own"),
];

/// The sensitivities that a reading device can be set to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct IsoScale {
    /// One of [`ISO_SCALES`]; third stops for any other word.
    pub which: String,
    /// The list of its own, as [`meter::parse`] takes it.
    pub list: String,
}

impl IsoScale {
    fn read(&self) -> Result<Scale, NotYet> {
        match self.which.as_str() {
            "full" => Ok(meter::full_stops()),
            "own" => read(
                "device-iso",
                "the sensitivities that the device has",
                &self.list,
                meter::parse,
            ),
            _ => Ok(Scale::sensitivities()),
        }
    }
}

/// What can be set on a device instead of a line on the ledger.
struct SetInstead {
    words: String,
    /// The mark, and what remains.
    on: Option<meter::OnDevice>,
}

fn set_instead(state: &State, effect: Stops, scale: &Scale) -> SetInstead {
    let stands = state.reading().mark(Control::Sensitivity);
    let on = meter::on_device(effect, stands, scale);
    let stood = words::value(stands);
    let words = match &on {
        None => format!("On the device itself nothing nearer than {stood} can be set."),
        Some(on) => {
            let ends = if on.end.is_some() {
                "Its scale ends there. "
            } else {
                ""
            };
            let rest = if on.rest.is_even() {
                "Its readings are then right by themselves.".to_owned()
            } else {
                format!(
                    "{ends}That leaves {} on the film than there should be.",
                    words::difference(on.rest)
                )
            };
            format!(
                "Or set it on the device: {} instead of {}. {rest} Type them with {stood} all the same.",
                words::value(&on.set),
                words::figure(stands),
            )
        }
    };
    SetInstead { words, on }
}

/// What could be set on the reading device instead of its line that counts on the ledger.
#[derive(Debug, Clone, PartialEq)]
pub struct DeviceLine {
    /// The sentences.
    pub says: Vec<String>,
    /// Leaves the line out, for a device that is set so.
    pub leave_out: Change,
    /// Counts what remains beside the setting, in the place of the line; none where nothing remains.
    pub remains: Option<Change>,
}

/// What could be set on the reading device instead of its line; none where no line of a device counts.
///
/// # Errors
///
/// Where the scale was not understood.
pub fn device_line(state: &State, scale: &IsoScale) -> Result<Option<DeviceLine>, NotYet> {
    let lines = state.lines().iter().enumerate();
    let mut devices = lines.filter(|(_, line)| line.kind() == LineKind::Device && line.on());
    let Some((at, line)) = devices.next() else {
        return Ok(None);
    };
    let [time, aperture, _] = state.set();
    let found = set_instead(state, line.effect().at(&time, &aperture), &scale.read()?);
    let remains = found
        .on
        .filter(|on| !on.rest.is_even())
        .and_then(|on| {
            let what = format!("set to {}", words::value(&on.set));
            Line::new(LineKind::Device, &named(line.name(), "", &what), on.rest).ok()
        })
        .map(Change::Only);
    Ok(Some(DeviceLine {
        says: vec![found.words, EITHER_OR.to_owned()],
        leave_out: Change::Count(at, false),
        remains,
    }))
}

/// A device of the film book's kit that is off.
#[derive(Debug, Clone, PartialEq)]
pub struct KitDevice {
    /// What it is and what it is off by.
    pub words: String,
    /// What could be set on it instead, by where the reading on the dial stands.
    pub instead: String,
    /// Counts what it is off by.
    pub change: Change,
}

/// The devices of the film book's kit that are off, each with the change that counts what it is off by.
///
/// ```
/// use book::{Device, DeviceSteps};
/// use panel::{State, correct};
/// let device = Device { correction_twelfths: 4, ..Device::new("old", "Old hand meter", DeviceSteps::Thirds) };
/// let devices = correct::kit_devices(&State::default(), &[device]);
/// let state = State::default().with(&devices[0].change).unwrap();
/// assert!((state.correction().get() + 1.0 / 3.0).abs() < 1e-6);
/// ```
#[must_use]
pub fn kit_devices(state: &State, devices: &[Device]) -> Vec<KitDevice> {
    let off = devices
        .iter()
        .filter(|device| device.correction_twelfths != 0);
    off.filter_map(|device| {
        // What the device asks for too little, the film would get too little.
        let effect = -device.correction();
        let line = Line::new(LineKind::Device, &device.name, effect).ok()?;
        Some(KitDevice {
            words: format!("{}: {}", device.name, device.correction_words()),
            instead: set_instead(state, effect, &Scale::sensitivities()).words,
            change: Change::Only(line),
        })
    })
    .collect()
}

// ---- Filters ----

/// The choices of a filter: its strength typed, or one that was published.
#[must_use]
pub fn filters() -> Vec<Row> {
    let own = [
        ("factor", "By its factor"),
        ("stops", "By its stops"),
        ("density", "By its density"),
    ]
    .map(|(key, words)| (key.to_owned(), words.to_owned()));
    let published = PUBLISHED.iter().map(|row| {
        let strength = Filter::new(row.given)
            .map_or_else(|error| error.to_string(), |filter| words::filter(&filter));
        (row.id.to_owned(), format!("{}: {strength}", row.name))
    });
    own.into_iter().chain(published).collect()
}

/// Whether the strength of a choice of [`filters`] is typed.
#[must_use]
pub fn filter_is_typed(which: &str) -> bool {
    matches!(which, "factor" | "stops" | "density")
}

/// From so many stops on, a filter is dark enough to be taken for an eye protection.
const DARK: Stops = Stops::constant(6.0);

/// A filter by a choice of [`filters`], with its strength where that is typed.
///
/// # Errors
///
/// Where the strength was not understood or is out of range.
pub fn filter(state: &State, which: &str, strength: &str, name: &str) -> Answer {
    const STRENGTH: &str = "filter-strength";
    let published = PUBLISHED.iter().find(|row| row.id == which);
    let given = match (published, which) {
        (Some(row), _) => row.given,
        (None, "stops") => {
            let stops = read(STRENGTH, "a number of stops", strength, words::parse_stops)?;
            Given::Stops(stops.get())
        }
        (None, "density") => Given::Density(figure(STRENGTH, "a density", strength)?),
        (None, _) => Given::Factor(figure(STRENGTH, "a filter factor", strength)?),
    };
    let filter = Filter::new(given).at(STRENGTH)?;
    let what = words::filter(&filter);
    let base = named(name, published.map_or("Filter", |row| row.name), &what);
    let line = Line::new(
        LineKind::Filter,
        &free_name(state, LineKind::Filter, &base),
        filter.effect(),
    )
    .at(STRENGTH)?;
    let needs = match given {
        Given::Stops(_) => String::new(),
        Given::Factor(_) | Given::Density(_) => words::figured(filter.needs()) + ", ",
    };
    let mut says = vec![format!(
        "{}: {needs}{} passes.",
        capital(&what),
        words::factor(filter.effect()),
    )];
    if let Some(row) = published {
        says.push(format!(
            "Published by: {}. The maker's figure, or your own, goes before it.",
            row.source
        ));
    }
    let before: Stops = -state
        .lines()
        .iter()
        .filter(|line| line.kind() == LineKind::Filter && line.on())
        .filter_map(|line| line.effect().fixed())
        .sum::<Stops>();
    // Where lines were made elsewhere, they may together be no filter.
    let together = Filter::new(Given::Stops((before + filter.needs()).get()));
    if let Some(together) = together.ok().filter(|_| !before.is_even()) {
        says.push(format!(
            "With the filters that count already: factor {}, {}.",
            words::figures(together.factor()),
            words::figured(together.needs())
        ));
    }
    if filter.needs() > DARK {
        says.push(
            "Grey filters and strips of film do not protect eyes: never look at the sun through one."
                .to_owned(),
        );
    }
    Ok(worked(says, Some(Change::Line(line))))
}

// ---- Close-up ----

/// Ways to state a close-up.
pub const CLOSE_UPS: [(&str, &str); 5] = [
    ("focus", "By the distance from the lens to the subject"),
    ("magnification", "By the magnification, life size is 1"),
    ("sizes", "By sizes, in the picture and in the subject"),
    ("to_film", "By the whole distance from the lens to the film"),
    ("drawn_out", "By what is drawn out beyond infinity focus"),
];

/// A close-up by one of [`CLOSE_UPS`]: `focal` where a length of the lens is needed, `figure` what was measured, `other` the
/// size of the subject where two sizes are compared.
///
/// # Errors
///
/// Where a figure was not understood or is out of range, alone or beside the focal length.
pub fn close_up(state: &State, how: &str, focal: &str, figure: &str, other: &str) -> Answer {
    let focal = || length("close-focal", "a focal length", focal, &range::FOCAL);
    let near = match how {
        "magnification" => {
            const FIELD: &str = "close-magnification";
            let times = self::figure(FIELD, "a magnification", figure)?;
            Extension::magnified(times).at(FIELD)?
        }
        "sizes" => {
            let size = |field, what, text: &str| {
                read(field, what, text, |text| words::parse_length(what, text))
            };
            let (image, subject) = both(
                size("close-image", "the size in the picture", figure),
                size("close-subject", "the size of the subject", other),
            )?;
            Extension::of_sizes(image, subject).at("close-subject")?
        }
        "to_film" => {
            const FIELD: &str = "close-to-film";
            let what = "the distance from the lens to the film";
            let (focal, whole) = both(
                focal(),
                length(FIELD, what, figure, &exposure::extension::TO_FILM),
            )?;
            Extension::to_film(focal, whole).at(FIELD)?
        }
        "drawn_out" => {
            const FIELD: &str = "close-drawn-out";
            let what = "what the lens is drawn out";
            let (focal, drawn) = both(
                focal(),
                length(FIELD, what, figure, &exposure::extension::DRAWN_OUT),
            )?;
            Extension::beyond_infinity(focal, drawn).at(FIELD)?
        }
        _ => {
            const FIELD: &str = "close-distance";
            match both(
                focal(),
                distance(FIELD, "the distance from the lens to the subject", figure),
            )? {
                (focal, Some(distance)) => Extension::focused(focal, distance).at(FIELD)?,
                (_, None) => return wrong(FIELD, "At infinity nothing is lost."),
            }
        }
    };
    let stop = &state.set()[1];
    let line = Line::new(
        LineKind::CloseUp,
        &format!("Close-up, factor {}", words::figures(near.factor())),
        near.effect(),
    )
    .at("")?;
    let says = vec![
        format!(
            "{}: {}.",
            capital(&words::close_up(&near)),
            words::figured(near.needs())
        ),
        format!(
            "{} then works like {}.",
            words::value(stop),
            words::f_number(near.effective(stop.gives()))
        ),
    ];
    Ok(worked(says, Some(Change::Only(line))))
}

// ---- Lens ----

/// Ways to state what a lens lets pass.
pub const LENSES: [(&str, &str); 3] = [
    ("t_number", "Its T-number"),
    ("by_stop", "Its T-numbers at several stops"),
    ("per_cent", "The share that passes"),
];

/// An f-number as people type it.
fn f_number(field: &'static str, text: &str) -> Result<f64, NotYet> {
    read(field, "an f-number", text, |text| {
        range::APERTURE.check(words::parse_number(Control::Aperture, text)?)
    })
}

/// What a lens lets pass, by one of [`LENSES`]: `t_number` with its f-number, `by_stop` with a list of both, or `per_cent`.
///
/// # Errors
///
/// Where a figure was not understood, is out of range, or is a T-number below its f-number.
pub fn lens(state: &State, how: &str, f_number: &str, figure: &str) -> Answer {
    let bare_t = |text: &str| {
        let bare = text.trim().trim_start_matches(['T', 't']);
        words::parse_figure("a T-number", bare.trim_start_matches('/'))
    };
    match how {
        "t_number" => {
            let (f_number, t_number) = both(
                self::f_number("lens-f", f_number),
                read("lens-t", "a T-number", figure, bare_t),
            )?;
            let lens = Transmission::t_number(f_number, t_number).at("lens-t")?;
            let what = format!(
                "Lens, T/{} at f/{}",
                words::decimal(t_number, 2),
                words::decimal(f_number, 2)
            );
            passes(&lens, &what, "lens-t")
        }
        "by_stop" => {
            let lens = read(
                "lens-stops",
                "f-numbers with their T-numbers",
                figure,
                words::parse_t_numbers,
            )?;
            lens_by_stop(state, lens)
        }
        _ => {
            let lens = read("lens-share", "the share that passes", figure, |text| {
                let bare = text.trim().trim_end_matches('%');
                Transmission::per_cent(words::parse_figure("the share that passes", bare)?)
            })?;
            let what = format!("Lens, {} % passes", words::figures(lens.passes()));
            passes(&lens, &what, "lens-share")
        }
    }
}

fn passes(lens: &Transmission, what: &str, field: &'static str) -> Answer {
    let line = Line::new(LineKind::Lens, what, lens.effect()).at(field)?;
    let says = vec![format!(
        "It takes {}: {} % of the light passes.",
        words::figured(lens.needs()),
        words::figures(lens.passes())
    )];
    Ok(worked(says, Some(Change::Only(line))))
}

/// The apertures of the camera, widest first.
fn apertures(state: &State) -> Vec<Mark> {
    let marks = state.camera().apertures().marks();
    marks.iter().rev().copied().collect()
}

/// A lens with T-numbers at several stops: what it takes at each stop of the camera.
fn lens_by_stop(state: &State, lens: Effect) -> Answer {
    let [time, stop, _] = state.set();
    let row = |stop: &Mark| {
        let (stop, needs) = (words::value(stop), -lens.at(&time, stop));
        if needs.is_even() {
            format!("{stop}: nothing")
        } else {
            format!("{stop}: {}", words::figured(needs))
        }
    };
    let mut says = vec![format!("As the dials stand, {}.", row(&stop))];
    let stops = apertures(state);
    let drawn = drawn::lens(&stops, &time, &lens, says.len());
    says.extend(stops.iter().map(row));
    let line = Line::by(LineKind::Lens, "Lens, by its T-numbers", lens).at("lens-stops")?;
    Ok(seen(says, drawn, Some(Change::Only(line))))
}

// ---- Shutter ----

/// The times of the chosen camera that were measured, each with its error in words, and what can be drawn of them.
#[must_use]
pub fn measured_times(state: &State) -> (Vec<String>, Drawn) {
    let times = state.camera().times();
    let (mut says, mut errors) = (Vec::new(), Vec::new());
    for mark in times.marks().iter().rev() {
        let top = mark == times.darkest();
        let passes = words::tolerance(mark, Tolerance::Repairer, top);
        if let (Some(error), Some(passes)) = (words::shutter_error(mark), passes) {
            says.push(format!("{error}; {passes}."));
            errors.push((*mark, Tolerance::Repairer.limits(mark, top)));
        }
    }
    (says, drawn::errors(&errors, 0))
}

/// What was found of one time of the chosen camera.
struct Measured {
    /// The mark with what was found.
    real: Mark,
    /// What the camera counts for it so far.
    before: Option<f64>,
    /// On how it was measured.
    says: Vec<String>,
    /// Whether it is the camera's fastest.
    top: bool,
}

fn find(
    state: &State,
    mark: &str,
    how: &str,
    figures: &str,
    per_second: &str,
) -> Result<Measured, NotYet> {
    let times = state.camera().times();
    let mark = read("shutter-mark", "the mark on the shutter", mark, |text| {
        let typed = words::parse_number(Control::Time, text)?;
        times
            .labelled(typed)
            .filter(|mark| !mark.by_hand())
            .ok_or_else(|| Refusal {
                sentence: format!(
                    "{} has no such time; it has {}.",
                    state.camera_name(),
                    list_of_times(state, None)
                ),
            })
    });
    let mut says = Vec::new();
    let (mark, seconds, field) = if how == "video" {
        let (pictures, rate) = (
            figure("shutter-pictures", "the number of pictures", figures),
            figure(
                "shutter-rate",
                "the number of pictures per second",
                per_second,
            ),
        );
        let (mark, (pictures, rate)) = both(mark, both(pictures, rate))?;
        shutter::PER_SECOND.check(rate).at("shutter-rate")?;
        let video = VideoTime::new(pictures, rate).at("shutter-pictures")?;
        says.push(match video.between {
            Some([least, most]) => format!(
                "The video cannot tell it from any time between {} and {}.",
                time_words(least),
                time_words(most)
            ),
            None => {
                "One picture tells nothing: the time is too short to be measured so.".to_owned()
            }
        });
        (mark, video.seconds, "shutter-pictures")
    } else {
        let found = read("shutter-times", "what was measured", figures, |text| {
            let found = text
                .split([' ', ';', '\n'])
                .filter(|part| !part.is_empty())
                .map(|part| words::parse_number(Control::Time, part))
                .collect::<Result<Vec<_>, _>>()?;
            Timings::of(&found)
        });
        let (mark, found) = both(mark, found)?;
        if !found.spread().is_even() {
            says.push(format!(
                "The middle one counts; from the shortest to the longest it is {}.",
                words::stops(found.spread())
            ));
        }
        (mark, found.median, "shutter-times")
    };
    Ok(Measured {
        real: mark.measured_as(seconds).at(field)?,
        before: mark.measured(),
        says,
        top: mark == times.darkest(),
    })
}

/// What was found of one time of the chosen camera: `how` is `times` (measurements, several if there are) or `video` (pictures
/// that show the shutter open, and pictures per second).
///
/// # Errors
///
/// Where the camera has no such time, or a figure was not understood or is out of range.
pub fn measured(state: &State, mark: &str, how: &str, figures: &str, per_second: &str) -> Answer {
    let found = find(state, mark, how, figures, per_second)?;
    let real = &found.real;
    // OK to fall back on nothing: it was measured just now.
    let error = shutter::error(real).unwrap_or(Stops::ZERO);
    let mut says = vec![format!(
        "{}.",
        capital(&words::shutter_error(real).unwrap_or_default())
    )];
    says.extend(found.says);
    let limits = Tolerance::ALL.map(|tolerance| (*real, tolerance.limits(real, found.top)));
    let drawn = drawn::errors(&limits, says.len());
    says.extend(Tolerance::ALL.into_iter().filter_map(|tolerance| {
        words::tolerance(real, tolerance, found.top).map(|words| format!("{}.", capital(&words)))
    }));
    if let Some(before) = found.before {
        says.push(format!(
            "The camera counts {} for it already, so that a line on the ledger would count it twice.",
            time_words(before)
        ));
        return Ok(seen(says, drawn, None));
    }
    says.push(
        "On the ledger it counts for this setting's film until it is taken away; in the camera it stays. Both count at this \
         time alone."
            .to_owned(),
    );
    let name = format!(
        "Shutter, {} gives {}",
        words::value(real),
        time_words(real.gives())
    );
    let change = (!error.is_even())
        .then(|| {
            let effect = Effect::AtTime(found.real, error);
            Line::by(LineKind::Shutter, &name, effect).map(Change::Line)
        })
        .transpose()
        .at("shutter-times")?;
    Ok(seen(says, drawn, change))
}

/// The wish that puts what was measured into the camera itself: into one's own, or a copy of a described kind.
///
/// Lines on the ledger for the shutter stay, for they may be about another time.
///
/// # Errors
///
/// As for [`measured`].
pub fn into_camera(
    state: &State,
    mark: &str,
    how: &str,
    figures: &str,
    per_second: &str,
) -> Result<Intent, NotYet> {
    let found = find(state, mark, how, figures, per_second)?;
    let equipment = &state.equipment;
    let described = KINDS.iter().any(|kind| kind.id == equipment.id);
    let mut form = equipment.form.clone();
    form.times = list_of_times(state, Some(&found.real));
    if described {
        form.name = format!("My {}", form.name);
    }
    let id = (!described).then(|| equipment.id.clone());
    Ok(Intent::SaveCamera(id, form))
}

fn time_words(seconds: f64) -> String {
    Mark::new(Control::Time, seconds, Steps::Engraved)
        .map_or_else(|error| error.to_string(), |mark| words::value(&mark))
}

/// The camera's times as a camera's form takes them, one of them measured anew.
fn list_of_times(state: &State, anew: Option<&Mark>) -> String {
    let times = state.camera().times().marks();
    let mut list: Vec<String> = times
        .iter()
        .rev()
        .filter(|mark| !mark.by_hand())
        .map(|mark| {
            let measured = anew
                .filter(|anew| same_figure(anew, mark))
                .unwrap_or(mark)
                .measured();
            match measured {
                Some(seconds) => format!("{}={}", words::value(mark), time_words(seconds)),
                None => words::value(mark),
            }
        })
        .collect();
    if times.iter().any(Mark::by_hand) {
        list.push("B".to_owned());
    }
    list.join(" ")
}

/// What a leaf shutter gives beyond its time at small stops, by a published rule; asked anew for each pair, frame and mark.
///
/// # Errors
///
/// None; an [`Answer`] as the other pages have it.
pub fn leaf(state: &State) -> Answer {
    let [time, stop, _] = state.set();
    let at = format!("{} and {}", words::value(&time), words::value(&stop));
    let now = match shutter::leaf_at_small_stop(&time, &stop) {
        Some(leaf) => format!(
            "At {at}, where the dials stand, it gives {}, by the row of {}.",
            words::difference(leaf.effect),
            words::value(&leaf.row)
        ),
        None => format!("At {at}, where the dials stand, it gives nothing more."),
    };
    let line = Line::by(
        LineKind::Shutter,
        "Leaf shutter at small stops",
        Effect::Leaf,
    )
    .at("")?;
    let says = vec![
        now,
        "From f/16 on: ⅓ stop more light at 1/125, ⅔ stop more at 1/250, 1 stop more at 1/500, by a trade guide of 1979, second \
         hand; what you measured goes before it."
            .to_owned(),
        "On the ledger it counts at each time and stop by itself: for the dials, the pairs and every frame.".to_owned(),
    ];
    Ok(worked(says, Some(Change::Line(line))))
}

// ---- Long times ----

/// The choices of a film's rule of long times: typed, or published.
#[must_use]
pub fn long_rules() -> Vec<Row> {
    let own = [
        ("power", "Exponent on the metered time, 1 or more"),
        ("schwarzschild", "Schwarzschild's exponent, 1 or less"),
        ("added", "Added: share of the time to a power"),
        ("table", "A table, as the film's sheet prints it"),
    ]
    .map(|(key, words)| (key.to_owned(), words.to_owned()));
    let published = PUBLISHED_LONG
        .iter()
        .map(|row| (row.id.to_owned(), row.name.to_owned()));
    own.into_iter().chain(published).collect()
}

/// What is typed for a rule of long times.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LongForm {
    /// One of [`long_rules`].
    pub which: String,
    /// Exponent or share.
    pub figure: String,
    /// Exponent of what is added.
    pub grows: String,
    /// Rows of metered and needed times.
    pub table: String,
    /// The longest time for which nothing is needed.
    pub threshold: String,
    /// Whose figures these are.
    pub name: String,
}

/// Metered times that a rule is shown at, seconds.
const SHOWN: [f64; 9] = [1.0, 2.0, 4.0, 8.0, 15.0, 30.0, 60.0, 120.0, 240.0];

/// A film's rule of long times.
///
/// # Errors
///
/// Where something was not understood, is out of range or contradicts itself.
pub fn long(state: &State, form: &LongForm) -> Answer {
    let published = PUBLISHED_LONG.iter().find(|row| row.id == form.which);
    let film = match published {
        Some(row) => row.long_times().at("")?,
        None => typed_rule(form)?,
    };
    let rule = words::long_times(&film);
    let name = match (form.name.trim(), published) {
        ("", Some(row)) => row.name,
        ("", None) => "Film of your own",
        (typed, _) => typed,
    };
    let mut says = vec![metered_now(state, &film)];
    says.push(format!("{}.", capital(&rule)));
    if let Some(row) = published {
        says.push(format!(
            "Published by: {}. The sheet of your own film goes before it.",
            row.source
        ));
        if !row.note.is_empty() {
            says.push(row.note.to_owned());
        }
    }
    let asked = metered(state);
    says.extend(words::long_caution(state.film_kind(), asked, true).map(ToOwned::to_owned));
    says.extend(SHOWN.iter().map(|seconds| {
        let counted = film.count(*seconds);
        let guess = if counted.guess {
            ", a guess beyond the table"
        } else {
            ""
        };
        format!(
            "Metered {}: count {}, {}{guess}",
            words::to_count(counted.metered),
            words::to_count(counted.needed),
            more_time(counted.more),
        )
    }));
    let drawn = drawn::long(state, &film);
    let long = Long::new(name, film).at("long-name")?;
    Ok(seen(says, drawn, Some(Change::Long(Some(long)))))
}

fn more_time(stops: Stops) -> String {
    if stops.is_even() {
        words::difference(stops)
    } else {
        format!("{} more time", words::stops(stops))
    }
}

/// The time in seconds that the reading asks for at the dials' aperture and rating, not bound to a mark.
fn metered(state: &State) -> f64 {
    let [time, stop, rating] = state.set();
    Asked::new(state.reading(), &state.effects()).time_for(&time, &stop, &rating)
}

fn metered_now(state: &State, film: &LongTimes) -> String {
    let [_, stop, rating] = state.set();
    format!(
        "As the dials stand, {} and EI {}: {}",
        words::value(&stop),
        words::figure(&rating),
        words::bulb(&film.count(metered(state)))
    )
}

fn typed_rule(form: &LongForm) -> Result<LongTimes, NotYet> {
    let threshold = read(
        "long-threshold",
        "the time up to which nothing is needed",
        &form.threshold,
        |text| range::LONG_THRESHOLD.check(words::parse_seconds(text)?),
    );
    // A figure within its range, so that what is wrong is said where it was typed.
    let within = |field, what, text: &str, range: &Range| {
        figure(field, what, text).and_then(|figure| range.check(figure).at(field))
    };
    match form.which.as_str() {
        "schwarzschild" => {
            let what = "Schwarzschild's exponent";
            let exponent = within("long-inverse", what, &form.figure, &range::SCHWARZSCHILD);
            let (exponent, threshold) = both(exponent, threshold)?;
            LongTimes::schwarzschild(exponent, threshold).at("long-inverse")
        }
        "added" => {
            let share = within("long-share", "the share", &form.figure, &range::LONG_SHARE);
            let grows = &range::LONG_ADDED_EXPONENT;
            let grows = within("long-grows", "the exponent", &form.grows, grows);
            let ((share, exponent), threshold) = both(both(share, grows), threshold)?;
            LongTimes::new(LongRule::Added { share, exponent }, threshold).at("long-share")
        }
        "table" => {
            let rows = read(
                "long-table",
                "the table of metered and needed times",
                &form.table,
                words::parse_long_table,
            );
            let (rows, threshold) = both(rows, threshold)?;
            LongTimes::new(LongRule::Table(rows), threshold).at("long-table")
        }
        _ => {
            let what = "the exponent";
            let exponent = within("long-exponent", what, &form.figure, &range::LONG_EXPONENT);
            let (exponent, threshold) = both(exponent, threshold)?;
            LongTimes::power(exponent, threshold).at("long-exponent")
        }
    }
}

// ---- Depth of field ----

/// The sizes of image to choose from.
#[must_use]
pub fn formats() -> Vec<Row> {
    FORMATS
        .iter()
        .map(|format| (format.id.to_owned(), format.name.to_owned()))
        .collect()
}

fn format_of(id: &str) -> Option<&'static Format> {
    FORMATS.iter().find(|format| format.id == id)
}

/// The conventions of the circle of confusion that have a value for a size of image, and one's own.
#[must_use]
pub fn circles(format: &str) -> Vec<Row> {
    let own = ("own".to_owned(), "a value of your own".to_owned());
    format_of(format)
        .into_iter()
        .flat_map(|format| {
            Circle::ALL.into_iter().filter_map(move |circle| {
                let name = circle_name(circle.of(format)?, circle.name());
                Some((circle.id().to_owned(), name))
            })
        })
        .chain([own])
        .collect()
}

fn circle_name(mm: f64, convention: &str) -> String {
    format!("{} mm, {convention}", words::figures(mm))
}

/// Depth of field at the dials' aperture and at every aperture of the camera.
///
/// # Errors
///
/// Where a figure was not understood or is out of range, or the convention has no value for the size of image.
pub fn depth(
    state: &State,
    focal: &str,
    distance: &str,
    format: &str,
    circle: &str,
    own: &str,
) -> Answer {
    let circle = if circle == "own" {
        length("depth-own", "a circle of confusion", own, &range::CIRCLE)
            .map(|mm| (mm, circle_name(mm, "your own value")))
    } else {
        let of = |circle: Circle| Some((circle.of(format_of(format)?)?, circle.name()));
        let found = Circle::ALL
            .into_iter()
            .find(|one| one.id() == circle)
            .and_then(of);
        match found {
            Some((mm, convention)) => Ok((mm, circle_name(mm, convention))),
            None => wrong(
                "depth-circle",
                "This convention has no value for this size of image.",
            ),
        }
    };
    let focal = length("depth-focal", "a focal length", focal, &range::FOCAL);
    let focused = self::distance("depth-distance", "a focus distance", distance);
    let ((circle, name), (focal, focused)) = both(circle, both(focal, focused))?;
    let field = DepthOfField::new(focal, focused, circle).at("depth-distance")?;
    let stop = &state.set()[1];
    let shows = |stop: &Mark| {
        if field.diffraction_shows(stop.gives()) {
            ", but diffraction softens all of it"
        } else {
            ""
        }
    };
    let mut says = vec![
        format!(
            "Focused at {}, {} is {}{}.",
            words::distance(field.distance()),
            words::value(stop),
            words::depth(&field.at(stop.gives())),
            shows(stop)
        ),
        format!(
            "Hyperfocal distance at {}: {}. Focused there, all from half of it to infinity is sharp.",
            words::value(stop),
            words::distance(Some(field.hyperfocal(stop.gives())))
        ),
        format!(
            "Diffraction spreads a point to {} mm there; {name}, is what counts as sharp.",
            words::figures(field.diffraction(stop.gives()))
        ),
    ];
    let stops = apertures(state);
    let set = stops.iter().position(|mark| same_figure(mark, stop));
    let drawn = drawn::depth(&stops, set, &field, says.len());
    says.extend(stops.iter().enumerate().map(|(i, stop)| {
        let as_set = if set == Some(i) { ", as set" } else { "" };
        format!(
            "{}{as_set}: {}{}; hyperfocal {}",
            words::value(stop),
            words::depth(&field.at(stop.gives())),
            shows(stop),
            words::distance(Some(field.hyperfocal(stop.gives())))
        )
    }));
    let depth = Depth::new(field, &name).at("depth-circle")?;
    Ok(seen(says, drawn, Some(Change::Depth(Some(depth)))))
}

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

use exposure::{
    Asked, Circle, Control, DepthOfField, Effect, ExposureIndex, FORMATS, Format, KINDS, LongRule,
    LongTimes, Mark, PUBLISHED_LONG, Steps, Stops,
    extension::Extension,
    filter::{Filter, Given, PUBLISHED},
    flash::{Contact, Flash, POWER_STEPS, PowerStep, Source, Unit},
    shutter::{self, Timings, Tolerance, VideoTime},
    transmission::Transmission,
    words,
};

use crate::{
    derive::capital,
    intent::{Intent, Refusal},
    light::{Change, Depth, LONGEST_NAME, Line, LineKind, Long},
    state::State,
};

/// What a form comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// What was worked out, a sentence or a row each.
    pub says: Vec<String>,
    /// What the dial can take over; none where there is nothing to take.
    pub change: Option<Change>,
}

/// What a form comes to, or why not.
pub type Answer = Result<Worked, Refusal>;

/// A choice of a form: its key and its words.
pub type Row = (String, String);

fn refused<T>(sentence: &str) -> Result<T, Refusal> {
    Err(Refusal {
        sentence: sentence.to_owned(),
    })
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
/// more.
///
/// # Errors
///
/// A sentence, where the stops were not understood, are none, or too many.
pub fn by_stops(kind: LineKind, name: &str, gives: &str, stops: &str) -> Answer {
    let usual = if kind == LineKind::Device {
        "Reading device"
    } else {
        "Something else"
    };
    let size = words::parse_stops(stops)?;
    if size.is_even() {
        return refused("No stops are no correction.");
    }
    let effect = if gives == "more" { size } else { -size };
    let name = if name.trim().is_empty() { usual } else { name };
    Ok(Worked {
        says: vec![format!(
            "Without it the film gets {}{}; the dials make up for that.",
            words::difference(effect),
            words::in_brackets(effect)
        )],
        change: Some(if kind == LineKind::Device {
            Change::Only(Line::new(kind, name, effect)?)
        } else {
            Change::Line(Line::new(kind, name, effect)?)
        }),
    })
}

/// The devices of the film book's kit that are off, in words, each with the change that counts what it is off by.
///
/// Keys and texts are those of the book's records, without the prefix of the storage; what is none of a device, or cannot be
/// read, is left out here: the book reports it.
///
/// ```
/// use panel::{State, correct};
/// let record = r#"{"format":"stopkeeper device","version":1,"record":{"id":"old","name":"Old hand meter","steps":"thirds","correction_twelfths":4}}"#;
/// let devices = correct::kit_devices(&[("device.old".to_owned(), record.to_owned())]);
/// let state = State::default().with(&devices[0].1).unwrap();
/// assert!((state.correction().get() + 1.0 / 3.0).abs() < 1e-6);
/// ```
#[must_use]
pub fn kit_devices(records: &[(String, String)]) -> Vec<(String, Change)> {
    let book = book::open(records).book;
    let off = book
        .devices()
        .filter(|device| device.correction_twelfths != 0);
    off.filter_map(|device| {
        // What the device asks for too little, the film would get too little.
        let line = Line::new(LineKind::Device, &device.name, -device.correction()).ok()?;
        let words = format!("{}: {}", device.name, device.correction_words());
        Some((words, Change::Only(line)))
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
/// A sentence, where the strength was not understood or is out of range.
pub fn filter(state: &State, which: &str, strength: &str, name: &str) -> Answer {
    let published = PUBLISHED.iter().find(|row| row.id == which);
    let given = match (published, which) {
        (Some(row), _) => row.given,
        (None, "stops") => Given::Stops(words::parse_stops(strength)?.get()),
        (None, "density") => Given::Density(words::parse_figure("a density", strength)?),
        (None, _) => Given::Factor(words::parse_figure("a filter factor", strength)?),
    };
    let filter = Filter::new(given)?;
    let what = words::filter(&filter);
    let base = named(name, published.map_or("Filter", |row| row.name), &what);
    let line = Line::new(
        LineKind::Filter,
        &free_name(state, LineKind::Filter, &base),
        filter.effect(),
    )?;
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
    Ok(Worked {
        says,
        change: Some(Change::Line(line)),
    })
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
/// A sentence, where a figure was not understood or is out of range.
pub fn close_up(state: &State, how: &str, focal: &str, figure: &str, other: &str) -> Answer {
    let focal = || words::parse_length("a focal length", focal);
    let near = match how {
        "magnification" => Extension::magnified(words::parse_figure("a magnification", figure)?)?,
        "sizes" => Extension::of_sizes(
            words::parse_length("the size in the picture", figure)?,
            words::parse_length("the size of the subject", other)?,
        )?,
        "to_film" => Extension::to_film(
            focal()?,
            words::parse_length("the distance from the lens to the film", figure)?,
        )?,
        "drawn_out" => Extension::beyond_infinity(
            focal()?,
            words::parse_length("what the lens is drawn out", figure)?,
        )?,
        _ => match words::parse_distance(figure)? {
            Some(distance) => Extension::focused(focal()?, distance)?,
            None => return refused("At infinity nothing is lost."),
        },
    };
    let stop = &state.set()[1];
    let line = Line::new(
        LineKind::CloseUp,
        &format!("Close-up, factor {}", words::figures(near.factor())),
        near.effect(),
    )?;
    Ok(Worked {
        says: vec![
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
        ],
        change: Some(Change::Only(line)),
    })
}

// ---- Lens ----

/// What a lens lets pass: `t_number` with its f-number, or `per_cent`.
///
/// # Errors
///
/// A sentence, where a figure was not understood or is out of range.
pub fn lens(how: &str, f_number: &str, figure: &str) -> Answer {
    let (lens, what) = if how == "t_number" {
        let f_number = words::parse_number(Control::Aperture, f_number)?;
        let bare = figure
            .trim()
            .trim_start_matches(['T', 't'])
            .trim_start_matches('/');
        let t_number = words::parse_figure("a T-number", bare)?;
        (
            Transmission::t_number(f_number, t_number)?,
            format!(
                "Lens, T/{} at f/{}",
                words::decimal(t_number, 2),
                words::decimal(f_number, 2)
            ),
        )
    } else {
        let bare = figure.trim().trim_end_matches('%');
        let lens = Transmission::per_cent(words::parse_figure("the share that passes", bare)?)?;
        let what = format!("Lens, {} % passes", words::figures(lens.passes()));
        (lens, what)
    };
    Ok(Worked {
        says: vec![format!(
            "It takes {}: {} % of the light passes.",
            words::figured(lens.needs()),
            words::figures(lens.passes())
        )],
        change: Some(Change::Only(Line::new(
            LineKind::Lens,
            &what,
            lens.effect(),
        )?)),
    })
}

// ---- Shutter ----

/// The times of the chosen camera that were measured, each with its error in words.
#[must_use]
pub fn measured_times(state: &State) -> Vec<String> {
    let times = state.camera().times();
    times
        .marks()
        .iter()
        .rev()
        .filter_map(|mark| {
            let error = words::shutter_error(mark)?;
            let top = mark == times.darkest();
            let passes = words::tolerance(mark, Tolerance::Repairer, top)?;
            Some(format!("{error}; {passes}."))
        })
        .collect()
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
) -> Result<Measured, Refusal> {
    let times = state.camera().times();
    let typed = words::parse_number(Control::Time, mark)?;
    let Some(mark) = times.labelled(typed).filter(|mark| !mark.by_hand()) else {
        return refused(&format!(
            "{} has no such time; it has {}.",
            state.camera_name(),
            list_of_times(state, None)
        ));
    };
    let mut says = Vec::new();
    let seconds = if how == "video" {
        let video = VideoTime::new(
            words::parse_figure("the number of pictures", figures)?,
            words::parse_figure("the number of pictures per second", per_second)?,
        )?;
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
        video.seconds
    } else {
        let found = figures
            .split([' ', ';', '\n'])
            .filter(|part| !part.is_empty())
            .map(|part| words::parse_number(Control::Time, part))
            .collect::<Result<Vec<_>, _>>()?;
        let found = Timings::of(&found)?;
        if !found.spread().is_even() {
            says.push(format!(
                "The middle one counts; from the shortest to the longest it is {}.",
                words::stops(found.spread())
            ));
        }
        found.median
    };
    Ok(Measured {
        real: mark.measured_as(seconds)?,
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
/// A sentence, where the camera has no such time, or a figure was not understood or is out of range.
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
    says.extend(Tolerance::ALL.into_iter().filter_map(|tolerance| {
        words::tolerance(real, tolerance, found.top).map(|words| format!("{}.", capital(&words)))
    }));
    if let Some(before) = found.before {
        says.push(format!(
            "The camera counts {} for it already, so that a line on the ledger would count it twice.",
            time_words(before)
        ));
        return Ok(Worked { says, change: None });
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
    Ok(Worked {
        says,
        change: (!error.is_even())
            .then(|| {
                let effect = Effect::AtTime(found.real, error);
                Line::by(LineKind::Shutter, &name, effect).map(Change::Line)
            })
            .transpose()?,
    })
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
) -> Result<Intent, Refusal> {
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
                .filter(|anew| anew.engraved().to_bits() == mark.engraved().to_bits())
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
    )?;
    Ok(Worked {
        says: vec![
            now,
            "From f/16 on: ⅓ stop more light at 1/125, ⅔ stop more at 1/250, 1 stop more at 1/500, by a trade guide of 1979, \
             second hand; what you measured goes before it."
                .to_owned(),
            "On the ledger it counts at each time and stop by itself: for the dials, the pairs and every frame.".to_owned(),
        ],
        change: Some(Change::Line(line)),
    })
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
/// A sentence, where something was not understood, is out of range or contradicts itself.
pub fn long(state: &State, form: &LongForm) -> Answer {
    let published = PUBLISHED_LONG.iter().find(|row| row.id == form.which);
    let film = match published {
        Some(row) => row.long_times()?,
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
        let guess = if film.beyond_table(*seconds) {
            ", a guess beyond the table"
        } else {
            ""
        };
        format!(
            "Metered {}: {}, {}{guess}",
            words::to_count(*seconds),
            words::to_give(film.needed(*seconds)),
            more_time(film.stops(*seconds)),
        )
    }));
    Ok(Worked {
        says,
        change: Some(Change::Long(Some(Long::new(name, film)?))),
    })
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
        words::bulb(metered(state), Some(film))
    )
}

fn typed_rule(form: &LongForm) -> Result<LongTimes, Refusal> {
    let threshold = words::parse_seconds(&form.threshold)?;
    Ok(match form.which.as_str() {
        "schwarzschild" => LongTimes::schwarzschild(
            words::parse_figure("Schwarzschild's exponent", &form.figure)?,
            threshold,
        )?,
        "added" => LongTimes::new(
            LongRule::Added {
                share: words::parse_figure("the share", &form.figure)?,
                exponent: words::parse_figure("the exponent", &form.grows)?,
            },
            threshold,
        )?,
        "table" => LongTimes::new(
            LongRule::Table(words::parse_long_table(&form.table)?),
            threshold,
        )?,
        _ => LongTimes::power(
            words::parse_figure("the exponent", &form.figure)?,
            threshold,
        )?,
    })
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
/// A sentence, where a figure was not understood or is out of range, or the convention has no value for the size of image.
pub fn depth(
    state: &State,
    focal: &str,
    distance: &str,
    format: &str,
    circle: &str,
    own: &str,
) -> Answer {
    let (circle, name) = if circle == "own" {
        let mm = words::parse_length("a circle of confusion", own)?;
        (mm, circle_name(mm, "your own value"))
    } else {
        let of = |circle: Circle| Some((circle.of(format_of(format)?)?, circle.name()));
        let found = Circle::ALL
            .into_iter()
            .find(|one| one.id() == circle)
            .and_then(of);
        let Some((mm, convention)) = found else {
            return refused("This convention has no value for this size of image.");
        };
        (mm, circle_name(mm, convention))
    };
    let focal = words::parse_length("a focal length", focal)?;
    let field = DepthOfField::new(focal, words::parse_distance(distance)?, circle)?;
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
    says.extend(state.camera().apertures().marks().iter().rev().map(|stop| {
        format!(
            "{}: {}{}; hyperfocal {}",
            words::value(stop),
            words::depth(&field.at(stop.gives())),
            shows(stop),
            words::distance(Some(field.hyperfocal(stop.gives())))
        )
    }));
    Ok(Worked {
        says,
        change: Some(Change::Depth(Some(Depth::new(field, &name)?))),
    })
}

// ---- Flash ----

/// The shares of the full power to choose from.
#[must_use]
pub fn powers() -> Vec<Row> {
    POWER_STEPS
        .iter()
        .map(|step| (step.label.to_owned(), power_words(step)))
        .collect()
}

fn power_words(step: &PowerStep) -> String {
    let full = step.label == "1";
    if full { "full power" } else { step.label }.to_owned()
}

/// What is typed for a flash.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FlashForm {
    /// The guide number as printed.
    pub guide_number: String,
    /// `feet` or `metres`.
    pub unit: String,
    /// The speed that the number is printed for.
    pub speed: String,
    /// One of [`powers`].
    pub power: String,
    /// How many equal flashes.
    pub flashes: String,
    /// From the flash to the subject.
    pub distance: String,
    /// `alone` or `fill`.
    pub job: String,
    /// Stops that fill stays below the daylight.
    pub below: String,
    /// `leaf_x`, `leaf_m` or `focal_plane`.
    pub contact: String,
    /// The fastest time at which a focal-plane shutter is open, as engraved.
    pub sync: String,
    /// `electronic` or `bulb`.
    pub source: String,
}

/// A flash at the dials' rating: the aperture that it asks for, or what it does as fill at the dials' aperture; and what is
/// wrong with the dials' time.
///
/// # Errors
///
/// A sentence, where a figure was not understood or is out of range.
pub fn flash(state: &State, form: &FlashForm) -> Answer {
    let [time, stop, rating] = state.set();
    let rated = ExposureIndex::new(rating)?;
    let unit = if form.unit == "feet" {
        Unit::Feet
    } else {
        Unit::Metres
    };
    let printed_for = ExposureIndex::new(Mark::parse(
        Control::Sensitivity,
        &form.speed,
        Steps::Third,
    )?)?;
    let number = words::parse_figure("a guide number", &form.guide_number)?;
    let power = POWER_STEPS
        .iter()
        .find(|step| step.label == form.power)
        .map_or(1.0, |step| step.share);
    let full = Flash::new(number, unit, printed_for)?
        .times(words::parse_figure("the number of flashes", &form.flashes)?)?;
    let flash = full.at_power(power)?;
    let Some(distance) = words::parse_distance(&form.distance)? else {
        return refused(
            "A flash does not reach to infinity: type how far it stands from the subject.",
        );
    };
    let metres = distance / 1000.0;
    let contact = match form.contact.as_str() {
        "leaf_m" => Contact::LeafM,
        "focal_plane" => Contact::FocalPlane(Mark::parse(Control::Time, &form.sync, Steps::Full)?),
        _ => Contact::LeafX,
    };
    let source = if form.source == "bulb" {
        Source::Bulb
    } else {
        Source::Electronic
    };
    let ei = words::figure(&rated.mark());
    let mut says = vec![format!(
        "Guide number {} in metres, {} in feet, at EI {ei}.",
        words::figures(flash.guide_number(Unit::Metres, rated)),
        words::figures(flash.guide_number(Unit::Feet, rated))
    )];
    if form.job == "fill" {
        let below = words::parse_stops(&form.below)?;
        says.extend(fill(state, &full, &stop, metres, below, rated)?);
    } else {
        says.extend(alone(state, &flash, metres, rated)?);
    }
    says.extend(
        contact
            .caution(&time, source)
            .map(|caution| format!("The dials stand at {}. {caution}", words::value(&time))),
    );
    Ok(Worked { says, change: None })
}

/// The aperture for a flash alone, exact and as the camera has it.
fn alone(
    state: &State,
    flash: &Flash,
    metres: f64,
    rated: ExposureIndex,
) -> Result<Vec<String>, Refusal> {
    let exact = flash.f_number(metres, rated)?;
    let asked = Mark::new(Control::Aperture, exact, Steps::Engraved)?;
    let apertures = state.camera().apertures();
    let choice = apertures.choose(asked.place(), state.prefer());
    let (asks, set) = (words::f_number(exact), words::value(&choice.mark));
    let rest = if choice.residual.is_even() || asks == set {
        // One figure stands for what is within a fiftieth of a stop.
        String::new()
    } else {
        format!(", {} from the flash", words::difference(choice.residual))
    };
    let at = words::distance(Some(metres * 1000.0));
    Ok(vec![
        format!("At {at} it asks for {asks}: set {set}{rest}."),
        format!(
            "{set} is right at {}.",
            words::distance(Some(flash.distance(choice.mark.gives(), rated)? * 1000.0))
        ),
    ])
}

/// Fill at the dials' aperture.
fn fill(
    state: &State,
    full: &Flash,
    stop: &Mark,
    metres: f64,
    below: Stops,
    rated: ExposureIndex,
) -> Result<Vec<String>, Refusal> {
    let fill = full.fill(stop.gives(), metres, below, rated)?;
    let at = words::distance(Some(metres * 1000.0));
    let power = if (-fill.off).is_more() {
        format!(
            "From {at} it is too weak even at full power: {} than wished.",
            words::difference(fill.off)
        )
    } else if fill.off.is_even() {
        format!("From {at} it is right at full power.")
    } else {
        let (step, rest) = fill.nearest_step();
        let rest = if rest.is_even() {
            String::new()
        } else {
            format!(", which gives {} than wished", words::difference(rest))
        };
        let share = power_words(&step);
        format!(
            "From {at} turn it down by {}: {share}{rest}.",
            words::stops(fill.off)
        )
    };
    let depth = if below.is_even() {
        "as strong as the daylight".to_owned()
    } else {
        format!("{} below the daylight", words::stops(below))
    };
    let lines = state
        .lines()
        .iter()
        .any(|line| line.on() && matches!(line.kind(), LineKind::Filter | LineKind::CloseUp));
    let mut says = vec![
        format!(
            "For fill {depth} at {}: at full power it stands {} from the subject.",
            words::value(stop),
            words::distance(Some(fill.distance * 1000.0))
        ),
        power,
        format!(
            "What both reach gets {} than by daylight alone.",
            words::difference(fill.together)
        ),
    ];
    if lines {
        says.push(
            "Filters and close-ups take the flash's light as well, which is not counted here: stand nearer by as much."
                .to_owned(),
        );
    }
    Ok(says)
}

//! What leaves the page as text: frames as a table, the slip for the lab, tape for a camera.

use exposure::{Stops, words};

use crate::{
    Aperture, Book, Development, Fate, Film, Frame, Plan, Process, Roll, Speed, State, Time,
    as_planned, as_set, as_shot, count_words, findings_of, meter_words, no_evidence, process, text,
};

/// One frame of a roll, every cell in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Name of the roll.
    pub roll: String,
    /// Number on the film; empty for a frame that was left out.
    pub frame: String,
    /// Number and name of the scene.
    pub scene: String,
    /// `picture`, `slate`, `capped` or `nothing planned`.
    pub kind: String,
    /// What became of it.
    pub fate: String,
    /// Time and aperture as planned.
    pub planned: [String; 2],
    /// Offset from the base that was asked for.
    pub wanted: String,
    /// Time and aperture as shot.
    pub shot: [String; 2],
    /// The EI it amounts to.
    pub ei: String,
    /// Offset from the base as shot.
    pub from_base: String,
    /// Offset from box speed as shot.
    pub from_box: String,
    /// The same as a number of stops, for sums: more light is positive.
    pub from_box_stops: String,
    /// Why it is no evidence; empty if it is.
    pub no_evidence: String,
    /// When it was shot.
    pub at: String,
    /// Grade and ticks.
    pub verdict: String,
    /// File name of the scan.
    pub scan: String,
    /// The note.
    pub note: String,
    /// What is counted besides the setting: the correction of the reading device, filters and the like.
    pub corrections: String,
    /// How long it was to be counted where the film needs more than the metered time: `count 37.8 s`.
    pub count: String,
    /// What the meter stood at otherwise than was taken down, and what follows; empty where it stood as taken down.
    pub meter: String,
    /// The light of the scene as the device really showed it, EV at ISO 100 with two decimals; empty where it is not known.
    pub light: String,
    /// How far that light may be off either way, in stops; empty where it is not known.
    pub give_or_take: String,
}

const fn fate_words(roll: &Roll, frame: &Frame) -> &'static str {
    match frame.shot.fate {
        Fate::Waiting if roll.state.is_finished() => "not shot",
        Fate::Waiting => "not shot yet",
        Fate::Taken => "shot",
        Fate::Lost => "lost",
        Fate::Double => "on the same film as the frame before",
        Fate::LeftOut if frame.plan.is_picture() => "left out",
        Fate::LeftOut => "taken out",
    }
}

/// A number of stops with two decimals and an ASCII sign, as tables of figures take it.
fn stops_figure(stops: Stops) -> String {
    words::decimal(stops.get(), 2).replace('\u{2212}', "-")
}

/// The frames of a roll in the order of shooting, every cell in words.
#[must_use]
pub fn rows(book: &Book, roll: &Roll) -> Vec<Row> {
    let box_speed = book.stock_of(roll).map(|stock| stock.box_speed);
    // Where a figure stands for two things in one log, each says which.
    let settings = || {
        let frames = roll.frames.iter();
        frames.flat_map(|frame| {
            let planned = match &frame.plan {
                Plan::Picture { set, .. } => Some(*set),
                _ => None,
            };
            planned.into_iter().chain(as_set(frame))
        })
    };
    let times: Vec<Time> = settings().map(|set| set.time).collect();
    let apertures: Vec<Aperture> = settings().map(|set| set.aperture).collect();
    roll.numbered()
        .into_iter()
        .enumerate()
        .map(|(place, (number, frame))| {
            let shot = as_shot(roll, frame);
            let setting = |set: Option<crate::Setting>| {
                set.map_or_else(
                    || [String::new(), String::new()],
                    |set| {
                        [
                            set.time.listed_among(&times),
                            set.aperture.listed_among(&apertures),
                        ]
                    },
                )
            };
            let in_scene = frame.plan.scene().and_then(|scene| roll.scene(scene));
            let scene = in_scene.map_or_else(String::new, |scene| {
                let words = format!("{} {}", scene.number, scene.name);
                words.trim_end().to_owned()
            });
            let corrections = in_scene.map_or_else(Vec::new, |scene| scene.light.said());
            let (kind, wanted) = match &frame.plan {
                Plan::Picture {
                    more_light_twelfths,
                    ..
                } => (
                    "picture",
                    text::lean(text::from_twelfths(*more_light_twelfths), "the base"),
                ),
                Plan::Slate => ("slate", String::new()),
                Plan::Capped => ("capped", String::new()),
                Plan::Unplanned { .. } => ("picture, not planned", String::new()),
                Plan::Nothing => ("nothing planned", String::new()),
            };
            let from_box = shot
                .zip(box_speed)
                .map(|(shot, speed)| shot.from_box(speed));
            let verdict = frame.verdict.as_ref().map_or_else(String::new, |verdict| {
                let mut parts = vec![verdict.grade.words().to_owned()];
                parts.extend(verdict.ticks.iter().map(|tick| tick.words().to_owned()));
                parts.join("; ")
            });
            Row {
                roll: roll.name.clone(),
                frame: number.map_or_else(String::new, |number| number.to_string()),
                scene,
                kind: kind.to_owned(),
                fate: fate_words(roll, frame).to_owned(),
                planned: setting(as_planned(roll, frame).map(|planned| planned.set)),
                wanted,
                shot: setting(as_set(frame)),
                ei: shot.map_or_else(String::new, |shot| shot.ei_words()),
                from_base: shot.map_or_else(String::new, |shot| {
                    text::lean(shot.from_base, "as the base")
                }),
                from_box: from_box
                    .map_or_else(String::new, |offset| text::lean(offset, "box speed")),
                from_box_stops: from_box.map_or_else(String::new, stops_figure),
                no_evidence: no_evidence(roll, place).unwrap_or_default().to_owned(),
                at: frame.shot.at.map_or_else(String::new, crate::Moment::text),
                verdict,
                scan: frame.scan.clone(),
                note: frame.shot.note.clone(),
                corrections: corrections.join("; "),
                count: count_words(roll, frame),
                meter: meter_words(roll, frame).unwrap_or_default(),
                light: shot.map_or_else(String::new, |shot| {
                    words::decimal(shot.light.get(), 2).replace('\u{2212}', "-")
                }),
                give_or_take: shot
                    .and_then(|shot| shot.doubt)
                    .map_or_else(String::new, |doubt| {
                        words::decimal(doubt.half_width().get(), 3)
                    }),
            }
        })
        .collect()
}

/// The head of the table of [`csv`].
pub const CSV_HEAD: [&str; 41] = [
    "roll",
    "frame",
    "scene",
    "kind",
    "fate",
    "planned time",
    "planned aperture",
    "planned offset from base",
    "time as shot",
    "aperture as shot",
    "EI as shot",
    "offset from base as shot",
    "offset from box speed as shot",
    "stops more light than box speed (negative is less light)",
    "no evidence because",
    "shot at",
    "verdict",
    "scan",
    "note",
    "corrections counted",
    "planned time on the film",
    "give or take, of the light and the EI (stops)",
    "meter otherwise than taken down",
    "light of the scene (EV at ISO 100)",
    "group: film",
    "group: batch",
    "group: expiry",
    "group: storage",
    "camera",
    "read with",
    "box speed (ISO)",
    "rating (EI)",
    "EI as shot (number)",
    "planned time (seconds)",
    "planned f-number",
    "time as shot (seconds)",
    "f-number as shot",
    "planned stops more light than the base (negative is less light)",
    "stops more light than the base (negative is less light)",
    "stops more light than the rating (negative is less light)",
    "note of the scene",
];

/// What a row of the table says as numbers, and where the frame belongs, behind the cells in words.
fn figures(book: &Book, roll: &Roll, frame: &Frame) -> [String; 17] {
    let number =
        |number: f64, decimals: u8| words::decimal(number, decimals).replace('\u{2212}', "-");
    let speed = |speed: Option<Speed>| {
        speed.map_or_else(String::new, |speed| {
            let mark = speed.mark();
            let figure = words::standard_speed(&mark).unwrap_or_else(|| mark.exact());
            number(figure, 2)
        })
    };
    let batch = book.batch(&roll.batch);
    let stock = book.stock_of(roll);
    let scene = frame.plan.scene().and_then(|scene| roll.scene(scene));
    let shot = as_shot(roll, frame);
    let planned = as_planned(roll, frame).map(|planned| planned.set);
    let seconds = |set: Option<crate::Setting>| {
        set.map_or_else(String::new, |set| number(set.time.mark().exact(), 6))
    };
    let f_number = |set: Option<crate::Setting>| {
        set.map_or_else(String::new, |set| number(set.aperture.mark().exact(), 2))
    };
    let wanted = match &frame.plan {
        Plan::Picture {
            more_light_twelfths,
            ..
        } => stops_figure(text::from_twelfths(*more_light_twelfths)),
        _ => String::new(),
    };
    let loading = roll.loading_of(frame.id).or(roll.loading());
    [
        stock.map_or_else(String::new, |stock| safe(&stock.name)),
        safe(&roll.batch),
        batch
            .and_then(|batch| batch.expiry)
            .map_or_else(String::new, crate::Expiry::text),
        book.group_of(roll)
            .map_or_else(String::new, |group| group.storage.words().to_owned()),
        loading.map_or_else(String::new, |loading| safe(&loading.camera)),
        scene.map_or_else(String::new, |scene| safe(&scene.light.device)),
        speed(stock.map(|stock| stock.box_speed)),
        speed(
            scene
                .map(|scene| scene.rating)
                .or(loading.map(|loading| loading.rating)),
        ),
        shot.and_then(|shot| shot.ei_number())
            .map_or_else(String::new, |ei| number(ei, 3)),
        seconds(planned),
        f_number(planned),
        seconds(as_set(frame)),
        f_number(as_set(frame)),
        wanted,
        shot.map_or_else(String::new, |shot| stops_figure(shot.from_base)),
        shot.map_or_else(String::new, |shot| stops_figure(shot.from_rating)),
        scene.map_or_else(String::new, |scene| safe(&scene.note)),
    ]
}

/// Beginnings of the names of months, as spreadsheets in some languages know them.
const MONTHS: [&str; 27] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec", "mär",
    "mai", "okt", "dez", "fev", "fév", "avr", "aoû", "déc", "ene", "abr", "ago", "dic", "gen",
    "giu",
];

/// Whether a spreadsheet would take a text for something else: a formula, a date, a time of day or a number.
fn is_taken_otherwise(text: &str) -> bool {
    let begins = text.trim_start().starts_with([
        '=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
    ]);
    if begins || text.starts_with(['\t', '\r', '\n', '\'']) {
        return true;
    }
    let lower = text::in_small(text);
    let mut parts = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|part| !part.is_empty())
        .peekable();
    let is_number = |part: &str| part.starts_with(|c: char| c.is_ascii_digit());
    let is_date = |part: &str| MONTHS.iter().any(|month| part.starts_with(month));
    parts.peek().is_some()
        && lower.contains(|c: char| c.is_ascii_digit())
        && parts.all(|part| is_number(part) || is_date(part) || matches!(part, "am" | "pm"))
}

/// A text that the person typed, such that a spreadsheet takes it for text: with an apostrophe before it where it would be taken
/// for something else, as spreadsheets themselves mark such a text.
fn safe(text: &str) -> String {
    if is_taken_otherwise(text) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// A time in words, with its unit where a spreadsheet would take it for a date: `1/60 s`.
fn time_cell(time: &str) -> String {
    let end = time.find([' ', ',']).unwrap_or(time.len());
    let (figure, rest) = time.split_at(end);
    if figure.contains('/') {
        format!("{figure} s{rest}")
    } else {
        time.to_owned()
    }
}

/// A cell of a table: quoted where it has to be (RFC 4180, section 2, rules 5 to 7).
fn cell(text: &str) -> String {
    let plain = !text.contains([',', '"', '\r', '\n']) && text.trim() == text;
    if plain {
        text.to_owned()
    } else {
        format!("\"{}\"", text.replace('"', "\"\""))
    }
}

/// The frames of rolls as comma-separated values with a head, by RFC 4180: lines end in CR LF, UTF-8 with a byte order mark, by
/// which spreadsheets know it.
///
/// A row is a frame. Numbers stand beside the words, with a decimal point; seconds and f-numbers are exact values of the series,
/// stops are positive for more light. What was typed begins with an apostrophe where a spreadsheet would take it for a formula, a
/// date or a number.
#[must_use]
pub fn csv(book: &Book, rolls: &[&Roll]) -> String {
    let line = |cells: &[&str]| {
        let cells: Vec<String> = cells.iter().map(|text| cell(text)).collect();
        format!("{}\r\n", cells.join(","))
    };
    let mut out = format!("\u{feff}{}", line(&CSV_HEAD));
    for roll in rolls {
        for (row, frame) in rows(book, roll).into_iter().zip(&roll.frames) {
            // The number of a scene without a name is one.
            let is_named = row.scene.contains(' ');
            let scene = if is_named {
                safe(&row.scene)
            } else {
                row.scene
            };
            let words = [
                safe(&row.roll),
                row.frame,
                scene,
                row.kind,
                row.fate,
                time_cell(&row.planned[0]),
                row.planned[1].clone(),
                row.wanted,
                time_cell(&row.shot[0]),
                row.shot[1].clone(),
                row.ei,
                row.from_base,
                row.from_box,
                row.from_box_stops,
                row.no_evidence,
                row.at,
                row.verdict,
                safe(&row.scan),
                safe(&row.note),
                safe(&row.corrections),
                row.count,
                row.give_or_take,
                row.meter,
                row.light,
            ];
            let figures = figures(book, roll, frame);
            let cells: Vec<&str> = words.iter().chain(&figures).map(String::as_str).collect();
            out.push_str(&line(&cells));
        }
    }
    out
}

/// The ratings that the scenes of a roll were meant for; without scenes, that of the loading.
fn ratings(roll: &Roll) -> Vec<Speed> {
    let mut out: Vec<Speed> = Vec::new();
    let meant = roll.scenes.iter().map(|scene| scene.rating);
    let loaded = roll.loading().map(|loading| loading.rating);
    for rating in meant.chain(loaded.filter(|_| roll.scenes.is_empty())) {
        if !out.contains(&rating) {
            out.push(rating);
        }
    }
    out
}

fn thirds(count: u8) -> String {
    words::of_a_stop(text::from_twelfths(i32::from(count) * 4))
}

/// The slip for the lab, one line each, in full words: nothing on it can be taken for a push that is none.
///
/// `development` is what is asked for; the roll's own is taken once it was sent.
#[must_use]
pub fn lab_slip(book: &Book, roll: &Roll, development: Development) -> Vec<String> {
    let stock = book.stock_of(roll);
    let mut out = vec![format!("Roll: {}", roll.name)];
    if let Some(stock) = stock {
        out.push(format!(
            "Film: {}, box speed {}{}",
            stock.film.name(),
            stock.box_speed.shown(),
            if stock.format.is_empty() {
                String::new()
            } else {
                format!(", format {}", stock.format)
            }
        ));
        out.push(match process(&stock.process) {
            Process::Unknown if stock.film == Film::BlackAndWhite => {
                "Process: black and white".to_owned()
            }
            Process::Unknown => "Process: not known. Please ask before you develop.".to_owned(),
            Process::Dead => format!(
                "Process: {}, which is no longer offered as such. Please ask before you develop.",
                stock.process
            ),
            Process::InUse | Process::MotionPicture | Process::Other => {
                format!("Process: {}", stock.process)
            }
        });
        if stock.remjet || process(&stock.process) == Process::MotionPicture {
            out.push("Black remjet backing: has to come off before a standard line.".to_owned());
        }
        let rated: Vec<String> = ratings(roll)
            .iter()
            .map(|rating| rating.rating_words())
            .collect();
        if !rated.is_empty() {
            out.push(format!("Shot at {} on purpose.", text::list(&rated)));
        }
        let doubts = roll.scenes.iter().filter_map(|scene| scene.light.doubt());
        if let Some(doubt) = doubts.max() {
            out.push(format!(
                "The light was not known exactly: density may be off, {}.",
                words::give_or_take(doubt)
            ));
        }
        let speed = stock.box_speed.shown();
        out.push(match development {
            Development::Normal => format!("Develop normally, for {speed}. No push and no pull."),
            Development::PushThirds(count) => format!(
                "Push the development by {}: longer than normal for {speed}, for the film got too little light.",
                thirds(count)
            ),
            Development::PullThirds(count) => format!(
                "Pull the development by {}: shorter than normal for {speed}, for the film got more light.",
                thirds(count)
            ),
        });
    }
    out.push("Scan every frame with one fixed setting for exposure and colour. No correction frame by frame.".to_owned());
    out.push(
        "Keep the order of the film and leave no frame out, also where it is blank, thin or dense."
            .to_owned(),
    );
    out.push("Keep the edge numbers in sight and send the film back.".to_owned());
    let numbered = roll.numbered();
    let with = |wanted: &dyn Fn(&Frame) -> bool| -> Vec<u16> {
        numbered
            .iter()
            .filter(|(_, frame)| wanted(frame))
            .filter_map(|(number, _)| *number)
            .collect()
    };
    let blank = with(&|frame| frame.plan == Plan::Capped || frame.shot.fate == Fate::Lost);
    if !blank.is_empty() {
        out.push(format!(
            "Blank or spoiled, and known to be: {} {}.",
            frames(&blank),
            text::runs(&blank)
        ));
    }
    let slates = with(&|frame| frame.plan == Plan::Slate && frame.shot.fate != Fate::Lost);
    if !slates.is_empty() {
        out.push(format!(
            "Cards with notes, part of the order: {} {}.",
            frames(&slates),
            text::runs(&slates)
        ));
    }
    let mut counted: Vec<String> = Vec::new();
    for words in roll.scenes.iter().flat_map(|scene| {
        let corrections = scene.light.corrections.iter().map(crate::Correction::words);
        let long = scene.light.long_times.iter();
        corrections.chain(long.map(|long| long.words()))
    }) {
        if !counted.contains(&words) {
            counted.push(words);
        }
    }
    if !counted.is_empty() {
        out.push(format!(
            "Counted already when the frames were exposed, nothing to make up for: {}.",
            counted.join("; ")
        ));
    }
    if roll.used() > 0 {
        out.push(format!(
            "On the film: {}.",
            text::counted(roll.used(), "frame")
        ));
    }
    out
}

fn frames(numbers: &[u16]) -> &'static str {
    if numbers.len() == 1 {
        "frame"
    } else {
        "frames"
    }
}

/// What to think over before a slip is handed in, for the person and not for the lab; none if nothing contradicts.
///
/// Film that was rated low on purpose is not to be pulled, and film that got too little light is not helped by a pull.
#[must_use]
pub fn slip_caution(book: &Book, roll: &Roll, development: Development) -> Option<String> {
    let stock = book.stock_of(roll)?;
    let mut offsets: Vec<f64> = roll
        .frames
        .iter()
        .filter(|frame| frame.shot.fate == Fate::Taken)
        .filter_map(|frame| Some(as_shot(roll, frame)?.from_box(stock.box_speed).get()))
        .collect();
    text::rising(&mut offsets);
    let middle = Stops::new(*offsets.get(offsets.len() / 2)?).ok()?;
    let got = text::lean(middle, "box speed");
    match development {
        Development::PushThirds(_) if !middle.is_less() => Some(format!(
            "Half of the frames got {got} or more, counted from box speed. A push adds density and fog on top; it is for film \
             that got too little light."
        )),
        Development::PullThirds(_) if !middle.is_more() => Some(format!(
            "Half of the frames got {got} or less, counted from box speed. A pull takes density away from film that has too \
             little."
        )),
        Development::Normal if (middle + Stops::constant(1.0)).is_less() => Some(format!(
            "Half of the frames got {got} or less, counted from box speed. Ask the lab about a push; on old film the fog \
             rises with it."
        )),
        _ => None,
    }
}

/// Text for a strip of tape, a few short lines, to print or copy.
///
/// A loaded roll says what it is rated at; one in the bag says what it is to be rated at, where that was found for its group.
#[must_use]
pub fn tape(book: &Book, roll: &Roll) -> Vec<String> {
    let mut out = vec![roll.name.clone()];
    if let Some(stock) = book.stock_of(roll) {
        out.push(format!(
            "{}, box speed {}",
            stock.film.name(),
            stock.box_speed.shown()
        ));
    }
    let rating = match (roll.state, roll.loading()) {
        (State::InBag, _) | (_, None) => book.group_of(roll).and_then(|group| {
            let found = findings_of(book, &group);
            Some(format!("RATE AT {}", found.last()?.rating_words()))
        }),
        (_, Some(loading)) => Some(format!("RATED {}", loading.rating.rating_words())),
    };
    out.extend(rating);
    out.push(match roll.development {
        Development::Normal => "DEVELOP NORMALLY".to_owned(),
        Development::PushThirds(count) => format!("PUSH DEVELOPMENT {}", thirds(count)),
        Development::PullThirds(count) => format!("PULL DEVELOPMENT {}", thirds(count)),
    });
    out.extend(match (roll.state, roll.loading()) {
        (State::InBag, _) | (_, None) => None,
        (State::Loaded, Some(loading)) => Some(format!(
            "{} frames, in the {} since {}",
            roll.exposures,
            loading.camera,
            loading.since.text()
        )),
        (State::PartShot, _) => Some(format!(
            "PART SHOT: LOAD AT FRAME {} OR BEYOND, of {}",
            roll.film_number(),
            roll.exposures
        )),
        (State::Exposed | State::AtLab | State::Back, Some(loading)) => Some(format!(
            "{} frames, shot in the {}",
            roll.exposures, loading.camera
        )),
    });
    out
}

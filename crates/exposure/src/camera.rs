use crate::{Control, Error, Mark, Scale, Steps, Stops, range, words};

/// What a camera with its lens can really be set to.
#[derive(Debug, Clone, PartialEq)]
pub struct Camera {
    times: Scale,
    apertures: Scale,
    focal: Option<f64>,
}

impl Camera {
    /// Makes a camera from lists of marks as people type them.
    ///
    /// - `times`: `1 1/2 1/5 1/10 1/25 1/50 1/100 1/250=1/160 B`; `1/250=1/160` is a mark with its measured time; `B` (or
    ///   `T`) adds times counted by hand beyond the slowest mark, whole seconds offered; `1..1/500` is every mark of the series between.
    /// - `apertures`: `3.5 4 5.6 8 11 16`, `2.8..22`, or `4.5-22` for a ring without clicks.
    /// - `steps`: which series its figures belong to besides that of full stops, which they stand for on every camera: f/11
    ///   is 2^3.5 on an old scale too. With [`Steps::Engraved`] there is none, and what is no full stop (1/25, f/6.3) is taken
    ///   as it is engraved.
    /// - `focal`: focal length in millimetres, if known.
    ///
    /// # Errors
    ///
    /// Parse error that names the item that was not understood and what would be, or a range error.
    pub fn parse(
        times: &str,
        apertures: &str,
        steps: Steps,
        focal: Option<f64>,
    ) -> Result<Self, Error> {
        let steps = match steps {
            Steps::Engraved => Steps::Full,
            steps => steps,
        };
        let mut hand = false;
        let clicks = items(times).filter(|item| {
            let bulb = matches!(*item, "B" | "b" | "T" | "t");
            hand |= bulb;
            !bulb
        });
        let mut marks = Vec::new();
        for item in clicks {
            marks.extend(list_item(Control::Time, item, steps)?);
        }
        if marks.is_empty() && !hand {
            return Err(Error::parse(
                "the times are a list such as 1 1/2 1/4 1/8 1/15 1/30 1/60 1/125 B",
            ));
        }
        let times = if hand {
            Scale::with_b(marks)?
        } else {
            Scale::new(Control::Time, marks, false)?
        };

        let mut marks = Vec::new();
        let mut stepless = false;
        for item in items(apertures) {
            match item.split_once(['-', '–']) {
                Some((from, to)) => {
                    stepless = true;
                    marks.extend(run(Control::Aperture, from, to, steps)?);
                }
                None => marks.extend(list_item(Control::Aperture, item, steps)?),
            }
        }
        if marks.is_empty() {
            return Err(Error::parse(
                "the apertures are a list such as 2.8 4 5.6 8 11 16, or 4.5-22 for a ring without clicks",
            ));
        }
        let apertures = Scale::new(Control::Aperture, marks, stepless)?;
        let focal = focal.map(|focal| range::FOCAL.check(focal)).transpose()?;
        Ok(Self {
            times,
            apertures,
            focal,
        })
    }

    /// The times that can be set, those by hand on B included.
    #[must_use]
    pub const fn times(&self) -> &Scale {
        &self.times
    }

    /// The apertures that can be set.
    #[must_use]
    pub const fn apertures(&self) -> &Scale {
        &self.apertures
    }

    /// Focal length in millimetres.
    #[must_use]
    pub const fn focal(&self) -> Option<f64> {
        self.focal
    }

    /// The slowest time that can be held by hand: 1 / focal length in seconds, a rule of thumb (common practice, no
    /// source); 1/60 where the focal length is not known.
    ///
    /// # Errors
    ///
    /// None for a camera made by [`Camera::parse`]: every focal length in range gives a time in range.
    pub fn hand_limit(&self) -> Result<Mark, Error> {
        match self.focal {
            Some(focal) => Mark::new(Control::Time, 1.0 / focal, Steps::Engraved),
            None => Mark::new(Control::Time, 1.0 / 60.0, Steps::Full),
        }
    }
}

/// Items of a list: separated by spaces, semicolons, or commas that are not decimal commas.
fn items(list: &str) -> impl Iterator<Item = &str> {
    list.split(|c: char| c.is_whitespace() || c == ';')
        .flat_map(|word| {
            let word = word.trim_matches(',');
            // One comma between figures is a decimal comma ("5,6"); more of them, or one beside a point, separate items.
            let separates =
                word.matches(',').count() > 1 || word.contains('.') || word.contains('/');
            word.split(move |c| c == ',' && separates)
                .filter(|item| !item.is_empty())
        })
}

fn list_item(control: Control, item: &str, steps: Steps) -> Result<Vec<Mark>, Error> {
    if let Some((from, to)) = item.split_once("..").filter(|(_, to)| !to.starts_with('.')) {
        return run(control, from, to, steps);
    }
    let (engraved, measured) = item
        .split_once('=')
        .map_or((item, None), |(mark, real)| (mark, Some(real)));
    let mark = Mark::parse(control, engraved, steps)?;
    if let (None, Some((one, other))) = (mark.nominal(), engraved.split_once(',')) {
        // 5,6 is a mark with a decimal comma; 8,11 is no mark, but its halves are two.
        let of_series =
            |text| Mark::parse(control, text, steps).is_ok_and(|m| m.nominal().is_some());
        if of_series(one) && of_series(other) && one != other {
            return Err(Error::parse(format!(
                "“{engraved}” may be one mark or two; put a space between marks, or a point into the number"
            )));
        }
    }
    Ok(vec![match measured {
        Some(real) => mark.measured_as(words::parse_number(control, real)?)?,
        None => mark,
    }])
}

/// The two ends of a run and every engraved mark of the series strictly between.
fn run(control: Control, from: &str, to: &str, steps: Steps) -> Result<Vec<Mark>, Error> {
    let (a, b) = (
        Mark::parse(control, from, steps)?,
        Mark::parse(control, to, steps)?,
    );
    let (low, high) = if a.place() < b.place() {
        (a, b)
    } else {
        (b, a)
    };
    // An end that is no mark of the series (f/3.5 as a lens's widest stop) may stand very near one: both would be the same
    // place to a hand, so a mark closer than a small difference to an end is left out.
    let mut marks = vec![a, b];
    let inside = |mark: &Mark| {
        (mark.place() - low.place() - Stops::SMALL).is_more()
            && (high.place() - mark.place() - Stops::SMALL).is_more()
    };
    marks.extend(Scale::series(control, steps, inside).marks());
    Ok(marks)
}

/// A described kind of camera: not a model, but what many cameras of a time had in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kind {
    /// Stable id.
    pub id: &'static str,
    /// Plain name.
    pub name: &'static str,
    /// Times, as [`Camera::parse`] takes them.
    pub times: &'static str,
    /// Apertures, as [`Camera::parse`] takes them.
    pub apertures: &'static str,
    /// How the figures are read.
    pub steps: Steps,
    /// Focal length in millimetres.
    pub focal: f64,
}

/// The described kinds. Invented as typical cases; a user's own camera goes before any of them.
pub const KINDS: &[Kind] = &[
    Kind {
        id: "full-stops",
        name: "Full-stop body, 1 s to 1/1000",
        times: "B 1..1/1000",
        apertures: "2..16",
        steps: Steps::Full,
        focal: 50.0,
    },
    Kind {
        id: "half-click-lens",
        name: "Full-stop times, half-click lens",
        times: "B 1/30 1/60 1/125 1/250 1/500",
        apertures: "3.5 4..22",
        steps: Steps::Half,
        focal: 75.0,
    },
    Kind {
        id: "folder",
        name: "1930s folder, 1 s to 1/250, stepless ring",
        times: "B 1 1/2 1/5 1/10 1/25 1/50 1/100 1/250",
        apertures: "4.5-22",
        steps: Steps::Engraved,
        focal: 105.0,
    },
    Kind {
        id: "continental",
        name: "Older scale, 1 s to 1/200, f/3.5 to f/18",
        times: "B 1 1/2 1/5 1/10 1/25 1/50 1/100 1/200",
        apertures: "3.5 4.5 6.3 9 12.5 18",
        steps: Steps::Engraved,
        focal: 50.0,
    },
    Kind {
        id: "box",
        name: "Box camera, one speed",
        times: "1/50 B",
        apertures: "11 16 22",
        steps: Steps::Engraved,
        focal: 105.0,
    },
    Kind {
        id: "third-stops",
        name: "Third-stop body, 30 s to 1/4000",
        times: "30s..1/4000",
        apertures: "1.8 2..22",
        steps: Steps::Third,
        focal: 50.0,
    },
];

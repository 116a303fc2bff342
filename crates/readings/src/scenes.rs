//! Scenes without a meter: published tables side by side, by the quality of the shadows.
//!
//! The tables disagree on words, so rows are named by shadows and each figure keeps its table.
//!
//! Sources: US Navy NAVEDTRA 14209 (1993), pages 4-21 and 4-22; US Army subcourses SS0507 and SS0508; ANSI PH2.7-1973 and
//! PH2.7-1986 as copied in public; and the rule of thumb with f/16, common practice. All read in public copies.

use exposure::{Axis, Control, Doubt, Ev, Mark, Reading, Steps, Stops};

use crate::{
    Error, Found, LineKind, Method,
    found::{Known, short},
    method::TABLE,
};

/// A published table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Table {
    /// US Navy, NAVEDTRA 14209: stops from f/16 at 1/ISO.
    Navy,
    /// US Army, SS0507 and SS0508: stops from f/16 at 1/ISO.
    Army,
    /// ANSI PH2.7: exposure values.
    Ansi,
    /// The rule of thumb: apertures at 1/ISO.
    Thumb,
}

impl Table {
    /// All of them, in the order in which they stand side by side.
    pub const ALL: [Self; 4] = [Self::Ansi, Self::Army, Self::Navy, Self::Thumb];

    /// Its name, as it is shown.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Navy => "US Navy manual 14209",
            Self::Army => "US Army SS0507 and SS0508",
            Self::Ansi => "ANSI PH2.7",
            Self::Thumb => "rule of thumb with f/16",
        }
    }

    /// Its name where there is little room.
    #[must_use]
    pub const fn short(self) -> &'static str {
        match self {
            Self::Navy => "US Navy",
            Self::Army => "US Army",
            Self::Ansi => "ANSI",
            Self::Thumb => "rule of thumb",
        }
    }

    /// What has to be known of it.
    #[must_use]
    pub const fn about(self) -> &'static str {
        match self {
            Self::Navy => {
                "Photography course of 1993; counts stops from f/16 at 1/ISO, which is EV 14⅔ at ISO 100."
            }
            Self::Army => {
                "Photography courses; count stops from f/16 at 1/ISO. One figure is cut off in the copy that was read and left out."
            }
            Self::Ansi => {
                "Standard of 1973 and 1986, as copied in public; states exposure values at ISO 100."
            }
            Self::Thumb => "Common practice, no source: the aperture at 1/ISO.",
        }
    }
}

/// A kind of daylight, named by its shadows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Shadow {
    /// Bright sun on light sand or snow.
    Snow,
    /// Bright sun, distinct shadows.
    Distinct,
    /// Hazy sun, soft shadows.
    Soft,
    /// A shadow that can hardly be seen; tables say "cloudy bright".
    Faint,
    /// No shadow, the clouds bright; one table says "cloudy".
    Cloudy,
    /// No shadow, heavy clouds; tables say "cloudy dull" or "heavy overcast".
    Overcast,
    /// The subject in the shade of a building or a tree, under open sky.
    OpenShade,
}

impl Shadow {
    /// All of them, brightest first.
    pub const ALL: [Self; 7] = [
        Self::Snow,
        Self::Distinct,
        Self::Soft,
        Self::Faint,
        Self::Cloudy,
        Self::Overcast,
        Self::OpenShade,
    ];

    /// In words.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Snow => "distinct shadows on light sand or snow",
            Self::Distinct => "distinct shadows, bright sun",
            Self::Soft => "soft shadows, hazy sun",
            Self::Faint => "shadows hardly seen, cloudy bright",
            Self::Cloudy => "no shadows, bright clouds",
            Self::Overcast => "no shadows, heavy clouds",
            Self::OpenShade => "open shade under clear sky",
        }
    }

    /// Whether the sun itself reaches the subject, so that its side matters.
    ///
    /// Source: US Army SS0508: no correction for the side when cloudy dull or cloudy bright.
    #[must_use]
    pub const fn is_sunny(self) -> bool {
        matches!(self, Self::Snow | Self::Distinct | Self::Soft)
    }

    /// What a table says of it, as EV at ISO 100; `None` where it says nothing.
    #[must_use]
    pub fn figure(self, table: Table) -> Option<Figure> {
        let stops = |less_light: f64| Figure {
            ev: BASIC - less_light,
            note: "",
        };
        let noted = |less_light: f64, note| Figure {
            ev: BASIC - less_light,
            note,
        };
        let ev = |ev: f64| Figure { ev, note: "" };
        match (table, self) {
            (Table::Navy | Table::Thumb, Self::Snow) => Some(stops(-1.0)),
            (Table::Army, Self::Snow) => Some(noted(
                -1.0,
                "SS0507: half the basic exposure; SS0508 calls the same light only half a stop more",
            )),
            (Table::Navy | Table::Army | Table::Thumb, Self::Distinct) => Some(stops(0.0)),
            (Table::Army | Table::Thumb, Self::Soft) => Some(stops(1.0)),
            (Table::Navy, Self::Faint) => Some(noted(1.0, "called “cloudy bright”")),
            (Table::Navy, Self::Cloudy) => Some(noted(2.0, "called “cloudy”")),
            (Table::Thumb, Self::Faint) => Some(stops(2.0)),
            (Table::Thumb, Self::Cloudy | Self::Overcast) => Some(stops(3.0)),
            (Table::Navy | Table::Army, Self::Overcast | Self::OpenShade) => Some(stops(3.0)),
            (Table::Thumb, Self::OpenShade) => Some(noted(4.0, "deep shade")),
            (Table::Ansi, Self::Snow) => Some(ev(16.0)),
            (Table::Ansi, Self::Distinct) => Some(ev(15.0)),
            (Table::Ansi, Self::Soft) => Some(ev(14.0)),
            (Table::Ansi, Self::Faint) => Some(Figure {
                ev: 13.0,
                note: "called “cloudy bright”",
            }),
            (Table::Ansi, Self::Overcast | Self::OpenShade) => Some(ev(12.0)),
            (Table::Navy, Self::Soft)
            | (Table::Army, Self::Faint | Self::Cloudy)
            | (Table::Ansi, Self::Cloudy) => None,
        }
    }
}

/// EV at ISO 100 of f/16 at 1/ISO on marks of the series: f/16 is Av 8, 1/100 at ISO 100 is Tv 6⅔ (arithmetic).
///
/// With the figures themselves it would be 14.64, a fiftieth of a stop off.
const BASIC: f64 = 14.0 + 2.0 / 3.0;

/// What one table says of one light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    ev: f64,
    /// What the table itself calls it, or where it contradicts itself; may be empty.
    pub note: &'static str,
}

impl Figure {
    /// EV at ISO 100.
    ///
    /// # Errors
    ///
    /// None for figures of these tables.
    pub fn light(&self) -> Result<Ev, Error> {
        Ok(Ev::new(self.ev)?)
    }
}

/// From where the sun lights the subject, as seen from the camera.
///
/// Source: US Army SS0508: side light opens one stop, back light two; the note of ANSI PH2.7 says the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// From behind the camera: as the tables say.
    Front,
    /// From the side.
    Side,
    /// From behind the subject.
    Back,
}

impl Side {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Front, Self::Side, Self::Back];

    /// In words.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Front => "Front light",
            Self::Side => "Side light",
            Self::Back => "Back light",
        }
    }

    /// How much light it changes on the subject as the camera sees it.
    #[must_use]
    pub const fn effect(self) -> Stops {
        match self {
            Self::Front => Stops::ZERO,
            Self::Side => Stops::constant(-1.0),
            Self::Back => Stops::constant(-2.0),
        }
    }
}

/// How bright the subject is by itself.
///
/// Source: US Army SS0508, Table 1-7: average reflects 18 %, dark 9 %, bright twice as much as average, brilliant four
/// times; the correction for brilliant is cut off in the copy that was read, two stops follow by arithmetic.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Subject {
    /// Half as bright as average.
    Dark,
    /// Reflects 18 %.
    Average,
    /// Twice as bright.
    Bright,
    /// Four times as bright.
    Brilliant,
}

impl Subject {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Dark, Self::Average, Self::Bright, Self::Brilliant];

    /// In words.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Dark => "Dark subject, reflects 9 %",
            Self::Average => "Average subject, reflects 18 %",
            Self::Bright => "Bright subject, twice as bright as average",
            Self::Brilliant => "Brilliant subject, four times as bright as average",
        }
    }

    /// How much more light comes from it than from an average one.
    #[must_use]
    pub const fn effect(self) -> Stops {
        match self {
            Self::Dark => Stops::constant(-1.0),
            Self::Average => Stops::ZERO,
            Self::Bright => Stops::constant(1.0),
            Self::Brilliant => Stops::constant(2.0),
        }
    }
}

/// When the daylight tables hold.
///
/// Sources: US Army SS0508 and the note of ANSI PH2.7.
pub const HOURS: &str = "The daylight tables hold from two hours after sunrise to two hours before sunset. Near the poles and in winter the sun stays low, and there is less light (common practice).";

/// A scene by daylight, as the person described it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Daylight {
    /// The shadows.
    pub shadow: Shadow,
    /// Whose table is used.
    pub table: Table,
    /// Where the sun stands; counts only where it reaches the subject.
    pub side: Side,
    /// How bright the subject is.
    pub subject: Subject,
}

impl Daylight {
    /// The reading by the chosen table, with a line for the side and one for the subject.
    ///
    /// ```
    /// use readings::scenes::{Daylight, Shadow, Side, Subject, Table};
    /// let scene = Daylight {
    ///     shadow: Shadow::Distinct,
    ///     table: Table::Ansi,
    ///     side: Side::Side,
    ///     subject: Subject::Average,
    /// };
    /// assert!((scene.found()?.light().get() - 14.0).abs() < 1e-12);
    /// # Ok::<(), readings::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// A sentence, where the table says nothing of such light.
    pub fn found(&self) -> Result<Found, Error> {
        let figure = self.shadow.figure(self.table).ok_or_else(|| {
            Error::new(format!(
                "{} says nothing of this light: {}. Take another table.",
                self.table.name(),
                self.shadow.name()
            ))
        })?;
        let apart = apart(self.shadow);
        let known = Known {
            from: format!(
                "scene table: {} ({})",
                self.shadow.name(),
                self.table.short()
            ),
            method: Method::Table,
            doubt: Some(TABLE),
            uncertainty: format!(
                "A table knows neither the place nor the day: a stop either way is usual (an estimate). The tables here are up to {} apart on it. {HOURS}",
                exposure::words::of_a_stop(apart)
            ),
        };
        let found = match self.table {
            Table::Ansi => Found::of_light(figure.light()?, known)?,
            _ => at_speed(figure.light()?, known)?,
        };
        let found = if self.shadow.is_sunny() {
            found.and(LineKind::Scene, self.side.name(), self.side.effect())
        } else {
            found
        };
        Ok(found.and(LineKind::Scene, self.subject.name(), self.subject.effect()))
    }
}

/// The reading as such a table says it: 1/100 at ISO 100 and its aperture.
fn at_speed(light: Ev, known: Known) -> Result<Found, Error> {
    let time = Mark::parse(Control::Time, "1/100", Steps::Third)?;
    let speed = Mark::parse(Control::Sensitivity, "100", Steps::Third)?;
    for aperture in ["22", "16", "11", "8", "5.6", "4"] {
        let aperture = Mark::parse(Control::Aperture, aperture, Steps::Third)?;
        let reading = Reading::new(time, aperture, speed)?;
        if reading.light().light_relative_to(light).is_even() {
            return Ok(Found {
                reading,
                halves: false,
                from: short(&known.from),
                lines: Vec::new(),
                method: known.method,
                doubt: known.doubt,
                uncertainty: known.uncertainty,
            });
        }
    }
    Found::of_light(light, known)
}

/// The line that what the daylight tables say is drawn on: EV at ISO 100, the same for all shadows.
#[must_use]
pub fn daylight_line() -> Axis {
    let figures = Shadow::ALL.into_iter().flat_map(|shadow| {
        let of = move |table| shadow.figure(table);
        Table::ALL.into_iter().filter_map(of)
    });
    Axis::around(figures.map(|figure| figure.ev), 2.0)
}

/// How far the tables are apart on a light.
#[must_use]
pub fn apart(shadow: Shadow) -> Stops {
    let figures = || {
        Table::ALL
            .into_iter()
            .filter_map(move |table| shadow.figure(table))
            .map(|figure| figure.ev)
    };
    let (low, high) = (
        figures().fold(f64::INFINITY, f64::min),
        figures().fold(f64::NEG_INFINITY, f64::max),
    );
    Stops::new(high - low).unwrap_or(Stops::ZERO)
}

/// A scene of the table for the rest of day and night: EV at ISO 100, from the dimmer to the brighter figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scene {
    /// Under which heading it stands.
    pub group: &'static str,
    /// What it is.
    pub name: &'static str,
    dim: f64,
    bright: f64,
}

/// Which figure of a range is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Within {
    /// The dimmer one: more light on the film.
    Dim,
    /// The middle.
    Middle,
    /// The brighter one.
    Bright,
}

impl Scene {
    /// The dimmer and the brighter figure, EV at ISO 100; equal where the table has one figure.
    #[must_use]
    pub const fn figures(&self) -> (f64, f64) {
        (self.dim, self.bright)
    }

    /// Its figure or figures in words: `EV 7 to 8`.
    #[must_use]
    pub fn in_words(&self) -> String {
        let figure = |ev: f64| exposure::words::decimal(ev, 1);
        if (self.bright - self.dim).abs() < 1e-9 {
            format!("EV {}", figure(self.dim))
        } else {
            format!("EV {} to {}", figure(self.dim), figure(self.bright))
        }
    }

    /// The reading.
    ///
    /// # Errors
    ///
    /// None for the scenes of [`SCENES`].
    pub fn found(&self, within: Within) -> Result<Found, Error> {
        let ev = match within {
            Within::Dim => self.dim,
            Within::Middle => f64::midpoint(self.dim, self.bright),
            Within::Bright => self.bright,
        };
        Found::of_light(
            Ev::new(ev)?,
            Known {
                from: format!("scene table: {}", self.name),
                method: Method::Table,
                // The table says a range, and scenes lie around all of it: the half of it is no reason of its own.
                doubt: Some(Doubt::new(
                    TABLE.half_width().get() + (self.bright - self.dim) / 2.0,
                )?),
                uncertainty: format!(
                    "The table (ANSI PH2.7) says {}; real scenes lie a stop and more around it (an estimate). Bracket it.",
                    self.in_words()
                ),
            },
        )
    }
}

const fn scene(group: &'static str, name: &'static str, dim: f64, bright: f64) -> Scene {
    Scene {
        group,
        name,
        dim,
        bright,
    }
}

const SKY: &str = "Sky and dusk";
const MOON: &str = "The moon itself, above 40°";
const MOONLIT: &str = "Landscape in moonlight, moon above 40°";
const NIGHT: &str = "Outdoors at night";
const INDOORS: &str = "Indoors";

/// Scenes of ANSI PH2.7-1973 and PH2.7-1986, as copied in public.
pub const SCENES: [Scene; 33] = [
    scene(SKY, "rainbow before clear sky", 15.0, 15.0),
    scene(SKY, "rainbow before clouds", 14.0, 14.0),
    scene(SKY, "just before sunset", 12.0, 14.0),
    scene(SKY, "at sunset", 12.0, 12.0),
    scene(SKY, "just after sunset", 9.0, 11.0),
    scene(SKY, "bright aurora", -4.0, -3.0),
    scene(SKY, "medium aurora", -6.0, -5.0),
    scene(MOON, "full moon itself", 15.0, 15.0),
    scene(MOON, "gibbous moon itself", 14.0, 14.0),
    scene(MOON, "quarter moon itself", 13.0, 13.0),
    scene(MOON, "crescent moon itself", 12.0, 12.0),
    scene(MOONLIT, "landscape, full moon", -3.0, -2.0),
    scene(MOONLIT, "landscape, gibbous moon", -4.0, -4.0),
    scene(MOONLIT, "landscape, quarter moon", -6.0, -6.0),
    scene(NIGHT, "neon and bright signs", 9.0, 10.0),
    scene(NIGHT, "sports at night", 9.0, 9.0),
    scene(NIGHT, "fires, burning buildings", 9.0, 9.0),
    scene(NIGHT, "bright street", 8.0, 8.0),
    scene(NIGHT, "street, shop windows", 7.0, 8.0),
    scene(NIGHT, "fair, amusement park", 7.0, 7.0),
    scene(NIGHT, "traffic at night", 5.0, 5.0),
    scene(NIGHT, "lights on a Christmas tree", 4.0, 5.0),
    scene(NIGHT, "floodlit buildings, fountains", 3.0, 5.0),
    scene(NIGHT, "distant lighted buildings", 2.0, 2.0),
    scene(INDOORS, "gallery", 8.0, 11.0),
    scene(INDOORS, "sports hall", 8.0, 9.0),
    scene(INDOORS, "stage show", 8.0, 9.0),
    scene(INDOORS, "floodlit circus", 8.0, 8.0),
    scene(INDOORS, "floodlit ice show", 9.0, 9.0),
    scene(INDOORS, "office", 7.0, 8.0),
    scene(INDOORS, "work room", 7.0, 8.0),
    scene(INDOORS, "room at home", 5.0, 7.0),
    scene(INDOORS, "Christmas tree indoors", 4.0, 5.0),
];

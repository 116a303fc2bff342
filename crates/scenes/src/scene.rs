//! Invented scenes: who moves, how far away, before what, through which lens, on which film.

use exposure::{Circle, DepthOfField, FORMATS, FilmKind, Format, Mark, Stops};

use crate::effects::{self, HAND, Length};
use crate::film;
use crate::published::{Asked, Heading, NAVY_TABLE, NavyRow, navy};

/// Who or what moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mover {
    /// Somebody who keeps still.
    Still,
    /// Somebody who walks by.
    Walking,
    /// A runner.
    Running,
    /// A cyclist.
    Cycling,
    /// A car in a town.
    Car,
    /// Water that falls over a weir.
    Water,
}

impl Mover {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Still,
        Self::Walking,
        Self::Running,
        Self::Cycling,
        Self::Car,
        Self::Water,
    ];

    /// Stable id, for records.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Still => "still",
            Self::Walking => "walking",
            Self::Running => "running",
            Self::Cycling => "cycling",
            Self::Car => "car",
            Self::Water => "water",
        }
    }

    /// What it is called in a sentence.
    #[must_use]
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Still => "the sitter",
            Self::Walking => "the passer-by",
            Self::Running => "the runner",
            Self::Cycling => "the cyclist",
            Self::Car => "the car",
            Self::Water => "the water",
        }
    }

    /// Metres a second. Walking, running and the car are those of usual worked examples (1.4 and 5 m/s, 50 km/h); cycling and
    /// water are estimates of this project.
    #[must_use]
    pub const fn speed(self) -> f64 {
        match self {
            Self::Still => 0.0,
            Self::Walking => 1.4,
            Self::Running => 5.0,
            Self::Cycling => 6.0,
            Self::Car => 50.0 / 3.6,
            Self::Water => 2.5,
        }
    }

    /// The row of the navy manual that its words are about; the manual has none for water.
    #[must_use]
    pub const fn navy_row(self) -> Option<&'static NavyRow> {
        match self {
            Self::Walking => Some(&NAVY_TABLE[0]),
            Self::Running | Self::Cycling | Self::Car => Some(&NAVY_TABLE[2]),
            Self::Still | Self::Water => None,
        }
    }

    /// Whether it moves down the picture and not across it.
    #[must_use]
    pub const fn falls(self) -> bool {
        matches!(self, Self::Water)
    }
}

/// What stands behind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Backdrop {
    /// A brick wall with posters.
    Wall,
    /// Trees.
    Trees,
    /// Hills and a sky.
    Hills,
    /// A street with lamps at dusk.
    Lamps,
}

impl Backdrop {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Wall, Self::Trees, Self::Hills, Self::Lamps];

    /// Stable id, for records.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Wall => "wall",
            Self::Trees => "trees",
            Self::Hills => "hills",
            Self::Lamps => "lamps",
        }
    }

    /// What it is called in a sentence.
    #[must_use]
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Wall => "the wall",
            Self::Trees => "the trees",
            Self::Hills => "the hills",
            Self::Lamps => "the lamps",
        }
    }
}

/// What holds the camera.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Hold {
    /// A tripod: nothing shakes.
    Tripod,
    /// A hand that turns at the rate for which the rule of one over the focal length holds ([`HAND`]). It is drawn as a movement up
    /// and down, for most of it comes from pressing the release (*Japanese Journal of Ergonomics* 31(6), abstract).
    Hand,
}

/// A scene and how it is photographed. Distances are millimetres from the lens, which is focused on who moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scene {
    /// Stable id of the invented scene that it comes from.
    pub id: &'static str,
    /// What it is called in a sentence.
    pub name: &'static str,
    /// Who moves.
    pub mover: Mover,
    /// How far away that is.
    pub distance: f64,
    /// What stands behind.
    pub backdrop: Backdrop,
    /// How far away what stands behind is; none is infinity.
    pub behind: Option<f64>,
    /// How far away a fence in front is, where there is one.
    pub before: Option<f64>,
    /// Focal length in millimetres.
    pub focal: f64,
    /// Id of the format, from [`FORMATS`].
    pub format: &'static str,
    /// What holds the camera.
    pub hold: Hold,
    /// The kind of film.
    pub film: FilmKind,
    /// What the details are drawn from.
    pub seed: u32,
}

/// From which marks on the effects of an invented scene are plain to see at [`PHONE`] pixels across: at least four pixels. In
/// twelfths of a stop of their place, so that what a question hangs on is a whole number; a test holds them against the effects.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shows {
    /// Time from which on the subject is drawn out.
    pub time: i32,
    /// Aperture from which on the background is out of focus, where a usual lens reaches it.
    pub aperture: Option<i32>,
}

/// Width in pixels of a picture on a phone.
pub const PHONE: u32 = 390;

/// Focal lengths that can be chosen, in millimetres.
pub const FOCALS: [f64; 5] = [28.0, 50.0, 85.0, 135.0, 200.0];
/// How far away who moves can be, in millimetres.
pub const DISTANCES: [f64; 6] = [1500.0, 3000.0, 5000.0, 8000.0, 15_000.0, 30_000.0];
/// How many times as far away as who moves what stands behind can be; none is at infinity.
pub const BEHIND: [(&str, Option<f64>); 4] = [
    ("half as far again", Some(1.5)),
    ("twice as far", Some(2.0)),
    ("five times as far", Some(5.0)),
    ("at infinity", None),
];
/// Kinds of film that can be chosen.
pub const FILMS: [(&str, FilmKind); 3] = [
    ("colour negative", FilmKind::ColourNegative),
    ("black and white", FilmKind::BlackAndWhite),
    ("slide", FilmKind::Reversal),
];

/// Which of these is nearest by its ratio.
fn nearest(list: &[f64], to: f64) -> usize {
    let far = |value: f64| (value / to).max(to / value);
    let nearer = |a: &usize, b: &usize| far(list[*a]).total_cmp(&far(list[*b]));
    (0..list.len()).min_by(nearer).unwrap_or(0)
}

/// The invented scenes.
pub const SCENES: [Scene; 6] = [
    Scene {
        id: "cyclist",
        name: "a cyclist before a wall",
        mover: Mover::Cycling,
        distance: 8000.0,
        backdrop: Backdrop::Wall,
        behind: Some(11_000.0),
        before: None,
        focal: 50.0,
        format: "24x36",
        hold: Hold::Hand,
        film: FilmKind::ColourNegative,
        seed: 1,
    },
    Scene {
        id: "runner",
        name: "a runner behind a fence",
        mover: Mover::Running,
        distance: 10_000.0,
        backdrop: Backdrop::Trees,
        behind: Some(40_000.0),
        before: Some(6000.0),
        focal: 135.0,
        format: "24x36",
        hold: Hold::Hand,
        film: FilmKind::ColourNegative,
        seed: 2,
    },
    Scene {
        id: "car",
        name: "a car on a bridge",
        mover: Mover::Car,
        distance: 25_000.0,
        backdrop: Backdrop::Hills,
        behind: None,
        before: None,
        focal: 85.0,
        format: "24x36",
        hold: Hold::Hand,
        film: FilmKind::ColourNegative,
        seed: 3,
    },
    Scene {
        id: "weir",
        name: "water over a weir",
        mover: Mover::Water,
        distance: 6000.0,
        backdrop: Backdrop::Trees,
        behind: Some(30_000.0),
        before: None,
        focal: 50.0,
        format: "24x36",
        hold: Hold::Tripod,
        film: FilmKind::Reversal,
        seed: 4,
    },
    Scene {
        id: "portrait",
        name: "a portrait before trees",
        mover: Mover::Still,
        distance: 2000.0,
        backdrop: Backdrop::Trees,
        behind: Some(12_000.0),
        before: None,
        focal: 85.0,
        format: "24x36",
        hold: Hold::Hand,
        film: FilmKind::BlackAndWhite,
        seed: 5,
    },
    Scene {
        id: "street",
        name: "a passer-by in a street with lamps",
        mover: Mover::Walking,
        distance: 4000.0,
        backdrop: Backdrop::Lamps,
        behind: Some(60_000.0),
        before: None,
        focal: 50.0,
        format: "24x36",
        hold: Hold::Hand,
        film: FilmKind::ColourNegative,
        seed: 6,
    },
];

impl Scene {
    /// The invented scene of an id.
    #[must_use]
    pub fn of_id(id: &str) -> Option<Self> {
        SCENES.into_iter().find(|scene| scene.id == id)
    }

    /// Which of [`FOCALS`] is nearest.
    #[must_use]
    pub fn nearest_focal(&self) -> usize {
        nearest(&FOCALS, self.focal)
    }

    /// Which of [`DISTANCES`] is nearest.
    #[must_use]
    pub fn nearest_distance(&self) -> usize {
        nearest(&DISTANCES, self.distance)
    }

    /// Which of [`BEHIND`] is nearest.
    #[must_use]
    pub fn nearest_behind(&self) -> usize {
        let times = BEHIND.map(|(_, times)| times.unwrap_or(f64::INFINITY));
        match self.behind {
            Some(behind) => nearest(&times, behind / self.distance),
            None => BEHIND.len() - 1,
        }
    }

    /// The same with who moves at another distance. What stands behind stays as many times as far away; a fence in front goes.
    ///
    /// ```
    /// use scenes::scene::Scene;
    /// let scene = Scene::of_id("cyclist").unwrap().at_distance(16_000.0);
    /// assert_eq!((scene.distance, scene.behind), (16_000.0, Some(22_000.0)));
    /// ```
    #[must_use]
    pub fn at_distance(self, distance: f64) -> Self {
        let times = self.behind.map(|behind| behind / self.distance);
        Self {
            distance,
            behind: times.map(|times| times * distance),
            before: None,
            ..self
        }
    }

    /// The same with what stands behind so many times as far away as who moves; none is at infinity.
    #[must_use]
    pub fn with_behind(self, times: Option<f64>) -> Self {
        Self {
            behind: times.map(|times| times * self.distance),
            ..self
        }
    }

    /// From which marks on its effects are plain to see; none for what is none of [`SCENES`].
    #[must_use]
    pub fn shows(&self) -> Option<Shows> {
        let (time, aperture) = match self.id {
            "cyclist" => (-72, None),
            "runner" => (-84, Some(-36)),
            "car" => (-72, None),
            "weir" => (-60, None),
            "portrait" => (-24, Some(-72)),
            "street" => (-60, None),
            _ => return None,
        };
        Some(Shows { time, aperture })
    }

    /// The format.
    ///
    /// # Errors
    ///
    /// A sentence for an id that is none of [`FORMATS`].
    pub fn format(&self) -> Result<&'static Format, exposure::Refused> {
        FORMATS
            .iter()
            .find(|format| format.id == self.format)
            .ok_or_else(|| exposure::Refused::new("this format is not known here"))
    }

    /// The lens at its focus, with the diagonal over 1500 as the circle of confusion, whose name goes with it wherever depth is said.
    ///
    /// # Errors
    ///
    /// A sentence for a format that is not known, or for a lens or a distance out of range.
    pub fn lens(&self) -> Result<DepthOfField, exposure::Refused> {
        let circle = Circle::Over1500
            .of(self.format()?)
            .unwrap_or(self.format()?.diagonal() / 1500.0);
        Ok(DepthOfField::new(self.focal, Some(self.distance), circle)?)
    }

    /// What the navy manual of 1993 asks for here.
    #[must_use]
    pub fn navy(&self) -> Option<Asked> {
        let format = self.format().ok()?;
        // The manual's normal lens is that of 50 mm for small film; for other sizes the same angle is taken.
        let normal = 50.0 * format.diagonal() / 43.266_6;
        navy(
            self.mover.navy_row()?,
            Heading::Across,
            self.distance,
            self.focal / normal,
        )
    }

    /// What a setting costs here.
    ///
    /// ```
    /// use exposure::{Control, Mark, Steps};
    /// use scenes::scene::Scene;
    /// let mark = |control, text| Mark::parse(control, text, Steps::Third);
    /// let set = [mark(Control::Time, "1/60")?, mark(Control::Aperture, "f/8")?, mark(Control::Sensitivity, "100")?];
    /// let prices = Scene::of_id("cyclist").unwrap().prices(&set).unwrap();
    /// assert!((prices.motion.mm() - 0.59).abs() < 0.01);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// A sentence for what is out of range.
    pub fn prices(&self, set: &[Mark; 3]) -> Result<Prices, exposure::Refused> {
        let (format, lens) = (self.format()?, self.lens()?);
        let [time, aperture, speed] = set;
        let (seconds, stop) = (time.gives(), aperture.gives());
        let length = |mm| Length::new(mm, format);
        let known = film::granularity(self.film);
        let faster = speed.place().get();
        Ok(Prices {
            motion: length(effects::motion(&lens, self.mover.speed(), 90.0, seconds)?),
            shake: length(match self.hold {
                Hold::Tripod => 0.0,
                Hold::Hand => effects::shake(self.focal, HAND, seconds)?,
            }),
            behind: length(effects::defocus(&lens, stop, self.behind)?),
            before: match self.before {
                Some(before) => Some(length(effects::defocus(&lens, stop, Some(before))?)),
                None => None,
            },
            diffraction: length(lens.diffraction(stop)),
            diffraction_spread: effects::diffraction_spread(stop) * (1.0 + lens.magnification()),
            granularity: effects::granularity_at(known.at_100, faster),
        })
    }
}

/// What a setting costs in a scene, each in its own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prices {
    /// How far who moves is drawn out.
    pub motion: Length,
    /// How far a shaking hand draws out everything.
    pub shake: Length,
    /// Disc of a point of what stands behind.
    pub behind: Length,
    /// Disc of a point of the fence in front, where there is one.
    pub before: Option<Length>,
    /// Disc of diffraction, to its first dark ring.
    pub diffraction: Length,
    /// Deviation in millimetres of what stands in for that disc.
    pub(crate) diffraction_spread: f64,
    /// RMS granularity, by theory from what is known at ISO 100.
    pub granularity: f64,
}

impl Prices {
    /// Deviation of density in a picture of so many pixels across, magnified so many times.
    ///
    /// # Errors
    ///
    /// A sentence for a pixel out of range.
    pub fn grain(&self, width: f64, magnification: f64) -> Result<f64, exposure::Refused> {
        let pixel = self.motion.one_pixel(width) * 1000.0 / magnification;
        Ok(effects::grain(self.granularity, pixel)?)
    }
}

/// Whether an effect can be seen in a picture of a size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Whether it is drawn.
    pub visible: bool,
    /// How many times the picture has to be magnified to show it, where that is at most [`MOST_MAGNIFIED`]; 1 where it shows.
    pub magnification: Option<f64>,
}

/// A blur shorter than this, in pixels, is not drawn.
pub const SHORTEST: f64 = 0.5;

/// Grain with a deviation below this, in sRGB codes of a middle tone, is not drawn.
pub const FAINTEST: f64 = 1.0;

/// The furthest that a picture is magnified.
pub const MOST_MAGNIFIED: f64 = 50.0;

/// Steps in which pictures are magnified.
const MAGNIFIED: [f64; 10] = [1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 20.0, 30.0, 50.0];

impl Seen {
    /// Of a length that is `now` times what just shows.
    fn of(now: f64) -> Self {
        let magnification = MAGNIFIED.into_iter().find(|times| now * times >= 1.0);
        Self {
            visible: now >= 1.0,
            magnification,
        }
    }

    /// Of a blur, in a picture of so many pixels across that is magnified so many times already.
    #[must_use]
    pub fn blur(length: Length, width: f64, magnification: f64) -> Self {
        Self::of(length.pixels(width) * magnification / SHORTEST)
    }

    /// Of grain: the deviation of density is taken through the film's curve to the screen at a middle tone.
    #[must_use]
    pub fn grain(deviation: f64, film: FilmKind) -> Self {
        Self::of(codes_of_grain(deviation, film) / FAINTEST)
    }
}

/// Deviation in sRGB codes that a deviation of density has at a middle tone.
#[must_use]
pub fn codes_of_grain(deviation: f64, film: FilmKind) -> f64 {
    let tones = film::Tones::new(film, Stops::ZERO, film::Printing::Fixed);
    let middle = tones.density(film::MIDDLE);
    let code = |density: f64| film::code(tones.of_density(density));
    (code(middle + deviation) - code(middle - deviation)).abs() / 2.0
}

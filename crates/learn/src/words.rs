//! The words for pictures: what one shows, what two differ in, and what is lost where light is too little or too much.
//!
//! Sentences are for those who see the picture and for those who do not. Where a published table says something else than the
//! computation, both are given.

use exposure::{Control, FilmKind, Mark, Reading, Refused, Stops, words};

use scenes::effects::{self, Length};
use scenes::film::{self, MIDDLE, Printing, Tones};
use scenes::published::NAVY;
use scenes::render::Size;
use scenes::scene::{Hold, Prices, Scene, Seen};

/// First letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or(String::new(), |first| first.to_uppercase().to_string())
        + letters.as_str()
}

/// A length on the film and in the picture: `0.589 mm, about one part in 61 of the picture's width`.
///
/// ```
/// use exposure::FORMATS;
/// use learn::{effects::Length, words};
/// let small = FORMATS.iter().find(|format| format.id == "24x36").unwrap();
/// assert_eq!(words::length(Length::new(0.24, small)), "0.24 mm, about one part in 150 of the picture's width");
/// ```
#[must_use]
pub fn length(length: Length) -> String {
    let share = if length.share() > 0.5 {
        format!(
            "about {} times the picture's width",
            words::rough(length.share())
        )
    } else {
        format!(
            "about one part in {} of the picture's width",
            words::rough(length.one_in())
        )
    };
    format!("{}, {share}", millimetres(length))
}

fn millimetres(length: Length) -> String {
    if length.mm() < 0.000_5 {
        "under 0.001 mm".to_owned()
    } else {
        format!("{} mm", words::figures(length.mm()))
    }
}

/// What is said behind an effect that is not drawn: nothing where it is.
fn unseen(seen: Seen) -> String {
    match seen {
        Seen { visible: true, .. } => String::new(),
        Seen {
            magnification: Some(times),
            ..
        } => format!(
            "; too small to see at this size, it shows magnified {} times",
            words::figures(times)
        ),
        Seen { .. } => "; too small to see at any size".to_owned(),
    }
}

/// How the setting is called: `1/60 at f/8, EI 100`. What a film is rated at is no sensitivity of a device.
#[must_use]
pub fn setting(set: &[Mark; 3]) -> String {
    format!(
        "{} at {}, {}",
        words::value(&set[0]),
        words::value(&set[1]),
        words::ei(&set[2])
    )
}

const fn film_name(film: FilmKind) -> &'static str {
    match film {
        FilmKind::ColourNegative => "colour negative film",
        FilmKind::BlackAndWhite => "black-and-white film",
        FilmKind::Reversal => "slide film",
    }
}

/// One effect in a sentence, and whether it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// The control whose price it is.
    pub control: Control,
    /// The sentence.
    pub text: String,
    /// Whether it is drawn, and how far the picture has to be magnified to show it.
    pub seen: Seen,
    /// Where it shows best, as [`Size::magnified`] takes it: to the right of the middle and below it, in shares of the width.
    pub towards: [f64; 2],
}

/// Where who moves is.
const MIDDLE_PART: [f64; 2] = [0.0, 0.0];
/// Where nothing stands before what is behind.
const BESIDE: [f64; 2] = [-0.36, -0.1];
/// Where a fence is.
const BELOW: [f64; 2] = [0.25, 0.22];

/// What a picture shows of each effect, a sentence each.
///
/// ```
/// use exposure::{Control, Mark, Steps};
/// use learn::{render::Size, scene::Scene, words};
/// let mark = |control, text| Mark::parse(control, text, Steps::Third);
/// let set = [mark(Control::Time, "1/125")?, mark(Control::Aperture, "f/8")?, mark(Control::Sensitivity, "100")?];
/// let said = words::prices(&Scene::of_id("street").unwrap(), &set, &Size::new(390, 260)?)?;
/// assert_eq!(
///     said[0].text,
///     "The passer-by is drawn out by 0.138 mm, about one part in 260 of the picture's width; \
///      a navy manual of 1993 asks for 1/500 here (5 mph at 12 ft)."
/// );
/// # Ok::<(), exposure::Refused>(())
/// ```
///
/// # Errors
///
/// A sentence for a scene or a setting out of range.
pub fn prices(scene: &Scene, set: &[Mark; 3], size: &Size) -> Result<Vec<Said>, Refused> {
    let prices = scene.prices(set)?;
    let (width, times) = (size.width() as f64, size.magnification());
    let seen = |length| Seen::blur(length, width, times);
    let mut said = Vec::new();
    let mut say = |control, towards, seen: Seen, text: String| {
        said.push(Said {
            control,
            text: format!("{text}."),
            seen,
            towards,
        });
    };
    if scene.mover.speed() > 0.0 {
        let seen = seen(prices.motion);
        let manual = navy(scene).map_or(String::new(), |asks| format!("; {asks}"));
        say(
            Control::Time,
            MIDDLE_PART,
            seen,
            format!(
                "{} is drawn out by {}{}{manual}",
                capital(scene.mover.noun()),
                length(prices.motion),
                unseen(seen)
            ),
        );
    }
    if scene.hold == Hold::Hand {
        let seen = seen(prices.shake);
        say(
            Control::Time,
            MIDDLE_PART,
            seen,
            format!(
                "A hand that is as steady as the rule of one over the focal length takes it to be draws everything out by {}{}",
                length(prices.shake),
                unseen(seen)
            ),
        );
    }
    let behind = seen(prices.behind);
    say(
        Control::Aperture,
        BESIDE,
        behind,
        format!(
            "A point of {}, {}, is a disc of {}{}",
            scene.backdrop.noun(),
            match scene.behind {
                Some(behind) => format!("{} away", words::distance(Some(behind))),
                None => "as good as infinitely far away".to_owned(),
            },
            length(prices.behind),
            unseen(behind)
        ),
    );
    if let Some(before) = prices.before {
        let seen = seen(before);
        say(
            Control::Aperture,
            BELOW,
            seen,
            format!(
                "A point of the fence in front, {} away, is a disc of {}{}",
                words::distance(scene.before),
                length(before),
                unseen(seen)
            ),
        );
    }
    let diffraction = seen(prices.diffraction);
    say(
        Control::Aperture,
        MIDDLE_PART,
        diffraction,
        format!(
            "Diffraction makes a disc of {} of every point{}",
            millimetres(prices.diffraction),
            unseen(diffraction)
        ),
    );
    let deviation = prices.grain(width, times)?;
    let grain = Seen::grain(deviation, scene.film);
    say(
        Control::Sensitivity,
        BESIDE,
        grain,
        format!("{}{}", grain_said(scene, &prices, &set[2]), unseen(grain)),
    );
    Ok(said)
}

/// What the navy manual asks for here: `a navy manual of 1993 asks for 1/500 here (25 mph at 25 ft)`; none where it says nothing.
#[must_use]
pub fn navy(scene: &Scene) -> Option<String> {
    let asked = scene.navy()?;
    let rule = match asked.by_rule {
        0 => String::new(),
        faster => format!(", {} as fast by its own rule", times(faster)),
    };
    Some(format!(
        "{NAVY} asks for 1/{} here ({} mph at {} ft{rule})",
        words::decimal(asked.under_one, 0),
        words::decimal(asked.row.mph, 0),
        words::decimal(asked.feet, 0)
    ))
}

/// The longest time that keeps who moves as sharp as the rest, by computation, and what the manual's time does here: both, for they do
/// not agree. None for what stands still.
///
/// ```
/// use learn::{scene::Scene, words};
/// assert_eq!(
///     words::stopped(&Scene::of_id("street").unwrap()).unwrap().unwrap(),
///     "Up to 1/614 s the passer-by stays within 0.0288 mm, a circle of confusion of the diagonal over 1500; \
///      a navy manual of 1993 asks for 1/500 here (5 mph at 12 ft), in which it is drawn out by 0.0346 mm."
/// );
/// ```
///
/// # Errors
///
/// A sentence for a scene out of range.
pub fn stopped(scene: &Scene) -> Result<Option<String>, Refused> {
    let speed = scene.mover.speed();
    if speed <= 0.0 {
        return Ok(None);
    }
    let lens = scene.lens()?;
    let longest = effects::longest_time(&lens, speed, 90.0, lens.circle())?;
    let mut said = format!(
        "Up to {} {} stays within {} mm, a circle of confusion of the {}",
        words::to_count(longest),
        scene.mover.noun(),
        words::figures(lens.circle()),
        exposure::Circle::Over1500.name()
    );
    if let (Some(asks), Some(manual)) = (navy(scene), scene.navy()) {
        // The printed time stands for the exact one of its series, as everywhere.
        let exact = exposure::of_two(-manual.under_one.log2().round());
        let drawn = effects::motion(&lens, speed, 90.0, exact)?;
        said += &format!(
            "; {asks}, in which it is drawn out by {} mm",
            words::figures(drawn)
        );
    }
    Ok(Some(said + "."))
}

/// So many doublings: `twice`, `4 times`, `half`, `a quarter`.
fn times(doublings: i32) -> String {
    match doublings {
        1 => "twice".to_owned(),
        -1 => "half".to_owned(),
        -2 => "a quarter".to_owned(),
        more if more > 0 => format!("{} times", 1_i32 << more.min(30)),
        less => format!("1/{}", 1_i32 << (-less).min(30)),
    }
}

/// Grain by theory, and what is printed where that differs.
fn grain_said(scene: &Scene, prices: &Prices, speed: &Mark) -> String {
    let known = film::granularity(scene.film);
    let iso = speed.exact();
    let printed = known
        .printed
        .iter()
        .find(|(of, _)| (of / iso).log2().abs() < 0.2 && *of > 100.0);
    let beside = printed.map_or(String::new(), |(of, printed)| {
        format!(
            "; lists of 1999 print about {} for films of ISO {}, which grew less",
            words::rough(*printed),
            words::decimal(*of, 0)
        )
    });
    format!(
        "Grain has a granularity of about {} by theory, from about {} at ISO 100 ({}){beside}",
        words::rough(prices.granularity),
        words::rough(known.at_100),
        known.source
    )
}

/// What is sharp, with the convention by which it is: `Sharp from 6.01 m to 12 m, by a circle of confusion of the diagonal over 1500.`
///
/// # Errors
///
/// A sentence for a scene or a setting out of range.
pub fn depth(scene: &Scene, set: &[Mark; 3]) -> Result<String, Refused> {
    let sharp = scene.lens()?.at(set[1].gives());
    Ok(format!(
        "{}, by a circle of confusion of the {}.",
        capital(&words::depth(&sharp)),
        exposure::Circle::Over1500.name()
    ))
}

/// How often a hand is steady enough at a time: a chance and no limit; none on a tripod.
///
/// ```
/// use exposure::{Control, Mark, Steps};
/// use learn::{scene::Scene, words};
/// let mark = |control, text| Mark::parse(control, text, Steps::Third);
/// let set = [mark(Control::Time, "1/30")?, mark(Control::Aperture, "f/8")?, mark(Control::Sensitivity, "100")?];
/// assert_eq!(
///     words::steady(&Scene::of_id("street").unwrap(), &set).unwrap(),
///     "By hand about 25 of 100 frames at 1/30 come out as sharp as the rule of one over the focal length asks for, and of three tries \
///      at least one in about 57 of 100; a model of this project, no promise."
/// );
/// # Ok::<(), exposure::Error>(())
/// ```
#[must_use]
pub fn steady(scene: &Scene, set: &[Mark; 3]) -> Option<String> {
    if scene.hold == Hold::Tripod {
        return None;
    }
    let slower = (set[0].gives() * scene.focal).log2();
    let of_100 = |tries| words::rough(100.0 * effects::steady(slower, tries));
    Some(format!(
        "By hand about {} of 100 frames at {} come out as sharp as the rule of one over the focal length asks for, and of three tries at least one in about {} of 100; a model of this project, no promise.",
        of_100(1),
        words::value(&set[0]),
        of_100(3)
    ))
}

/// What a class's show of hands says: how many chose the right answer, and whether luck alone would bring that.
///
/// ```
/// assert_eq!(
///     learn::words::tally(21, 30, 0.5),
///     "21 of 30 chose it. Guessing, a class would do so well about 2.1 times in 100."
/// );
/// ```
#[must_use]
pub fn tally(right: u32, of: u32, luck: f64) -> String {
    let by_luck = 100.0 * crate::chance::at_least(right, of, luck);
    let often = if by_luck < 0.1 {
        "hardly ever".to_owned()
    } else if by_luck > 99.0 {
        "nearly always".to_owned()
    } else {
        format!("about {} times in 100", words::rough(by_luck))
    };
    format!(
        "{} of {} chose it. Guessing, a class would do so well {often}.",
        words::count(f64::from(right)),
        words::count(f64::from(of))
    )
}

/// The whole picture for those who do not see it: scene, lens, film, setting, and each effect.
///
/// # Errors
///
/// A sentence for a scene or a setting out of range.
pub fn alternative(
    scene: &Scene,
    set: &[Mark; 3],
    more: Stops,
    printing: Printing,
    size: &Size,
) -> Result<String, Refused> {
    let mut text = format!(
        "{}. {} is {} away; {} mm lens, {}, {}, {}. Set to {}.",
        capital(scene.name),
        capital(scene.mover.noun()),
        words::distance(Some(scene.distance)),
        words::figures(scene.focal),
        scene.format()?.name,
        film_name(scene.film),
        match scene.hold {
            Hold::Tripod => "on a tripod",
            Hold::Hand => "by hand",
        },
        setting(set)
    );
    if size.magnification() > 1.0 {
        text += &format!(
            " A part of it, magnified {} times.",
            words::figures(size.magnification())
        );
    }
    for said in prices(scene, set, size)? {
        text.push(' ');
        text += &said.text;
    }
    text.push(' ');
    text += &depth(scene, set)?;
    if !more.is_even() {
        text.push(' ');
        text += &exposed(scene.film, more, printing);
    }
    Ok(text)
}

/// What two settings differ in: the light, then each effect with both sizes and their ratio.
///
/// ```
/// use exposure::{Control, Mark, Steps};
/// use learn::{scene::Scene, words};
/// let mark = |control, text| Mark::parse(control, text, Steps::Third);
/// let set = |time, stop| Ok::<_, exposure::Error>([mark(Control::Time, time)?, mark(Control::Aperture, stop)?, mark(Control::Sensitivity, "100")?]);
/// let said = words::compared(&Scene::of_id("cyclist").unwrap(), &set("1/250", "f/4")?, &set("1/60", "f/8")?)?;
/// assert_eq!(said[0], "Same light, another picture.");
/// assert_eq!(said[1], "The cyclist is drawn out about 4 times as far: by 0.59 mm, and by 0.147 mm in the first picture.");
/// # Ok::<(), exposure::Refused>(())
/// ```
///
/// # Errors
///
/// A sentence for a scene or a setting out of range.
pub fn compared(scene: &Scene, one: &[Mark; 3], other: &[Mark; 3]) -> Result<Vec<String>, Refused> {
    let (first, second) = (scene.prices(one)?, scene.prices(other)?);
    let [time, aperture, speed] = *one;
    let light = Reading::new(time, aperture, speed)?.difference(other);
    let mut said = vec![if light.is_even() {
        "Same light, another picture.".to_owned()
    } else {
        format!(
            "The second picture comes from {}.",
            words::difference(light)
        )
    }];
    let mut say = |what: String, how: &str, a: Length, b: Length| {
        if let Some(ratio) = ratio(a.mm(), b.mm(), how) {
            said.push(format!(
                "{what} {ratio}: by {}, and by {} in the first picture.",
                millimetres(b),
                millimetres(a)
            ));
        }
    };
    if scene.mover.speed() > 0.0 {
        let what = format!("{} is drawn out", capital(scene.mover.noun()));
        say(what, "far", first.motion, second.motion);
    }
    if scene.hold == Hold::Hand {
        let what = "A shaking hand draws everything out".to_owned();
        say(what, "far", first.shake, second.shake);
    }
    let what = format!("A point of {} is spread", scene.backdrop.noun());
    say(what, "wide", first.behind, second.behind);
    if let (Some(a), Some(b)) = (first.before, second.before) {
        let what = "A point of the fence in front is spread".to_owned();
        say(what, "wide", a, b);
    }
    if let Some(ratio) = ratio(first.granularity, second.granularity, "strong") {
        said.push(format!(
            "Grain is {ratio}, by theory: granularity about {}, and about {} in the first picture.",
            words::rough(second.granularity),
            words::rough(first.granularity)
        ));
    }
    if said.len() == 1 {
        said.push("Both pictures look alike.".to_owned());
    }
    Ok(said)
}

/// `about 4 times as far`, `about 25 % as far`; none where both are alike.
fn ratio(a: f64, b: f64, how: &str) -> Option<String> {
    let stops = (b / a).log2();
    if !stops.is_finite() || stops.abs() < 0.01 {
        return None;
    }
    let times = exposure::of_two(stops);
    Some(if stops > 0.0 {
        format!("about {} times as {how}", words::rough(times))
    } else {
        format!("about {} % as {how}", words::rough(times * 100.0))
    })
}

/// What more or less light than the film asks for does, and what is lost first.
///
/// ```
/// use exposure::{FilmKind, Stops};
/// use learn::{film::Printing, words};
/// assert_eq!(
///     words::exposed(FilmKind::Reversal, Stops::constant(1.0), Printing::Fixed),
///     "1 stop more light than the film asks for: on a slide the lights go first; what is more than about 1½ stops brighter than a middle tone is clear film."
/// );
/// ```
#[must_use]
pub fn exposed(film: FilmKind, more: Stops, printing: Printing) -> String {
    let begin = if more.is_even() {
        "As much light as the film asks for".to_owned()
    } else {
        format!("{} than the film asks for", words::difference(more))
    };
    let tones = Tones::new(film, more, printing);
    let left = |tone: f64| words::rough((tones.contrast_left(tone) * 100.0).max(0.0));
    if film == FilmKind::Reversal {
        let white = Stops::new((1.0 / MIDDLE).log2() - more.get()).unwrap_or(Stops::ZERO);
        let first = if more.is_less() {
            "on a slide everything gets darker, and the shadows go black first"
        } else {
            "on a slide the lights go first"
        };
        let edge = if white.is_more() {
            "brighter than a middle tone is clear film".to_owned()
        } else {
            "below a middle tone and brighter is clear film".to_owned()
        };
        return format!(
            "{begin}: {first}; what is more than {} {edge}.",
            words::stops(white)
        );
    }
    let first = if more.is_less() {
        "on a negative the shadows go first"
    } else if more.is_more() {
        "a negative keeps its shadows, and its lights get denser"
    } else {
        "both ends have most of their contrast"
    };
    let print = match printing {
        Printing::Fixed if !more.is_even() => {
            if more.is_less() {
                " Printed as before, the picture is darker."
            } else {
                " Printed as before, the picture is brighter."
            }
        }
        Printing::Corrected if !more.is_even() => {
            " The print is corrected, so that a middle tone is where it was."
        }
        _ => "",
    };
    format!(
        "{begin}: {first}. Of the contrast of a middle tone about {} % is left 3 stops below it, and about {} % 3 stops above.{print}",
        left(-3.0),
        left(3.0)
    )
}

/// The tones of a scene that a bracket is looked at with: from 4 stops below a middle tone to 3 above it.
const SCENE: (f64, f64) = (-4.0, 3.0);
/// A tone counts as lost where less than this share of the middle tone's contrast is left; a model of this project.
const LOST: f64 = 0.1;

/// What a frame loses of a scene's tones: `shadows from about 2 stops below a middle tone`; nothing where all are kept.
///
/// ```
/// use exposure::{FilmKind, Stops};
/// use learn::words::lost;
/// let of = |film, more| lost(film, Stops::constant(more));
/// assert_eq!(of(FilmKind::ColourNegative, 0.0), None);
/// assert_eq!(
///     of(FilmKind::ColourNegative, -3.0).as_deref(),
///     Some("shadows from about 2 stops below a middle tone on")
/// );
/// assert_eq!(
///     of(FilmKind::Reversal, 1.0).as_deref(),
///     Some("lights from about 1½ stops above a middle tone on")
/// );
/// ```
#[must_use]
pub fn lost(film: FilmKind, more: Stops) -> Option<String> {
    let tones = Tones::new(film, more, Printing::Fixed);
    let Some((dark, bright)) = tones.keeps(LOST) else {
        return Some("every tone".to_owned());
    };
    let edge = |tone: f64| {
        let far = Stops::new(tone).unwrap_or(Stops::ZERO);
        if far.is_even() {
            "the middle tone".to_owned()
        } else {
            let side = if far.is_less() { "below" } else { "above" };
            format!("{} {side} a middle tone", words::stops(far))
        }
    };
    let shadows = (dark > SCENE.0).then(|| format!("shadows from {} on", edge(dark)));
    let lights = (bright < SCENE.1).then(|| format!("lights from {} on", edge(bright)));
    match (shadows, lights) {
        (Some(shadows), Some(lights)) => Some(format!("{shadows}, and {lights}")),
        (one, other) => one.or(other),
    }
}

/// What a bracket loses first at its two ends, computed from the film's curve; what light each frame got beyond what the film asks
/// for, in any order. Empty without a frame.
#[must_use]
pub fn bracket(film: FilmKind, frames: &[Stops]) -> String {
    let by_light = |a: &&Stops, b: &&Stops| a.get().total_cmp(&b.get());
    let (Some(least), Some(most)) = (
        frames.iter().min_by(by_light),
        frames.iter().max_by(by_light),
    ) else {
        return String::new();
    };
    let end = |more: Stops| {
        let which = if more.is_even() {
            "As the film asks for".to_owned()
        } else {
            format!("With {}", words::difference(more))
        };
        let loses = match lost(film, more) {
            Some(lost) => format!("loses {lost}"),
            None => "keeps every tone from 4 stops below a middle tone to 3 above".to_owned(),
        };
        format!("{which} it {loses}.")
    };
    let name = capital(film_name(film));
    let mut said = format!("{name}: {}", end(*least));
    if !(*most - *least).is_even() {
        said = format!("{said} {}", end(*most));
    }
    format!(
        "{said} A tone counts as lost where less than a tenth of the middle tone's contrast is left."
    )
}

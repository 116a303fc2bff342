//! What is drawn lies where the figures beside it say.

use exposure::{Axis, DepthOfField, LongTimes};
use tests::harness::{DESK, Found, Key, PHONE, Page, Result, Site, bail, ensure};

use crate::{
    job,
    light::{open_page, press_row},
};

const FIND: &str = "Find the light";

/// The line of light at the lower edge of each page.
const LIGHT: Axis = Axis::new(-6.0, 18.0);

/// A style has a share of a length to a thousandth of a hundredth.
const CLOSE: f64 = 1e-5;

/// That as many things lie at these places, whatever else they are.
async fn lie(page: &Page<'_>, role: &str, name: &str, what: &str, at: &[f64]) -> Result<()> {
    page.wait_until(&format!("{what} of {name} at {at:?}"), async || {
        let drawn = page.find(role, name).await?.drawn(what).await?;
        let is_near = |(drawn, at): (&[f64; 3], &f64)| (drawn[0] - at).abs() < CLOSE;
        Ok(drawn.len() == at.len() && drawn.iter().zip(at).all(is_near))
    })
    .await
}

/// The published tables, one under another, and the offer: the figures are those of the tables (see `scenes`).
#[tokio::test]
async fn tables_lie_side_by_side() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Scene tables").await?;
    // From EV 10⅔ (deep shade) to EV 16 (sun on snow).
    let line = Axis::new(10.0, 16.0);
    let basic = 14.0 + 2.0 / 3.0;
    for (name, ev) in [
        ("ANSI PH2.7: EV 15 at ISO 100", 15.0),
        ("US Army SS0507 and SS0508: about EV 14.7 at ISO 100", basic),
        ("US Navy manual 14209: about EV 14.7 at ISO 100", basic),
        ("rule of thumb with f/16: about EV 14.7 at ISO 100", basic),
    ] {
        lie(&page, "radio", name, ".dot", &[line.share(ev)]).await?;
    }
    // The dial reads EV 12 at first; a table is a stop off either way.
    lie(&page, "region", "The reading", ".dot", &[LIGHT.share(15.0)]).await?;
    lie(
        &page,
        "region",
        "The reading",
        ".ring",
        &[LIGHT.share(12.0)],
    )
    .await?;
    let band = page
        .find("region", "The reading")
        .await?
        .drawn(".band")
        .await?;
    ensure!(
        matches!(band[..], [[at, long, _]] if (at - LIGHT.share(14.0)).abs() < CLOSE && (long - 2.0 / 24.0).abs() < 2.0 * CLOSE),
        "a stop either way is {band:?}"
    );
    // By touch, and where a table says nothing nothing is drawn.
    page.press_on("radio", "soft shadows, hazy sun").await?;
    lie(
        &page,
        "radio",
        "ANSI PH2.7: EV 14 at ISO 100",
        ".dot",
        &[line.share(14.0)],
    )
    .await?;
    lie(&page, "radio", "US Navy manual 14209: nothing", ".dot", &[]).await?;
    // By the keyboard, to the next kind of light.
    page.find("radio", "soft shadows, hazy sun")
        .await?
        .focus()
        .await?;
    page.key(Key::Down).await?;
    lie(
        &page,
        "radio",
        "ANSI PH2.7: EV 13 at ISO 100",
        ".dot",
        &[line.share(13.0)],
    )
    .await?;
    lie(&page, "region", "The reading", ".dot", &[LIGHT.share(13.0)]).await?;
    page.finish().await
}

/// What scenes of dusk, night and rooms come to is seen as a table of bars.
#[tokio::test]
async fn scenes_lie_on_the_line_of_light() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_page(&page, FIND, "Scene tables").await?;
    page.choose("Which light", "Dusk, night or indoors").await?;
    let scenes = page.find("group", "Scene").await?;
    let bars = scenes.drawn(".band").await?;
    let radios = scenes.find_all("radio").await?;
    ensure!(bars.len() == radios.len(), "a bar for each scene");
    for (bar, radio) in bars.iter().zip(&radios) {
        let name = radio.name();
        let (_, figures) = name.rsplit_once("EV ").unwrap_or_default();
        let figures: Vec<f64> = figures
            .split(" to ")
            .filter_map(|figure| figure.replace('−', "-").parse().ok())
            .collect();
        let (Some(dim), Some(bright)) = (figures.first(), figures.last()) else {
            bail!("{name:?} has no figures");
        };
        ensure!(
            (bar[0] - LIGHT.share(*dim)).abs() < CLOSE
                && (bar[1] - (LIGHT.share(*bright) - LIGHT.share(*dim))).abs() < 2.0 * CLOSE,
            "{name:?} is drawn at {bar:?}"
        );
    }
    page.finish().await
}

/// Two readings are two bands on one axis.
#[tokio::test]
async fn two_readings_lie_on_one_axis() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Scene tables").await?;
    page.press_on("button", "Keep it to compare").await?;
    page.press_on("radio", "soft shadows, hazy sun").await?;
    page.press_on("button", "Keep it to compare").await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Two readings of the same light").await?;
    page.choose(
        "First reading",
        "1/125 f/16 ISO 100: EV 15 at ISO 100 (scene table: distinct shadows, bright sun (ANSI))",
    )
    .await?;
    // EV 15 and 14, each a stop either way: from 13 to 16, and a stop more so that four are seen.
    let line = Axis::around([13.0, 16.0], 4.0);
    let figure = "How far they are apart, EV at ISO 100";
    lie(
        &page,
        "figure",
        figure,
        ".dot",
        &[15.0, 14.0].map(|ev| line.share(ev)),
    )
    .await?;
    lie(
        &page,
        "figure",
        figure,
        ".band",
        &[14.0, 13.0].map(|ev| line.share(ev)),
    )
    .await?;
    page.reads("1 stop dimmer than the first").await?;
    page.finish().await
}

const CORRECTIONS: &str = "Corrections";

/// The words under a line of a drawing, each with its place.
async fn scale(figure: &Found<'_, '_>) -> Result<Vec<(String, f64)>> {
    let places = figure.drawn(".line-scale > .at").await?;
    let words = figure
        .call("function () { return [...this.querySelectorAll('.line-scale > .at')].map(at => at.textContent); }")
        .await?;
    let words = words.as_array().cloned().unwrap_or_default();
    let words = words
        .iter()
        .map(|text| text.as_str().unwrap_or_default().to_owned());
    Ok(words.zip(places.iter().map(|[at, ..]| *at)).collect())
}

/// The place of a logarithm by the words under the line, as somebody reads it who has no crate: between two of them, and on.
fn on_log_scale(scale: &[(String, f64)], unit: &str, value: f64) -> Result<f64> {
    let known: Vec<(f64, f64)> = scale
        .iter()
        .filter_map(|(words, at)| {
            let number: f64 = words.strip_suffix(unit)?.trim().parse().ok()?;
            Some((number.log2(), *at))
        })
        .collect();
    let [first, .., last] = known[..] else {
        bail!("{scale:?} has no two figures");
    };
    Ok(first.1 + (value.log2() - first.0) * (last.1 - first.1) / (last.0 - first.0))
}

/// That each row of a drawing has its things at these places.
fn same_places(drawn: &[[f64; 3]], at: &[f64]) -> bool {
    // A word under the line has its place to a thousandth of a hundredth, and so has what is drawn.
    drawn.len() == at.len()
        && drawn
            .iter()
            .zip(at)
            .all(|(drawn, at)| (drawn[0] - at).abs() < 10.0 * CLOSE)
}

/// A filter of three stops and life size, which takes two: pieces on one line, switched by touch and by the keyboard.
#[tokio::test]
async fn corrections_lie_one_after_another() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, CORRECTIONS, "Filters").await?;
    page.fill("Factor, stops or density", "8").await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Close-up").await?;
    page.choose("What is known", "By the magnification, life size is 1")
        .await?;
    page.fill("Magnification", "1").await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.press_on("button", "Back").await?;
    let way = "From the reading to the film, in stops";
    let line = Axis::around([0.0, -3.0, -5.0], 4.0);
    let begins = |values: &[f64]| -> Vec<f64> { values.iter().map(|at| line.share(*at)).collect() };
    lie(&page, "figure", way, ".band", &begins(&[-3.0, -5.0, -5.0])).await?;
    lie(&page, "figure", way, ".point", &begins(&[-3.0, -5.0, -5.0])).await?;
    let long = page.find("figure", way).await?.drawn(".band").await?;
    let long: Vec<f64> = long.iter().map(|[_, long, _]| *long).collect();
    let stops = [3.0, 2.0, 5.0].map(|stops| stops / (line.to() - line.from()));
    ensure!(
        long.iter()
            .zip(stops)
            .all(|(long, stops)| (long - stops).abs() < 2.0 * CLOSE),
        "pieces are {long:?} long"
    );
    // What is left out is no piece, and the next one moves up to the reading.
    page.press_on("checkbox", "Filter, factor 8: 3 stops less light")
        .await?;
    let line = Axis::around([0.0, -2.0], 4.0);
    let piece = [-2.0, -2.0].map(|at| line.share(at));
    lie(&page, "figure", way, ".band", &piece).await?;
    page.find("checkbox", "Filter, factor 8: 3 stops less light")
        .await?
        .focus()
        .await?;
    page.key(Key::Space).await?;
    let line = Axis::around([0.0, -3.0, -5.0], 4.0);
    let all = [-3.0, -5.0, -5.0].map(|at| line.share(at));
    lie(&page, "figure", way, ".band", &all).await?;
    // What depends on the setting is said for the setting.
    press_row(&page, "Lens").await?;
    page.choose("What is known", "Its T-numbers at several stops")
        .await?;
    page.fill("f-numbers with their T-numbers", "2.8 4; 16 16")
        .await?;
    page.press_on("button", "Put it on the ledger").await?;
    page.press_on("button", "Back").await?;
    page.reads("As the dials stand, ").await?;
    job::sound(&page, "corrections as pieces").await?;
    page.finish().await
}

/// Worked case 12: metered 8, 16 and 32 s are 15.2, 37.8 and 93.7 s; a table is a guess beyond its last row.
#[tokio::test]
async fn long_times_are_a_curve_with_the_frames_on_it() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::dim_bracket(&page).await?;
    open_page(&page, CORRECTIONS, "Long times").await?;
    let name = "Metered and counted time";
    let film = LongTimes::power(1.31, 1.0)?;
    // From half a second to four minutes, and as far upwards as four minutes need.
    let across = Axis::around([0.5_f64, 240.0].map(f64::log2), 4.0);
    let most = film.needed(across.to().exp2()).log2();
    let up = Axis::around([across.from(), most], 4.0);
    let metered = [8.0_f64, 16.0, 32.0];
    let dots = metered.map(|time| across.share(time.log2()));
    lie(&page, "figure", name, ".dot", &dots).await?;
    let heights = page.find("figure", name).await?.drawn(".dot").await?;
    for (dot, time) in heights.iter().zip(metered) {
        let height = up.share(film.needed(time).log2());
        ensure!((dot[2] - height).abs() < CLOSE, "{time} s at {dot:?}");
    }
    page.reads("8 s becomes 15.2 s, 16 s becomes 37.8 s, 32 s becomes 1 min 34 s")
        .await?;
    let figure = page.find("figure", name).await?;
    let times = scale(&figure).await?;
    let fifteen = times.iter().find(|(words, _)| words == "15 s");
    ensure!(
        fifteen.is_some_and(|(_, at)| (at - across.share(15_f64.log2())).abs() < CLOSE),
        "{times:?}"
    );
    let guess = async || -> Result<String> {
        let path = page
            .find("figure", name)
            .await?
            .call("function () { return this.querySelector('.guess path').getAttribute('d'); }")
            .await?;
        Ok(path.as_str().unwrap_or_default().to_owned())
    };
    ensure!(guess().await?.is_empty(), "a law without rows ends nowhere");
    page.choose("Rule of the film", "A table, as the film's sheet prints it")
        .await?;
    page.fill("Table of metered and needed times", "1 2; 10 50")
        .await?;
    page.fill("Nothing is needed up to", "1/5").await?;
    page.reads("The curve is dashed beyond 10 s, the last row of the table: a guess.")
        .await?;
    let begins = format!("M{} ", (across.share(10_f64.log2()) * 10_000.0).round());
    page.wait_until("the guess begins at the last row", async || {
        Ok(guess().await?.starts_with(&begins))
    })
    .await?;
    job::sound(&page, "a curve of long times").await?;
    page.finish().await
}

/// 50 mm at 3 m, circle 0.03 mm, at each aperture; the words under the line say where metres lie.
#[tokio::test]
async fn depth_of_field_lies_from_near_to_far() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::full_stops(&page).await?;
    job::set(&page, "Aperture", "8").await?;
    open_page(&page, CORRECTIONS, "Depth of field").await?;
    page.fill("Focal length", "50").await?;
    page.fill("Focused at, from the lens", "3").await?;
    let field = DepthOfField::new(50.0, Some(3000.0), 0.03)?;
    let name = "What is sharp at each aperture";
    page.reads("f/8, as set: sharp from ").await?;
    let figure = page.find("figure", name).await?;
    let metres = scale(&figure).await?;
    // What this camera has: full stops from f/2 to f/16.
    let apertures = (2..=8).map(|half: i32| f64::from(half).mul_add(0.5, 0.0).exp2());
    let sharp: Vec<_> = apertures.map(|aperture| field.at(aperture)).collect();
    let place = |mm: f64| on_log_scale(&metres, "m", mm / 1000.0);
    let near: Vec<f64> = sharp
        .iter()
        .map(|sharp| place(sharp.near))
        .collect::<Result<_>>()?;
    let bars = figure.drawn(".band").await?;
    ensure!(same_places(&bars, &near), "{bars:?} begin at {near:?}");
    for (bar, sharp) in bars.iter().zip(&sharp) {
        let far = place(sharp.far.unwrap_or(f64::NAN))?;
        ensure!(
            (bar[0] + bar[1] - far).abs() < 10.0 * CLOSE,
            "{bar:?} ends at {far}"
        );
    }
    let subject = vec![place(3000.0)?; sharp.len()];
    let dots = figure.drawn(".point").await?;
    ensure!(same_places(&dots, &subject), "{dots:?} of {subject:?}");
    // Far away: infinity is the end of the line, and named.
    page.fill("Focused at, from the lens", "infinity").await?;
    page.reads("∞ is infinity").await?;
    let figure = page.find("figure", name).await?;
    let ends = scale(&figure).await?;
    ensure!(
        ends.last()
            .is_some_and(|(words, at)| words == "∞" && (at - 1.0).abs() < CLOSE),
        "{ends:?}"
    );
    let bars = figure.drawn(".band").await?;
    ensure!(
        bars.len() == sharp.len()
            && bars
                .iter()
                .all(|bar| (bar[0] + bar[1] - 1.0).abs() < 2.0 * CLOSE),
        "{bars:?} end at infinity"
    );
    job::sound(&page, "depth of field at each aperture").await?;
    page.finish().await
}

/// Guide number 66 in feet: the distance that is right is 66 over the f-number, and half a stop a factor of 2^¼.
#[tokio::test]
async fn a_flash_reaches_so_far_at_each_aperture() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::full_stops(&page).await?;
    job::read(&page, "100", "1/125", "8").await?;
    job::set(&page, "Sensitivity", "100").await?;
    open_page(&page, CORRECTIONS, "Flash").await?;
    page.fill("Guide number", "66").await?;
    page.choose("For distances in", "feet").await?;
    page.fill("From the flash to the subject", "16.5 ft")
        .await?;
    page.reads("f/4, to be set: right at 16.5 ft, within ½ stop from ")
        .await?;
    let figure = page
        .find("figure", "How far the flash reaches at each aperture")
        .await?;
    let feet = scale(&figure).await?;
    let apertures: Vec<f64> = (2..=8).map(|half| (f64::from(half) / 2.0).exp2()).collect();
    let right: Vec<f64> = apertures
        .iter()
        .map(|aperture| on_log_scale(&feet, "ft", 66.0 / aperture))
        .collect::<Result<_>>()?;
    let dots = figure.drawn(".point").await?;
    ensure!(same_places(&dots, &right), "{dots:?} of {right:?}");
    let near: Vec<f64> = apertures
        .iter()
        .map(|aperture| on_log_scale(&feet, "ft", 66.0 / aperture / 0.25_f64.exp2()))
        .collect::<Result<_>>()?;
    let bars = figure.drawn(".band").await?;
    ensure!(same_places(&bars, &near), "{bars:?} of {near:?}");
    let subject = vec![on_log_scale(&feet, "ft", 16.5)?; apertures.len()];
    let lines = figure.drawn(".against").await?;
    ensure!(same_places(&lines, &subject), "{lines:?} of {subject:?}");
    job::sound(&page, "a fan of distances").await?;
    page.finish().await
}

/// 1/160 measured where 1/250 is engraved: a repairer lets 30 % pass, the other rule half a stop at the top speed.
#[tokio::test]
async fn a_measured_time_lies_beside_what_is_engraved() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.choose("Camera", "1930s folder, 1 s to 1/250, stepless ring")
        .await?;
    open_page(&page, CORRECTIONS, "Shutter").await?;
    page.fill("Mark on the shutter", "1/250").await?;
    page.fill("Measured times", "1/160").await?;
    page.reads("1/250 gives 1/160").await?;
    let name = "Measured against engraved, in stops";
    let line = Axis::around([-0.515, 0.7], 2.0);
    lie(
        &page,
        "figure",
        name,
        ".faint",
        &[0.7_f64.log2(), -0.5].map(|at| line.share(at)),
    )
    .await?;
    lie(&page, "figure", name, ".against", &[line.share(0.0); 2]).await?;
    let dots = page.find("figure", name).await?.drawn(".point").await?;
    // As engraved or as the series has it, 1/256: two thirds of a stop.
    ensure!(
        matches!(dots[..], [[a, ..], [b, ..]] if (a - b).abs() < CLOSE && (line.at(a) - 0.66).abs() < 0.03),
        "{dots:?}"
    );
    page.press_on("button", "Put it into the camera").await?;
    page.reads("as the dials count it").await?;
    page.wait_until("the camera's own times are drawn as well", async || {
        let figures = page.find_all("figure").await?;
        Ok(figures
            .iter()
            .filter(|figure| figure.name() == name)
            .count()
            == 2)
    })
    .await?;
    job::sound(&page, "measured times as bars").await?;
    page.finish().await
}

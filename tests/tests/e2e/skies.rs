//! The day of sun and moon, and the strip of zones: drawn where the figures say, and moved by hand and by keys.

use exposure::Axis;
use tests::harness::{
    DESK, Key, PHONE, Page, Point, Result, SMALL_PHONE, Site, Value, bail, ensure, json,
};

use crate::{
    job,
    light::{add_spots, open_page, press_row},
};

const FIND: &str = "Find the light";
const DAY: &str = "The day: heights of sun and moon, and the light";
const SLIDER: &str = "Another time of the day";
const ZONES: &str = "Zones from black to white";

const HOURS: Axis = Axis::new(0.0, 24.0);
const HEIGHTS: Axis = Axis::new(-24.0, 90.0);
const STRIP: Axis = Axis::new(-2.0 / 3.0, 32.0 / 3.0);

/// A style has a share of a length to a thousandth of a hundredth.
const CLOSE: f64 = 1e-5;

/// A day at a place by a clock that is so many hours from UTC.
async fn day(page: &Page<'_>, [north, east]: [&str; 2], day: &str, hours: &str) -> Result<()> {
    page.fill("Latitude", north).await?;
    page.fill("Longitude", east).await?;
    page.fill("Day", day).await?;
    page.choose("Clock", "Another one, by its hours from UTC")
        .await?;
    page.fill("Hours from UTC", hours).await
}

/// Waits until the sun is drawn at an hour of the clock and a height in degrees.
async fn sun_stands(page: &Page<'_>, hour: f64, height: f64) -> Result<()> {
    page.wait_until(
        &format!("the sun {height}° high at {hour} h"),
        async || {
            let figure = page.find("figure", DAY).await?;
            let [sun, light] = figure.drawn(".dot").await?[..] else {
                return Ok(false);
            };
            let offered = page
                .find("region", "The reading")
                .await?
                .drawn(".dot")
                .await?;
            let (up, at) = (HEIGHTS.share(height), HOURS.share(hour));
            // The reference is good to a fiftieth of a degree here.
            Ok((sun[2] - up).abs() < 0.02 / 114.0
            && [sun, light].iter().all(|dot| (dot[0] - at).abs() < CLOSE)
            // On the same line of light as what is offered.
            && matches!(offered[..], [[at, ..]] if (at - light[2]).abs() < 2.0 * CLOSE))
        },
    )
    .await
}

async fn typed_time(page: &Page<'_>) -> Result<String> {
    page.find("textbox", "Time by this clock")
        .await?
        .value()
        .await
}

/// Points of a curve, in hundredths of a hundredth of the plot.
async fn points(page: &Page<'_>, curve: &str) -> Result<Vec<[f64; 2]>> {
    let figure = page.find("figure", DAY).await?;
    let path = format!(
        "function () {{
            const d = this.querySelector('svg.{curve} path').getAttribute('d');
            return [...d.matchAll(/[ML](\\d+) (\\d+)/g)].map(point => [+point[1], +point[2]]);
        }}"
    );
    Ok(serde_json::from_value(figure.call(&path).await?)?)
}

/// 15 March 2010 at 36.840556° south, 174.74° east, as the sun's reference program has it (see `sun_positions.csv` of
/// `readings`): 34.572436° from the zenith at 00:30 and 54.110066° at 21:30 UTC, with 0.0115° and 0.023° of refraction.
#[tokio::test]
async fn the_sun_is_drawn_where_it_stands_and_goes_along() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Sun and moon").await?;
    ensure!(
        !page.has("figure", DAY).await? && !page.has("slider", SLIDER).await?,
        "a day is drawn without a place"
    );
    day(&page, ["36.840556 S", "174.74 E"], "2010-03-15", "0").await?;
    page.fill("Time by this clock", "00:30").await?;
    sun_stands(&page, 0.5, 55.416).await?;
    // The curve goes through the sun: the fourth of its points is that of half past midnight.
    let curve = points(&page, "first").await?;
    ensure!(
        curve.get(3) == Some(&[208.0, (10_000.0 * (1.0 - HEIGHTS.share(55.416))).round()]),
        "the curve has {curve:?}"
    );
    let figure = page.find("figure", DAY).await?;
    let tall = "function () { return this.getBoundingClientRect().height; }";
    let before = figure.call(tall).await?;
    // By touch, over nearly the whole day: 21:30 is 1290 of 1440 minutes.
    let slider = page.find("slider", SLIDER).await?;
    slider.drag(30.0 / 1440.0, 1290.0 / 1440.0).await?;
    page.wait_equal("the time in its field", json!("21:30"), async || {
        Ok(json!(typed_time(&page).await?))
    })
    .await?;
    sun_stands(&page, 21.5, 35.867).await?;
    page.reads("21:30 is 21 h after 00:30: ").await?;
    // By the keyboard, in steps of five minutes.
    slider.focus().await?;
    page.key(Key::Left).await?;
    page.reads("21:25 is 20 h 55 min after 00:30: ").await?;
    let said = slider.value_text().await?;
    ensure!(said.starts_with("21:25, "), "it says {said}");
    let after = page.find("figure", DAY).await?.call(tall).await?;
    ensure!(before == after, "{before} px became {after}");
    // What is typed again is where one begins anew; what is half typed is nowhere, and takes nothing away.
    page.fill("Time by this clock", "12:00").await?;
    page.reads("In 1 h ").await?;
    ensure!(
        !page.text().await?.contains(" after 00:30"),
        "it is still compared"
    );
    page.fill("Time by this clock", "12:").await?;
    page.reads("A time is typed as hours and minutes").await?;
    ensure!(points(&page, "first").await? == curve, "another day");
    let now = page.find("figure", DAY).await?.drawn(".now").await?;
    ensure!(now.is_empty(), "a time that is none is drawn: {now:?}");
    page.finish().await
}

/// Days on which the clock is put forward, on which the sun does not rise, and the place without latitude and longitude.
#[tokio::test]
async fn days_that_are_not_like_others_are_drawn() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(SMALL_PHONE).await?;
    page.devtools(
        "Emulation.setTimezoneOverride",
        json!({ "timezoneId": "Europe/Zurich" }),
    )
    .await?;
    page.reload().await?;
    job::choose_theme(&page, "Darkroom").await?;
    open_page(&page, FIND, "Sun and moon").await?;
    page.fill("Latitude", "47.37").await?;
    page.fill("Longitude", "8.54").await?;
    page.fill("Day", "2026-03-29").await?;
    page.fill("Time by this clock", "03:00").await?;
    page.reads("The clock is put forward by 1 h that day.")
        .await?;
    let slider = page.find("slider", SLIDER).await?;
    slider.focus().await?;
    page.key(Key::Left).await?;
    page.reads("The clock never shows 02:55 on 2026-03-29")
        .await?;
    for curve in ["first", "second"] {
        let [from, to] = [2.0, 3.0].map(|hour| HOURS.share(hour) * 10_000.0);
        let points = points(&page, curve).await?;
        ensure!(
            points.len() > 20 && !points.iter().any(|[x, _]| *x >= from.round() && *x < to),
            "an hour that is none is drawn: {points:?}"
        );
    }
    // On through the hour that is none, to the other side of it.
    page.keys(&[Key::Left.into(); 12]).await?;
    page.reads("The clock is 1 h ahead of UTC then.").await?;
    let time = typed_time(&page).await?;
    ensure!(time == "01:55", "it came to {time}");
    job::sound_in_the_dark(&page, "the day of sun and moon").await?;
    day(&page, ["0", "0"], "2026-03-20", "0").await?;
    page.reads("The sun stands highest about 12:10, 89° high")
        .await?;
    day(&page, ["78.22", "15.63"], "2026-12-21", "1").await?;
    page.reads("The sun stands highest about 12:00, 12° below the horizon")
        .await?;
    page.reads("Long shadows (sun up to 10° high): none, the sun does not rise.")
        .await?;
    let highest = points(&page, "first").await?;
    let horizon = 10_000.0 * (1.0 - HEIGHTS.share(0.0));
    ensure!(
        !highest.is_empty() && highest.iter().all(|[_, y]| *y > horizon),
        "the sun is drawn over the horizon in the polar night"
    );
    day(&page, ["78.22", "15.63"], "2026-06-21", "2").await?;
    page.reads("Long shadows (sun up to 10° high): none, the sun stays higher.")
        .await?;
    page.finish().await
}

/// Waits until the spots lie on these zones of the strip, those that go along first, each on its own line as well.
async fn fall(page: &Page<'_>, along: &[f64], leads: &[f64]) -> Result<()> {
    page.wait_until(
        &format!("spots on {along:?}, led by {leads:?}"),
        async || {
            for (role, name) in [("figure", ZONES), ("list", "Spots")] {
                let within = page.find(role, name).await?;
                for (class, zones) in [(".ring", along), (".dot", leads)] {
                    let drawn = within.drawn(class).await?;
                    let is_near =
                        |(at, zone): (&[f64; 3], &f64)| (at[0] - STRIP.share(*zone)).abs() < CLOSE;
                    if drawn.len() != zones.len() || !drawn.iter().zip(zones).all(is_near) {
                        return Ok(false);
                    }
                }
            }
            Ok(true)
        },
    )
    .await
}

/// Taps a zone of the strip.
async fn tap_zone(page: &Page<'_>, zone: usize) -> Result<()> {
    let strip = page.find("figure", ZONES).await?;
    let place = strip
        .call(&format!(
            "function () {{
                const zone = this.querySelectorAll('.zone')[{zone}];
                zone.scrollIntoView({{ block: 'nearest', behavior: 'instant' }});
                const {{ left, top, width, height }} = zone.getBoundingClientRect();
                return [left + width / 2, top + height / 2];
            }}"
        ))
        .await?;
    let [x, y]: [f64; 2] = serde_json::from_value(place)?;
    page.tap(Point { x, y }).await
}

async fn chosen(page: &Page<'_>, name: &str) -> Result<Value> {
    page.find("combobox", name)
        .await?
        .call("function () { return this.selectedOptions[0].label; }")
        .await
}

/// A spot is dragged to where it is to come out, and all others go along by as much.
#[tokio::test]
async fn a_spot_is_moved_to_its_zone_and_all_go_along() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Spots and tones").await?;
    ensure!(!page.has("figure", ZONES).await?, "a strip without spots");
    add_spots(&page, &[("hedge", "8"), ("path", "11"), ("gate", "14")]).await?;
    // Their average, EV 11, is zone V.
    fall(&page, &[2.0, 5.0, 8.0], &[]).await?;
    let held = page.find("figure", ZONES).await?.drawn(".held").await?;
    // The dial has colour negative film at first: zone II to IX, each a stop wide.
    ensure!(
        matches!(held[..], [[at, long, _]] if (at - STRIP.share(1.5)).abs() < CLOSE && (long - 8.0 / (34.0 / 3.0)).abs() < 2.0 * CLOSE),
        "the film is drawn at {held:?}"
    );
    page.reads("Colour negative film keeps texture from zone II to IX (common practice, no source; old film keeps less).")
        .await?;
    // As long as none was chosen, a tap on a zone means the first.
    page.reads("Tap a zone, and hedge comes out there").await?;
    tap_zone(&page, 4).await?;
    fall(&page, &[7.0, 10.0], &[4.0]).await?;
    page.choose("What is made of them", "The average of all is middle grey")
        .await?;
    fall(&page, &[2.0, 5.0, 8.0], &[]).await?;
    // By touch, from V to III: thirds of a zone from two thirds below nought.
    let share = |thirds: f64| (thirds + 2.0) / 34.0;
    let path = page
        .find("slider", "path: the zone it comes out on")
        .await?;
    path.drag(share(15.0), share(9.0)).await?;
    fall(&page, &[0.0, 6.0], &[3.0]).await?;
    page.reads("path: zone III, dark with texture").await?;
    page.reads("EV 13 at ISO 100 (spot: path on zone III)")
        .await?;
    page.reads("Outside: hedge.").await?;
    ensure!(
        chosen(&page, "Which spot").await? == "path"
            && chosen(&page, "What is made of them").await? == "One comes out on zone III",
        "the lists say something else"
    );
    // By the keyboard, a third at a time, and beyond black.
    path.focus().await?;
    page.keys(&[Key::Left.into(), Key::Left.into()]).await?;
    fall(&page, &[-2.0 / 3.0, 5.0 + 1.0 / 3.0], &[2.0 + 1.0 / 3.0]).await?;
    page.reads("Below zone 0: hedge").await?;
    ensure!(path.has_focus().await?, "the keyboard went elsewhere");
    let said = path.value_text().await?;
    ensure!(said.starts_with("path: zone II⅓"), "it says {said}");
    // Another one leads: nothing jumps, for it goes on from where it is.
    let gate = page
        .find("slider", "gate: the zone it comes out on")
        .await?;
    gate.focus().await?;
    page.key(Key::Right).await?;
    fall(&page, &[-1.0 / 3.0, 2.0 + 2.0 / 3.0], &[5.0 + 2.0 / 3.0]).await?;
    // A zone that is tapped is where the one that leads comes out; what is drawn on it does not get in the way.
    tap_zone(&page, 9).await?;
    fall(&page, &[3.0, 6.0], &[9.0]).await?;
    tap_zone(&page, 6).await?;
    fall(&page, &[0.0, 3.0], &[6.0]).await?;
    // The lists lead as well.
    page.choose(
        "What is made of them",
        "One is: Bright with texture, zone VIII (common practice, no source)",
    )
    .await?;
    fall(&page, &[2.0, 5.0], &[8.0]).await?;
    page.choose("What is made of them", "The average of all is middle grey")
        .await?;
    fall(&page, &[2.0, 5.0, 8.0], &[]).await?;
    job::sound(&page, "the strip").await?;
    page.finish().await
}

/// With the mouse, with slide film on the dial, and in the dark, where black to white is black to red.
#[tokio::test]
async fn the_strip_on_a_desk_and_in_the_dark() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.choose("Film type", "Slide (reversal)").await?;
    job::choose_theme(&page, "Darkroom").await?;
    open_page(&page, FIND, "Spots and tones").await?;
    add_spots(&page, &[("cellar", "5"), ("sky", "15")]).await?;
    fall(&page, &[0.0, 10.0], &[]).await?;
    page.reads("Slide film keeps texture from zone III to VII")
        .await?;
    page.reads("Outside: cellar, sky.").await?;
    let shades = page.eval("[...document.querySelectorAll('.zones > .zone')].map(zone => getComputedStyle(zone).backgroundColor)").await?;
    let Some(shades) = shades.as_array() else {
        bail!("no shades: {shades}");
    };
    ensure!(
        shades.len() == 11
            && shades[0] == "rgb(0, 0, 0)"
            && shades[10] == "rgb(255, 0, 0)"
            && shades.windows(2).all(|pair| pair[0] != pair[1]),
        "the shades are {shades:?}"
    );
    let sky = page.find("slider", "sky: the zone it comes out on").await?;
    sky.drag(32.0 / 34.0, 26.0 / 34.0).await?;
    fall(&page, &[-2.0], &[8.0]).await?;
    page.reads("Below zone 0: cellar").await?;
    job::sound_in_the_dark(&page, "the strip").await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Sun and moon").await?;
    page.finish().await
}

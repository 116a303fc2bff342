//! What is drawn lies where the figures beside it say.

use exposure::Axis;
use tests::harness::{DESK, Key, PHONE, Page, Result, Site, bail, ensure};

use crate::light::{open_page, press_row};

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

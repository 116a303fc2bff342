//! A film-speed test: typed, drawn, written to its group, and a rule beside the others from then on.

use tests::harness::{
    DESK, Key, PHONE, Page, Paper, Result, SMALL_PHONE, Setup, Site, ensure, shelf,
};

use crate::{
    film_book::{choose_file, open_book},
    job,
};

/// A batch of aged black-and-white film.
const AGED: &str = concat!(
    "{\"format\":\"stopkeeper book\",\"version\":1,\"written\":\"2026-11-25\",\"count\":3,\"records\":[\n",
    "{\"format\":\"stopkeeper stock\",\"version\":1,\"record\":{\"id\":\"harbour\",\"name\":\"Harbour\",\"film\":\"black_and_white\",\"box_speed\":\"ISO 400\"}},\n",
    "{\"format\":\"stopkeeper batch\",\"version\":1,\"record\":{\"id\":\"box\",\"stock\":\"harbour\",\"expiry\":\"1994-06\",\"storage\":\"room\"}},\n",
    "{\"format\":\"stopkeeper roll\",\"version\":1,\"record\":{\"id\":\"box-1\",\"name\":\"Harbour 1\",\"batch\":\"box\",\"exposures\":36,\"state\":\"in_bag\",\"development\":\"normal\"}}\n",
    "]}\n"
);

/// Frames of an even grey surface, metered at box speed.
const STEPS: &str = "4 less 0.30; 3 less 0.32; 2 less 0.36; 1 less 0.47; 0 0.63; 1 more 0.81; 2 more 1.00; 3 more 1.20";

async fn open_batch(page: &Page<'_>) -> Result<()> {
    let bag = page.find("list", "Bag").await?;
    bag.find_all("button").await?[0].tap().await?;
    page.find("button", "Film-speed test").await.map(drop)
}

async fn open_test(page: &Page<'_>) -> Result<()> {
    open_book(page).await?;
    choose_file(page, AGED).await?;
    page.press_on("button", "Bring it in").await?;
    page.find("list", "Bag").await?;
    open_batch(page).await?;
    page.press_on("button", "Film-speed test").await?;
    page.find("textbox", "Steps").await.map(drop)
}

#[tokio::test]
async fn a_test_is_typed_drawn_and_becomes_a_rule() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_test(&page).await?;
    page.reads("There are no steps. Base plus fog alone is never turned into a speed")
        .await?;
    ensure!(
        page.find("button", "Write this test to the group")
            .await?
            .is_disabled()
            .await?,
        "nothing can be written yet"
    );
    page.fill("Steps", STEPS).await?;
    page.fill("Base plus fog", "0.30").await?;
    page.fill("Conditions", "Own developer, 9 min").await?;
    // 0.40 lies four elevenths of the way from 2 stops less to 1 stop less; metered for 400 that is EI 125.
    page.reads("The speed point, density 0.4, is reached at about 1⅔ stops less light")
        .await?;
    page.reads("EI 125 (worked out 124)").await?;
    // The figure has its points where they were typed: 4 less to 3 more on an axis of whole stops.
    let figure = page.find("figure", "Curve").await?;
    let points = figure.drawn(".plot > .dot").await?;
    ensure!(points.len() == 8, "{} points", points.len());
    for (nth, point) in (0_u32..).zip(&points) {
        let expected = f64::from(nth) / 7.0;
        ensure!(
            (point[0] - expected).abs() < 1e-4,
            "point {nth} lies at {point:?}"
        );
    }
    ensure!((points[0][2] - 0.30 / 2.0).abs() < 1e-4, "{points:?}");
    let rings = figure.drawn(".plot > .ring").await?;
    let speed_point = (4.0 - 2.0 + 4.0 / 11.0) / 7.0;
    ensure!(
        (rings[0][0] - speed_point).abs() < 1e-4,
        "the speed point lies at {rings:?}"
    );
    job::sound(&page, "a typed test").await?;
    page.press_on("button", "Write this test to the group")
        .await?;
    page.reads("EI 125, is written to this group and to no other")
        .await?;
    page.find("list", "Tests of this group").await?;
    let records = shelf::records(&page).await?;
    ensure!(
        records
            .iter()
            .any(|(key, text)| key.contains("test.") && text.contains("\"speed\":\"ISO 125\"")),
        "stored are {records:#?}"
    );
    page.press_on("button", "Back").await?;
    page.reads("Film-speed test of").await?;
    page.reads("Own developer, 9 min").await?;
    page.reads("your own film-speed test with this group")
        .await?;
    // After a reload it is there again, can be removed, and that can be undone.
    page.reload().await?;
    page.press_on("button", "Film book").await?;
    open_batch(&page).await?;
    page.reads("Film-speed test of").await?;
    page.press_on("button", "Film-speed test").await?;
    let list = page.find("list", "Tests of this group").await?;
    list.find_all("button").await?[0].tap().await?;
    page.wait_until("the test is gone", async || {
        Ok(!page.has("list", "Tests of this group").await?)
    })
    .await?;
    page.press_on("button", "Undo").await?;
    page.find("list", "Tests of this group").await?;
    page.finish().await
}

/// What was typed and not yet written is there after a reload, and what is wrong with it is said.
#[tokio::test]
async fn half_typed_steps_are_kept_and_mistakes_said() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(SMALL_PHONE).await?;
    open_test(&page).await?;
    page.fill("Steps", "2 more 0.9; 2 0.92").await?;
    page.key(Key::Tab).await?;
    page.reads("“2” was not understood").await?;
    job::sound(&page, "a mistake on a small phone").await?;
    page.reload().await?;
    page.press_on("button", "Film book").await?;
    open_batch(&page).await?;
    page.press_on("button", "Film-speed test").await?;
    let kept = page.find("textbox", "Steps").await?.value().await?;
    ensure!(kept.contains("2 more 0.9"), "what is left is “{kept}”");
    page.fill("Steps", STEPS).await?;
    page.choose("How the exposures are known", "A step tablet on one frame")
        .await?;
    page.reads("“less” was not understood").await?;
    page.fill(
        "Steps",
        "0.05 1.24 0.35 1.06 0.65 0.87 0.95 0.69 1.25 0.52 1.55 0.40 1.85 0.33 2.15 0.31 2.45 0.31",
    )
    .await?;
    page.reads("9 steps").await?;
    page.reads("base plus fog is reached").await?;
    page.finish().await
}

#[tokio::test]
async fn the_form_is_filled_by_keys_and_codes_go_through_a_calibration() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_test(&page).await?;
    page.fill(
        "Calibration, where codes of a scan are typed in the place of densities",
        "200 0.20; 118 0.80; 40 1.70",
    )
    .await?;
    page.find("textbox", "Steps").await?.focus().await?;
    page.keys(&['0', ' ', '1', '5', '9']).await?;
    page.reads("1 step from what was metered").await?;
    page.key(Key::Tab).await?;
    page.wait_until("base plus fog has the keyboard", async || {
        page.find("textbox", "Base plus fog")
            .await?
            .has_focus()
            .await
    })
    .await?;
    page.reads("densities 0.5 to 0.5").await?;
    page.fill("Steps", "0 159; 1 more 30").await?;
    page.reads("Left out, for their codes lie beyond the calibration: 1")
        .await?;
    page.finish().await
}

#[tokio::test]
async fn the_test_is_sound_in_every_theme_and_on_paper() -> Result<()> {
    let site = Site::start().await?;
    for (screen, theme) in [
        (PHONE, "Bright sun"),
        (SMALL_PHONE, "Dusk"),
        (DESK, "Darkroom"),
    ] {
        let page = site.open(Setup::from(screen)).await?;
        job::choose_theme(&page, theme).await?;
        open_test(&page).await?;
        page.fill("Steps", STEPS).await?;
        page.fill("Base plus fog", "0.30").await?;
        page.find("figure", "Curve").await?;
        if theme == "Darkroom" {
            job::sound_in_the_dark(&page, theme).await?;
            let sheets = page.printed_on(Paper::A4).await?.join("\n");
            for words in [
                "Speed by ISO 6",
                "Average gradient",
                "Rings: the speed point",
            ] {
                ensure!(
                    sheets.contains(words),
                    "on paper there is no “{words}”: {sheets}"
                );
            }
        } else {
            job::sound(&page, theme).await?;
        }
        page.finish().await?;
    }
    Ok(())
}

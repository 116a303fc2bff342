//! The evidence for a rating, drawn: what lies where, tapped, by keys, on paper, and in every theme.

use exposure::Axis;
use tests::harness::{DESK, Key, PHONE, Page, Paper, Result, SMALL_PHONE, Setup, Site, ensure};

use crate::{film_book::open_book, job};

/// Opens the batch of the invented example, with its three judged scenes.
async fn open_evidence(page: &Page<'_>) -> Result<()> {
    open_book(page).await?;
    page.press_on("button", "Add the invented example").await?;
    page.reads("The invented example is in the book").await?;
    open_batch(page).await
}

/// From the cover to the batch.
async fn open_batch(page: &Page<'_>) -> Result<()> {
    let bag = page.find("list", "Bag").await?;
    let shelves = bag.find_all("button").await?;
    ensure!(shelves.len() == 1, "the bag has {} shelves", shelves.len());
    shelves[0].tap().await?;
    page.find("figure", "Evidence").await.map(drop)
}

/// The example is rated 80 in a box of 200, one stop apart, from a stop less light to two stops more; in its second scene the
/// ring stood a stop further open for the last two frames.
const BASE: f64 = 4.0 / 3.0;
const AXIS: Axis = Axis::new(-1.0, 5.0);

#[tokio::test]
async fn marks_lie_where_the_frames_were_shot() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_evidence(&page).await?;
    let figure = page.find("figure", "Evidence").await?;
    let drawn = figure.drawn(".scenes .judged").await?;
    let offsets = [
        [-1.0, 0.0, 1.0, 2.0],
        [-1.0, 0.0, 1.0, 2.0],
        [-1.0, 0.0, 2.0, 3.0],
    ];
    let mut expected: Vec<f64> = offsets
        .concat()
        .iter()
        .map(|offset| AXIS.share(BASE + offset))
        .collect();
    expected.sort_by(f64::total_cmp);
    let mut found: Vec<f64> = drawn.iter().map(|mark| mark[0]).collect();
    found.sort_by(f64::total_cmp);
    ensure!(
        found.len() == expected.len()
            && found
                .iter()
                .zip(&expected)
                .all(|(found, expected)| (found - expected).abs() < 2e-4),
        "marks lie at {found:?}, expected {expected:?}"
    );
    // Shapes say the verdict: each grade is there, and all of them are what is judged.
    let mut count = 0;
    for grade in ["rejected", "usable", "liked"] {
        let some = figure
            .drawn(&format!(".scenes .judged.{grade}"))
            .await?
            .len();
        ensure!(some > 0, "no frame is {grade}");
        count += some;
    }
    ensure!(count == expected.len(), "{count} marks have a shape");
    // Every mark has something to press at its place, and its name says the rest.
    let scenes = page.find("list", "Scenes").await?;
    let presses = scenes.find_all("button").await?;
    ensure!(
        presses.len() == expected.len(),
        "{} can be pressed",
        presses.len()
    );
    let mut places: Vec<f64> = figure
        .drawn(".presses > button")
        .await?
        .iter()
        .map(|press| press[0])
        .collect();
    places.sort_by(f64::total_cmp);
    ensure!(places == found, "presses lie at {places:?}");
    // The third scene's brightest frame was liked: its end is open, beyond all that was tried there.
    let open = figure.drawn(".scenes .open.more").await?;
    ensure!(
        open.len() == 1 && (open[0][0] - AXIS.share(BASE + 2.0)).abs() < 2e-4,
        "open ends lie at {open:?}"
    );
    // The darkest scene comes first, and the rating lies on its mark.
    let rated = figure.drawn(".result .rated").await?;
    let said = figure.text().await?;
    ensure!(rated.len() == 1, "{rated:?}");
    ensure!(
        said.contains("3 scenes in order of light") && said.contains("rated EI"),
        "the figure says {said}"
    );
    let names: Vec<String> = scenes
        .find_all("listitem")
        .await?
        .iter()
        .map(|row| row.name().to_owned())
        .collect();
    ensure!(names.len() == 3, "rows: {names:?}");
    page.finish().await
}

#[tokio::test]
async fn a_tapped_mark_says_its_line_of_the_log() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_evidence(&page).await?;
    page.reads("Tap a mark to read its line of the log").await?;
    let scenes = page.find("list", "Scenes").await?;
    let first = &scenes.find_all("button").await?[0];
    let name = first.name().to_owned();
    ensure!(name.contains("than box speed"), "the mark is called {name}");
    first.tap().await?;
    let tapped = page.find("region", "The tapped frame").await?;
    let said = tapped.text().await?;
    ensure!(
        said.contains("Example roll 1 (invented), frame") && said.contains("1/250"),
        "the line says {said}"
    );
    job::sound(&page, "a tapped mark").await?;
    page.press_on("button", "Open its log").await?;
    page.find("list", "Frames").await?;
    page.press_on("button", "Back").await?;
    page.find("figure", "Evidence").await?;
    page.finish().await
}

#[tokio::test]
async fn marks_are_reached_by_keys() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_evidence(&page).await?;
    let scenes = page.find("list", "Scenes").await?;
    let presses = scenes.find_all("button").await?;
    presses[0].focus().await?;
    page.key(Key::Tab).await?;
    page.wait_until("the next mark has the keyboard", async || {
        presses[1].has_focus().await
    })
    .await?;
    page.key(Key::Enter).await?;
    let said = page
        .find("region", "The tapped frame")
        .await?
        .text()
        .await?;
    ensure!(said.contains("1/125"), "the line says {said}");
    ensure!(
        presses[1].has_focus().await?,
        "the keyboard stays where it was"
    );
    page.finish().await
}

/// How sure it is stands in plain words, and is there again after a reload.
#[tokio::test]
async fn how_sure_is_said_in_plain_words() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_evidence(&page).await?;
    for words in [
        "By 3 scenes, the middle of all scenes' best offsets",
        "sure to 75 %",
        "of 6 scenes would enclose it with 97 %",
    ] {
        page.reads(words).await?;
    }
    page.reads("happens by chance").await?;
    page.reload().await?;
    page.press_on("button", "Film book").await?;
    open_batch(&page).await?;
    page.reads("sure to 75 %").await?;
    page.press_on("button", "Write this to the group").await?;
    page.reads("Written to this group").await?;
    page.find("figure", "Evidence").await?;
    page.finish().await
}

#[tokio::test]
async fn the_evidence_is_sound_in_every_theme_and_size() -> Result<()> {
    let site = Site::start().await?;
    for (screen, theme) in [
        (PHONE, "Bright sun"),
        (SMALL_PHONE, "Dusk"),
        (DESK, "Darkroom"),
    ] {
        let page = site.open(Setup::from(screen)).await?;
        job::choose_theme(&page, theme).await?;
        open_evidence(&page).await?;
        if theme == "Darkroom" {
            job::sound_in_the_dark(&page, theme).await?;
        } else {
            job::sound(&page, theme).await?;
        }
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn the_evidence_is_there_on_paper() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open_evidence(&page).await?;
    let sheets = page.printed_on(Paper::A4).await?.join("\n");
    for words in [
        "rejected",
        "usable",
        "liked",
        "Boats in the sun",
        "rated EI",
        "How sure",
    ] {
        ensure!(
            sheets.contains(words),
            "on paper there is no “{words}”: {sheets}"
        );
    }
    ensure!(!sheets.contains("Tap a mark"), "paper cannot be tapped");
    page.finish().await
}

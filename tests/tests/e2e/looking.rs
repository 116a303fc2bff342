//! The live camera and a photo as pictures that are touched: what is read where, and what is drawn of it.

use exposure::Axis;
use tests::harness::{Context, Folder, Key, Metadata, PHONE, Page, Result, Site, ensure, json};

use crate::{
    job,
    light::{dial_reads, in_the_picture, open_page, take},
};

const FIND: &str = "Find the light";

/// Three fields at borders of the blocks of a JPEG, so that none bleeds into the next: middle grey, a stop brighter, black.
const FIELDS: &str = "
    pen.fillStyle = 'rgb(118, 118, 118)'; pen.fillRect(0, 0, 96, 200);
    pen.fillStyle = 'rgb(162, 162, 162)'; pen.fillRect(96, 0, 96, 200);
    pen.fillStyle = 'black'; pen.fillRect(192, 0, 108, 200);
";

/// A style has a share of a length to a thousandth of a hundredth, and a photo a grey to one of 256.
const CLOSE: f64 = 1e-4;

/// The bars of the histogram lie at these stops, each as high as a share of the picture; then what is black and what is burnt.
async fn spread(page: &Page<'_>, bars: &[(f64, f64)], cut: [f64; 2]) -> Result<()> {
    let ends = [bars[0].0, bars[bars.len() - 1].0];
    let line = Axis::around(ends, 6.0);
    let x = Axis::new(line.from() - 2.0, line.to() + 2.0);
    let highest = bars.iter().map(|bar| bar.1).chain(cut).fold(0.0, f64::max);
    let mut wanted: Vec<[f64; 3]> = bars
        .iter()
        .map(|(stops, share)| {
            let from = x.share(stops - 0.25);
            [from, x.share(stops + 0.25) - from, share / highest]
        })
        .collect();
    for (from, share) in [x.from() + 0.5, x.to() - 1.5].into_iter().zip(cut) {
        wanted.push([
            x.share(from),
            x.share(from + 1.0) - x.share(from),
            share / highest,
        ]);
    }
    page.wait_until(&format!("bars at {wanted:?}"), async || {
        let name = "Tones of the picture, in stops from the marked place";
        let drawn = page.find("figure", name).await?.drawn(".column").await?;
        let is_near = |(drawn, wanted): (&[f64; 3], &[f64; 3])| {
            drawn.iter().zip(wanted).all(|(a, b)| (a - b).abs() < CLOSE)
        };
        Ok(drawn.len() == wanted.len() && drawn.iter().zip(&wanted).all(is_near))
    })
    .await
}

async fn grey_at(page: &Page<'_>, x: u32) -> Result<u64> {
    let grey = page
        .eval(&format!(
            "document.querySelector('.metered > canvas').getContext('2d').getImageData({x}, 100, 1, 1).data[0]"
        ))
        .await?;
    Ok(grey.as_u64().unwrap_or_default())
}

/// Moves the chosen place by a slider of the keyboard.
async fn across(page: &Page<'_>, what: &str, keys: &[Key]) -> Result<()> {
    let slider = page
        .find("slider", &format!("{what}, from left to right"))
        .await?;
    slider.focus().await?;
    for key in keys {
        page.key(*key).await?;
    }
    Ok(())
}

#[tokio::test]
async fn a_photo_is_read_by_touch_and_by_keyboard() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let folder = Folder::new("photos")?;
    let metadata = Metadata::of((1, 125), (8, 1), 100);
    let photo = page
        .photo(&folder, "fields.jpg", FIELDS, Some(metadata))
        .await?;
    open_page(&page, FIND, "From a photo").await?;
    page.choose_file("Choose a photo", &photo).await?;
    page.reads("The marked place is 1 stop brighter than middle grey")
        .await?;
    // A field is 96 of 300 pixels wide, the black one 108.
    spread(&page, &[(-1.0, 0.32), (0.0, 0.32)], [0.36, 0.0]).await?;
    page.reads(
        "From 1 stop darker to as bright; nothing of the picture is burnt out, 36 % is black.",
    )
    .await?;

    // By touch: the mark is dragged into the darker field, and seen larger on its way.
    let (from, to) = (
        in_the_picture(&page, 0.5, 0.5).await?,
        in_the_picture(&page, 0.2, 0.6).await?,
    );
    page.press(from).await?;
    page.slide(from, to).await?;
    let loupe = "(() => {
        const loupe = document.querySelector('.loupe'), canvas = loupe.querySelector('canvas');
        const { left, right } = loupe.getBoundingClientRect();
        return loupe.hidden ? null : [left, right, canvas.getContext('2d').getImageData(132, 132, 1, 1).data[0]];
    })()";
    page.wait_until("the loupe shows what is under the finger", async || {
        let seen = page.eval(loupe).await?;
        Ok(seen[2] == json!(118) && seen[0].as_f64().is_some_and(|left| left > to.x))
    })
    .await?;
    page.lift().await?;
    page.wait_equal("the loupe afterwards", json!(null), async || {
        page.eval(loupe).await
    })
    .await?;
    page.reads("The marked place is as bright as middle grey")
        .await?;
    spread(&page, &[(0.0, 0.32), (1.0, 0.32)], [0.36, 0.0]).await?;

    // By keyboard: one more place, two fields to the right.
    page.press_on("button", "Mark another place").await?;
    page.press_on(
        "DisclosureTriangle",
        "Move the mark without touching the picture",
    )
    .await?;
    across(&page, "Marked place", &[Key::End]).await?;
    page.reads("The second: This place is black in the picture")
        .await?;
    across(&page, "Marked place", &[Key::Home]).await?;
    page.reads("The second is as bright as the first.").await?;
    across(&page, "Marked place", &[Key::PageUp; 5]).await?;
    page.reads("The second is 1 stop brighter than the first.")
        .await?;

    // The second one on zone VII: it reads EV 14, and two stops more light bring it there.
    page.choose(
        "The marked place comes out on",
        "zone VII, light with texture",
    )
    .await?;
    page.reads("EV 12 at ISO 100 (spot: place in a photo on zone VII)")
        .await?;
    page.reads("Zone VII was read as middle grey").await?;
    page.reads("The first: zone VI, light grey.").await?;
    page.reads("The second: zone VII, light with texture.")
        .await?;
    page.press_on("checkbox", "Show the picture in zones")
        .await?;
    page.reads("With the marked place on its zone: Black 36 %, zone VI 32 %, zone VII 32 %.")
        .await?;
    // Flat tones in even steps, and lines over what is black.
    page.wait_equal("greys of the zones", [153, 178], async || {
        Ok([grey_at(&page, 40).await?, grey_at(&page, 150).await?])
    })
    .await?;
    let mut black = [grey_at(&page, 244).await?, grey_at(&page, 250).await?];
    black.sort_unstable();
    ensure!(black == [0, 155], "black is hatched: {black:?}");
    let numbers = page
        .eval("[...document.querySelectorAll('.metered > .zone')].map(zone => [zone.innerText, Math.floor(parseFloat(zone.style.left) / 32)])")
        .await?;
    let mut numbers: Vec<(String, u64)> = serde_json_of(numbers)?;
    numbers.sort();
    ensure!(
        numbers == [("VI".to_owned(), 0), ("VII".to_owned(), 1)],
        "the numbers stand elsewhere: {numbers:?}"
    );
    job::sound(&page, "a photo in zones").await?;
    page.press_on("checkbox", "Show the picture in zones")
        .await?;
    page.wait_equal("the photo itself", 162, async || grey_at(&page, 150).await)
        .await?;
    page.press_on("button", "Remove the marked place").await?;
    page.reads("The marked place is as bright as middle grey")
        .await?;
    take(&page).await?;
    dial_reads(&page, ["1/125", "f/8", "ISO 100"]).await?;
    page.finish().await
}

fn serde_json_of(value: tests::harness::Value) -> Result<Vec<(String, u64)>> {
    let rows = value.as_array().context("a list")?;
    rows.iter()
        .map(|row| {
            let name = row[0].as_str().context("a number of a zone")?;
            Ok((name.to_owned(), row[1].as_u64().context("a place")?))
        })
        .collect()
}

/// The figure over the picture, and what the dial would be set to.
async fn read_off(page: &Page<'_>, least: f64, most: f64) -> Result<String> {
    page.wait_for(
        &format!("EV {least} to {most} over the picture"),
        async || {
            let text = page.find("group", "Read off").await?.text().await?;
            let mut lines = text.lines();
            let ev = lines
                .next()
                .and_then(|line| line.trim().strip_prefix("EV ")?.parse().ok());
            let is_there = ev.is_some_and(|ev: f64| (least..=most).contains(&ev));
            Ok(is_there.then(|| lines.collect::<Vec<_>>().join(" ")))
        },
    )
    .await
}

#[tokio::test]
async fn the_live_light_is_raised_read_and_taken() -> Result<()> {
    let site = Site::start().await?;
    let folder = Folder::new("camera")?;
    // Middle grey on two thirds, and a third that is two stops darker: 58 is a linear 0.0423 and 118 0.1812, so the whole is
    // 0.135, of which one part is 0.43 of a stop brighter and the other 1.67 darker.
    let seen = |x, _| if x < 216 { 118 } else { 58 };
    let page = site.open_with_camera(&folder, PHONE, seen).await?;
    job::read(&page, "100", "1/125", "8").await?;
    open_page(&page, FIND, "Live camera").await?;
    page.press_on("button", "Start the camera").await?;
    // The dial reads EV 13.
    read_off(&page, 13.3, 13.5).await?;
    // By touch: a place, and the ring dragged from there.
    let dark = in_the_picture(&page, 0.85, 0.3).await?;
    page.tap(dark).await?;
    read_off(&page, 11.2, 11.5).await?;
    let bright = in_the_picture(&page, 0.3, 0.3).await?;
    page.press(dark).await?;
    page.slide(dark, bright).await?;
    page.lift().await?;
    read_off(&page, 13.3, 13.5).await?;
    // By keyboard.
    page.press_on(
        "DisclosureTriangle",
        "Move the ring without touching the picture",
    )
    .await?;
    across(&page, "Ring", &[Key::End]).await?;
    read_off(&page, 11.2, 11.5).await?;
    job::sound(&page, "the live camera").await?;

    // Held, the picture stands still, and is read all the same where the ring is moved to.
    page.press_on("button", "Hold").await?;
    page.wait_equal("the picture stands still", json!(true), async || {
        page.eval("document.querySelector('video').paused").await
    })
    .await?;
    ensure!(
        page.find("button", "Hold").await?.is_pressed().await?,
        "it does not stay down"
    );
    across(&page, "Ring", &[Key::Home]).await?;
    let set = read_off(&page, 13.3, 13.5).await?;
    take(&page).await?;
    // What stood under the figure is what the dial stands at.
    let [time, aperture, rated] = page.values().await?;
    let time = time.trim_end_matches(" second");
    ensure!(
        set.contains(time) && set.contains(&aperture) && set.contains(&rated),
        "{set:?} was said, and {time} {aperture} {rated} is set"
    );
    page.finish().await
}

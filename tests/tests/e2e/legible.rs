//! Every page of the light with letters twice as large, and in a person's own colours.

use tests::harness::{
    Folder, Key, PHONE, Page, Result, SMALL_PHONE, Site, Value, bail, ensure, json,
};

use crate::{
    job,
    light::{add_spots, close, open_page, press_row},
};

const FIND: &str = "Find the light";
const CORRECT: &str = "Corrections";

/// Every page by the list that it stands in.
const PAGES: [(&str, &str); 17] = [
    (FIND, "From a photo"),
    (FIND, "Live camera"),
    (FIND, "Typed light"),
    (FIND, "Spots and tones"),
    (FIND, "Scene tables"),
    (FIND, "Sun and moon"),
    (FIND, "Two readings of the same light"),
    (CORRECT, "Reading device"),
    (CORRECT, "Filters"),
    (CORRECT, "Close-up"),
    (CORRECT, "Lens"),
    (CORRECT, "Shutter"),
    (CORRECT, "Long times"),
    (CORRECT, "Depth of field"),
    (CORRECT, "Flash"),
    (CORRECT, "Timer"),
    (CORRECT, "How this counts"),
];

/// Middle grey on the left, a stop more on the right, and a black corner.
const PAINT: &str = "
    pen.fillStyle = 'rgb(118, 118, 118)'; pen.fillRect(0, 0, 150, 200);
    pen.fillStyle = 'rgb(162, 162, 162)'; pen.fillRect(150, 0, 150, 200);
    pen.fillStyle = 'black'; pen.fillRect(240, 0, 60, 200);
";

/// Gives a page something to draw.
async fn fill_in(page: &Page<'_>, folder: &Folder, title: &str) -> Result<()> {
    match title {
        "From a photo" => {
            let photo = page.photo(folder, "wall.jpg", PAINT, None).await?;
            page.choose_file("Choose a photo", &photo).await?;
            page.reads("This photo carries no metadata").await
        }
        "Typed light" => page.fill("Light", "12.1").await,
        "Spots and tones" => add_spots(page, &[("hedge", "8"), ("path", "11")]).await,
        "Sun and moon" => {
            page.fill("Latitude", "47.5").await?;
            page.fill("Longitude", "8.25").await?;
            page.reads("The sun stands").await
        }
        "Lens" => {
            page.choose("What is known", "Its T-numbers at several stops")
                .await?;
            page.fill("f-numbers with their T-numbers", "2.8 4; 16 16")
                .await
        }
        "Shutter" => {
            page.fill("Mark on the shutter", "1/250").await?;
            page.fill("Measured times", "1/160").await
        }
        "Depth of field" => {
            page.fill("Focal length", "50").await?;
            page.fill("Focused at, from the lens", "3").await
        }
        "Flash" => {
            page.fill("Guide number", "20").await?;
            page.fill("From the flash to the subject", "5").await
        }
        _ => Ok(()),
    }
}

/// Nothing scrolls sideways, lies on something else or is cut off, on the smallest screen; the dial's page under the sheet neither.
#[tokio::test]
async fn letters_twice_as_large_hold_on_every_page() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(SMALL_PHONE).await?;
    let folder = Folder::new("photos")?;
    // Before anything is drawn with it, as a device has it.
    page.eval("document.documentElement.style.fontSize = '200%'")
        .await?;
    let mut problems = Vec::new();
    for (list, title) in PAGES {
        // By the keyboard: the dial's own bar at the lower edge leaves a finger little of so small a screen.
        page.find("button", list).await?.focus().await?;
        page.key(Key::Enter).await?;
        press_row(&page, title).await?;
        fill_in(&page, &folder, title).await?;
        page.until_still().await?;
        let found = page.layout_problems(44).await?;
        problems.extend(
            found
                .into_iter()
                .map(|problem| format!("{title}: {problem}")),
        );
        close(&page).await?;
    }
    ensure!(problems.is_empty(), "{problems:#?}");
    page.finish().await
}

/// Parts of drawings that have neither a border nor a line nor a ground that stands out; and how many there are in all.
const UNSEEN: &str = "(() => {
    const probe = document.createElement('i');
    probe.style.color = 'Canvas';
    document.body.append(probe);
    const canvas = getComputedStyle(probe).color;
    probe.remove();
    const top = [...document.querySelectorAll('dialog[open]')].at(-1);
    const parts = [...top.querySelectorAll('.track > *, .plot > span, .plot path, .sketch path')].filter(part =>
        part.checkVisibility() && !part.matches('.height, .hatched, .zone, .area path') && part.getAttribute('d') !== '');
    const unseen = parts.filter(part => {
        const style = getComputedStyle(part);
        const stands = colour => colour !== 'none' && colour !== 'rgba(0, 0, 0, 0)' && colour !== canvas;
        const border = ['Top', 'Right', 'Bottom', 'Left'].some(side =>
            parseFloat(style[`border${side}Width`]) > 0 && stands(style[`border${side}Color`]));
        return !border && !stands(style.backgroundColor) && !(part.tagName === 'path' && (stands(style.stroke) || stands(style.fill)));
    });
    return [unseen.map(part => part.outerHTML.slice(0, 120)), parts.length];
})()";

/// How far the brightest and the darkest point of what is shown in the middle of an element are apart, of 255.
async fn contrast(page: &Page<'_>, selector: &str) -> Result<f64> {
    let place = page
        .eval(&format!(
            "(() => {{
                const {{ x, y, width, height }} = document.querySelector('{selector}').getBoundingClientRect();
                return {{ x: x + scrollX + width / 4, y: y + scrollY + height / 4, width: width / 2, height: height / 2, scale: 1 }};
            }})()"
        ))
        .await?;
    let shot = json!({ "format": "png", "clip": place });
    let shot = page.devtools("Page.captureScreenshot", shot).await?;
    let Some(picture) = shot["data"].as_str() else {
        bail!("no picture of {selector}");
    };
    let apart = page
        .eval(&format!(
            "(async () => {{
                const image = new Image();
                image.src = 'data:image/png;base64,{picture}';
                await image.decode();
                const pen = new OffscreenCanvas(image.width, image.height).getContext('2d');
                pen.drawImage(image, 0, 0);
                const {{ data }} = pen.getImageData(0, 0, image.width, image.height);
                let least = 255, most = 0;
                for (let i = 0; i < data.length; i += 4) {{
                    least = Math.min(least, data[i + 1]);
                    most = Math.max(most, data[i + 1]);
                }}
                return most - least;
            }})()"
        ))
        .await?;
    Ok(apart.as_f64().unwrap_or_default())
}

/// What is drawn is drawn by borders and lines, which stay where a person's own colours take every ground away.
#[tokio::test]
async fn drawings_are_seen_in_a_persons_own_colours() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let folder = Folder::new("photos")?;
    let colours = json!({ "features": [{ "name": "forced-colors", "value": "active" }] });
    page.devtools("Emulation.setEmulatedMedia", colours).await?;
    let mut drawn = 0;
    for (list, title) in PAGES {
        open_page(&page, list, title).await?;
        fill_in(&page, &folder, title).await?;
        page.until_still().await?;
        let found = page.eval(UNSEEN).await?;
        ensure!(found[0] == json!([]), "{title}: nobody sees {}", found[0]);
        drawn += found[1].as_u64().unwrap_or_default();
        let problems = page.accessibility_problems().await?;
        ensure!(problems.is_empty(), "{title}: {problems:#?}");
        if title == "From a photo" {
            page.press_on("checkbox", "Show the picture in zones")
                .await?;
            page.wait_until("the zones are numbered", async || {
                Ok(page
                    .eval("document.querySelector('.metered > .zone') !== null")
                    .await?
                    == true)
            })
            .await?;
            let apart = contrast(&page, ".metered > .zone").await?;
            ensure!(apart > 60.0, "the number of a zone has {apart} of contrast");
        }
        close(&page).await?;
    }
    ensure!(drawn > 200, "only {drawn} parts are drawn");
    page.finish().await
}

/// The count is read from afar when its time is up, whatever the colours are.
#[tokio::test]
async fn a_time_that_is_up_is_read_in_a_persons_own_colours() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let colours = json!({ "features": [{ "name": "forced-colors", "value": "active" }] });
    page.devtools("Emulation.setEmulatedMedia", colours).await?;
    open_page(&page, CORRECT, "Timer").await?;
    page.fill("Metered time", "60").await?;
    page.press_on("button", "Start").await?;
    for (phase, ahead) in [("open", 1), ("near", 52), ("over", 70)] {
        page.eval(&format!(
            "(() => {{ const stood = performance.timeOrigin + performance.now(); Date.now = () => stood + {ahead} * 1000; }})()"
        ))
        .await?;
        page.wait_equal("the phase", Value::from(phase), async || {
            page.eval("document.querySelector('.count').dataset.phase")
                .await
        })
        .await?;
        page.until_still().await?;
        for what in [".count-large", ".count-press"] {
            let apart = contrast(&page, what).await?;
            ensure!(apart > 100.0, "{phase}: {what} has {apart} of contrast");
        }
    }
    job::sound(&page, "a time that is up").await?;
    page.finish().await
}

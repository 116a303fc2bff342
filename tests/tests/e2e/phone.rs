//! Files and wishes come and go the way phones do it: by the icon's long press, the share sheet and the file manager.

use base64::{Engine as _, prelude::BASE64_STANDARD};
use tests::harness::{
    Folder, Metadata, PHONE, Page, Result, Setup, Site, Value, bail, ensure, json,
};

use crate::{film_book, job};

/// Opens a place as the icon's long press does, in a page that is loaded for it.
async fn go(page: &Page<'_>, place: &str) -> Result<()> {
    page.visit(&format!("#go={place}")).await
}

/// The address names no place any more, and a reload opens nothing.
async fn opens_once(page: &Page<'_>) -> Result<()> {
    ensure!(
        page.eval("location.hash").await? == "",
        "the place stays in the address"
    );
    page.reload().await?;
    page.find("slider", "Time").await?;
    ensure!(
        page.eval("document.querySelector('dialog[open]') === null")
            .await?
            == true,
        "it opens again"
    );
    Ok(())
}

#[tokio::test]
async fn the_icons_long_press_opens_the_light_and_the_timer_once() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_on("button", "Time, one mark more light").await?;
    for (place, heading) in [("light", "Find the light"), ("timer", "Timer")] {
        go(&page, place).await?;
        page.find("heading", heading).await?;
        opens_once(&page).await?;
    }
    // A place that there is not yet changes nothing, and is no damaged link.
    go(&page, "moon").await?;
    page.says("This page has no such place").await?;
    ensure!(
        !page.text().await?.contains("damaged"),
        "it takes a place for a link"
    );
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    // In a page that is open already.
    page.eval("location.hash = 'go=timer'").await?;
    page.find("heading", "Timer").await?;
    page.finish().await
}

#[tokio::test]
async fn the_icons_long_press_opens_the_log_of_the_loaded_roll() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    // Nothing is loaded yet.
    go(&page, "roll").await?;
    page.find("heading", "Film book").await?;
    page.reads("The dial serves no roll that is in a camera")
        .await?;
    film_book::load_film(&page).await?;
    // The only roll there is.
    go(&page, "roll").await?;
    page.reads("Frame 1 of 36 comes next").await?;
    page.find("list", "Frames").await?;
    opens_once(&page).await?;
    page.finish().await
}

#[tokio::test]
async fn of_several_loaded_rolls_the_one_that_the_dial_serves_opens() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    film_book::open_book(&page).await?;
    film_book::load_film(&page).await?;
    page.press_on("button", "Back").await?;
    page.press_on("DisclosureTriangle", "Load a roll").await?;
    page.fill("Camera", "box of the aunt (invented)").await?;
    page.fill("Rating (EI)", "100").await?;
    page.press_on("button", "Load it").await?;
    page.reads("is in the box of the aunt (invented) at EI 100")
        .await?;
    go(&page, "roll").await?;
    page.find("heading", "Film book").await?;
    page.reads("The dial serves no roll").await?;
    film_book::close_book(&page).await?;
    let rolls = page.find("list", "Rolls in cameras").await?;
    let rows = rolls.find_all("button").await?;
    let mut chosen = None;
    for row in &rows {
        if row.name().contains("box of the aunt") {
            chosen = Some(row);
        }
    }
    let Some(chosen) = chosen else {
        bail!("the dial offers no such roll")
    };
    chosen.tap().await?;
    go(&page, "roll").await?;
    page.find("list", "Frames").await?;
    page.reads("box of the aunt (invented)").await?;
    page.finish().await
}

/// Posts a file, and another one, to the page as the system does with what is shared to it: with a form that is no page's, and the page opens.
async fn share_to(page: &Page<'_>, file: &std::path::Path) -> Result<()> {
    let bytes = BASE64_STANDARD.encode(std::fs::read(file)?);
    page.devtools("Page.navigate", json!({ "url": "about:blank" }))
        .await?;
    page.eval(&format!(
        "(() => {{
            const bytes = Uint8Array.from(atob('{bytes}'), letter => letter.charCodeAt(0));
            const bag = new DataTransfer();
            bag.items.add(new File([bytes], 'löwe am teich.jpg', {{ type: 'image/jpeg' }}));
            bag.items.add(new File(['another'], 'gate.jpg', {{ type: 'image/jpeg' }}));
            document.body.innerHTML = '<form method=post enctype=multipart/form-data><input name=photo type=file></form>';
            const form = document.querySelector('form');
            form.elements.photo.multiple = true;
            form.action = '{}share';
            form.elements.photo.files = bag.files;
            setTimeout(() => form.submit());
        }})()",
        page.site().url()
    ))
    .await?;
    page.wait_until("the page opens with it", async || {
        Ok(page.eval("location.protocol").await? == "http:")
    })
    .await?;
    page.until_ready().await
}

#[tokio::test]
async fn a_photo_shared_to_the_page_is_read_as_if_it_had_been_chosen() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let folder = Folder::new("shared")?;
    let metadata = Metadata {
        time: Some((1, 60)),
        aperture: Some((40, 10)),
        sensitivity: Some(400),
        place: true,
    };
    let grey = "pen.fillStyle = 'rgb(118, 118, 118)'; pen.fillRect(0, 0, 300, 200);";
    let photo = page
        .photo(&folder, "shared.jpg", grey, Some(metadata))
        .await?;
    page.until_kept_offline().await?;
    site.server().clear_requests();
    share_to(&page, &photo).await?;
    let asked = site.server().requests();
    ensure!(
        !asked.iter().any(|path| path.contains("share")),
        "it went to the host: {asked:?}"
    );
    page.find("heading", "From a photo").await?;
    page.reads("Photo 1, löwe am teich.jpg").await?;
    page.reads("One photo at a time: the first is here, and 1 more")
        .await?;
    page.reads("1/60 f/4 ISO 400").await?;
    page.reads("The marked place is as bright as middle grey")
        .await?;
    job::sound(&page, "a shared photo").await?;
    page.wait_until("the photo is kept nowhere any more", async || {
        Ok(page.eval("caches.has('stopkeeper-shared')").await? == false)
    })
    .await?;
    opens_once(&page).await?;
    // Nothing waits there now.
    go(&page, "shared").await?;
    page.reads("No photo came with what was shared").await?;
    page.finish().await
}

/// A share that holds no file opens the page all the same, and no older photo stands for it.
#[tokio::test]
async fn a_share_without_a_photo_says_so() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    let answer = page
        .eval(
            "(async () => {
                const kept = await caches.open('stopkeeper-shared');
                await kept.put('./share', new Response('old', { headers: { 'x-name': 'old.jpg' } }));
                const form = new FormData();
                form.append('text', 'a letter');
                return (await fetch('./share', { method: 'POST', body: form })).status;
            })()",
        )
        .await?;
    ensure!(answer == 200, "the worker answered {answer}");
    go(&page, "shared").await?;
    page.reads("No photo came with what was shared").await?;
    page.finish().await
}

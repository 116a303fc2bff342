//! Files and wishes come and go the way phones do it: by the icon's long press, the share sheet and the file manager.

use base64::{Engine as _, prelude::BASE64_STANDARD};
use tests::harness::{
    Folder, Metadata, PHONE, Page, Result, Setup, Site, Value, Way, bail, ensure, json,
};

use crate::{film_book, job};

/// What the manifest says.
async fn manifest(page: &Page<'_>) -> Result<Value> {
    page.eval("fetch('manifest.webmanifest').then(answer => answer.json())")
        .await
}

#[tokio::test]
async fn the_manifest_names_what_is_there() -> Result<()> {
    let site = Site::start_at("/field/notes/").await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    let manifest = manifest(&page).await?;
    let read = page.devtools("Page.getAppManifest", json!({})).await?;
    ensure!(read["errors"] == json!([]), "{}", read["errors"]);
    let read = &read["manifest"];
    let base = site.url();
    let addresses: Vec<_> = read["shortcuts"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|shortcut| (shortcut["name"].clone(), shortcut["url"].clone()))
        .collect();
    ensure!(
        addresses
            == [
                ("Next frame of the loaded roll", "roll"),
                ("Find the light", "light"),
                ("Timer", "timer"),
            ]
            .map(|(name, place)| (json!(name), json!(format!("{base}#go={place}")))),
        "the shortcuts are {addresses:?}"
    );
    ensure!(
        read["shareTarget"]["action"] == json!(format!("{base}share"))
            && manifest["share_target"]["method"] == "POST"
            && manifest["share_target"]["enctype"] == "multipart/form-data"
            && manifest["share_target"]["params"]["files"][0]["name"] == "photo",
        "the share target is {}",
        read["shareTarget"]
    );
    ensure!(
        manifest["file_handlers"]
            == json!([{ "action": "./", "accept": { "application/json": [".json"] } }]),
        "the file handlers are {}",
        manifest["file_handlers"]
    );
    ensure!(
        manifest["id"] == "./" && manifest["scope"] == "./",
        "the page's identity is another one"
    );
    // What the worker installs is no place for what is shared.
    let kept = page
        .eval(
            "caches.keys()
                .then(names => Promise.all(names.map(name => caches.open(name).then(cache => cache.keys()))))
                .then(all => all.flat().map(request => request.url))",
        )
        .await?;
    ensure!(!kept.to_string().contains("/share"), "it keeps {kept}");
    page.finish().await
}

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
    page.press_step("Time", Way::More).await?;
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

/// How often it was used.
async fn shares(page: &Page<'_>, count: u32) -> Result<()> {
    page.wait_equal("what was shared", json!(count), async || {
        page.eval("shared.length").await
    })
    .await
}

#[tokio::test]
async fn the_book_and_a_table_go_to_the_share_sheet_where_there_is_one() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    film_book::open_book(&page).await?;
    page.find("button", "Save the whole book").await?;
    ensure!(
        !page.has("button", "Share the whole book").await?,
        "it offers a share sheet that is not there"
    );
    page.reload().await?;
    page.share_sheet().await?;
    film_book::open_book(&page).await?;
    film_book::load_film(&page).await?;
    page.press_on("button", "Share the table").await?;
    page.reads(".csv is handed on").await?;
    let [name, kind, text] = page.shared_file().await?;
    ensure!(
        name.ends_with(".csv") && kind == "text/csv" && text.contains("box speed"),
        "it shared {name}, {kind}: {text}"
    );
    job::sound(&page, "the roll with a share sheet").await?;
    page.press_on("button", "Back").await?;
    page.press_on("button", "Back").await?;
    page.press_on("button", "Share the whole book").await?;
    page.reads(".txt is handed on").await?;
    let [name, kind, book] = page.shared_file().await?;
    ensure!(
        name.starts_with("stopkeeper-book-")
            && kind == "text/plain"
            && book.contains("\"format\":\"stopkeeper book\"")
            && book.contains("Meadow 160 (invented)"),
        "it shared {name}, {kind}: {book}"
    );
    job::sound(&page, "the cover with a share sheet").await?;
    // What is left says nothing; what is refused is said.
    page.eval("refusal = 'AbortError'; 0").await?;
    page.press_on("button", "Share the whole book").await?;
    shares(&page, 3).await?;
    page.eval("refusal = 'NotAllowedError'; 0").await?;
    page.press_on("button", "Share the whole book").await?;
    page.reads("The browser did not let the page share stopkeeper-book-")
        .await?;
    shares(&page, 4).await?;
    page.finish().await?;

    // And what was shared comes in again.
    let page = site.open(PHONE).await?;
    film_book::open_book(&page).await?;
    film_book::choose_file(&page, &book).await?;
    page.press_on("button", "Bring it in").await?;
    page.press_on("button", "Open the log").await?;
    page.reads("Frame 1 of 36 comes next").await?;
    page.finish().await
}

#[tokio::test]
async fn leaving_the_share_sheet_says_nothing() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.share_sheet().await?;
    film_book::open_book(&page).await?;
    page.eval("refusal = 'AbortError'; 0").await?;
    page.press_on("button", "Share the whole book").await?;
    shares(&page, 1).await?;
    // The next thing that is said is the first.
    page.press_on("button", "Save the whole book").await?;
    page.reads("is handed to the browser to save").await?;
    ensure!(
        !page.text().await?.contains("share stopkeeper-book"),
        "leaving the sheet is complained about"
    );
    page.finish().await
}

#[tokio::test]
async fn a_link_to_the_setting_goes_to_the_share_sheet() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_step("Time", Way::More).await?;
    page.share_sheet().await?;
    job::open_more(&page).await?;
    page.press_on("button", "Share a link to this setting")
        .await?;
    shares(&page, 1).await?;
    let address = page.eval("shared[0].url").await?;
    let address = address.as_str().unwrap_or_default().to_owned();
    job::sound(&page, "More with a share sheet").await?;
    page.eval("refusal = 'NotAllowedError'; 0").await?;
    page.press_on("button", "Share a link to this setting")
        .await?;
    page.reads("The browser did not let the page share it")
        .await?;
    let link = page.find("textbox", "Link to this setting").await?;
    ensure!(link.value().await? == address, "it shows another link");
    page.finish().await?;
    let Some(path) = address.strip_prefix(site.url()) else {
        bail!("the link leads elsewhere: {address}")
    };
    let page = site
        .open(Setup {
            path: path.to_owned(),
            ..Setup::from(PHONE)
        })
        .await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.finish().await
}

/// From the next page on the system opens files with it, of which the first has this text, or cannot be had.
async fn open_with(page: &Page<'_>, text: Option<&str>, count: u32) -> Result<()> {
    let had = match text {
        Some(text) => format!("Promise.resolve(new File([{}], 'kept.json'))", json!(text)),
        None => "Promise.reject(new DOMException('gone', 'NotFoundError'))".to_owned(),
    };
    let source = format!(
        "Object.defineProperty(globalThis, 'launchQueue', {{ value: {{
            setConsumer: consumer => consumer({{
                files: Array.from({{ length: {count} }}, () => ({{ getFile: () => {had} }})),
            }}),
        }} }});"
    );
    page.devtools(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": source }),
    )
    .await
    .map(drop)
}

#[tokio::test]
async fn a_saved_book_opened_by_the_system_is_planned_as_if_chosen() -> Result<()> {
    const SAVED: &str = include_str!("../../../crates/book/tests/golden/roll-2.json");
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_with(&page, Some(SAVED), 2).await?;
    page.visit("").await?;
    page.find("heading", "Film book").await?;
    page.find("button", "Bring it in").await?;
    page.reads("One file at a time: the first is here, and 1 more")
        .await?;
    job::sound(&page, "a book that the system opened").await?;
    page.wait_equal(
        "the keyboard is on",
        json!(["group", "What the file would do"]),
        async || Ok(json!(page.focused().await?)),
    )
    .await?;
    let is_seen = page
        .eval(
            "(() => {
                const { top, bottom } = document.activeElement.getBoundingClientRect();
                return top >= 0 && bottom <= innerHeight;
            })()",
        )
        .await?;
    ensure!(is_seen == true, "the plan is out of sight");
    page.press_on("button", "Bring it in").await?;
    page.press_on("button", "Open the log").await?;
    page.find("list", "Frames").await?;
    page.finish().await
}

#[tokio::test]
async fn a_file_that_is_gone_when_the_system_opens_it_is_said() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_with(&page, None, 1).await?;
    page.visit("").await?;
    page.find("heading", "Film book").await?;
    page.reads("The file could not be read").await?;
    page.finish().await
}

/// A page that is opened by itself gets an empty launch, and opens nothing.
#[tokio::test]
async fn a_launch_without_a_file_opens_nothing() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_with(&page, None, 0).await?;
    page.visit("").await?;
    opens_once(&page).await?;
    page.finish().await
}

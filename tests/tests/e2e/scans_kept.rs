//! What is kept of scans: small copies that go along with the saved book, the folder that they came from, and how they lie.

use tests::harness::{Ability, PHONE, Page, Result, Site, ensure, json};

use crate::{
    film_book::{choose_file, open_book},
    job,
    light_table::{DRAW, ROLL, all_are_shown, choose, example, review},
};

async fn to_cover(page: &Page<'_>) -> Result<()> {
    while !page.has("heading", "Film book").await? {
        page.press_on("button", "Back").await?;
    }
    Ok(())
}

/// The keys of everything that is kept of scans, and the bytes of all pictures.
async fn kept(page: &Page<'_>) -> Result<(Vec<String>, u64)> {
    let found = page
        .eval(
            "(async () => {
                const answer = request => new Promise((resolve, reject) => {
                    request.onsuccess = () => resolve(request.result);
                    request.onerror = () => reject(request.error);
                });
                const database = await answer(indexedDB.open('stopkeeper-scans'));
                const keys = [];
                let bytes = 0;
                for (const store of database.objectStoreNames) {
                    const all = database.transaction(store).objectStore(store);
                    for (const key of await answer(all.getAllKeys())) keys.push(key.join('/'));
                    if (store == 'copies') for (const copy of await answer(all.getAll())) bytes += copy.picture.size;
                }
                database.close();
                return { keys, bytes };
            })()",
        )
        .await?;
    let keys = found["keys"].as_array().cloned().unwrap_or_default();
    let keys = keys.iter().filter_map(|key| key.as_str());
    Ok((
        keys.map(str::to_owned).collect(),
        found["bytes"].as_u64().unwrap_or_default(),
    ))
}

/// A document with the small copies of the example's roll, saved by a page of its own, and the bytes of the pictures.
async fn saved_with_copies(site: &Site) -> Result<(String, u64)> {
    let page = site.open(PHONE).await?;
    example(&page).await?;
    choose(&page, &ROLL).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    let (_, bytes) = kept(&page).await?;
    to_cover(&page).await?;
    page.watch_what_is_saved().await?;
    page.press_on("button", "Save the whole book").await?;
    page.reads("is handed to the browser").await?;
    let bare = page.saved().await?;
    ensure!(
        !bare.contains("stopkeeper copy") && !bare.contains("\"version\":6"),
        "copies go along only where they are wanted"
    );
    #[expect(clippy::cast_precision_loss, reason = "bytes of a few pictures")]
    let kilobytes = (bytes as f64 / 1000.0).round();
    let offer = format!("With the small copies of scans (15, {kilobytes} kB)");
    page.press_on("checkbox", &offer).await?;
    job::sound(&page, "the cover with copies to hand out").await?;
    page.press_on("button", "Save the whole book").await?;
    page.wait_until("a second file is saved", async || {
        Ok(page.eval("saved.length").await? == json!(2))
    })
    .await?;
    let whole = page.eval("saved[1].text()").await?;
    page.finish().await?;
    Ok((whole.as_str().unwrap_or_default().to_owned(), bytes))
}

#[tokio::test]
async fn small_copies_come_in_again_with_the_saved_book_and_without_a_network() -> Result<()> {
    let site = Site::start().await?;
    let (book, bytes) = saved_with_copies(&site).await?;
    let head = book.lines().next().unwrap_or_default();
    ensure!(head.contains("\"version\":6"), "the head is {head}");
    let lines = book.lines().count() - 2;
    ensure!(
        head.contains(&format!("\"count\":{lines},"))
            && book.matches("\"stopkeeper copy\"").count() == 15,
        "{lines} lines under {head}"
    );
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    site.server().set_online(false);
    // The look for a new version fails in the background, as it must.
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    open_book(&page).await?;
    ensure!(
        !page.text().await?.contains("With the small copies"),
        "nothing is offered where there are none"
    );
    choose_file(&page, &book).await?;
    page.reads("Brings 15 small copies of scans for 1 roll")
        .await?;
    ensure!(kept(&page).await?.0.is_empty(), "said before it is done");
    page.press_on("button", "Bring it in").await?;
    page.reads("Small copies of scans that are kept now: 15.")
        .await?;
    page.reads("With the small copies of scans (15").await?;
    let (keys, now) = kept(&page).await?;
    ensure!(
        keys.len() == 15 && now == bytes,
        "{keys:?}, {now} bytes and not {bytes}"
    );
    review(&page).await?;
    page.reads("Small copies of this roll: 15").await?;
    all_are_shown(&page).await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    // What is here is not written over.
    to_cover(&page).await?;
    choose_file(&page, &book).await?;
    page.press_on("button", "Bring it in").await?;
    page.reads("Here already, and left as they were: 15.")
        .await?;
    job::sound(&page, "the cover after copies came in").await?;
    // Undone, and swept at the next visit.
    page.press_on("button", "Undo").await?;
    page.press_on("button", "Undo").await?;
    page.reload().await?;
    open_book(&page).await?;
    page.wait_until("the copies go with their roll", async || {
        Ok(kept(&page).await?.0.is_empty())
    })
    .await?;
    page.finish().await
}

#[tokio::test]
async fn copies_that_have_no_room_and_damaged_ones_are_told_and_the_rest_comes_in() -> Result<()> {
    let site = Site::start().await?;
    let (book, _) = saved_with_copies(&site).await?;
    let page = site.open(PHONE).await?;
    open_book(&page).await?;
    // One picture is torn, and what was measured of another one.
    let book = book
        .replacen("\"picture\":\"/9j/", "\"picture\":\"/9j!", 1)
        .replacen("\\nsize 300 200\\n", "\\nsize 301 200\\n", 2)
        .replacen(
            "\"roll\":\"example.roll-1\",\"name\":\"scan 11.jpg\"",
            "\"roll\":\"nobody\",\"name\":\"scan 11.jpg\"",
            1,
        );
    choose_file(&page, &book).await?;
    page.reads("Brings 14 small copies of scans for 2 rolls")
        .await?;
    page.reads("1 small copy of a scan could not be read and is left out.")
        .await?;
    page.reads("Small copies without a measurement that can be read: 1.")
        .await?;
    // A disk that is full after the fifth, as a browser tells it.
    page.eval(
        "(() => {
            let left = 5;
            const put = IDBObjectStore.prototype.put;
            IDBObjectStore.prototype.put = function (...given) {
                if (this.name === 'copies' && left-- <= 0) throw new DOMException('full', 'QuotaExceededError');
                return put.apply(this, given);
            };
        })()",
    )
    .await?;
    page.press_on("button", "Bring it in").await?;
    page.reads("This device has no room for more small copies. The rest of what came in stands. Not kept: 8.")
        .await?;
    page.reads("Small copies of scans that are kept now: 5.")
        .await?;
    page.reads("Of rolls that the book does not have, and left out: 1.")
        .await?;
    review(&page).await?;
    page.reads("Small copies of this roll: 5").await?;
    page.finish().await
}

#[tokio::test]
async fn copies_that_an_older_page_kept_are_here_with_the_newer_database() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    choose(&page, &ROLL).await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    // The same copies in a database of the first version, which another tab holds until it is asked to let go.
    page.eval(
        "(async () => {
            const answer = request => new Promise((resolve, reject) => {
                request.onsuccess = () => resolve(request.result);
                request.onerror = () => reject(request.error);
            });
            const newer = await answer(indexedDB.open('stopkeeper-scans'));
            const all = newer.transaction('copies').objectStore('copies');
            const [keys, copies] = await Promise.all([answer(all.getAllKeys()), answer(all.getAll())]);
            newer.close();
            await answer(indexedDB.deleteDatabase('stopkeeper-scans'));
            const request = indexedDB.open('stopkeeper-scans', 1);
            request.onupgradeneeded = () => request.result.createObjectStore('copies');
            const older = await answer(request);
            older.onversionchange = () => older.close();
            const store = older.transaction('copies', 'readwrite').objectStore('copies');
            for (const [nth, key] of keys.entries()) await answer(store.put(copies[nth], key));
        })()",
    )
    .await?;
    page.press_on("button", "Back").await?;
    page.press_on("button", "Review the scans").await?;
    page.reads("Small copies of this roll: 15").await?;
    all_are_shown(&page).await?;
    let version = page
        .eval("indexedDB.databases().then(all => all.find(one => one.name == 'stopkeeper-scans').version)")
        .await?;
    ensure!(version == json!(2), "version {version}");
    page.press_on("button", "Scans run the other way").await?;
    page.wait_until("both stores are there", async || {
        let (keys, _) = kept(&page).await?;
        Ok(keys.len() == 16 && keys.iter().any(|key| key.ends_with("/line-up")))
    })
    .await?;
    page.finish().await
}

/// Makes a folder with the scans in the browser's own file system, and lets the person choose it.
async fn folder(page: &Page<'_>) -> Result<()> {
    let frames = json!(ROLL);
    page.eval(&format!(
        "(async () => {{
            const root = await navigator.storage.getDirectory();
            const folder = await root.getDirectoryHandle('lab scans', {{ create: true }});
            const files = await {DRAW}({frames});
            files.push(new File(['by the lab'], 'order.txt'), new File(['no picture'], '._scan 1.jpg'));
            for (const file of files) {{
                const handle = await folder.getFileHandle(file.name, {{ create: true }});
                const stream = await handle.createWritable();
                await stream.write(file);
                await stream.close();
            }}
            await folder.getDirectoryHandle('others', {{ create: true }});
            window.showDirectoryPicker = async () => folder;
        }})()"
    ))
    .await
    .map(drop)
}

const AGAIN: &str = "Open the folder “lab scans” again";

#[tokio::test]
async fn a_folder_of_scans_is_opened_again_by_one_tap() -> Result<()> {
    let site = Site::start().await?;
    if !site.can(Ability::Folders) {
        return Ok(());
    }
    let page = site.open(PHONE).await?;
    example(&page).await?;
    // Whoever leaves the choice is told nothing; a browser that forbids it is.
    page.eval("window.showDirectoryPicker = async () => { throw new DOMException('left', 'AbortError') }; 0")
        .await?;
    page.press_on("button", "Choose a folder of scans").await?;
    page.eval("window.showDirectoryPicker = async () => { throw new DOMException('no', 'SecurityError') }; 0")
        .await?;
    page.press_on("button", "Choose a folder of scans").await?;
    page.reads("The browser does not let the page open a folder.")
        .await?;
    folder(&page).await?;
    page.press_on("button", "Choose a folder of scans").await?;
    page.reads("Scans loaded: 15.").await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    job::sound(&page, "a review with a folder").await?;

    page.reload().await?;
    open_book(&page).await?;
    review(&page).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.press_on("button", AGAIN).await?;
    page.reads("Scans loaded: 15.").await?;
    page.reads("These scans look as if made with one fixed setting")
        .await?;
    page.press_on("button", "Frame 1: show it large").await?;
    page.press_on("button", "At 100 %").await?;
    let wide = page
        .eval(
            "Promise.all([...document.querySelectorAll('.light-whole')].map(async image => {
                image.loading = 'eager';
                await image.decode();
                return image.naturalWidth;
            }))",
        )
        .await?;
    ensure!(wide == json!([300, 300, 300, 300]), "at full size: {wide}");
    page.press_on("button", "Close the picture").await?;

    // Whatever is wrong with the folder, what lies here stays.
    page.eval("FileSystemHandle.prototype.requestPermission = async () => 'denied'; 0")
        .await?;
    page.press_on("button", AGAIN).await?;
    page.reads("The page may not look into “lab scans”. What lies here stays")
        .await?;
    page.eval(
        "(async () => {
            FileSystemHandle.prototype.requestPermission = async () => 'granted';
            const root = await navigator.storage.getDirectory();
            const folder = await root.getDirectoryHandle('lab scans');
            for (let nth = 1; nth <= 15; nth++) await folder.removeEntry(`scan ${nth}.jpg`);
        })()",
    )
    .await?;
    page.press_on("button", AGAIN).await?;
    page.reads("There is no picture in “lab scans”. What lies here stays.")
        .await?;
    page.eval("navigator.storage.getDirectory().then(root => root.removeEntry('lab scans', { recursive: true }))")
        .await?;
    page.press_on("button", AGAIN).await?;
    page.reads("“lab scans” cannot be read: it is not where it was.")
        .await?;
    page.reads("Small copies of this roll: 15").await?;
    all_are_shown(&page).await?;

    page.press_on("button", "Remove the small copies").await?;
    page.reads("The small copies of this roll are removed, and its folder is forgotten.")
        .await?;
    ensure!(
        !page.has("button", AGAIN).await? && kept(&page).await?.0.is_empty(),
        "the folder is forgotten"
    );
    page.finish().await
}

#[tokio::test]
async fn a_line_up_is_here_again_and_goes_with_its_roll() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    example(&page).await?;
    choose(&page, &ROLL).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.press_on("button", "Scans run the other way").await?;
    page.reads("scan 15.jpg lies at frame 1.").await?;
    let lies = async |first: &str| {
        let places = page.find("list", "Scans along the film").await?;
        let text = places.text().await?;
        let first_line = text.lines().find(|line| line.starts_with("scan "));
        Ok(first_line == Some(first))
    };
    page.wait_until("it is kept", async || Ok(kept(&page).await?.0.len() == 16))
        .await?;
    page.reload().await?;
    open_book(&page).await?;
    review(&page).await?;
    page.reads("Small copies of this roll: 15").await?;
    page.wait_until("they lie the other way", async || lies("scan 15.jpg").await)
        .await?;
    let other_way = page.find("button", "Scans run the other way").await?;
    ensure!(other_way.is_pressed().await?, "and the button says so");
    // The same files chosen again lie so as well; others do not.
    choose(&page, &ROLL).await?;
    page.reads("They lie as they were laid last.").await?;
    choose(&page, &ROLL[..14]).await?;
    page.press_on("button", "Put them in the place of the scans here")
        .await?;
    page.reads("Scans loaded: 14.").await?;
    page.wait_until("other files lie as they come", async || {
        lies("scan 1.jpg").await
    })
    .await?;
    // Names that are kept with the frames go before it.
    choose(&page, &ROLL).await?;
    page.reads("They lie as they were laid last.").await?;
    page.press_on("button", "Scans run the other way").await?;
    page.press_on("button", "Keep these names with the frames")
        .await?;
    page.reads("scan 1.jpg, kept with the frame").await?;
    page.press_on("button", "Scans run the other way").await?;
    page.reads("scan 15.jpg lies at frame 1.").await?;
    choose(&page, &ROLL).await?;
    page.reads("They lie as their names were kept.").await?;
    // What is kept of a roll goes with it.
    to_cover(&page).await?;
    page.press_on("button", "Remove the example").await?;
    page.reads("No camera is loaded.").await?;
    page.reload().await?;
    open_book(&page).await?;
    page.wait_until("nothing is kept of a roll that is gone", async || {
        Ok(kept(&page).await?.0.is_empty())
    })
    .await?;
    page.finish().await
}

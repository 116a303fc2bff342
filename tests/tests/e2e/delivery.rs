//! What the page does when its files come wrong, late or not at all.

use std::fs;

use tests::harness::{Context, DESK, Fault, Folder, PHONE, Page, Release, Result, Site, ensure};

use crate::{
    film_book::{close_book, open_batch, open_book},
    job::FIRST,
    light::press_row,
};

/// The name of a file of the built page by its beginning and its kind.
fn named(site: &Site, beginning: &str, kind: &str) -> Result<String> {
    let mut names = fs::read_dir(&site.tools.dist)?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    names
        .find(|name| name.starts_with(beginning) && name.ends_with(kind))
        .with_context(|| format!("no {beginning}*{kind}"))
}

fn asked(site: &Site, part: &str) -> usize {
    let requests = site.server().requests();
    requests.iter().filter(|path| path.contains(part)).count()
}

fn expect_faults(page: &Page<'_>) {
    for text in [
        "integrity",
        "Failed to fetch",
        "NetworkError",
        "Load failed",
        "net::ERR_",
        "404",
        "MIME type",
        "ServiceWorker",
        "dynamically imported module",
        "An unknown error occurred when fetching the script",
        "the host sends something else",
    ] {
        page.expect_error(text);
    }
}

#[tokio::test]
async fn each_file_of_a_first_visit_is_asked_for_once() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    for kind in [".js", ".wasm", ".css"] {
        let name = named(&site, "app-", kind)?;
        ensure!(
            asked(&site, &name) == 1,
            "{name}: {:?}",
            site.server().requests()
        );
    }
    page.finish().await
}

/// Each file in turn comes wrong once, with the leave to keep it for a year.
#[tokio::test]
async fn a_file_that_came_wrong_once_is_fetched_again_past_the_cache() -> Result<()> {
    for (kind, fault) in [
        (".js", Fault::IndexPage),
        (".js", Fault::Half),
        (".wasm", Fault::IndexPage),
        (".wasm", Fault::Half),
        (".css", Fault::IndexPage),
        (".css", Fault::Half),
    ] {
        let site = Site::start().await?;
        let name = named(&site, "app-", kind)?;
        site.server().spoil(&name, fault, 1);
        let page = site.open(PHONE).await?;
        expect_faults(&page);
        page.shows(FIRST).await?;
        ensure!(
            asked(&site, &name) == 2,
            "{name} was not asked for twice: {:?}",
            site.server().requests()
        );
        page.wait_until("the page has its styles", async || {
            Ok(page
                .eval(
                    "getComputedStyle(document.documentElement).getPropertyValue('--plate') !== ''",
                )
                .await?
                == true)
        })
        .await?;
        ensure!(
            !page.text().await?.contains("could not be loaded"),
            "{name}: an apology for what was mended"
        );
        // What is kept for use without a network is right as well.
        page.until_kept_offline().await?;
        site.server().set_online(false);
        page.reload().await?;
        page.shows(FIRST).await?;
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn a_part_that_came_wrong_once_opens_all_the_same() -> Result<()> {
    for kind in [".js", ".wasm", ".css"] {
        let site = Site::start().await?;
        let name = named(&site, "light-", kind)?;
        // Before a worker has it: it holds on to nothing while its own script does not come.
        site.server().hold("sw.js");
        site.server().spoil(&name, Fault::IndexPage, 1);
        let page = site.open(DESK).await?;
        expect_faults(&page);
        page.press_on("button", "Find the light").await?;
        page.find("heading", "Find the light").await?;
        ensure!(asked(&site, &name) >= 2, "{name} was not asked for again");
        ensure!(
            page.eval("document.querySelector('#light-styles').sheet?.cssRules.length > 0")
                .await?
                == true,
            "the styles of the part are missing"
        );
        site.server().let_go();
        page.finish().await?;
    }
    Ok(())
}

/// The worker of a new version finds a wrong file in the browser's cache.
#[tokio::test]
async fn a_new_version_comes_although_one_of_its_files_came_wrong_once() -> Result<()> {
    let site = Site::start().await?;
    let old = Release::of(&site.tools.dist, "old")?;
    let new = Release::of(&site.tools.dist, "new")?;
    site.publish(old.path());
    let page = site.open(DESK).await?;
    page.until_kept_offline().await?;
    site.publish(new.path());
    let style = new.style();
    site.server().spoil(style, Fault::Half, 1);
    // Somebody who opened it while it was being uploaded has it in the browser's cache.
    page.eval(&format!(
        "fetch('{style}').then(file => file.text()).then(() => 0)"
    ))
    .await?;
    ensure!(asked(&site, style) == 1, "it was not fetched");
    expect_faults(&page);
    page.eval("navigator.serviceWorker.getRegistration().then(r => r.update()).then(() => 0)")
        .await?;
    page.press_on("button", "Reload").await?;
    page.wait_until("the new version is there", async || {
        Ok(page
            .eval("document.documentElement.dataset.release")
            .await?
            == "new")
    })
    .await?;
    ensure!(asked(&site, style) == 2, "it was not asked for again");
    page.until_ready().await?;
    page.finish().await
}

#[tokio::test]
async fn a_first_visit_that_is_cut_off_goes_on_when_the_connection_is_back() -> Result<()> {
    for by_hand in [true, false] {
        let site = Site::start().await?;
        let program = named(&site, "app-", ".wasm")?;
        site.server().hold(&program);
        let page = site.open_unready(PHONE).await?;
        expect_faults(&page);
        page.wait_until("the program is asked for", async || {
            Ok(asked(&site, &program) > 0)
        })
        .await?;
        site.server().set_online(false);
        site.server().let_go();
        page.find("alert", "").await?;
        page.reads("This page could not be loaded. Check the connection")
            .await?;
        // It does not ask again and again.
        site.server().clear_requests();
        site.server().set_online(true);
        if by_hand {
            page.press_on("button", "Try again").await?;
        } else {
            page.eval("dispatchEvent(new Event('online')); 0").await?;
        }
        page.until_ready().await?;
        page.shows(FIRST).await?;
        ensure!(
            !page.text().await?.contains("could not be loaded"),
            "the apology stays"
        );
        page.finish().await?;
    }
    Ok(())
}

/// It asks a few times, then it waits for somebody.
#[tokio::test]
async fn a_file_that_never_comes_right_is_not_asked_for_without_end() -> Result<()> {
    let site = Site::start().await?;
    let program = named(&site, "app-", ".wasm")?;
    site.server().spoil(&program, Fault::Half, usize::MAX);
    let page = site.open_unready(PHONE).await?;
    expect_faults(&page);
    page.reads("The host no longer sends this version of the page. Reload it")
        .await?;
    page.find("button", "Reload").await?;
    let before = asked(&site, &program);
    ensure!(before <= 6, "{program} was asked for {before} times");
    site.server().mend();
    page.press_on("button", "Reload").await?;
    page.until_ready().await?;
    page.shows(FIRST).await?;
    page.finish().await
}

/// What of a part is fetched when it is first wanted: nothing before, and again when it did not come.
#[tokio::test]
async fn a_piece_of_a_part_comes_when_it_is_wanted_and_again_after_a_failure() -> Result<()> {
    let site = Site::start().await?;
    // A worker would have all of it.
    site.server().hold("sw.js");
    let pieces = [
        named(&site, "scans-", ".wasm")?,
        named(&site, "photo-", ".wasm")?,
        named(&site, "lessons-", ".wasm")?,
    ];
    let [scans, photo, lessons] = pieces.each_ref().map(String::as_str);
    let page = site.open(PHONE).await?;
    expect_faults(&page);
    let not_asked = |what: &str, piece: &str| {
        let times = asked(&site, piece);
        ensure!(times == 0, "{what} asked for {piece} {times} times");
        Ok(())
    };
    let failed = "This part of the page could not be loaded. Check the connection and try again.";

    open_book(&page).await?;
    page.press_on("button", "Add the invented example").await?;
    not_asked("the cover", scans)?;
    site.server().spoil(scans, Fault::Half, usize::MAX);
    // Here it is a figure among other things.
    open_batch(&page).await?;
    page.reads(failed).await?;
    page.find("button", "Reload").await?;
    page.press_on("button", "Example roll 1 (invented): back from the lab")
        .await?;
    // And here the whole page.
    page.press_on("button", "Review the scans").await?;
    page.reads(failed).await?;
    site.server().mend();
    page.press_on("button", "Try again").await?;
    page.find("combobox", "How were the scans made?").await?;
    let title = page
        .find("heading", "Review: Example roll 1 (invented)")
        .await?;
    page.wait_until("the keyboard is on the heading", async || {
        title.has_focus().await
    })
    .await?;
    page.press_on("button", "Back").await?;
    page.press_on("button", "Back").await?;
    page.find("figure", "Evidence").await?;
    close_book(&page).await?;

    page.press_on("button", "Find the light").await?;
    page.find("heading", "Find the light").await?;
    not_asked("the list of ways", photo)?;
    site.server().set_online(false);
    press_row(&page, "From a photo").await?;
    page.reads(failed).await?;
    // The rest of the program goes on without it.
    page.press_on("button", "Back").await?;
    press_row(&page, "Scene tables").await?;
    page.find("heading", "Scene tables").await?;
    page.press_on("button", "Back").await?;
    site.server().set_online(true);
    press_row(&page, "From a photo").await?;
    page.reads("Choose a photo").await?;
    page.press_on("button", "Close").await?;

    page.open_part("Learn").await?;
    page.find("heading", "Learn").await?;
    not_asked("the picture", lessons)?;
    page.press_on("button", "Practise").await?;
    page.find("button", "Ask me").await?;
    page.press_on("button", "Lessons").await?;
    page.find("button", "Make a lesson").await?;
    ensure!(asked(&site, lessons) == 1, "{lessons} was asked for twice");
    page.finish().await
}

/// A link that nothing has read yet is not lost with a reload.
#[tokio::test]
async fn a_lesson_that_came_by_a_link_outlives_a_piece_that_did_not_come() -> Result<()> {
    let site = Site::start().await?;
    site.server().hold("sw.js");
    let lessons = named(&site, "lessons-", ".wasm")?;
    site.server().spoil(&lessons, Fault::Half, usize::MAX);
    let page = site.open(PHONE).await?;
    expect_faults(&page);
    page.visit("#lesson=1Stops;q12").await?;
    page.reads("This part of the page could not be loaded.")
        .await?;
    site.server().mend();
    page.press_on("button", "Reload").await?;
    page.reads("not whole").await?;
    page.wait_until("the address is bare again", async || {
        Ok(page.eval("location.hash").await? == "")
    })
    .await?;
    page.finish().await
}

/// A page that has been open since before the last upload; there is no worker that would have its files.
#[tokio::test]
async fn an_old_page_whose_files_are_gone_says_reload() -> Result<()> {
    for fault in [None, Some(Fault::IndexPage)] {
        let site = Site::start().await?;
        site.server().spoil("sw.js", Fault::Half, usize::MAX);
        let page = site.open(DESK).await?;
        expect_faults(&page);
        let empty = Folder::new("moved")?;
        if let Some(fault) = fault {
            site.server().spoil("book-", fault, usize::MAX);
        } else {
            site.publish(empty.path());
        }
        page.press_on("button", "Film book").await?;
        page.says("The host no longer sends this version of the page. Reload it; nothing is lost.")
            .await?;
        page.press_on("button", "Leave it").await?;
        ensure!(
            page.find("button", "Film book").await?.has_focus().await?,
            "the keyboard is lost"
        );
        site.server().mend();
        site.publish(&site.tools.dist);
        page.press_on("button", "Film book").await?;
        page.find("heading", "Film book").await?;
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn without_the_start_script_the_page_says_so_after_a_while() -> Result<()> {
    let site = Site::start().await?;
    site.server().spoil("boot.js", Fault::IndexPage, 1);
    let page = site.open_unready(PHONE).await?;
    expect_faults(&page);
    let shown = "document.querySelector('#apology').checkVisibility({ visibilityProperty: true })";
    ensure!(page.eval(shown).await? == false, "it is seen at once");
    // The styles wait for it; here their clock is put forward.
    page.eval("document.getAnimations().forEach(each => { each.currentTime = 10_000; })")
        .await?;
    ensure!(page.eval(shown).await? == true, "it is never seen");
    page.reads("This page could not be loaded whole. Check the connection and reload it.")
        .await?;
    page.reload().await?;
    page.shows(FIRST).await?;
    ensure!(
        page.eval(shown).await? == false,
        "it is seen although all is there"
    );
    page.finish().await
}

#[tokio::test]
async fn without_styles_the_page_says_so_at_once() -> Result<()> {
    let site = Site::start().await?;
    let style = named(&site, "app-", ".css")?;
    site.server().spoil(&style, Fault::Half, usize::MAX);
    let page = site.open_unready(PHONE).await?;
    expect_faults(&page);
    page.reads("The host no longer sends this version of the page. Reload it")
        .await?;
    site.server().mend();
    page.press_on("button", "Reload").await?;
    page.until_ready().await?;
    page.shows(FIRST).await?;
    page.finish().await
}

/// Also where neither comes: then it is the document alone that speaks.
#[tokio::test]
async fn without_styles_and_start_script_the_document_itself_says_so() -> Result<()> {
    let site = Site::start().await?;
    let style = named(&site, "app-", ".css")?;
    site.server().spoil(&style, Fault::Half, 1);
    site.server().spoil("boot.js", Fault::IndexPage, 1);
    let page = site.open_unready(PHONE).await?;
    expect_faults(&page);
    page.reads("This page could not be loaded whole. Check the connection and reload it.")
        .await?;
    page.finish().await
}

#[tokio::test]
async fn nothing_of_the_apology_is_seen_in_a_normal_start() -> Result<()> {
    let site = Site::start().await?;
    let program = named(&site, "app-", ".wasm")?;
    site.server().hold(&program);
    let page = site.open_unready(PHONE).await?;
    page.wait_until("the start script has run", async || {
        Ok(page.eval("typeof stopkeeperOpen").await? == "function")
    })
    .await?;
    let shown = "document.querySelector('#apology').checkVisibility({ visibilityProperty: true })";
    ensure!(
        page.eval(shown).await? == false,
        "it shows while the page is coming"
    );
    // Nor does it come later, however slow the line is.
    ensure!(
        page.eval("document.getAnimations().length").await? == 0,
        "it would come after a while"
    );
    site.server().let_go();
    page.until_ready().await?;
    ensure!(page.eval(shown).await? == false, "it shows");
    page.finish().await
}

#[tokio::test]
async fn a_worker_whose_files_are_gone_fetches_them_again() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    let kept = "caches.keys().then(names => Promise.all(names.map(async name => (await (await caches.open(name)).keys()).length)))";
    let before = page.eval(kept).await?;
    page.eval("caches.keys().then(names => Promise.all(names.map(name => caches.delete(name)))).then(() => 0)")
        .await?;
    page.reload().await?;
    page.wait_equal("the files are kept again", before, async || {
        page.eval(kept).await
    })
    .await?;
    site.server().set_online(false);
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    page.reload().await?;
    page.shows(FIRST).await?;
    page.finish().await
}

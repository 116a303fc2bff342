//! What is kept, and what happens where it cannot be.

use tests::harness::{Ability, DESK, PHONE, Page, Result, Setup, Site, Way, ensure, json};

use crate::{
    camera,
    job::{self, FIRST},
};

/// Where the page keeps the setting, as it was found after a first change.
async fn setting_key(page: &Page<'_>) -> Result<String> {
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.wait_for("the setting is stored", async || {
        Ok(page
            .stored()
            .await?
            .into_iter()
            .find(|(_, text)| text.contains("1/60"))
            .map(|(key, _)| key))
    })
    .await
}

#[tokio::test]
async fn a_reload_keeps_everything() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    job::bracketed(&page).await?;
    page.choose("Film type", "Slide (reversal)").await?;
    page.choose("Camera", "Third-stop body, 30 s to 1/4000")
        .await?;
    page.hold("Aperture", true).await?;
    page.press_step("Time", Way::More).await?;
    job::choose_theme(&page, "Dusk").await?;
    let values = page.values().await?;
    let cells = page.bracket().await?;
    page.reload().await?;
    page.shows(values.each_ref().map(String::as_str)).await?;
    ensure!(
        page.bracket().await? == cells,
        "the bracket changed: {:?}",
        page.bracket().await?
    );
    ensure!(
        page.find("button", "Hold aperture")
            .await?
            .is_pressed()
            .await?,
        "the hold is lost"
    );
    for (field, text) in [
        ("Box speed", "ISO 160"),
        ("Reading time", "1/60"),
        ("Reading aperture", "f/5.6"),
    ] {
        let value = page.find("textbox", field).await?.value().await?;
        ensure!(value == text, "{field} is {value}");
    }
    ensure!(
        page.eval("document.documentElement.dataset.theme").await? == "dusk",
        "the theme is lost"
    );
    page.finish().await
}

#[tokio::test]
async fn a_damaged_setting_is_reported_and_kept() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let key = setting_key(&page).await?;
    for damaged in [
        "{\"format\":\"stopkeeper setting\",\"version\":1,\"rea",
        "\u{0}\u{fffd} torn",
        "[]",
    ] {
        page.store(&key, damaged).await?;
        page.reload().await?;
        page.reads("could not be read").await?;
        page.shows(FIRST).await?;
        let stored = page.stored().await?;
        ensure!(
            stored.iter().any(|(_, text)| text == damaged),
            "the damaged text is gone from {stored:?}"
        );
        // And the page goes on saving.
        page.press_step("Time", Way::More).await?;
        page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
        page.reload().await?;
        page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
        ensure!(
            page.stored().await?.iter().any(|(_, text)| text == damaged),
            "saving again lost the damaged text"
        );
    }
    page.finish().await
}

#[tokio::test]
async fn a_setting_of_a_newer_version_is_left_alone() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let key = setting_key(&page).await?;
    let newer =
        json!({ "format": "stopkeeper setting", "version": 99, "something": "else" }).to_string();
    page.store(&key, &newer).await?;
    page.reload().await?;
    page.reads("newer version").await?;
    page.press_step("Aperture", Way::More).await?;
    page.wait_until("the dials have moved", async || {
        Ok(page.values().await? != FIRST)
    })
    .await?;
    job::choose_theme(&page, "Dusk").await?;
    ensure!(
        page.stored().await?.contains(&(key, newer)),
        "the newer record was overwritten"
    );
    page.finish().await
}

#[tokio::test]
async fn with_storage_full_the_page_says_so_and_goes_on() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    job::fill_storage(&page).await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.reads("until you close the page").await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    // Room again: the next move is kept.
    page.eval("Object.keys(localStorage).filter(key => key.startsWith('filler')).forEach(key => localStorage.removeItem(key))")
        .await?;
    page.press_step("Time", Way::Less).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.reload().await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.finish().await
}

#[tokio::test]
async fn with_storage_forbidden_the_page_says_so_and_works() -> Result<()> {
    let site = Site::start().await?;
    if !site.can(Ability::ForbidStorage) {
        return Ok(());
    }
    let page = site
        .open(Setup {
            forbids_storage: true,
            ..Setup::from(PHONE)
        })
        .await?;
    let refused = page
        .eval("(() => { try { return localStorage === null } catch { return true } })()")
        .await?;
    ensure!(refused == true, "this browser allows storage after all");
    page.reads("This browser keeps nothing for this page")
        .await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    job::bracketed(&page).await?;
    page.brackets(&[&["EI 160"], &["EI 80"], &["EI 40"]])
        .await?;
    page.finish().await
}

#[tokio::test]
async fn two_tabs_do_not_lose_each_others_cameras() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let has = async |name: &str| {
        let entries = page.find("combobox", "Camera").await?.entries().await?;
        Ok(entries.iter().any(|entry| entry == name))
    };
    let first = page.open_tab().await?;
    job::open_more(&page).await?;
    camera::add(
        &page,
        "From the second tab",
        "1/25 1/50 1/100",
        "6.3 9 12.5",
    )
    .await?;
    job::close_more(&page).await?;
    page.wait_until("the second tab has its camera", async || {
        has("From the second tab").await
    })
    .await?;
    let second = page.switch_tab(first).await?;
    page.wait_until("the first tab has it too", async || {
        has("From the second tab").await
    })
    .await?;
    // And with it the setting, in which it was chosen: there is one, in all tabs.
    page.says("Another tab has changed the setting; it is the same here now.")
        .await?;
    job::open_more(&page).await?;
    camera::add(&page, "From the first tab", "1/50 1/200", "8 11 16").await?;
    job::close_more(&page).await?;
    page.switch_tab(second).await?;
    page.wait_until("the second tab has both", async || {
        Ok(has("From the first tab").await? && has("From the second tab").await?)
    })
    .await?;
    page.reload().await?;
    ensure!(
        has("From the first tab").await? && has("From the second tab").await?,
        "a camera was lost in storage"
    );
    page.finish().await
}

/// The last change counts, and a tab never shows a setting that is not the one that is kept.
#[tokio::test]
async fn the_setting_of_another_tab_comes_in_and_is_said() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    let first = page.open_tab().await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    job::choose_theme(&page, "Dusk").await?;
    let second = page.switch_tab(first).await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    page.says("Another tab has changed the setting; it is the same here now.")
        .await?;
    ensure!(
        page.eval("document.documentElement.dataset.theme").await? == "dusk",
        "the theme is part of it"
    );
    page.press_step("Time", Way::Less).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.switch_tab(second).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.finish().await
}

/// A tab that was asleep while another one changed the setting.
#[tokio::test]
async fn a_tab_that_wakes_up_shows_the_setting_that_is_kept() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.eval("addEventListener('storage', event => event.stopImmediatePropagation(), true); 0")
        .await?;
    let first = page.open_tab().await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    page.switch_tab(first).await?;
    page.eval("dispatchEvent(new Event('visibilitychange')); 0")
        .await?;
    page.shows(["1/30 second", "f/11", "ISO 100"]).await?;
    page.finish().await
}

/// A camera that had no room, and then a change of the setting that has: the camera is not forgotten over it.
#[tokio::test]
async fn what_could_not_be_written_is_remembered_until_it_is() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    // No room for cameras, room for all else.
    page.eval(
        "globalThis.set = Storage.prototype.setItem;
        Storage.prototype.setItem = function (key, text) {
            if (key.startsWith('stopkeeper.camera.')) { throw new DOMException('no room', 'QuotaExceededError'); }
            set.call(this, key, text);
        }; 0",
    )
    .await?;
    job::open_more(&page).await?;
    camera::add(
        &page,
        "The one without room",
        "1/25 1/50 1/100",
        "6.3 9 12.5",
    )
    .await?;
    job::close_more(&page).await?;
    job::choose_theme(&page, "Dusk").await?;
    page.wait_until("the theme is stored", async || {
        let stored = page.stored().await?;
        Ok(stored.iter().any(|(_, text)| text.contains("dusk")))
    })
    .await?;
    page.eval("Storage.prototype.setItem = globalThis.set; 0")
        .await?;
    // Without another press.
    page.wait_until("the camera is stored after all", async || {
        let stored = page.stored().await?;
        Ok(stored.iter().any(|(key, text)| {
            key.starts_with("stopkeeper.camera.") && text.contains("The one without room")
        }))
    })
    .await?;
    page.reload().await?;
    let entries = page.find("combobox", "Camera").await?.entries().await?;
    ensure!(
        entries.iter().any(|entry| entry == "The one without room"),
        "it is not in {entries:?}"
    );
    page.finish().await
}

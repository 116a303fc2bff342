//! A whole setting in a link.

use tests::harness::{DESK, Key, PHONE, Page, Result, Setup, Site, Way, bail, ensure, json};

use crate::job::{self, FIRST};

/// Copies a link and reads the clipboard; returns what follows the address of the page.
pub(crate) async fn copy_link(page: &Page<'_>) -> Result<String> {
    let origin = page.site().url().trim_end_matches('/').to_owned();
    let permissions = json!({ "origin": origin, "permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"] });
    page.devtools("Browser.grantPermissions", permissions)
        .await?;
    job::open_more(page).await?;
    page.press_on("button", "Copy a link to this setting")
        .await?;
    job::close_more(page).await?;
    // The page may not read the clipboard; a person pastes, and Escape gives the field back.
    let field = page.find("textbox", "Reading time").await?;
    let link = page
        .wait_for("there is a link on the clipboard", async || {
            field
                .call("function () { this.focus(); this.select() }")
                .await?;
            let paste =
                json!({ "type": "keyDown", "key": "v", "modifiers": 2, "commands": ["paste"] });
            page.devtools("Input.dispatchKeyEvent", paste).await?;
            let text = field.value().await?;
            Ok(text.contains('#').then_some(text))
        })
        .await?;
    page.key(Key::Escape).await?;
    let Some(rest) = link.strip_prefix(page.site().url()) else {
        bail!("the link leads elsewhere: {link}")
    };
    Ok(rest.to_owned())
}

#[tokio::test]
async fn a_link_carries_the_setting_to_someone_else() -> Result<()> {
    let site = Site::start().await?;
    let mine = site.open(DESK).await?;
    job::bracketed(&mine).await?;
    mine.press_step("Time", Way::More).await?;
    let values = mine.values().await?;
    let link = copy_link(&mine).await?;
    mine.finish().await?;
    let theirs = site
        .open(Setup {
            path: link,
            ..Setup::from(PHONE)
        })
        .await?;
    theirs.shows(values.each_ref().map(String::as_str)).await?;
    theirs
        .brackets(&[&["EI 160"], &["EI 80"], &["EI 40"]])
        .await?;
    ensure!(
        theirs.eval("location.hash").await? == "",
        "the link stays in the address"
    );
    theirs.press_on("button", "Back to my setting").await?;
    theirs.shows(FIRST).await?;
    theirs.finish().await
}

#[tokio::test]
async fn a_link_does_not_replace_ones_own_setting() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let link = copy_link(&page).await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.visit(&link).await?;
    page.shows(FIRST).await?;
    page.reload().await?;
    page.shows(FIRST).await?;
    page.press_on("button", "Back to my setting").await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.reload().await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.finish().await
}

#[tokio::test]
async fn a_damaged_link_gets_a_sentence_and_changes_nothing() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.press_step("Time", Way::More).await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    let link = copy_link(&page).await?;
    let cut: String = link.chars().take(link.chars().count() / 2).collect();
    for damaged in [cut.as_str(), "#set1.", "#set1.%00%ff", "#anything"] {
        page.visit(damaged).await?;
        page.reads("The link is damaged or not one of this page's")
            .await?;
        page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
        ensure!(
            !page.has("button", "Back to my setting").await?,
            "it offers a way back from {damaged}"
        );
    }
    page.visit("#set99.abc").await?;
    page.reads("newer version").await?;
    page.shows(["1/60 second", "f/8", "ISO 100"]).await?;
    page.finish().await
}

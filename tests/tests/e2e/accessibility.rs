//! What an automatic examination can find, in every theme and in every dialog; and the names that people rely on.

use tests::harness::{DESK, Key, PHONE, Page, Result, Site, Way, ensure};

use crate::job;

async fn sound(page: &Page<'_>, what: &str) -> Result<()> {
    let problems = page.accessibility_problems().await?;
    ensure!(problems.is_empty(), "{what}: {problems:#?}");
    Ok(())
}

#[tokio::test]
async fn no_violation_in_any_theme_or_dialog() -> Result<()> {
    let site = Site::start().await?;
    for screen in [PHONE, DESK] {
        let page = site.open(screen).await?;
        for theme in ["Bright sun", "Dusk", "Darkroom", "As the device"] {
            job::choose_theme(&page, theme).await?;
            page.until_still().await?;
            sound(&page, theme).await?;
            job::open_more(&page).await?;
            page.until_still().await?;
            sound(&page, &format!("{theme}, More")).await?;
            page.press_on("button", "Add a camera").await?;
            page.find("textbox", "Camera name").await?;
            page.until_still().await?;
            sound(&page, &format!("{theme}, a camera of one's own")).await?;
            page.press_on("button", "Never mind").await?;
            job::close_more(&page).await?;
            page.press_on("button", "How this counts").await?;
            page.until_still().await?;
            sound(&page, &format!("{theme}, How this counts")).await?;
            page.press_on("button", "Close").await?;
            page.press_on("button", "Shoot").await?;
            page.find("button", "Next").await?;
            page.until_still().await?;
            sound(&page, &format!("{theme}, Shoot")).await?;
            page.press_on("button", "Leave").await?;
        }
        page.finish().await?;
    }
    Ok(())
}

#[tokio::test]
async fn no_violation_while_something_is_wrong() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.fill("Reading time", "soon").await?;
    page.choose("Camera", "Box camera, one speed").await?;
    page.reads("light than the reading asks for").await?;
    sound(&page, "a refused field and a shortfall").await?;
    page.visit("#set1.torn").await?;
    page.reads("The link is damaged").await?;
    sound(&page, "a notice").await?;
    page.finish().await
}

#[tokio::test]
async fn the_names_that_people_find_things_by() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let exposure = page.find("group", "Exposure").await?;
    for dial in ["Time", "Aperture", "Sensitivity"] {
        let slider = exposure.find("slider", dial).await?;
        ensure!(
            slider.attribute("type").await?.as_deref() == Some("range"),
            "{dial} is no native range"
        );
        ensure!(
            slider.attribute("dir").await?.as_deref() == Some("ltr"),
            "{dial} would mirror"
        );
        let hold = exposure
            .find("button", &format!("Hold {}", dial.to_lowercase()))
            .await?;
        ensure!(
            hold.attribute("aria-pressed").await?.is_some(),
            "{hold:?} is no toggle"
        );
    }
    let reading = page.find("group", "Reading").await?;
    for field in ["Reading time", "Reading aperture", "Reading sensitivity"] {
        reading.find("textbox", field).await?;
    }
    page.find("textbox", "Box speed").await?;
    page.find("combobox", "Film type").await?;
    page.find("combobox", "Camera").await?;
    let list = page.find("list", "Bracket").await?;
    let items = list.find_all("listitem").await?.len();
    ensure!(
        items == page.bracket().await?.len(),
        "{items} items for {} frames",
        page.bracket().await?.len()
    );
    ensure!(
        page.find_all("status").await?.len() == 1,
        "there is more than one status line"
    );
    page.finish().await
}

/// Who speaks to the page says what stands on its buttons.
#[tokio::test]
async fn what_is_seen_on_a_button_is_in_its_name() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let names = async || -> Result<Vec<String>> {
        let mut names = Vec::new();
        for dial in ["Time", "Aperture", "Sensitivity"] {
            for button in [
                page.step(dial, Way::Less).await?,
                page.large_value(dial).await?,
                page.step(dial, Way::More).await?,
            ] {
                names.push(button.name().to_owned());
            }
        }
        Ok(names)
    };
    page.wait_equal(
        "the names of the buttons",
        [
            "Time, one mark: 1/250 less light",
            "Type time: 1/125",
            "Time, one mark: 1/60 more light",
            "Aperture, one mark: f/8 less light",
            "Type aperture: f/5.6",
            "Aperture, one mark: f/4 more light",
            "Sensitivity, one mark: 80 lower",
            "Type sensitivity: EI 100",
            "Sensitivity, one mark: 125 higher",
        ],
        names,
    )
    .await?;
    // At the end of a scale it leads nowhere.
    page.dial("Time").await?.focus().await?;
    page.key(Key::End).await?;
    page.find("button", "Time, one mark: more light").await?;
    page.find("button", "Type time: 60min").await?;
    let table = page.find("list", "Settings that give this light").await?;
    for row in table.find_all("button").await? {
        let seen = row.text().await?;
        let words = |text: &str| -> Vec<String> {
            let words = text.split([' ', '\n', ',']);
            words
                .filter(|word| !word.is_empty())
                .map(str::to_owned)
                .collect()
        };
        ensure!(words(row.name()) == words(&seen), "{row:?} shows {seen:?}");
    }
    // The examination does look at it.
    page.eval("document.querySelector('.shoot-open').ariaLabel = 'Something else'")
        .await?;
    let problems = page.accessibility_problems().await?;
    ensure!(
        problems.len() == 1 && problems[0].starts_with("label-content-name-mismatch"),
        "a name without the words that are seen: {problems:?}"
    );
    page.finish().await
}

#[tokio::test]
async fn no_bare_sign_anywhere() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    page.press_step("Aperture", Way::More).await?;
    page.choose("Frames with less light", "2").await?;
    let signed = page
        .eval("document.body.innerText.match(/(^|[\\s(])[+\\u2212-]\\s?[\\d⅙⅓½⅔⅚].*/gm) ?? []")
        .await?;
    ensure!(
        signed == tests::harness::json!([]),
        "a sign without a word: {signed}"
    );
    page.finish().await
}

//! What teaches: a picture that answers to the dials, and questions that are answered first.

use tests::harness::{DESK, Key, PHONE, Page, Result, SMALL_PHONE, Site, Value, ensure};

use crate::job;

pub(crate) async fn open(page: &Page<'_>) -> Result<()> {
    page.open_part("Learn").await?;
    page.find("figure", "Picture").await?;
    Ok(())
}

/// A sum of all that a canvas shows: two pictures with the same are the same.
pub(crate) async fn shown(page: &Page<'_>, selector: &str) -> Result<Value> {
    page.eval(&format!(
        "(() => {{
            const canvas = document.querySelector('.learn-sheet {selector}');
            const pixels = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
            let sum = 0;
            for (let i = 0; i < pixels.length; i += 1) sum = (sum * 31 + pixels[i]) % 1000003;
            return `${{canvas.width}}x${{canvas.height}} ${{sum}}`;
        }})()"
    ))
    .await
}

pub(crate) const PICTURE: &str = ".picture-frame canvas";

/// By touch: turn one dial, and the picture changes while the light stays; keep it, turn on, compare.
#[tokio::test]
async fn a_learner_sees_what_a_dial_costs() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let before = page.values().await?;
    open(&page).await?;
    let dials = page.find("group", "Exposure").await?;
    let time = dials.find("slider", "Time").await?;
    ensure!(
        time.value_text().await?.contains("1/125"),
        "the dial's own setting"
    );
    let first = shown(&page, PICTURE).await?;
    page.press_on("button", "Keep this picture").await?;
    time.focus().await?;
    for _ in 0..3 {
        page.key(Key::Right).await?;
    }
    page.wait_until("another picture", async || {
        Ok(shown(&page, PICTURE).await? != first)
    })
    .await?;
    page.reads("Same light, another picture.").await?;
    page.wait_until("the kept picture is the first one", async || {
        Ok(shown(&page, ".kept-picture").await? == first)
    })
    .await?;
    // The line between both is moved by the keyboard as well.
    let divider = page
        .find(
            "slider",
            "Divider between the kept picture (left) and this one",
        )
        .await?;
    divider.focus().await?;
    page.key(Key::End).await?;
    page.wait_until("the kept picture lies over the other", async || {
        let style = page
            .eval("document.querySelector('.kept-picture').style.getPropertyValue('--at')")
            .await?;
        Ok(style == "100%")
    })
    .await?;
    // Back on the mark it is the same picture again.
    time.focus().await?;
    for _ in 0..3 {
        page.key(Key::Left).await?;
    }
    page.wait_until("the first picture again", async || {
        Ok(shown(&page, PICTURE).await? == first)
    })
    .await?;
    job::sound(&page, "see").await?;
    page.press_on("button", "Close").await?;
    // Nothing of it was done to the dial's own setting.
    ensure!(
        page.values().await? == before,
        "the dial stands where it stood"
    );
    page.finish().await
}

/// What the words say of the picture changes with what is photographed.
#[tokio::test]
async fn what_is_photographed_is_chosen() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open(&page).await?;
    let figure = page.find("figure", "Picture").await?;
    let first = figure.description().await?;
    ensure!(
        first.contains("mm lens") && first.contains("Set to"),
        "{first}"
    );
    page.find("DisclosureTriangle", "How it is photographed")
        .await?
        .tap()
        .await?;
    page.choose("Who moves", "the car").await?;
    page.wait_until("the words follow", async || {
        Ok(figure.description().await?.contains("The car"))
    })
    .await?;
    page.choose("Held", "by hand").await?;
    page.reads("of 100 frames").await?;
    page.finish().await
}

/// A question is answered by the keyboard, then its every stop is shown; what was learned is kept over a reload.
#[tokio::test]
async fn a_question_is_answered_before_it_is_shown() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(SMALL_PHONE).await?;
    open(&page).await?;
    page.press_on("button", "Practise").await?;
    page.press_on("button", "Ask me").await?;
    let question = page.find("region", "Question").await?;
    ensure!(
        !question.text().await?.contains("Every stop"),
        "nothing is given away"
    );
    job::sound(&page, "a question").await?;
    let answer = question.find("group", "Your answer").await?;
    let sliders = answer.find_all("slider").await?;
    sliders[0].focus().await?;
    page.key(Key::Home).await?;
    let at = sliders[0].value_text().await?;
    page.press_on("button", "That is my answer").await?;
    page.wait_until("a verdict", async || {
        let said = question.text().await?;
        Ok(said.contains("Right: ") || said.contains(&format!("Not {at}")))
    })
    .await?;
    let stops = question.find("list", "Every stop").await?;
    ensure!(
        !stops.find_all("listitem").await?.is_empty(),
        "every stop is shown"
    );
    job::sound(&page, "a verdict").await?;
    ensure!(
        page.stored()
            .await?
            .iter()
            .any(|(key, text)| key == "stopkeeper.learned"
                && text.starts_with("stopkeeper learned 1\n")),
        "it is kept"
    );
    page.press_on("button", "Next question").await?;
    page.find("button", "That is my answer").await?;
    page.reload().await?;
    open(&page).await?;
    page.press_on("button", "Practise").await?;
    let known = page.find("list", "What is known").await?;
    ensure!(
        known.text().await?.matches("Not asked yet.").count() == 8,
        "one kind was asked"
    );
    // Removed, and put back.
    let record = async || -> Result<Option<String>> {
        let all = page.stored().await?;
        let found = all.into_iter().find(|(key, _)| key == "stopkeeper.learned");
        Ok(found.map(|(_, text)| text))
    };
    let before = record().await?;
    page.find("DisclosureTriangle", "The record of it")
        .await?
        .tap()
        .await?;
    page.press_on("button", "Remove it").await?;
    page.wait_until("the record is gone", async || Ok(record().await?.is_none()))
        .await?;
    page.press_on("button", "Put it back").await?;
    page.wait_until("the record is there again", async || {
        Ok(record().await? == before)
    })
    .await?;
    page.finish().await
}

/// A record of a newer page is left as it is, and said.
#[tokio::test]
async fn what_a_newer_page_learned_is_left_alone() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    let newer = "stopkeeper learned 9\nway known much\n";
    page.store("stopkeeper.learned", newer).await?;
    page.reload().await?;
    open(&page).await?;
    page.press_on("button", "Practise").await?;
    page.reads("newer").await?;
    page.press_on("button", "Ask me").await?;
    page.find("region", "Question").await?;
    page.press_on("button", "That is my answer").await?;
    page.find("button", "Next question").await?;
    let stored = page.stored().await?;
    ensure!(
        stored
            .iter()
            .any(|(key, text)| key == "stopkeeper.learned" && text == newer),
        "nothing is written over it: {stored:?}"
    );
    page.finish().await
}

/// Without a network as well: it is kept with the rest of the page.
#[tokio::test]
async fn it_works_without_a_network() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.until_kept_offline().await?;
    site.server().set_online(false);
    page.expect_error("net::ERR_");
    page.expect_error("Failed to update a ServiceWorker");
    page.reload().await?;
    open(&page).await?;
    page.press_on("button", "Practise").await?;
    page.press_on("button", "Ask me").await?;
    page.find("region", "Question").await?;
    page.finish().await
}

/// A lesson is made, shown and handed over: whoever opens its link has the same steps and the same question.
#[tokio::test]
async fn a_lesson_is_made_shown_and_handed_over() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    open(&page).await?;
    page.press_on("button", "Lessons").await?;
    page.fill("Name of a new lesson", "Stops, first hour")
        .await?;
    page.press_on("button", "Make a lesson").await?;
    page.press_on("button", "Show the setting of the dials")
        .await?;
    page.choose("A question of this kind", "Which way, and how many stops")
        .await?;
    page.press_on("button", "Add this question").await?;
    page.fill(
        "A question in own words",
        "Who has a camera with a leaf shutter?",
    )
    .await?;
    page.fill("Its answer", "Ask in the room.").await?;
    page.press_on("button", "Add these words").await?;
    let steps = page.find("list", "Steps").await?;
    page.wait_until("three steps", async || {
        let all = steps.text().await?;
        Ok(all.contains("Show 1/125 at f/5.6")
            && all.contains("Ask: Which way, and how many stops")
            && all.contains("leaf shutter"))
    })
    .await?;
    page.press_on("button", "Up: step 3").await?;
    page.wait_until("own words come second", async || {
        let all = steps.text().await?;
        Ok(all.find("leaf shutter") < all.find("Ask: Which way"))
    })
    .await?;
    job::sound(&page, "a lesson").await?;
    // Shown to a class, by the keys of a presenter.
    page.press_on("button", "Present").await?;
    let stage = page.find("dialog", "Lesson").await?;
    page.wait_until("the stage has the keyboard", async || {
        stage.has_focus().await
    })
    .await?;
    page.reads("Step 1 of 3").await?;
    page.key(Key::PageDown).await?;
    page.reads("Step 2 of 3").await?;
    ensure!(
        !page.text().await?.contains("Ask in the room."),
        "the answer is hidden"
    );
    page.press_on("button", "Show the answer").await?;
    page.reads("Ask in the room.").await?;
    page.find("dialog", "Lesson").await?.focus().await?;
    page.key(Key::Right).await?;
    page.reads("Step 3 of 3").await?;
    let hands = page.find("list", "Hands shown for each answer").await?;
    let question = page.find("dialog", "Lesson").await?.text().await?;
    let first = hands.find_all("button").await?;
    first[0].tap().await?;
    page.wait_until("a hand is counted", async || {
        Ok(hands.text().await?.contains(": 1"))
    })
    .await?;
    page.press_on("button", "Show the answer").await?;
    page.reads("chose it. Guessing").await?;
    let problems = page.accessibility_problems().await?;
    ensure!(problems.is_empty(), "a step of a lesson: {problems:?}");
    page.press_on("button", "End").await?;
    page.find("DisclosureTriangle", "The link as text")
        .await?
        .tap()
        .await?;
    let link = page
        .eval("document.querySelector('.learn-sheet .link').textContent")
        .await?;
    let link = link.as_str().unwrap_or_default().to_owned();
    let (_, fragment) = link.split_once('#').unwrap_or_default();
    ensure!(fragment.starts_with("lesson="), "the link is {link}");
    page.finish().await?;
    // On another device.
    let elsewhere = Site::start().await?;
    let page = elsewhere.open(PHONE).await?;
    page.visit(&format!("#{fragment}")).await?;
    page.find("heading", "Stops, first hour").await?;
    page.press_on("button", "Present").await?;
    page.reads("Step 1 of 3").await?;
    page.press_on("button", "Next step").await?;
    page.press_on("button", "Next step").await?;
    let there = page.find("dialog", "Lesson").await?.text().await?;
    let asked = |text: &str| text.lines().next().unwrap_or_default().to_owned();
    ensure!(
        asked(&there) == asked(&question) && !asked(&there).is_empty(),
        "the same question: {question:?} and {there:?}"
    );
    page.finish().await
}

/// A link that is not whole gets a sentence, and nothing that is there is lost.
#[tokio::test]
async fn a_damaged_link_to_a_lesson_is_said() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.store(
        "stopkeeper.lesson.one",
        "stopkeeper lesson 9\nof a newer page\n",
    )
    .await?;
    page.visit("#lesson=1Stops;q12").await?;
    page.reads("not whole").await?;
    let stored = page.stored().await?;
    ensure!(
        stored
            .iter()
            .any(|(key, text)| key == "stopkeeper.lesson.one" && text.contains("of a newer page")),
        "the record is left as it is: {stored:?}"
    );
    page.finish().await
}

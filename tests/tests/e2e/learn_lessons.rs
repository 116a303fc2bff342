//! Lessons handed on: as a code that another phone reads, as a file, on paper, with the saved book; and the bracket that a film sees.

use tests::harness::{
    DESK, Found, PHONE, Page, Paper, Result, SMALL_PHONE, Screen, Site, ensure, json,
};

use crate::{film_book, job, learn};

/// Makes a lesson with a setting, a question of each of these kinds, and one in own words.
async fn make(page: &Page<'_>, name: &str, kinds: &[&str]) -> Result<()> {
    learn::open(page).await?;
    page.press_on("button", "Lessons").await?;
    page.fill("Name of a new lesson", name).await?;
    page.press_on("button", "Make a lesson").await?;
    page.press_on("button", "Show the setting of the dials")
        .await?;
    for kind in kinds {
        page.choose("A question of this kind", kind).await?;
        page.press_on("button", "Add this question").await?;
    }
    page.fill("A question in own words", "What does f/16 do?")
        .await?;
    page.fill("Its answer", "It halves the light of f/11.")
        .await?;
    page.press_on("button", "Add these words").await?;
    page.find("list", "Steps").await.map(drop)
}

/// The link to the lesson that is open.
async fn link(page: &Page<'_>) -> Result<String> {
    let text = page
        .eval("document.querySelector('.learn-sheet .link').textContent")
        .await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// Puts the code in sight.
async fn look_at<'p, 's>(page: &'p Page<'s>) -> Result<Found<'p, 's>> {
    let figure = page.find("figure", "Code").await?;
    figure
        .call("function() { this.querySelector('svg').scrollIntoView({ block: 'center' }); }")
        .await?;
    page.until_still().await?;
    Ok(figure)
}

/// What a decoder that is not ours reads off the screen is the link.
async fn is_read(page: &Page<'_>, what: &str) -> Result<()> {
    let link = link(page).await?;
    let read = page.codes_in_sight().await?;
    ensure!(
        read == [link.clone()],
        "{what}: {read:?} in place of {link}"
    );
    Ok(())
}

const THEMES: [&str; 3] = ["Bright sun", "Dusk", "Darkroom"];

#[tokio::test]
async fn another_phone_reads_the_code_in_every_theme() -> Result<()> {
    let site = Site::start().await?;
    for screen in [PHONE, SMALL_PHONE, DESK] {
        let page = site.open(screen).await?;
        make(&page, "Stops, first hour", &["Long times"]).await?;
        for theme in THEMES {
            page.press_on("button", "Close").await?;
            job::choose_theme(&page, theme).await?;
            learn::open(&page).await?;
            page.press_on("button", "Lessons").await?;
            let figure = look_at(&page).await?;
            is_read(&page, theme).await?;
            let said = figure.text().await?;
            ensure!(said.contains("A code of version "), "{said}");
            ensure!(
                said.contains("black on red") == (theme == "Darkroom"),
                "{theme}: {said}"
            );
            if theme == "Darkroom" {
                job::sound_in_the_dark(&page, "a lesson's code").await?;
            } else {
                job::sound(&page, "a lesson's code").await?;
            }
            page.press_on("button", "Present").await?;
            page.press_on("button", "Show the code").await?;
            look_at(&page).await?;
            is_read(&page, &format!("{theme}, on the stage")).await?;
            page.press_on("button", "End").await?;
        }
        page.finish().await?;
    }
    Ok(())
}

/// A lesson that is too long for a code says so, and still goes as a file; back under the limit the code is there again.
#[tokio::test]
async fn what_is_too_long_for_a_code_goes_as_a_file() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.share_sheet().await?;
    page.watch_what_is_saved().await?;
    make(&page, "Own words", &[]).await?;
    page.find("figure", "Code").await?;
    page.fill("A question in own words", &"Why so? ".repeat(40))
        .await?;
    page.press_on("button", "Add these words").await?;
    page.reads("No code is drawn: the link has ").await?;
    ensure!(!page.has("figure", "Code").await?, "the code is left out");
    job::sound(&page, "a lesson without a code").await?;
    page.press_on("button", "Save as a file").await?;
    page.reads("lesson-own-words.txt is handed to the browser to save.")
        .await?;
    let saved = page.saved().await?;
    page.press_on("button", "Share as a file").await?;
    page.reads("lesson-own-words.txt is handed on.").await?;
    let shared = page.shared_file().await?;
    ensure!(
        shared
            == [
                "lesson-own-words.txt".to_owned(),
                "text/plain".to_owned(),
                saved.clone()
            ],
        "shared: {shared:?}, saved: {saved}"
    );
    page.eval("refusal = 'NotAllowedError'").await?;
    page.press_on("button", "Share as a file").await?;
    page.reads("The browser did not let the page share lesson-own-words.txt")
        .await?;
    page.press_on("button", "Remove step 3").await?;
    page.find("figure", "Code").await?;
    page.finish().await?;

    // On another device, from the file.
    let page = site.open(SMALL_PHONE).await?;
    learn::open(&page).await?;
    page.press_on("button", "Lessons").await?;
    ensure!(
        !page.has("button", "Share as a file").await?,
        "without a share sheet none is offered"
    );
    page.give_file("lesson-file", "lesson.txt", &saved).await?;
    page.find("heading", "Own words").await?;
    let stored = page.stored().await?;
    ensure!(
        stored
            .iter()
            .any(|(key, text)| key.starts_with("stopkeeper.lesson.") && *text == saved),
        "it is kept to the letter: {stored:?}"
    );
    page.finish().await
}

/// Files that are no whole lesson: what can be read is, what cannot is kept or left, and a sentence says so.
#[tokio::test]
async fn a_damaged_or_newer_file_is_said() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    learn::open(&page).await?;
    page.press_on("button", "Lessons").await?;
    let lessons = async || -> Result<Vec<String>> {
        let stored = page.stored().await?.into_iter();
        Ok(stored
            .filter(|(key, _)| key.starts_with("stopkeeper.lesson."))
            .map(|(_, text)| text)
            .collect())
    };
    for (text, said) in [
        ("stopkeeper lesson 9\nof a newer page\n", "newer version"),
        ("a shopping list", "no lesson that can be read"),
    ] {
        page.give_file("lesson-file", "lesson.txt", text).await?;
        page.reads(said).await?;
        ensure!(lessons().await?.is_empty(), "nothing is kept of {text:?}");
    }
    let long = "stopkeeper lesson 1\n".repeat(20_000);
    page.give_file("lesson-file", "lesson.txt", &long).await?;
    page.reads("longer than any lesson").await?;
    let torn = "stopkeeper lesson 1\nname Torn\nshow 1/125 f/8 100\nshow 1/12";
    page.give_file("lesson-file", "lesson.txt", torn).await?;
    page.find("heading", "Torn").await?;
    page.reads("ne step of this lesson cannot be read").await?;
    ensure!(
        lessons().await? == [format!("{torn}\n")],
        "every line is kept: {:?}",
        lessons().await?
    );
    page.finish().await
}

/// Questions with room to write, and answers with every stop, on sheets of their own.
#[tokio::test]
async fn questions_and_answers_are_printed_apart_on_either_paper() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    let kinds = [
        "The same light after one dial moved",
        "Two pictures, one light",
        "Long times",
    ];
    make(&page, "Stops, first hour", &kinds).await?;
    let answers = ["Every stop", "It halves the light of f/11.", "Together"];
    // The browser's dialog would stay open.
    page.eval("globalThis.asked = 0; window.print = () => { asked += 1; }; 0")
        .await?;
    page.press_on("button", "Print the questions").await?;
    page.wait_until("the print dialog is asked for", async || {
        Ok(page.eval("asked").await? == json!(1))
    })
    .await?;
    page.find("group", "Paper").await?;
    job::sound(&page, "a sheet of questions").await?;
    for paper in [Paper::A4, Paper::Letter] {
        let (pictures, sheets) = page.printed_with_pictures(paper).await?;
        let text = sheets.join("\n");
        for wanted in [
            "Stops, first hour: Questions",
            "What does f/16 do?",
            "A code of version",
        ] {
            ensure!(
                text.contains(wanted),
                "{wanted} is not on {paper:?}: {text}"
            );
        }
        for given_away in answers.into_iter().chain(["Present", "All lessons"]) {
            ensure!(!text.contains(given_away), "{given_away} is on the sheet");
        }
        ensure!(pictures == 2, "{pictures} pictures on {paper:?}");
        ensure!(
            !sheets.is_empty() && sheets.len() < 5,
            "{} sheets",
            sheets.len()
        );
    }
    // Each question and its room stay on one page: nothing sticks out at the bottom or at the side.
    page.devtools("Emulation.setEmulatedMedia", json!({ "media": "print" }))
        .await?;
    let cut = page
        .eval(
            "[...document.querySelectorAll('.lesson-paper, .paper-steps > li')]
                .filter(e => getComputedStyle(e).color !== 'rgb(0, 0, 0)' || e.scrollWidth > e.clientWidth + 1).length",
        )
        .await?;
    ensure!(cut == json!(0), "{cut} parts are not black or stick out");
    page.devtools("Emulation.setEmulatedMedia", json!({ "media": "" }))
        .await?;
    page.press_on("button", "Print the answers").await?;
    page.reads("Stops, first hour: Answers").await?;
    for paper in [Paper::A4, Paper::Letter] {
        let text = page.printed_on(paper).await?.join("\n");
        for wanted in answers
            .into_iter()
            .skip(1)
            .chain(["Stops, first hour: Answers"])
        {
            ensure!(
                text.contains(wanted),
                "{wanted} is not on {paper:?}: {text}"
            );
        }
    }
    ensure!(
        page.eval("document.querySelectorAll('.print-copy').length")
            .await?
            == json!(0),
        "a copy is left"
    );
    page.press_on("button", "Put it away").await?;
    page.wait_until("it is put away", async || {
        Ok(!page.has("group", "Paper").await?)
    })
    .await?;
    let text = page.printed_on(Paper::A4).await?.join("\n");
    ensure!(!text.contains("Answers"), "what is put away is printed");
    page.finish().await
}

/// A bracket through the film's curve: small frames, one of them seen large, and what is lost at which end in words.
#[tokio::test]
async fn a_bracket_is_seen_through_the_film() -> Result<()> {
    let site = Site::start().await?;
    for screen in [SMALL_PHONE, DESK] {
        let page = site.open(screen).await?;
        learn::open(&page).await?;
        let frames = page.find("list", "Frames of a bracket").await?;
        let rows = frames.find_all("button").await?;
        ensure!(rows.len() == 7, "{} frames", rows.len());
        // All are drawn in the end, each brighter than the one before.
        let brightness = "[...document.querySelectorAll('.frames canvas')].map(canvas => {
            const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
            return data.reduce((sum, value, i) => i % 4 === 3 ? sum : sum + value, 0);
        })";
        page.wait_until("each frame is brighter than the one before", async || {
            let found = page.eval(brightness).await?;
            let found: Vec<f64> = found
                .as_array()
                .into_iter()
                .flatten()
                .filter_map(tests::harness::Value::as_f64)
                .collect();
            Ok(found.len() == 7 && found.windows(2).all(|pair| pair[0] < pair[1]))
        })
        .await?;
        page.reads(
            "With 3 stops less light it loses shadows from about 2 stops below a middle tone on.",
        )
        .await?;
        let picture = page.find("figure", "Picture").await?;
        let before = learn::shown(&page, learn::PICTURE).await?;
        page.press_on(
            "button",
            "2 stops less light loses shadows from about 3 stops below a middle tone on",
        )
        .await?;
        page.wait_until("it is seen large", async || {
            Ok(learn::shown(&page, learn::PICTURE).await? != before
                && picture.description().await?.contains("2 stops less light"))
        })
        .await?;
        job::sound(&page, "a bracket").await?;
        page.press_on("button", "as the dials are set").await?;
        page.wait_until("back again", async || {
            Ok(learn::shown(&page, learn::PICTURE).await? == before)
        })
        .await?;
        page.choose("Frames", "as the bracket of the dials").await?;
        page.wait_until("the dial's own frames", async || {
            Ok(frames.find_all("button").await?.len() == 4)
        })
        .await?;
        page.find("DisclosureTriangle", "How it is photographed")
            .await?
            .tap()
            .await?;
        page.choose("Film", "slide").await?;
        page.reads("Slide film: ").await?;
        page.finish().await?;
    }
    Ok(())
}

/// From the sentence on what happened, one tap leads to what it costs, with the very setting.
#[tokio::test]
async fn the_dials_sentence_leads_to_what_it_costs() -> Result<()> {
    let site = Site::start().await?;
    for screen in [SMALL_PHONE, PHONE, DESK] {
        let page = site.open(screen).await?;
        page.press_step("Time", tests::harness::Way::Less).await?;
        let values = page.values().await?;
        page.until_still().await?;
        let problems = page.layout_problems(44).await?;
        ensure!(problems.is_empty(), "the dial: {problems:#?}");
        page.press_on("button", "See what this costs").await?;
        page.find("figure", "Picture").await?;
        let dials = page.find("group", "Exposure").await?;
        for (name, value) in ["Time", "Aperture", "Sensitivity"].into_iter().zip(&values) {
            let found = dials.find("slider", name).await?.value_text().await?;
            ensure!(
                found.starts_with(value.as_str()),
                "{name}: {found} for {value}"
            );
        }
        // Whatever of Learn was open before.
        page.press_on("button", "Practise").await?;
        page.press_on("button", "Close").await?;
        page.press_on("button", "See what this costs").await?;
        page.find("figure", "Picture").await?;
        page.finish().await?;
    }
    Ok(())
}

/// Lessons and what was learned are in the saved book, and are there at once where it is brought in.
#[tokio::test]
async fn the_saved_book_brings_lessons_and_what_was_learned() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.watch_what_is_saved().await?;
    make(&page, "Stops, first hour", &["Long times"]).await?;
    page.press_on("button", "Practise").await?;
    page.press_on("button", "Ask me").await?;
    page.press_on("button", "That is my answer").await?;
    page.find("button", "Next question").await?;
    page.press_on("button", "Close").await?;
    let taught = async |page: &Page<'_>| -> Result<Vec<(String, String)>> {
        let mut stored = page.stored().await?;
        stored.retain(|(key, _)| {
            key == "stopkeeper.learned" || key.starts_with("stopkeeper.lesson.")
        });
        stored.sort();
        Ok(stored)
    };
    let before = taught(&page).await?;
    ensure!(before.len() == 2, "{before:?}");
    film_book::open_book(&page).await?;
    page.press_on("button", "Save the whole book").await?;
    page.reads("is handed to the browser").await?;
    let book = page.saved().await?;
    page.finish().await?;

    let page = site.open(PHONE).await?;
    // Opened before, so that it has to hear of what comes in.
    learn::open(&page).await?;
    page.press_on("button", "Close").await?;
    film_book::open_book(&page).await?;
    film_book::choose_file(&page, &book).await?;
    page.reads("what was learned").await?;
    page.press_on("button", "Bring it in").await?;
    page.wait_equal("what teaches has it", json!(before), async || {
        Ok(json!(taught(&page).await?))
    })
    .await?;
    film_book::close_book(&page).await?;
    learn::open(&page).await?;
    page.press_on("button", "Practise").await?;
    let known = page.find("list", "What is known").await?.text().await?;
    ensure!(known.matches("Not asked yet.").count() == 8, "{known}");
    page.press_on("button", "Lessons").await?;
    page.press_on("button", "Stops, first hour (3 steps)")
        .await?;
    page.find("heading", "Stops, first hour").await?;
    page.finish().await
}

/// On a projector nothing of a step is cut, and its letters are large enough for the back row.
#[tokio::test]
async fn every_step_is_whole_on_a_projector() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(DESK).await?;
    make(
        &page,
        "Stops, first hour",
        &[
            "Two pictures, one light",
            "The same light after one dial moved",
        ],
    )
    .await?;
    page.press_on("button", "See").await?;
    page.press_on("button", "Keep this picture").await?;
    page.press_step("Time", tests::harness::Way::Less).await?;
    page.press_on("button", "Lessons").await?;
    page.press_on("button", "Compare with the kept picture")
        .await?;
    for (width, height, touch) in [
        (1280, 720, false),
        (1024, 768, false),
        (1920, 1080, false),
        (390, 844, true),
    ] {
        page.resize(Screen {
            width,
            height,
            touch,
        })
        .await?;
        page.press_on("button", "Present").await?;
        for step in 1..=5 {
            page.reads(&format!("Step {step} of 5")).await?;
            page.until_still().await?;
            let sizes = page
                .eval(
                    "(() => {
                        const stage = document.getElementById('stage');
                        const large = stage.querySelector('.stage-setting, .stage-question, .stage-picture figcaption');
                        return [stage.scrollHeight - stage.clientHeight, stage.scrollWidth - stage.clientWidth,
                            parseFloat(getComputedStyle(large).fontSize)];
                    })()",
                )
                .await?;
            let size = |i: usize| sizes[i].as_f64().unwrap_or(f64::NAN);
            let what = format!("step {step} at {width} by {height}: {sizes}");
            ensure!(size(1) <= 0.0, "{what}");
            // A phone may scroll, a projector may not.
            ensure!(touch || size(0) <= 0.0, "{what}");
            // A letter of a twenty-fourth of the height is read from six times the height away (common practice).
            ensure!(touch || size(2) >= f64::from(height) / 24.0, "{what}");
            let problems = page.accessibility_problems().await?;
            ensure!(problems.is_empty(), "{what}: {problems:?}");
            if step < 5 {
                page.press_on("button", "Next step").await?;
            } else {
                page.press_on("button", "End").await?;
            }
        }
    }
    page.finish().await
}

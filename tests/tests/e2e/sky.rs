//! Sun and moon by a clock on the wall, and cautions where they apply.

use tests::harness::{PHONE, Page, Result, SMALL_PHONE, Site, ensure, json};

use crate::{
    job,
    light::{close, open_page, press_row},
};

const FIND: &str = "Find the light";

async fn at(page: &Page<'_>, day: &str, time: &str) -> Result<()> {
    page.fill("Day", day).await?;
    page.fill("Time by this clock", time).await
}

async fn can_be_taken(page: &Page<'_>) -> Result<bool> {
    let take = page.find("button", "Take this reading").await?;
    Ok(!take.is_disabled().await?)
}

/// In Zurich, whose clocks are put forward on 29 March 2026 and back on 25 October 2026 (Directive 2000/84/EC).
#[tokio::test]
async fn days_and_hours_that_are_none_are_refused_in_words() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.devtools(
        "Emulation.setTimezoneOverride",
        json!({ "timezoneId": "Europe/Zurich" }),
    )
    .await?;
    page.reload().await?;
    open_page(&page, FIND, "Sun and moon").await?;
    page.fill("Latitude", "47.37").await?;
    page.fill("Longitude", "8.54").await?;
    at(&page, "2026-02-30", "12:00").await?;
    page.reads("February 2026 has 28 days, so there is no 30 February.")
        .await?;
    ensure!(!can_be_taken(&page).await?, "30 February is taken");
    at(&page, "2026-03-29", "02:30").await?;
    page.reads("The clock never shows 02:30 on 2026-03-29: it is put forward from 02:00 to 03:00.")
        .await?;
    ensure!(!can_be_taken(&page).await?, "a time that is none is taken");
    at(&page, "2026-03-29", "03:30").await?;
    page.reads("The clock is 2 h ahead of UTC then.").await?;
    at(&page, "2026-10-25", "02:30").await?;
    page.reads(
        "The clock shows 02:30 twice that day, for it is put back by 1 h: the first time is taken.",
    )
    .await?;
    page.reads("The clock is 2 h ahead of UTC then.").await?;
    at(&page, "3000-01-01", "12:00").await?;
    page.reads("worked out up to the year 2999").await?;
    // Far beyond this century, and long before there were zones: Bern's own time, 34 minutes ahead.
    at(&page, "2150-06-21", "12:00").await?;
    page.reads("The sun stands 6").await?;
    at(&page, "1850-06-21", "12:00").await?;
    page.reads("ahead of UTC then.").await?;
    page.reads("The sun stands 66° high in the south.").await?;
    ensure!(
        can_be_taken(&page).await?,
        "a year long past cannot be taken"
    );
    page.finish().await
}

/// The US Naval Observatory has for Brasília on 5 April 2020: sunrise 09:18 and sunset 21:10 UT.
#[tokio::test]
async fn sunrise_sunset_and_twilight_by_the_clock_of_the_place() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(SMALL_PHONE).await?;
    page.devtools(
        "Emulation.setTimezoneOverride",
        json!({ "timezoneId": "Asia/Kolkata" }),
    )
    .await?;
    page.reload().await?;
    job::choose_theme(&page, "Darkroom").await?;
    open_page(&page, FIND, "Sun and moon").await?;
    page.fill("Latitude", "15.8 S").await?;
    page.fill("Longitude", "47.85 W").await?;
    at(&page, "2020-04-05", "12:00").await?;
    page.reads("That is 9 h ahead of the sun at this place: is it the clock there?")
        .await?;
    page.choose("Clock", "Another one, by its hours from UTC")
        .await?;
    page.fill("Hours from UTC", "west").await?;
    page.reads("The hours from UTC are typed like").await?;
    page.fill("Hours from UTC", "-3").await?;
    page.reads("The clock is 3 h behind UTC then.").await?;
    let lines = async || -> Result<String> {
        page.find("list", "Sunrise, sunset and twilight")
            .await?
            .text()
            .await
    };
    page.wait_until("the times of the observatory", async || {
        Ok(lines()
            .await?
            .contains("Sun (its upper rim): rises 06:18, sets 18:10."))
    })
    .await?;
    let said = lines().await?;
    for twilight in [
        "Civil twilight",
        "Nautical twilight",
        "Astronomical twilight",
    ] {
        ensure!(said.contains(twilight), "no {twilight} in {said}");
    }
    job::sound_in_the_dark(&page, "times of the sun").await?;
    // Longyearbyen: neither sunrise in December nor sunset in June.
    page.fill("Latitude", "78.22").await?;
    page.fill("Longitude", "15.63").await?;
    page.fill("Hours from UTC", "1").await?;
    at(&page, "2026-12-21", "12:00").await?;
    page.reads("Sun (its upper rim): does not rise that day.")
        .await?;
    at(&page, "2026-06-21", "12:00").await?;
    page.reads("Sun (its upper rim): does not set that day.")
        .await?;
    page.reads("Civil twilight (sun 6° below the horizon): lasts all night.")
        .await?;
    page.finish().await
}

#[tokio::test]
async fn cautions_stand_where_they_apply() -> Result<()> {
    const SUN: &str = "Do not look at the sun through a finder or a lens";
    const MERCURY: &str = "do not burn or bin it, follow your local rules for hazardous waste";
    const FLASH: &str = "stays charged at hundreds of volts";
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.press_on("button", "Corrections").await?;
    press_row(&page, "Reading device").await?;
    page.reads(MERCURY).await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Flash").await?;
    page.reads(FLASH).await?;
    page.reads("repair is for licensed hands").await?;
    close(&page).await?;
    open_page(&page, FIND, "Scene tables").await?;
    ensure!(
        !page.text().await?.contains(SUN),
        "the sun is behind the camera"
    );
    page.choose("The sun lights it from", "behind").await?;
    page.reads(SUN).await?;
    close(&page).await?;
    open_page(&page, FIND, "Spots and tones").await?;
    page.reads(SUN).await?;
    close(&page).await?;
    page.press_on("button", "How this counts").await?;
    for caution in [SUN, MERCURY, FLASH] {
        page.reads(caution).await?;
    }
    close(&page).await?;
    page.press_on("button", "Film book").await?;
    page.press_on("button", "Kit").await?;
    page.press_on("DisclosureTriangle", "Add or change a reading device")
        .await?;
    page.reads(MERCURY).await?;
    page.finish().await
}

/// The device may take its time to say where it is; what is typed in the meantime is what is meant.
#[tokio::test]
async fn a_place_that_is_typed_while_the_device_is_asked_stays() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    page.eval(
        "(() => {
            Geolocation.prototype.getCurrentPosition = done => {
                globalThis.answer = () => done({ coords: { latitude: 60, longitude: 25 } });
            };
        })()",
    )
    .await?;
    open_page(&page, FIND, "Sun and moon").await?;
    let answer = async || {
        page.eval("(async () => { answer(); for (let i = 0; i < 3; i++) await new Promise(requestAnimationFrame); })()")
            .await
    };
    page.press_on("button", "Use where this device is").await?;
    page.fill("Latitude", "47.37").await?;
    page.fill("Longitude", "8.54").await?;
    answer().await?;
    page.wait_until("the device can be asked again", async || {
        let ask = page.find("button", "Use where this device is").await?;
        Ok(!ask.is_disabled().await?)
    })
    .await?;
    for (field, typed) in [("Latitude", "47.37"), ("Longitude", "8.54")] {
        let now = page.find("textbox", field).await?.value().await?;
        ensure!(now == typed, "{field} became {now}");
    }
    // Asked again and nothing typed since: the device's place.
    page.press_on("button", "Use where this device is").await?;
    answer().await?;
    page.wait_equal("the device's place", json!("60"), async || {
        Ok(json!(
            page.find("textbox", "Latitude").await?.value().await?
        ))
    })
    .await?;
    page.finish().await
}

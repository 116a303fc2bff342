//! Ways to find the light, on the built page: each shows its reading before it is used, and the dial takes it.

use tests::harness::{FAKE_CAMERA, Key, PHONE, Page, Result, Setup, Site, ensure, json};

use crate::{
    job,
    light::{add_spots, close, dial_reads, in_the_picture, open_page, press_row, take},
};

const FIND: &str = "Find the light";

/// Metadata as a camera writes them, big-endian: 1/125 s, f/8, ISO 200, one stop of compensation.
const METADATA: [u8; 104] = [
    // The header and the first directory: one entry, which points to the next directory.
    b'M', b'M', 0, 42, 0, 0, 0, 8, 0, 1, 0x87, 0x69, 0, 4, 0, 0, 0, 1, 0, 0, 0, 26, 0, 0, 0, 0,
    // Four entries: time, f-number, sensitivity, compensation.
    0, 4, 0x82, 0x9a, 0, 5, 0, 0, 0, 1, 0, 0, 0, 80, 0x82, 0x9d, 0, 5, 0, 0, 0, 1, 0, 0, 0, 88,
    0x88, 0x27, 0, 3, 0, 0, 0, 1, 0, 200, 0, 0, 0x92, 0x04, 0, 10, 0, 0, 0, 1, 0, 0, 0, 96, 0, 0,
    0, 0, // 1/125, 8/1, 1/1.
    0, 0, 0, 1, 0, 0, 0, 125, 0, 0, 0, 8, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1,
];

/// Puts a photo into a field as a person's choice does: a picture of two greys, with or without metadata.
async fn choose_photo(page: &Page<'_>, name: &str, metadata: &[u8]) -> Result<()> {
    let script = format!(
        "(async () => {{
            const canvas = new OffscreenCanvas(60, 40);
            const context = canvas.getContext('2d');
            context.fillStyle = 'rgb(118 118 118)';
            context.fillRect(0, 0, 60, 40);
            context.fillStyle = 'rgb(188 188 188)';
            context.fillRect(40, 0, 20, 40);
            const blob = await canvas.convertToBlob({{ type: 'image/jpeg', quality: 1 }});
            const picture = new Uint8Array(await blob.arrayBuffer());
            const metadata = new Uint8Array({metadata:?});
            const length = metadata.length + 8;
            const parts = metadata.length
                ? [picture.slice(0, 2), new Uint8Array([255, 225, length >> 8, length & 255, 69, 120, 105, 102, 0, 0]),
                   metadata, picture.slice(2)]
                : [picture];
            const bag = new DataTransfer();
            bag.items.add(new File(parts, '{name}', {{ type: 'image/jpeg' }}));
            const field = document.querySelector('#photo-file');
            field.files = bag.files;
            field.dispatchEvent(new Event('change', {{ bubbles: true }}));
        }})()"
    );
    page.eval(&script).await.map(drop)
}

#[tokio::test]
async fn a_photo_says_its_light_and_a_place_in_it() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "From a photo").await?;
    // In the theme that holds without a choice; the darkroom is looked at elsewhere.
    choose_photo(&page, "pier.jpg", &METADATA).await?;
    page.reads("Photo 1, pier.jpg (JPEG, figures from the camera's directory)")
        .await?;
    page.reads("Time: 1/125 second").await?;
    page.reads("Compensation: 1 stop more light").await?;
    page.reads("1/125 f/8 ISO 200: EV 13 at ISO 100 (photo)")
        .await?;
    // The picture was exposed by the compensation as well: the place that is middle grey is one stop dimmer.
    page.reads("The marked place is as bright as middle grey")
        .await?;
    page.choose("What is read", "The marked place in the picture")
        .await?;
    page.reads("at ISO 100 (spot in a photo)").await?;
    job::sound(&page, "a photo").await?;
    page.tap(in_the_picture(&page, 0.85, 0.5).await?).await?;
    page.reads("The marked place is 1½ stops brighter than middle grey")
        .await?;
    // The same without touching: the slider goes to the left end, into the darker grey.
    page.press_on(
        "DisclosureTriangle",
        "Move the mark without touching the picture",
    )
    .await?;
    page.find("slider", "Marked place, from left to right")
        .await?
        .focus()
        .await?;
    page.key(Key::Home).await?;
    page.reads("The marked place is as bright as middle grey")
        .await?;
    page.key(Key::End).await?;
    page.reads("The marked place is 1½ stops brighter than middle grey")
        .await?;
    page.press_on("button", "Keep the marked place as a spot for its tone")
        .await?;
    page.says("Spot 1 in photo 1").await?;
    page.choose("What is read", "The whole picture, as the camera chose")
        .await?;
    take(&page).await?;
    dial_reads(&page, ["1/125", "f/8", "ISO 200"]).await?;
    page.reads("Compensation in the photo").await?;
    page.finish().await
}

/// Presses the one thing of this role whose name begins so.
async fn press_first(page: &Page<'_>, role: &str, beginning: &str) -> Result<()> {
    let what = format!("there is a {role} whose name begins with {beginning:?}");
    let found = page
        .wait_for(&what, async || {
            let all = page.find_all(role).await?;
            Ok(all
                .into_iter()
                .find(|one| one.name().starts_with(beginning)))
        })
        .await?;
    found.tap().await
}

/// A line that was left out of one photo's reading counts in the next one's, whose line it is not.
#[tokio::test]
async fn what_was_left_out_of_one_reading_counts_in_the_next() -> Result<()> {
    const LINE: &str = "Compensation in the photo: 1 stop more light";
    const CHECKED: &str = "function() { return this.checked }";
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "From a photo").await?;
    choose_photo(&page, "pier.jpg", &METADATA).await?;
    page.reads("EV 13 at ISO 100 (photo)").await?;
    page.press_on("checkbox", LINE).await?;
    page.reads("EV 12 at ISO 100 (photo)").await?;
    choose_photo(&page, "mole.jpg", &METADATA).await?;
    page.reads("Photo 2, mole.jpg").await?;
    page.reads("EV 13 at ISO 100 (photo)").await?;
    let line = page.find("checkbox", LINE).await?;
    ensure!(line.call(CHECKED).await? == json!(true), "it is left out");
    // The same on a page that stays: what is left over between the marks is another amount for another light.
    page.press_on("button", "Back").await?;
    press_row(&page, "Typed light").await?;
    page.fill("Light", "12.1").await?;
    press_first(&page, "checkbox", "Between the marks").await?;
    page.reads("EV 12 at ISO 100 (typed: EV 12.1 at ISO 100)")
        .await?;
    page.fill("Light", "13.1").await?;
    page.fill("Light", "12.2").await?;
    page.reads("EV 12.2 at ISO 100 (typed: EV 12.2 at ISO 100)")
        .await?;
    page.finish().await
}

/// A tone goes with the spot that it was chosen for, and a figure with the spot that it was typed for.
#[tokio::test]
async fn a_tone_goes_with_its_spot() -> Result<()> {
    const SHADOW: &str = "One is: Shadow with texture, zone III (common practice, no source)";
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Spots and tones").await?;
    add_spots(&page, &[("hedge", "8"), ("path", "11"), ("gate", "13")]).await?;
    page.choose("What is made of them", SHADOW).await?;
    page.choose("Which spot", "path").await?;
    page.reads("path: zone III").await?;
    // Another one goes: the tone stays with its own.
    press_first(&page, "button", "Remove hedge:").await?;
    page.reads("path: zone III").await?;
    // Its own goes: the tone is nobody's, and none of the others gets it.
    press_first(&page, "button", "Remove path:").await?;
    page.reads("EV 13 at ISO 100 (spot: gate)").await?;
    page.reads("gate: zone V").await?;
    page.finish().await
}

#[tokio::test]
async fn typed_light_and_two_readings() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Typed light").await?;
    page.fill("Light", "nothing much").await?;
    page.reads("“nothing much” was not understood").await?;
    page.choose("What is typed", "Incident light in lux")
        .await?;
    page.fill("Light", "81 920").await?;
    page.reads("1/125 f/16 ISO 100: EV 15 at ISO 100 (typed: 81 920 lx, C 250)")
        .await?;
    job::sound(&page, "typed light").await?;
    page.press_on("button", "Keep it to compare").await?;
    page.says("Kept to compare").await?;
    page.fill("Light", "40 960").await?;
    page.press_on("button", "Take this reading").await?;
    open_page(&page, FIND, "Two readings of the same light").await?;
    page.reads("1 stop brighter than the first").await?;
    page.choose("What is used", "The middle of both").await?;
    page.reads("middle of two readings").await?;
    job::sound(&page, "two readings").await?;
    page.finish().await
}

#[tokio::test]
async fn spots_tables_and_the_sky() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Spots and tones").await?;
    add_spots(&page, &[("bark in the shade", "9")]).await?;
    page.choose(
        "What is made of them",
        "One is: Shadow with texture, zone III (common practice, no source)",
    )
    .await?;
    page.reads("bark in the shade: zone III, dark with texture")
        .await?;
    page.reads("EV 11 at ISO 100").await?;
    job::sound(&page, "spots").await?;
    page.press_on("button", "Back").await?;
    press_row(&page, "Scene tables").await?;
    page.press_on("radio", "shadows hardly seen, cloudy bright")
        .await?;
    page.reads("ANSI PH2.7: EV 13 at ISO 100").await?;
    page.reads("US Navy manual 14209: about EV 13.7 at ISO 100")
        .await?;
    job::sound(&page, "tables").await?;
    take(&page).await?;
    dial_reads(&page, ["1/125", "f/8", "ISO 100"]).await?;
    page.finish().await
}

#[tokio::test]
async fn the_sky_from_a_place_that_the_device_says() -> Result<()> {
    let site = Site::start().await?;
    let page = site.open(PHONE).await?;
    open_page(&page, FIND, "Sun and moon").await?;
    page.fill("Day", "2026-06-21").await?;
    page.fill("Time by this clock", "12:00").await?;
    page.devtools(
        "Browser.grantPermissions",
        json!({ "permissions": ["geolocation"] }),
    )
    .await?;
    page.devtools(
        "Emulation.setGeolocationOverride",
        json!({ "latitude": 47.0, "longitude": 8.0, "accuracy": 10 }),
    )
    .await?;
    page.press_on("button", "Use where this device is").await?;
    page.reads("The sun stands").await?;
    page.reads("Do not look at the sun through a finder or a lens")
        .await?;
    page.reads("estimate: sun").await?;
    job::sound(&page, "the sky").await?;
    page.choose("Sky", "dark layers of cloud").await?;
    page.reads("dark clouds").await?;
    page.finish().await
}

/// Where the browser hands over the exposure, one known reading makes the camera a meter, and it stays one.
#[tokio::test]
async fn a_camera_that_says_its_exposure_is_set_once() -> Result<()> {
    let site = Site::start().await?;
    let page = site
        .open(Setup {
            arguments: FAKE_CAMERA,
            ..Setup::from(PHONE)
        })
        .await?;
    // The camera that is not there has no sensitivity of its own; this one has, and keeps what it was asked for.
    let source = "{
        globalThis.asked = [];
        const able = MediaStreamTrack.prototype.getCapabilities;
        MediaStreamTrack.prototype.getCapabilities = function () {
            const exposure = { exposureMode: ['manual'], exposureTime: { min: 1, max: 2500 }, iso: { min: 100, max: 800 } };
            return { ...able.call(this), ...exposure };
        };
        MediaStreamTrack.prototype.applyConstraints = async wish => { asked.push(wish.advanced[0]); };
    }";
    page.devtools(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": source }),
    )
    .await?;
    page.reload().await?;
    open_page(&page, FIND, "Live camera").await?;
    page.press_on("button", "The ring has the light that the dial reads")
        .await?;
    page.reads("Start the camera first.").await?;
    page.press_on("button", "Start the camera").await?;
    page.reads("set it once against a known reading").await?;
    let first = page.eval("asked[0]").await?;
    ensure!(
        first == json!({ "exposureMode": "manual", "exposureTime": 100, "iso": 100 }),
        "the camera was asked for {first}"
    );
    page.press_on("button", "The ring has the light that the dial reads")
        .await?;
    page.says("This camera is set against the dial's reading")
        .await?;
    page.reads("at ISO 100 (live camera)").await?;
    close(&page).await?;
    let kept = |stored: Vec<(String, String)>| {
        stored
            .into_iter()
            .find(|(key, _)| key.starts_with("stopkeeper.live-camera."))
    };
    let before = kept(page.stored().await?);
    ensure!(before.is_some(), "the constant is not kept");
    page.reload().await?;
    open_page(&page, FIND, "Live camera").await?;
    page.press_on("button", "Start the camera").await?;
    page.reads("It is set.").await?;
    page.finish().await
}

//! The live camera as a meter.

use std::{rc::Rc, time::Duration};

use exposure::words;
use readings::{
    live::{Calibration, Steady, Track, compared, level, next_time, relative},
    picture::{Patch, Picture, Spot},
    sky::CAUTION,
};

use super::{
    found::{Offer, Outcome, nothing, of_the_dial},
    marks::{mark, sliders, touchable},
    room::Room,
};
use crate::{
    browser::{
        camera::{self, Camera, NoCamera},
        draw::Here,
        later::{Every, every, spawn_local},
        picture::{self, Pixels},
        storage,
    },
    css,
    form::{fixed, select},
    live::Live,
    parts::{Element, Part, el, follows, parts},
    piece::{button, complaint, paragraph, row},
};

/// Key of a camera's constant.
const KEY: &str = "stopkeeper.live-camera.";
/// Records that could not be read are kept under keys that begin so.
const ASIDE: &str = "stopkeeper.aside.live-camera.";
/// How often a frame is looked at: a step of the light is shown with its third frame, and a hand that points does not wait.
const LOOK_EVERY: Duration = Duration::from_millis(125);
/// Frames that a camera may still show after it was told another time.
const LATE_FRAMES: u8 = 6;
/// Longest side of the frame that is read.
const LONGEST: f64 = 160.0;
/// Where the ring is at first: a tenth of the shorter side around the middle.
const MIDDLE: Spot = Spot {
    across: 0.5,
    down: 0.5,
    radius: 0.1,
};
/// The time that the camera is told first: a hundredth of a second.
const FIRST_TIME: f64 = 100.0;

/// What may be read of a frame.
const PARTS: [(&str, &str); 2] = [("middle", "The ring"), ("whole", "The whole frame")];

/// What one frame showed.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Frame {
    part: Patch,
    whole: Patch,
    /// How it was exposed, where the camera was told.
    track: Option<Track>,
}

impl Frame {
    /// What is read: the whole of it, or what the ring covers.
    const fn read(&self, whole: bool) -> &Patch {
        if whole { &self.whole } else { &self.part }
    }
}

/// A camera that was told how to expose.
#[derive(Debug, Clone, Copy)]
struct Told {
    time: f64,
    iso: f64,
    /// Frames that may still be of an earlier time.
    late: u8,
}

/// The camera's life: it begins with a press of the button and ends in [`Meter::stop`], whoever calls it.
#[derive(Clone, Copy)]
struct Meter {
    camera: Live<Option<Rc<Camera>>>,
    /// Counts starts and stops: what an earlier start still waits for is let go when it comes.
    turn: Live<u32>,
    clock: Live<Option<Every>>,
    told: Live<Option<Told>>,
    runs: Live<bool>,
    refused: Live<String>,
    /// The frame that is shown, of those that were seen.
    frame: Live<Option<Frame>>,
    seen: Live<Steady<Frame>>,
    /// The last one as pixels, and how it was exposed.
    pixels: Live<Option<(Pixels, Option<Track>)>>,
    /// Whether figure and picture are to stay.
    held: Live<bool>,
    spot: Live<Spot>,
    /// What is read: one of [`PARTS`].
    part: Live<String>,
    constant: Live<Option<Calibration>>,
    key: Live<String>,
    video: Here,
    canvas: Here,
}

impl Meter {
    fn start(self) {
        self.stop();
        self.refused.set(String::new());
        let turn = self.turn.now();
        spawn_local(async move {
            match camera::open().await {
                Ok(camera) => self.run(camera, turn).await,
                Err(_) if !self.is_on(turn) => {}
                Err(why) => self.refused.set(
                    match why {
                        NoCamera::Forbidden => {
                            "The camera is not allowed to this page. Allow it in the browser's settings, or find the light another way."
                        }
                        NoCamera::Absent => {
                            "There is no camera that this page can use. Find the light another way."
                        }
                        NoCamera::Busy => {
                            "Another program uses the camera. Close it and start again."
                        }
                    }
                    .to_owned(),
                ),
            }
        });
    }

    /// Whether nothing was started or stopped since.
    fn is_on(self, turn: u32) -> bool {
        self.turn.try_once(|now| *now == turn) == Some(true)
    }

    async fn run(self, camera: Camera, turn: u32) {
        // Nobody may look any more, for a person was asked in between: then the camera is dropped, which lets it go.
        if !self.is_on(turn) {
            return;
        }
        let Some(video) = self.video.get() else {
            return;
        };
        let camera = Rc::new(camera);
        self.camera.put(Some(Rc::clone(&camera)));
        camera.show_in(&video);
        let key = format!("{KEY}{}", camera.id());
        self.constant.put(
            storage::read(&key)
                .ok()
                .flatten()
                .and_then(|record| Calibration::from_record(&record)),
        );
        self.key.put(key);
        let told = match camera.reach() {
            Some(reach) => {
                let time = FIRST_TIME.clamp(reach.least, reach.most);
                camera.expose(time, reach.iso).await.then_some(Told {
                    time,
                    iso: reach.iso,
                    late: LATE_FRAMES,
                })
            }
            None => None,
        };
        if !self.is_on(turn) {
            return;
        }
        self.told.put(told);
        self.runs.set(true);
        self.clock.put(every(LOOK_EVERY, move || self.look()));
    }

    /// The one place where the camera is let go.
    fn stop(self) {
        // Where the page is taken away, its camera was let go already.
        self.turn.update(|turn| *turn = turn.wrapping_add(1));
        self.clock.put(None);
        if let Some(camera) = self.camera.update(Option::take).flatten() {
            camera.let_go();
        }
        self.runs.set(false);
        self.held.set(false);
        // What was seen last is not what is there now.
        self.frame.put(None);
        self.seen.put(Steady::new());
        self.pixels.put(None);
    }

    /// Reads the frame that is there, and leads the camera to middle grey where it can be led.
    fn look(self) {
        let taken_away = self
            .camera
            .once(|camera| camera.as_ref().is_some_and(|camera| camera.is_gone()));
        if taken_away {
            self.stop();
            self.refused.set(TAKEN_AWAY.to_owned());
            return;
        }
        if self.held.now() {
            return;
        }
        let (Some(video), Some(canvas)) = (self.video.get(), self.canvas.get()) else {
            return;
        };
        let Some(pixels) = picture::of_video(&video, &canvas, LONGEST) else {
            return;
        };
        let told = self.told.now();
        if let Some(told) = told.filter(|told| told.late > 0) {
            self.told.put(Some(Told {
                late: told.late - 1,
                ..told
            }));
            return;
        }
        let track = told.and_then(|told| Track::new(told.time, told.iso).ok());
        self.pixels.put(Some((pixels, track)));
        let part = self.see();
        if let (Some(told), Some(part)) = (told, part) {
            self.lead(told, part);
        }
    }

    /// Reads the last frame; gives what the ring covers.
    fn see(self) -> Option<Patch> {
        let spot = self.spot.now();
        let frame = self.pixels.once(|pixels| {
            let (pixels, track) = pixels.as_ref()?;
            let picture = Picture::new(pixels.width, pixels.height, &pixels.data).ok()?;
            Some(Frame {
                part: picture.spot(spot).ok()?,
                whole: picture.whole(),
                track: *track,
            })
        })?;
        let level = level(
            frame.track.as_ref(),
            frame.read(self.is_whole()),
            &frame.whole,
        );
        if self.seen.quietly(|seen| seen.see(level, frame)) == Some(true) {
            self.frame.put(self.seen.once(|seen| seen.shown().copied()));
        }
        Some(frame.part)
    }

    /// Another part is read from now on: of the frame that is held, or else of those that come.
    fn see_anew(self) {
        self.seen.put(Steady::new());
        // OK to ignore: before the first frame nothing is seen.
        let _ = self.see();
    }

    fn move_to(self, (across, down): (f64, f64)) {
        self.spot.set(Spot {
            across,
            down,
            ..MIDDLE
        });
        self.see_anew();
    }

    fn is_whole(self) -> bool {
        self.part.once(|part| part == PARTS[1].0)
    }

    /// Keeps figure and picture, or goes on.
    fn hold(self) {
        let held = !self.held.now();
        self.held.set(held);
        if let Some(video) = self.video.get() {
            Camera::hold(&video, held);
        }
        if !held {
            self.seen.put(Steady::new());
        }
    }

    fn lead(self, told: Told, part: Patch) {
        let reach = self
            .camera
            .once(|camera| camera.as_ref().and_then(|camera| camera.reach()));
        let Some(next) =
            reach.and_then(|reach| next_time(told.time, &part, reach.least, reach.most))
        else {
            return;
        };
        self.told.put(Some(Told {
            time: next,
            late: LATE_FRAMES,
            ..told
        }));
        let (camera, turn) = (self.camera.now(), self.turn.now());
        spawn_local(async move {
            if let Some(camera) = camera {
                let taken = camera.expose(next, told.iso).await;
                if !taken && self.is_on(turn) {
                    self.told.put(None);
                }
            }
        });
    }

    /// Width and height of the last frame.
    fn size(self) -> [f64; 2] {
        #[expect(
            clippy::cast_precision_loss,
            reason = "sides of pictures are far below 2^52"
        )]
        self.pixels.once(|pixels| match pixels {
            Some((pixels, _)) => [pixels.width as f64, pixels.height as f64],
            None => [4.0, 3.0],
        })
    }

    /// Settles the constant on a light that is known.
    fn settle(self, room: Room) -> Result<(), String> {
        let frame = self.frame.now().ok_or(START_FIRST)?;
        let track = frame
            .track
            .ok_or("This camera keeps its exposure to itself; there is nothing to set.")?;
        let known = of_the_dial(room);
        let constant = Calibration::new(&track, &frame.part, known.light(), known.doubt)
            .map_err(|error| error.to_string())?;
        self.constant.put(Some(constant));
        let kept = self.key.once(|key| keep(key, &constant.record()));
        room.said.set(match kept {
            Ok(()) => "This camera is set against the dial's reading.".to_owned(),
            Err(storage::Unavailable) => {
                "This camera is set against the dial's reading until the page is closed: the storage cannot be used.".to_owned()
            }
        });
        Ok(())
    }
}

const START_FIRST: &str = "Start the camera first.";
const TAKEN_AWAY: &str =
    "The camera stopped: the device or another program took it. Start it again.";
/// Nothing can be touched here; the camera itself is pointed.
const POINT_ELSEWHERE: &str = "Point the camera at another place.";

/// Keeps a record; one that is there and cannot be read is moved aside first.
fn keep(key: &str, record: &str) -> Result<(), storage::Unavailable> {
    let there = storage::read(key)?;
    if there.is_some_and(|there| Calibration::from_record(&there).is_none()) {
        let name = key.strip_prefix(KEY).unwrap_or(key);
        storage::move_record(key, &format!("{ASIDE}{name}"))?;
    }
    storage::write(key, record)
}

const ABOUT: &str = "What the ring covers is read, or the whole frame; touch the picture to move the ring. The picture stays on this device and is not kept; the browser asks for the camera when you start it.";
const HIDES: &str = "This browser keeps the camera's exposure to itself, so the level of the light is hidden. The ring is compared with the whole frame, and the whole frame is taken for what the dial reads.";
const SET_ONCE: &str = "This camera says how it exposes, but not how much light that is: set it once against a known reading, below.";
const AGAINST: &str = "Let the ring show one plain, evenly lit surface, read the same surface with a meter that you trust, and put that reading on the dial first.";

/// The light of a frame: of the ring, or of the `whole`.
fn light_of(room: Room, meter: Meter, frame: &Frame, whole: bool) -> Outcome {
    let read = frame.read(whole);
    let found = match (frame.track, meter.constant.get()) {
        (Some(track), Some(constant)) => constant.found(&track, read),
        (Some(_), None) => return Err(SET_ONCE.to_owned()),
        (None, _) => relative(read, &frame.whole, &of_the_dial(room)),
    };
    found.map_err(|error| error.to_string())
}

/// What is to be said of a frame beside its light.
fn said_of(frame: &Frame, whole: bool) -> String {
    let beside = compared(&frame.part, &frame.whole)
        .map(|said| format!("The ring: {said}"))
        .unwrap_or_default();
    let advice = if frame.read(whole).from_middle().is_err() {
        POINT_ELSEWHERE
    } else {
        ""
    };
    format!("{beside} {advice}").trim().to_owned()
}

pub(super) fn page(room: Room) -> Part {
    let meter = Meter {
        camera: Live::new(None),
        turn: Live::new(0),
        clock: Live::new(None),
        told: Live::new(None),
        runs: Live::new(false),
        refused: Live::new(String::new()),
        frame: Live::new(None),
        seen: Live::new(Steady::new()),
        pixels: Live::new(None),
        held: Live::new(false),
        spot: Live::new(MIDDLE),
        part: Live::new(PARTS[0].0.to_owned()),
        constant: Live::new(None),
        key: Live::new(KEY.to_owned()),
        video: Here::new(),
        canvas: Here::new(),
    };
    room.when_unseen(move || meter.stop());
    let whole = move || meter.part.with(|part| part == PARTS[1].0);
    let read = move || match meter.frame.get() {
        Some(frame) => light_of(room, meter, &frame, whole()),
        None => nothing(),
    };
    let offer = Offer::of(Box::new(read));
    let now = move || {
        let frame = meter.frame.get();
        frame.map_or_else(String::new, |frame| {
            let left = offer.on_the_dial(room).map(|dial| dial.left_over());
            format!("{} {}", said_of(&frame, whole()), left.unwrap_or_default())
        })
    };
    let hides = move || meter.runs.get() && meter.frame.get().is_some_and(|it| it.track.is_none());
    let choose = move |key| {
        meter.part.set(key);
        meter.see_anew();
    };
    let chosen = move || meter.part.get();
    let parts = select("camera-part", "What is read", fixed(PARTS), chosen, choose);
    let stopped = move || !meter.runs.get();
    let start = button("main", "Start the camera", move || meter.start());
    let slides = move || {
        let to = move |to| meter.move_to(to);
        let ids = ["camera-across", "camera-down"];
        let title = "Move the ring without touching the picture";
        sliders(title, ids, "Ring", meter.spot.get(), to).hidden(stopped() || whole())
    };
    let shown = parts![
        paragraph("reason", ABOUT).hidden_when(move || !stopped()),
        row([start]).hidden_when(move || !stopped()),
        complaint("camera-error", move || meter.refused.get()),
        seen(room, meter, offer),
        el("div").hidden_when(stopped).with(row([
            follows(move || hold(meter)),
            button("", "Stop the camera", move || meter.stop()).into(),
        ])),
        el("p").class("lines").tells(now),
        el("div").class("form").with(parts),
        follows(slides),
        el("canvas").here(meter.canvas).hidden(true),
        paragraph("reason", HIDES).hidden_when(move || !hides()),
        paragraph("reason", CAUTION),
        against(room, meter),
    ];
    offer.under(room, shown)
}

/// Keeps what is shown, as a button that stays down.
fn hold(meter: Meter) -> Element {
    let held = meter.held.get();
    let none = meter.frame.with(Option::is_none);
    button("main", "Hold", move || meter.hold())
        .attr("aria-pressed", if held { "true" } else { "false" })
        .flag("disabled", none)
}

/// What the camera sees, with the ring on what is read, unless it is the whole; and over it the light, and what that comes to on
/// the dial.
fn seen(room: Room, meter: Meter, offer: Offer) -> Part {
    follows(move || {
        let whole = meter.part.with(|part| part == PARTS[1].0);
        let size = meter.frame.with(|_| meter.size());
        let touch = move |to| {
            if !meter.is_whole() {
                meter.move_to(to);
            }
        };
        let video = el("video")
            .here(meter.video)
            .flag("playsinline", true)
            .flag("muted", true)
            .named("What the camera sees");
        let moved = move |to: Option<(f64, f64)>| {
            if let Some(to) = to {
                meter.move_to(to);
            }
        };
        let [width, height] = size;
        el("div")
            .class("metered seeing")
            .style("--ratio", css::number(width / height))
            .with(touchable(video, touch))
            .with(mark(meter.spot.get(), size, moved).hidden(whole))
            .with(follows(move || figures(room, offer)))
            .hidden(!meter.runs.get())
    })
}

/// The light in figures that are read at arm's length, and what the dial would be set to.
fn figures(room: Room, offer: Offer) -> Element {
    let light = offer.with(|found| match found {
        Ok(found) => words::decimal(found.light().get(), 1),
        Err(_) => "–".to_owned(),
    });
    // Always to a tenth, so that nothing jumps.
    let tenth = if light.contains(['.', '–']) {
        ""
    } else {
        ".0"
    };
    let set = match offer.on_the_dial(room) {
        Some(dial) => dial.set().map(|mark| words::value(&mark)).join(" "),
        None => "–".to_owned(),
    };
    el("div")
        .class("read-off")
        .attr("role", "group")
        .named("Read off")
        .with(paragraph("ev-large", format!("EV {light}{tenth}")))
        .with(paragraph("set-large", set))
}

/// The camera is set once against a reading that is known.
fn against(room: Room, meter: Meter) -> Part {
    let error = Live::new(String::new());
    let settle = move || error.set(meter.settle(room).err().unwrap_or_default());
    let state = move || {
        let reading = of_the_dial(room).sentence();
        match meter.constant.get() {
            Some(_) => format!("It is set. The dial reads {reading}."),
            None => format!("It is not set yet. The dial reads {reading}."),
        }
    };
    let label = "The ring has the light that the dial reads";
    parts![
        el("h3").says("Set it against a known reading"),
        paragraph("reason", AGAINST),
        el("p").class("lines").tells(state),
        complaint("camera-set-error", move || error.get()),
        row([button("", label, settle)]),
    ]
}

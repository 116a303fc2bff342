//! The live camera as a meter.

use std::{rc::Rc, time::Duration};

use leptos::reactive::graph::untrack;
use readings::{
    live::{Calibration, Track, compared, next_time, relative},
    picture::{Patch, Picture, Spot},
};

use super::{
    found::{Outcome, nothing, of_the_dial, offering},
    room::Room,
};
use crate::{
    browser::{
        camera::{self, Camera, NoCamera},
        draw::Here,
        later::{Every, every, spawn_local},
        picture, storage,
    },
    form::{choice, fixed},
    live::Live,
    parts::{Element, Part, el, parts},
    piece::{button, button_unless, complaint, paragraph, row},
};

/// Key of a camera's constant.
const KEY: &str = "stopkeeper.live-camera.";
/// Records that could not be read are kept under keys that begin so.
const ASIDE: &str = "stopkeeper.aside.live-camera.";
/// How often a frame is looked at: often enough for a hand that points, seldom enough for a phone's battery.
const LOOK_EVERY: Duration = Duration::from_millis(250);
/// Frames that a camera may still show after it was told another time.
const LATE_FRAMES: u8 = 3;
/// Longest side of the frame that is read.
const LONGEST: f64 = 160.0;
/// What is read: a tenth of the shorter side around the middle.
const MIDDLE: Spot = Spot {
    across: 0.5,
    down: 0.5,
    radius: 0.1,
};
/// The time that the camera is told first: a hundredth of a second.
const FIRST_TIME: f64 = 100.0;

/// What may be read of a frame.
const PARTS: [(&str, &str); 2] = [
    ("middle", "The ring in the middle"),
    ("whole", "The whole frame"),
];

/// What one frame showed.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Frame {
    part: Patch,
    whole: Patch,
    /// How it was exposed, where the camera was told.
    track: Option<Track>,
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
    frame: Live<Option<Frame>>,
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
        // What was seen last is not what is there now.
        self.frame.put(None);
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
        let (Some(video), Some(canvas)) = (self.video.get(), self.canvas.get()) else {
            return;
        };
        let Some(pixels) = picture::of_video(&video, &canvas, LONGEST) else {
            return;
        };
        let Ok(picture) = Picture::new(pixels.width, pixels.height, &pixels.data) else {
            return;
        };
        let Ok(part) = picture.spot(MIDDLE) else {
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
        self.frame.put(Some(Frame {
            part,
            whole: picture.whole(),
            track: told.and_then(|told| Track::new(told.time, told.iso).ok()),
        }));
        if let Some(told) = told {
            self.lead(told, part);
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

const ABOUT: &str = "What the ring in the middle covers is read, or the whole frame. The picture stays on this device and is not kept; the browser asks for the camera when you start it.";
const HIDES: &str = "This browser keeps the camera's exposure to itself, so the level of the light is hidden. The middle is compared with the whole frame, and the whole frame is taken for what the dial reads.";
const SET_ONCE: &str = "This camera says how it exposes, but not how much light that is: set it once against a known reading, below.";
const AGAINST: &str = "Let the middle show one plain, evenly lit surface, read the same surface with a meter that you trust, and put that reading on the dial first.";

/// The light of a frame: of its middle, or of the `whole`.
fn light_of(room: Room, meter: Meter, frame: &Frame, whole: bool) -> Outcome {
    let read = if whole { &frame.whole } else { &frame.part };
    let found = match (frame.track, meter.constant.get()) {
        (Some(track), Some(constant)) => constant.found(&track, read),
        (Some(_), None) => return Err(SET_ONCE.to_owned()),
        (None, _) => relative(read, &frame.whole, &of_the_dial(room)),
    };
    found.map_err(|error| error.to_string())
}

/// What is to be said of a frame.
fn said_of(room: Room, meter: Meter, frame: &Frame, whole: bool) -> String {
    let light = light_of(room, meter, frame, whole).map_or_else(
        |sentence| sentence,
        |found| format!("{}. ", found.light_in_words()),
    );
    let beside = compared(&frame.part, &frame.whole)
        .map(|said| format!("The middle: {said}"))
        .unwrap_or_default();
    let read = if whole { frame.whole } else { frame.part };
    let advice = if read.from_middle().is_err() {
        POINT_ELSEWHERE
    } else {
        ""
    };
    format!("{light} {beside} {advice}").trim_end().to_owned()
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
        constant: Live::new(None),
        key: Live::new(KEY.to_owned()),
        video: Here::new(),
        canvas: Here::new(),
    };
    room.when_unseen(move || meter.stop());
    let part = Live::new(PARTS[0].0.to_owned());
    let whole = move || part.with(|part| part == PARTS[1].0);
    let taken = Live::new(nothing());
    let take = move || {
        taken.put(match meter.frame.now() {
            Some(frame) => untrack(|| light_of(room, meter, &frame, whole())),
            None => Err(START_FIRST.to_owned()),
        });
    };
    let now = move || {
        let frame = meter.frame.get();
        frame.map_or_else(String::new, |frame| said_of(room, meter, &frame, whole()))
    };
    let hides = move || meter.runs.get() && meter.frame.get().is_some_and(|it| it.track.is_none());
    let parts = choice("camera-part", "What is read", fixed(PARTS), part);
    let read = button_unless(move || !meter.runs.get(), "", "Read the light now", take);
    let shown = parts![
        paragraph("reason", ABOUT),
        start_or_stop(meter),
        complaint("camera-error", move || meter.refused.get()),
        seen(meter, whole),
        el("div").class("form").with(parts),
        el("canvas").here(meter.canvas).hidden(true),
        el("p").class("answer").tells(now),
        paragraph("reason", HIDES).hidden_when(move || !hides()),
        row([read]),
        against(room, meter),
    ];
    offering(room, shown, move || taken.get())
}

fn start_or_stop(meter: Meter) -> Element {
    let start = button("main", "Start the camera", move || meter.start());
    let stop = button("", "Stop the camera", move || meter.stop());
    let runs = move || meter.runs.get();
    row([
        el("div").with(start).hidden_when(runs),
        el("div").with(stop).hidden_when(move || !runs()),
    ])
}

/// What the camera sees, with the ring on what is read, unless it is the whole.
fn seen(meter: Meter, whole: impl Fn() -> bool + 'static) -> Element {
    let video = el("video")
        .here(meter.video)
        .flag("playsinline", true)
        .flag("muted", true)
        .named("What the camera sees");
    let ring = el("span").class("metered-spot metered-middle");
    el("div")
        .class("metered")
        .with(video)
        .with(ring.hidden_when(whole))
        .hidden_when(move || !meter.runs.get())
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
    let label = "The middle has the light that the dial reads";
    parts![
        el("h3").says("Set it against a known reading"),
        paragraph("reason", AGAINST),
        el("p").class("lines").tells(state),
        complaint("camera-set-error", move || error.get()),
        row([button("", label, settle)]),
    ]
}

//! The live camera as a meter.

use std::{rc::Rc, time::Duration};

use leptos::{html, leptos_dom::helpers::IntervalHandle, prelude::*, task::spawn_local};
use readings::{
    live::{Calibration, Track, compared, next_time, relative},
    picture::{Patch, Picture, Spot},
};

use super::{
    found::{Outcome, nothing, of_the_dial, offer},
    room::Room,
};
use crate::{
    browser::{
        camera::{self, Camera, NoCamera},
        picture, storage,
    },
    form::{choice, fixed},
    piece::{button, complaint, flag, never, paragraph, text},
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

/// The camera's life: it begins with a press of the button and ends in [`Live::stop`], whoever calls it.
#[derive(Clone, Copy)]
struct Live {
    camera: StoredValue<Option<Rc<Camera>>, LocalStorage>,
    /// Counts starts and stops: what an earlier start still waits for is let go when it comes.
    turn: StoredValue<u32>,
    clock: StoredValue<Option<IntervalHandle>>,
    told: StoredValue<Option<Told>>,
    runs: RwSignal<bool>,
    refused: RwSignal<String>,
    frame: RwSignal<Option<Frame>>,
    constant: RwSignal<Option<Calibration>>,
    key: StoredValue<String>,
    video: NodeRef<html::Video>,
    canvas: NodeRef<html::Canvas>,
}

impl Live {
    fn start(self) {
        self.stop();
        self.refused.set(String::new());
        let turn = self.turn.get_value();
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
        self.turn.try_get_value() == Some(turn)
    }

    async fn run(self, camera: Camera, turn: u32) {
        // Nobody may look any more, for a person was asked in between: then the camera is dropped, which lets it go.
        if !self.is_on(turn) {
            return;
        }
        let Some(video) = self.video.get_untracked() else {
            return;
        };
        let camera = Rc::new(camera);
        self.camera.set_value(Some(Rc::clone(&camera)));
        camera.show_in(&video);
        let key = format!("{KEY}{}", camera.id());
        self.constant.set(
            storage::read(&key)
                .ok()
                .flatten()
                .and_then(|record| Calibration::from_record(&record)),
        );
        self.key.set_value(key);
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
        self.told.set_value(told);
        self.runs.set(true);
        if let Ok(clock) = set_interval_with_handle(move || self.look(), LOOK_EVERY) {
            self.clock.set_value(Some(clock));
        }
    }

    /// The one place where the camera is let go.
    fn stop(self) {
        // OK to ignore each time: a page that is taken away has let go of its camera already.
        let _ = self
            .turn
            .try_update_value(|turn| *turn = turn.wrapping_add(1));
        if let Some(clock) = self.clock.try_update_value(Option::take).flatten() {
            clock.clear();
        }
        if let Some(camera) = self.camera.try_update_value(Option::take).flatten() {
            camera.let_go();
        }
        let _ = self.runs.try_set(false);
        // What was seen last is not what is there now.
        let _ = self.frame.try_set(None);
    }

    /// Reads the frame that is there, and leads the camera to middle grey where it can be led.
    fn look(self) {
        let taken_away = self
            .camera
            .with_value(|camera| camera.as_ref().is_some_and(|camera| camera.is_gone()));
        if taken_away {
            self.stop();
            self.refused.set(TAKEN_AWAY.to_owned());
            return;
        }
        let (Some(video), Some(canvas)) = (self.video.get_untracked(), self.canvas.get_untracked())
        else {
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
        let told = self.told.get_value();
        if let Some(told) = told.filter(|told| told.late > 0) {
            self.told.set_value(Some(Told {
                late: told.late - 1,
                ..told
            }));
            return;
        }
        self.frame.set(Some(Frame {
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
            .with_value(|camera| camera.as_ref().and_then(|camera| camera.reach()));
        let Some(next) =
            reach.and_then(|reach| next_time(told.time, &part, reach.least, reach.most))
        else {
            return;
        };
        self.told.set_value(Some(Told {
            time: next,
            late: LATE_FRAMES,
            ..told
        }));
        let (camera, turn) = (self.camera.get_value(), self.turn.get_value());
        spawn_local(async move {
            if let Some(camera) = camera {
                let taken = camera.expose(next, told.iso).await;
                if !taken && self.is_on(turn) {
                    self.told.set_value(None);
                }
            }
        });
    }

    /// Settles the constant on a light that is known.
    fn settle(self, room: Room) -> Result<(), String> {
        let frame = self.frame.get_untracked().ok_or(START_FIRST)?;
        let track = frame
            .track
            .ok_or("This camera keeps its exposure to itself; there is nothing to set.")?;
        let known = of_the_dial(room);
        let constant = Calibration::new(&track, &frame.part, known.light(), known.doubt)
            .map_err(|error| error.to_string())?;
        self.constant.set(Some(constant));
        let key = self.key.get_value();
        let kept = keep(&key, &constant.record());
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

pub(super) fn page(room: Room) -> AnyView {
    let live = Live {
        camera: StoredValue::new_local(None),
        turn: StoredValue::new(0),
        clock: StoredValue::new(None),
        told: StoredValue::new(None),
        runs: RwSignal::new(false),
        refused: RwSignal::new(String::new()),
        frame: RwSignal::new(None),
        constant: RwSignal::new(None),
        key: StoredValue::new(KEY.to_owned()),
        video: NodeRef::new(),
        canvas: NodeRef::new(),
    };
    room.when_unseen(move || live.stop());
    let stopped = flag(move || !live.runs.get());
    let runs = flag(move || live.runs.get());
    let part = RwSignal::new("middle".to_owned());
    let whole = flag(move || part.with(|part| part == "whole"));
    let read = move |frame: &Frame| -> Outcome {
        let read = if whole.get() {
            &frame.whole
        } else {
            &frame.part
        };
        let found = match (frame.track, live.constant.get()) {
            (Some(track), Some(constant)) => constant.found(&track, read),
            (Some(_), None) => return Err(
                "This camera says how it exposes, but not how much light that is: set it once against a known reading, below."
                    .to_owned(),
            ),
            (None, _) => relative(read, &frame.whole, &of_the_dial(room)),
        };
        found.map_err(|error| error.to_string())
    };
    let taken = RwSignal::new(nothing());
    let take = move || {
        let frame = live.frame.get_untracked();
        taken.set(match frame {
            Some(frame) => untrack(|| read(&frame)),
            None => Err(START_FIRST.to_owned()),
        });
    };
    let now = text(move || {
        live.frame.get().map_or_else(String::new, |frame| {
            let light = read(&frame).map_or_else(
                |sentence| sentence,
                |found| format!("{}. ", found.light_in_words()),
            );
            let beside = compared(&frame.part, &frame.whole)
                .map(|said| format!("The middle: {said}"))
                .unwrap_or_default();
            let unread = if whole.get() { frame.whole } else { frame.part }
                .from_middle()
                .is_err();
            let advice = if unread { POINT_ELSEWHERE } else { "" };
            format!("{light} {beside} {advice}").trim_end().to_owned()
        })
    });
    let hides = flag(move || {
        !live.runs.get()
            || live
                .frame
                .with(|frame| frame.is_none_or(|frame| frame.track.is_some()))
    });
    view! {
        <p class="reason">
            "What the ring in the middle covers is read, or the whole frame. The picture stays on this device and is not kept; the browser asks for the camera when you start it."
        </p>
        <div class="row">
            <div hidden=runs>{button("main", "Start the camera", never(), move || live.start())}</div>
            <div hidden=stopped>{button("", "Stop the camera", never(), move || live.stop())}</div>
        </div>
        {complaint("camera-error", live.refused.into())}
        <div class="metered" hidden=stopped>
            <video node_ref=live.video playsinline=true muted=true aria-label="What the camera sees"></video>
            <span class="metered-spot metered-middle" hidden=whole></span>
        </div>
        <div class="form">{choice("camera-part", "What is read", fixed(PARTS), part)}</div>
        <canvas node_ref=live.canvas hidden=true></canvas>
        {paragraph("answer", now)}
        <p class="reason" hidden=hides>
            "This browser keeps the camera's exposure to itself, so the level of the light is hidden. The middle is compared with the whole frame, and the whole frame is taken for what the dial reads."
        </p>
        <div class="row">{button("", "Read the light now", stopped, take)}</div>
        {offer(room, taken.into())}
        {against(room, live)}
    }
    .into_any()
}

/// The camera is set once against a reading that is known.
fn against(room: Room, live: Live) -> impl IntoView {
    let error = RwSignal::new(String::new());
    let settle = move || {
        error.set(live.settle(room).err().unwrap_or_default());
    };
    let state = text(move || {
        let reading = of_the_dial(room).sentence();
        match live.constant.get() {
            Some(_) => format!("It is set. The dial reads {reading}."),
            None => format!("It is not set yet. The dial reads {reading}."),
        }
    });
    view! {
        <h3>"Set it against a known reading"</h3>
        <p class="reason">
            "Let the middle show one plain, evenly lit surface, read the same surface with a meter that you trust, and put that reading on the dial first."
        </p>
        {paragraph("lines", state)}
        {complaint("camera-set-error", error.into())}
        <div class="row">
            {button("", "The middle has the light that the dial reads", never(), settle)}
        </div>
    }
}

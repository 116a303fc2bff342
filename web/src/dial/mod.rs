//! A rotary dial: a native range input under a painted ring.
//!
//! The range is what keyboards and screen readers turn; the ring is what fingers turn; both send the same wishes.

mod face;
mod keys;
mod pointer;
mod value;

use std::{sync::Arc, time::Duration};

use leptos::html;
use leptos::prelude::*;
use panel::{Control, DialView, Face, Intent, Nudge, Part};

use self::{pointer::Grip, value::Value};
use crate::{
    css,
    piece::{of, paragraph, press, text},
    store::Dispatcher,
};

/// A wheel that has been still for this long has finished its turn.
const WHEEL_RESTS: Duration = Duration::from_millis(250);
/// A fine wheel turns a mark for each so many pixels.
const WHEEL_PIXELS: f64 = 50.0;

/// One dial with its value, its hold latch and its step buttons.
#[component]
pub(crate) fn Dial(
    /// Which control it turns.
    control: Control,
    /// What it shows.
    dial: RwSignal<DialView>,
    /// Its engraved scale.
    face: RwSignal<Arc<Face>>,
    /// Whether a detent may be felt.
    tick: Signal<bool>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let words = Words::of(control);
    let range = NodeRef::<html::Input>::new();
    let grip = Grip::new(control, dial, tick, range, dispatcher);
    let focused = RwSignal::new(false);

    let part = of(dial, |dial| part_key(dial.part).to_owned());
    let wide = of(dial, |dial| {
        if dial.face.wide { "yes" } else { "no" }.to_owned()
    });
    let place =
        text(move || css::number(grip.place().unwrap_or_else(|| dial.with(|dial| dial.place))));

    let disc = NodeRef::<html::Div>::new();
    face::engrave(disc, face);

    let settle = move || {
        dispatcher.send(&Intent::Settle);
    };
    let step = move |by: i32| {
        dispatcher.send(&Intent::Nudge(control, Nudge::Marks(by)));
        settle();
    };
    let slide = move |event| {
        if let Ok(to) = event_target_value(&event).parse() {
            dispatcher.send(&Intent::Turn(control, to));
        }
    };
    let hold = press(move || {
        let held = dial.with_untracked(|dial| dial.part == Part::Held);
        dispatcher.send(&Intent::Hold(control, !held));
    });
    let wheel = wheel(control, focused, dispatcher);

    view! {
        <div
            class="dial"
            data-part=part
            data-wide=wide
            on:wheel=wheel
        >
            <div class="dial-head">
                <span class="dial-name">{words.name}</span>
                <span class="dial-part" id=words.part_id>
                    {part}
                </span>
            </div>
            <div class="dial-window">
                <input
                    class="dial-range"
                    node_ref=range
                    type="range"
                    dir="ltr"
                    min="0"
                    max=of(dial, |dial| dial.face.notches.len().saturating_sub(1).to_string())
                    step="1"
                    prop:value=of(dial, |dial| nearest_mark(dial.at).to_string())
                    aria-label=words.name
                    aria-valuetext=of(dial, |dial| dial.spoken.clone())
                    aria-describedby=words.part_id
                    on:keydown=move |event| keys::down(&event, control, grip, dispatcher)
                    on:keyup=move |_| settle()
                    on:input=slide
                    on:change=move |_| settle()
                    on:focus=move |_| focused.set(true)
                    on:blur=move |_| {
                        focused.set(false);
                        settle();
                    }
                />
                <div
                    class="dial-grip"
                    // Else some browsers take the lift for a fling, and swallow the next tap anywhere on the page.
                    on:touchstart=|event| event.prevent_default()
                    on:pointerdown=move |event| grip.down(&event)
                    on:pointermove=move |event| grip.moved(&event)
                    on:pointerup=move |event| grip.up(&event)
                    on:pointercancel=move |event| grip.cancelled(&event)
                    on:lostpointercapture=move |event| grip.lost(&event)
                ></div>
                <div class="dial-hub"></div>
                <div class="dial-scale" aria-hidden="true">
                    <div
                        class="dial-disc"
                        data-turning=text(move || grip.place().is_some().to_string())
                        style:--place=place
                        node_ref=disc
                    ></div>
                    <div class="dial-index"></div>
                </div>
            </div>
            <Value control words dial dispatcher />
            {paragraph("dial-note", of(dial, |dial| dial.note.clone().unwrap_or_default()))}
            <button
                class="step step-less"
                type="button"
                aria-label=words.less_name
                on:click=press(move || step(-1))
            >
                <span class="arrow arrow-back" aria-hidden="true"></span>
                {words.less}
            </button>
            <button
                class="hold"
                type="button"
                aria-label=words.hold
                aria-pressed=of(dial, |dial| (dial.part == Part::Held).to_string())
                on:click=hold
            >
                <span class="latch" aria-hidden="true"></span>
                "Hold"
            </button>
            <button
                class="step step-more"
                type="button"
                aria-label=words.more_name
                on:click=press(move || step(1))
            >
                {words.more}
                <span class="arrow arrow-on" aria-hidden="true"></span>
            </button>
        </div>
    }
}

/// Turns by the wheel, but only while the dial has the keyboard: else the page has to scroll.
fn wheel(
    control: Control,
    focused: RwSignal<bool>,
    dispatcher: Dispatcher,
) -> impl Fn(leptos::ev::WheelEvent) {
    let pixels = StoredValue::new(0.0);
    let resting = StoredValue::new(None::<TimeoutHandle>);
    move |event| {
        if !focused.get_untracked() || event.ctrl_key() {
            return;
        }
        event.prevent_default();
        // Away from the person is brighter, as with the arrow up. Wheels that count in lines send one notch at a time.
        let by = if event.delta_mode() == 0 {
            pixels.get_value() - event.delta_y()
        } else {
            -event.delta_y().signum() * WHEEL_PIXELS
        };
        if by.abs() < WHEEL_PIXELS {
            pixels.set_value(by);
            return;
        }
        pixels.set_value(0.0);
        let marks = if by > 0.0 { 1 } else { -1 };
        dispatcher.send(&Intent::Nudge(control, Nudge::Marks(marks)));
        if let Some(before) = resting.get_value() {
            before.clear();
        }
        let rests = move || {
            dispatcher.send(&Intent::Settle);
        };
        resting.set_value(set_timeout_with_handle(rests, WHEEL_RESTS).ok());
    }
}

/// What a dial says, in words that fit its control.
#[derive(Clone, Copy)]
pub(super) struct Words {
    name: &'static str,
    part_id: &'static str,
    hold: &'static str,
    less: &'static str,
    less_name: &'static str,
    more: &'static str,
    more_name: &'static str,
    type_name: &'static str,
    field_name: &'static str,
    error_id: &'static str,
    keyboard: &'static str,
}

impl Words {
    const fn of(control: Control) -> Self {
        match control {
            Control::Time => Self {
                name: "Time",
                part_id: "time-part",
                hold: "Hold time",
                less: "less light",
                less_name: "Time, one mark less light",
                more: "more light",
                more_name: "Time, one mark more light",
                type_name: "Type time",
                field_name: "Time value",
                error_id: "time-error",
                keyboard: "text",
            },
            Control::Aperture => Self {
                name: "Aperture",
                part_id: "aperture-part",
                hold: "Hold aperture",
                less: "less light",
                less_name: "Aperture, one mark less light",
                more: "more light",
                more_name: "Aperture, one mark more light",
                type_name: "Type aperture",
                field_name: "Aperture value",
                error_id: "aperture-error",
                keyboard: "decimal",
            },
            Control::Sensitivity => Self {
                name: "Sensitivity",
                part_id: "sensitivity-part",
                hold: "Hold sensitivity",
                less: "lower",
                less_name: "Sensitivity, one mark lower",
                more: "higher",
                more_name: "Sensitivity, one mark higher",
                type_name: "Type sensitivity",
                field_name: "Sensitivity value",
                error_id: "sensitivity-error",
                keyboard: "decimal",
            },
        }
    }
}

const fn part_key(part: Part) -> &'static str {
    match part {
        Part::Held => "held",
        Part::Follows => "follows",
        Part::Leads => "turned",
        Part::Free => "free",
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the index of a mark"
)]
fn nearest_mark(at: f64) -> usize {
    at.round() as usize
}

//! Every pair of time and aperture that the camera can set for this light.

use leptos::prelude::*;
use panel::{CameraView, Intent, PairView};

use crate::{
    field::TextField,
    piece::{of, paragraph, press, still, title},
    store::Dispatcher,
};

const NONE: &str =
    "This camera has no pair of time and aperture for this light at this sensitivity.";

/// The table of pairs; each can be put on the dials.
#[component]
pub(crate) fn Pairs(
    /// The pairs.
    pairs: Memo<Vec<PairView>>,
    /// The chosen camera, for its hand-held limit.
    camera: Memo<CameraView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let rows = move || {
        let all = pairs.get().into_iter().enumerate();
        all.map(|(row, pair)| self::row(row, pair, dispatcher))
            .collect_view()
    };
    let none = of(pairs, |pairs| {
        if pairs.is_empty() { NONE } else { "" }.to_owned()
    });
    view! {
        <section class="pairs" aria-labelledby="pairs-title">
            {title("pairs-title", "Settings that give this light", Signal::stored(String::new()))}
            <ul class="pair-list" aria-labelledby="pairs-title">
                {rows}
            </ul>
            {paragraph("reason", none)}
            <div class="limit">
                <TextField
                    id="hand-limit"
                    error_id="hand-limit-error"
                    label="Hand-held limit"
                    name="Hand-held limit"
                    keyboard="text"
                    text=of(camera, |camera| camera.hand_limit.clone())
                    make=Intent::HandLimit
                    dispatcher
                />
                {paragraph("reason", of(camera, |camera| camera.hand_limit_source.clone()))}
            </div>
        </section>
    }
}

fn row(row: usize, pair: PairView, dispatcher: Dispatcher) -> impl IntoView {
    let pick = press(move || {
        dispatcher.send(&Intent::Pick(row));
    });
    let support = if pair.tripod {
        "pair-support needs-tripod"
    } else {
        "pair-support"
    };
    view! {
        <li>
            <button
                class="pair"
                type="button"
                aria-label=pair.sentence
                aria-current=if pair.current { "true" } else { "false" }
                on:click=pick
            >
                {still("pair-time", pair.time)}
                {still("pair-aperture", pair.aperture)}
                {still("pair-residual", pair.residual)}
                {still(support, pair.support.to_owned())}
            </button>
        </li>
    }
}

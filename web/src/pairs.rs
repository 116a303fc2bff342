//! Every pair of time and aperture that the camera can set for this light.

use leptos::prelude::*;
use panel::{CameraView, Intent, PairView};

use crate::{
    browser::page,
    field::TextField,
    piece::{of, paragraph, still, title},
    store::Dispatcher,
};

const NONE: &str =
    "This camera has no pair of time and aperture for this light at this sensitivity.";

/// The table of pairs; each can be put on the dials.
#[component]
pub(crate) fn Pairs(
    /// The pairs.
    pairs: RwSignal<Vec<PairView>>,
    /// The chosen camera, for its hand-held limit.
    camera: RwSignal<CameraView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let rows = move || {
        let all = pairs.get().into_iter().enumerate();
        all.map(|(row, pair)| self::row(row, pair)).collect_view()
    };
    // One listener for all rows, so that making them anew makes no listeners.
    let pick = move |event: leptos::ev::MouseEvent| {
        let row = page::row_of(&event);
        if let Some(row) = row {
            dispatcher.send(&Intent::Pick(row));
        }
    };
    let none = of(pairs, |pairs| {
        if pairs.is_empty() { NONE } else { "" }.to_owned()
    });
    view! {
        <section class="pairs" aria-labelledby="pairs-title">
            {title("pairs-title", "Settings that give this light", Signal::stored(String::new()))}
            <ul class="pair-list" aria-labelledby="pairs-title" on:click=pick>
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

fn row(row: usize, pair: PairView) -> impl IntoView {
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
                data-row=row.to_string()
            >
                {still("pair-time", pair.time)}
                {still("pair-aperture", pair.aperture)}
                {still("pair-residual", pair.residual)}
                {still(support, pair.support.to_owned())}
                {still("pair-support cell-count", pair.count)}
            </button>
        </li>
    }
}

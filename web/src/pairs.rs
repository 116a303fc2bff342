//! Every pair of time and aperture that the camera can set for this light.

use leptos::prelude::*;
use panel::{CameraView, Intent, PairView};

use crate::{field::TextField, ledger::lean_key, store::Dispatcher};

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
    let none = Memo::new(move |_| pairs.with(Vec::is_empty));
    let source = Memo::new(move |_| camera.with(|camera| camera.hand_limit_source.clone()));
    let rows = move || {
        pairs
            .get()
            .into_iter()
            .enumerate()
            .map(|(row, pair)| self::row(row, pair, dispatcher))
            .collect_view()
    };
    view! {
        <section class="pairs" aria-labelledby="pairs-title">
            <div class="line">
                <h2 id="pairs-title">"Settings that give this light"</h2>
            </div>
            <ul class="pair-list" aria-labelledby="pairs-title">
                {rows}
            </ul>
            <p class="reason" hidden=move || !none.get()>
                "This camera has no pair of time and aperture for this light at this sensitivity."
            </p>
            <div class="limit">
                <TextField
                    id="hand-limit"
                    label="Hand-held limit"
                    text=Signal::derive(move || camera.with(|camera| camera.hand_limit.clone()))
                    make=Intent::HandLimit
                    dispatcher
                />
                <p class="reason">{source}</p>
            </div>
        </section>
    }
}

fn row(row: usize, pair: PairView, dispatcher: Dispatcher) -> impl IntoView {
    let pick = move |_| {
        dispatcher.send(&Intent::Pick(row));
    };
    view! {
        <li>
            <button
                class="pair"
                type="button"
                aria-label=pair.sentence
                aria-current=pair.current.then_some("true")
                data-lean=lean_key(pair.lean)
                data-tripod=pair.tripod.then_some("")
                on:click=pick
            >
                <span class="pair-set">
                    <b>{pair.time}</b>
                    <b>{pair.aperture}</b>
                </span>
                <span class="pair-residual">{pair.residual}</span>
                <span class="pair-support">{pair.support}</span>
            </button>
        </li>
    }
}

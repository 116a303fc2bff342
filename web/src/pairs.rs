//! Every pair of time and aperture that the camera can set for this light.

use leptos::{html, prelude::*};
use panel::{CameraView, Intent, PairView};

use crate::{
    browser::{
        page,
        rows::{self, Row},
    },
    field::TextField,
    piece::{of, paragraph, title},
    store::Dispatcher,
};

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
    let list = NodeRef::<html::Ul>::new();
    let all = move || pairs.with(|pairs| pairs.iter().map(row).collect());
    rows::keep(PAIR, move || list.get().map(Into::into), all);
    // One listener for all rows, so that making them anew makes no listeners.
    let pick = move |event: leptos::ev::MouseEvent| {
        let row = page::row_of(&event);
        if let Some(row) = row {
            dispatcher.send(&Intent::Pick(row));
        }
    };
    view! {
        <section class="pairs" aria-labelledby="pairs-title">
            {title("pairs-title", "Settings that give this light", Signal::stored(String::new()))}
            <ul class="pair-list" aria-labelledby="pairs-title" node_ref=list on:click=pick></ul>
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

/// A pair, to be put on the dials by a press.
const PAIR: &str = concat!(
    r#"<li><button class="pair" type="button" data-row><span class="pair-time" data-text></span>"#,
    r#"<span class="pair-aperture" data-text></span><span class="pair-residual" data-text></span>"#,
    r#"<span class="pair-support" data-text></span>"#,
    r#"<span class="pair-support cell-count" data-text></span></button></li>"#
);

fn row(pair: &PairView) -> Row {
    Row {
        attributes: vec![
            ("aria-label", pair.sentence.clone()),
            ("aria-current", pair.current.to_string()),
            ("data-tripod", pair.tripod.to_string()),
        ],
        texts: vec![
            pair.time.clone(),
            pair.aperture.clone(),
            pair.residual.clone(),
            pair.support.to_owned(),
            pair.count.clone(),
        ],
        ..Row::default()
    }
}

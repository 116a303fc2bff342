//! The engraved scale of a dial.

use std::sync::Arc;

use leptos::prelude::*;
use panel::{Face, Notch};

use crate::css;

/// The marks of the face, each turned to its place once; after that only the disc that carries them turns.
#[component]
pub(super) fn Marks(
    /// The face: a signal of its own, so that its marks are made anew only with another camera.
    face: RwSignal<Arc<Face>>,
) -> impl IntoView {
    move || face.with(|face| face.notches.iter().map(mark).collect_view())
}

fn mark(notch: &Notch) -> impl IntoView + use<> {
    view! {
        <i class=if notch.long { "mark long" } else { "mark" } style:--at=css::number(notch.place)>
            {notch.figure.clone()}
        </i>
    }
}

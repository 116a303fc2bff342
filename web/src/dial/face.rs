//! The engraved scale of a dial.

use std::sync::Arc;

use leptos::prelude::*;
use panel::{DialView, Face, Notch};

use crate::css;

/// The marks of the face, each turned to its place once; after that only the disc that carries them turns.
#[component]
pub(super) fn Marks(
    /// The dial whose face this is.
    dial: Memo<DialView>,
) -> impl IntoView {
    // A turn leaves the face as it is, so that its marks are made anew only with another camera.
    let face = Memo::new_with_compare(
        move |_| dial.with(|dial| Arc::clone(&dial.face)),
        |before: Option<&Arc<Face>>, after: Option<&Arc<Face>>| match (before, after) {
            (Some(before), Some(after)) => !Arc::ptr_eq(before, after),
            _ => true,
        },
    );
    move || face.with(|face| face.notches.iter().map(mark).collect_view())
}

fn mark(notch: &Notch) -> impl IntoView + use<> {
    view! {
        <i class=if notch.long { "mark long" } else { "mark" } style:--at=css::number(notch.place)>
            {notch.figure.clone()}
        </i>
    }
}

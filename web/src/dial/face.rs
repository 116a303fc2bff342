//! The engraved scale of a dial.

use std::sync::Arc;

use leptos::{html, prelude::*};
use panel::{Face, Notch};

use crate::{
    browser::rows::{self, Row},
    css,
};

/// The marks of the face, each turned to its place once; after that only the disc that carries them turns. The face is a
/// signal of its own, so that its marks change only with another camera.
pub(super) fn engrave(disc: NodeRef<html::Div>, face: RwSignal<Arc<Face>>) {
    let marks = move || face.with(|face| face.notches.iter().map(mark).collect());
    rows::keep("<i></i>", move || disc.get().map(Into::into), marks);
}

fn mark(notch: &Notch) -> Row {
    let class = match (notch.long, notch.close) {
        (false, _) => "mark",
        (true, false) => "mark long",
        (true, true) => "mark long close",
    };
    Row {
        attributes: vec![("class", class.to_owned())],
        texts: vec![notch.figure.clone()],
        bar: css::number(notch.place),
        switch: None,
    }
}

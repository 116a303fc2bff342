//! The engraved scale of a dial.

use std::sync::Arc;

use leptos::{html, prelude::*};
use panel::{Face, Notch};

use crate::{
    css,
    rows::{self, Row},
};

/// The marks of the face, each turned to its place once; after that only the disc that carries them turns. The face is a
/// signal of its own, so that its marks change only with another camera.
pub(super) fn engrave(disc: NodeRef<html::Div>, face: RwSignal<Arc<Face>>) {
    let marks = move || face.with(|face| face.notches.iter().map(mark).collect());
    rows::keep("<i></i>", move || disc.get().map(Into::into), marks);
}

fn mark(notch: &Notch) -> Row {
    let class = if notch.long { "mark long" } else { "mark" };
    Row {
        attributes: vec![("class", class.to_owned())],
        texts: vec![notch.figure.clone()],
        bar: css::number(notch.place),
        switch: None,
    }
}

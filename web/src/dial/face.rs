//! The engraved scale of a dial.

use panel::Notch;

use crate::{browser::rows::Row, css};

/// A mark, turned to its place once; after that only the disc that carries it turns.
pub(super) fn mark(notch: &Notch) -> Row {
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

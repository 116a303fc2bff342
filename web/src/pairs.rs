//! Every pair of time and aperture that the camera can set for this light.

use panel::PairView;

use crate::browser::rows::{Row, Rows};

/// The list of pairs, each to be put on the dials by a press.
pub(crate) const LIST: &str = "pair-list";

/// The list with its pattern.
pub(crate) fn find() -> Rows {
    Rows::find(LIST, "pair-row")
}

/// One pair.
pub(crate) fn row(pair: &PairView) -> Row {
    Row {
        attributes: vec![
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

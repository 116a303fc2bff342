//! Measures scans beside the page: a program of its own, without a document, that is asked by the film book.

use scans::{
    Measured, Pixels,
    desk::{Question, answer},
};

use crate::browser::worker::{self, Copy, Work};

/// The longer side of the small copy that is kept, in pixels.
const SMALL: f64 = 480.0;
/// Most bytes of a small copy.
const MOST: f64 = 60_000.0;
/// The longer side of what tones are measured on.
const TONES: f64 = 1600.0;
/// The side of the piece from the middle, at full size, that noise is measured on.
const NOISE: f64 = 768.0;

/// Answers from now on.
pub(crate) fn begin() {
    worker::serve(|work| async move {
        match work {
            Work::Look(picture) => {
                let sizes = [SMALL, TONES, NOISE];
                let seen = worker::look(&picture, sizes, MOST).await?;
                let Copy { tones, piece, .. } = &seen;
                let mut measured =
                    Measured::of(&Pixels::new(tones.width, tones.height, &tones.data).ok()?);
                let piece = Pixels::new(piece.width, piece.height, &piece.data).ok()?;
                measured.noise = Measured::of(&piece).noise;
                Some(seen.answered(&measured.text()))
            }
            Work::Tell(question, records) => {
                let question = Question::read(&question).ok()?;
                // A record that is damaged is a scan that was not measured.
                let files: Vec<Option<Measured>> = records
                    .iter()
                    .map(|text| Measured::read(text.as_deref()?).ok())
                    .collect();
                Some(worker::told(&answer(&question, &files).text()))
            }
        }
    });
}

//! What seeds ask, in a number for each kind: compared natively, and once more within a browser, where the page asks.

use learn::exercise::{Cameras, Exercise, Kind};

/// Fingerprints of the first 500 questions of each kind, without their words. A change here is a change of what every lesson that
/// is out in the world asks.
pub(crate) const FINGERPRINTS: [u64; 9] = [
    0x9b4a_b4cd_dfa0_db6b,
    0xa9f8_11f8_778e_20fe,
    0xaec5_2661_7818_85c9,
    0x3fdc_3378_6543_744d,
    0x9483_c774_588e_0cc0,
    0x1673_2821_8278_29b7,
    0x0b66_0b9a_930e_3c1d,
    0x02e3_5315_ee9c_a4eb,
    0xec5c_2c13_95fb_19fb,
];

/// The fingerprints as they come out here.
pub(crate) fn found() -> [u64; 9] {
    let cameras = Cameras::described();
    Kind::ALL.map(|kind| {
        fingerprint((0..500).map(|seed| {
            let exercise = Exercise::on_cameras(kind, seed, &cameras).expect("a question");
            decided(&exercise)
        }))
    })
}

/// What a question hangs on, without the words: figures of the question, choices, mistakes, and the right one.
fn decided(exercise: &Exercise) -> String {
    let mut text = exercise.question();
    text.retain(|letter| letter.is_ascii_digit() || matches!(letter, '/' | '.'));
    for (i, choice) in exercise.choices().iter().enumerate() {
        let label = exercise.label(i);
        text += &format!(";{label}{:?}", choice.mistake);
    }
    format!("{text};{}", exercise.right())
}

/// A seed's worth of text, in one number: FNV-1a.
fn fingerprint(texts: impl IntoIterator<Item = String>) -> u64 {
    let mut hash = 0xCBF2_9CE4_8422_2325;
    for byte in texts.into_iter().flat_map(String::into_bytes) {
        hash ^= u64::from(byte);
        hash = u64::wrapping_mul(hash, 0x0000_0100_0000_01B3);
    }
    hash
}

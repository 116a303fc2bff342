//! Numbers for the stylesheet.

/// A number as a stylesheet reads it, to a thousandth.
///
/// Written through integers: the standard library's way to print any floating-point number costs more bytes than a dial.
pub(crate) fn number(value: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "places and bars are a few dozen stops"
    )]
    let thousandths = (value * 1000.0).round() as i32;
    let sign = if thousandths < 0 { "-" } else { "" };
    let size = thousandths.unsigned_abs();
    format!("{sign}{}.{:03}", size / 1000, size % 1000)
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::number;

    #[wasm_bindgen_test]
    fn keeps_sign_and_leading_zeros() {
        assert_eq!(number(-0.05), "-0.050", "a small negative number");
        assert_eq!(number(12.3456), "12.346", "rounded to a thousandth");
        assert_eq!(number(-0.0), "0.000", "nought has no sign");
        assert_eq!(number(-7.0), "-7.000", "a whole number");
    }
}

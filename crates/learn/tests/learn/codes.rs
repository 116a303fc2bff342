//! Codes, read by a decoder that is not ours from pictures like those a phone takes.

use learn::code::{BYTES, Code, MOST, QUIET, left_out};

/// A picture of a code as a phone sees it: so many pixels a square, dark and light as given.
fn photographed(code: &Code, pixels: f64, [dark, light]: [u8; 2]) -> Result<String, String> {
    let side = (f64::from(code.side()) * pixels).round() as usize;
    // Each pixel sees all that lies in it, at 3 by 3 places.
    let seen = |x: usize, y: usize| {
        let mut sum = 0.0;
        for (i, j) in (0..9).map(|k| (k % 3, k / 3)) {
            let at = |pixel: usize, k: i32| {
                let place = (pixel as f64 + 0.5 + f64::from(k - 1) / 3.0) / pixels;
                place.max(0.0) as u32
            };
            sum += f64::from(if code.is_dark(at(x, i), at(y, j)) {
                dark
            } else {
                light
            });
        }
        (sum / 9.0).round() as u8
    };
    let mut picture = rqrr::PreparedImage::prepare_from_greyscale(side, side, seen);
    let grids = picture.detect_grids();
    match grids.as_slice() {
        [grid] => grid
            .decode()
            .map(|(_, text)| text)
            .map_err(|error| error.to_string()),
        other => Err(format!("{} codes are seen", other.len())),
    }
}

/// An address with a lesson of so many bytes, of the letters that links have.
fn link(bytes: usize) -> String {
    let letters = "https://example.org/stopkeeper/#lesson=1Stops;qe3mv;";
    let more = "s125,8,100;c0,500,2.8,100,30,11,100;qw9k;".chars().cycle();
    letters.chars().chain(more).take(bytes).collect()
}

/// How dark and how light a camera sees the squares: black on white, and in the darkroom black on red, whose share of brightness is
/// 76 of 255 (ITU-R BT.601, as pictures of phones are coded).
const COLOURS: [[u8; 2]; 2] = [[0, 255], [0, 76]];

/// Every size that is used, at three pixels a square, as far off as the model says.
#[test]
fn every_size_is_read_by_another_decoder() {
    let mut versions = Vec::new();
    for bytes in (18..=BYTES).step_by(5) {
        let text = link(bytes);
        let code = Code::of(&text).expect("it fits");
        if versions.last() == Some(&code.version()) {
            continue;
        }
        versions.push(code.version());
        for colours in COLOURS {
            for pixels in [3.0, 4.0, 5.0] {
                let read = photographed(&code, pixels, colours);
                let what = format!(
                    "version {}, {pixels} pixels a square, {colours:?}",
                    code.version()
                );
                assert_eq!(read.as_deref(), Ok(text.as_str()), "{what}");
            }
        }
    }
    assert_eq!(
        versions,
        (2..=MOST).collect::<Vec<_>>(),
        "every size that an address with a lesson needs"
    );
}

/// What the sentences say a code has room for is what it has room for.
#[test]
fn what_does_not_fit_is_left_out() {
    let fits = Code::of(&link(BYTES)).expect("it fits to the letter");
    assert_eq!(fits.version(), MOST);
    let over = BYTES + 1;
    assert_eq!(Code::of(&link(over)), None, "one letter more");
    let said = left_out(over);
    assert!(
        said.contains(&over.to_string()) && said.contains(&BYTES.to_string()),
        "{said}"
    );
}

/// The path has every dark square and no other, and nothing within the quiet ones.
#[test]
fn the_path_is_the_code() {
    let code = Code::of(&link(120)).expect("it fits");
    let mut dark = std::collections::BTreeSet::new();
    for bar in code.path().split('M').skip(1) {
        let number = |text: &str| text.parse::<u32>().expect("a number");
        let (place, run) = bar.split_once('h').expect("a bar");
        let (across, down) = place.split_once(' ').expect("a place");
        let run = number(run.split_once('v').expect("its end").0);
        for i in 0..run {
            assert!(
                dark.insert((number(across) + i, number(down))),
                "each square once"
            );
        }
    }
    for down in 0..code.side() {
        for across in 0..code.side() {
            assert_eq!(
                dark.contains(&(across, down)),
                code.is_dark(across, down),
                "{across}, {down}"
            );
            let quiet = |at: u32| at < QUIET || at >= code.side() - QUIET;
            assert!(
                !(quiet(across) || quiet(down)) || !code.is_dark(across, down),
                "{across}, {down} is quiet"
            );
        }
    }
    assert!(code.said().contains("version 6"), "{}", code.said());
}

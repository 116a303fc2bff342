//! Codes, read by a decoder that is not ours from pictures like those a phone takes.

use learn::code::{BYTES, Code, MOST, QUIET, left_out};

/// A picture of a code as a phone sees it: so many pixels to three squares, dark and light as given.
fn photographed(code: &Code, pixels: u32, [dark, light]: [u8; 2]) -> Result<String, String> {
    let side = (code.side() * pixels / 3) as usize;
    // Each pixel sees all that lies in it, at 3 by 3 places; edges of squares lie within pixels.
    let square = |pixel: usize, place: usize| {
        let sixths = u32::try_from(6 * pixel + 2 * place + 1).expect("a small picture");
        sixths / (2 * pixels)
    };
    let seen = |x: usize, y: usize| {
        let places = (0..9).map(|at| (square(x, at % 3), square(y, at / 3)));
        let sum: u32 = places
            .map(|(across, down)| {
                let is_dark = code.is_dark(across, down);
                u32::from(if is_dark { dark } else { light })
            })
            .sum();
        u8::try_from(sum / 9).expect("a mean of bytes")
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

/// Pixels to three squares, as a phone sees them in one picture after the other from about as far off as the model allows: one
/// that is read is enough.
const FAR: [u32; 3] = [10, 11, 12];
/// From somewhat nearer every picture is read.
const NEAR: u32 = 15;

/// Every size that is used, as far off as the model says.
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
            let what = format!("version {}, {colours:?}", code.version());
            let far = FAR.map(|pixels| photographed(&code, pixels, colours));
            assert!(far.contains(&Ok(text.clone())), "{what}: {far:?}");
            let near = photographed(&code, NEAR, colours);
            assert_eq!(near.as_deref(), Ok(text.as_str()), "{what}");
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

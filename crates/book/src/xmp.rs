//! Sidecars in open metadata: one XMP packet per scan, which other programs read without this one.
//!
//! Sources: ISO 16684-1 (XMP data model and RDF/XML serialisation; the namespaces are its), Exif as mapped to XMP
//! (`exif:` and `exifEX:` terms: `ExposureTime`, `FNumber` and `ExposureIndex` are rationals, `ISOSpeedRatings` is an ordered list
//! of whole numbers).

use exposure::{Mark, words};

use crate::{Book, Frame, Roll, as_set, as_shot, count_words, frame_words, meter_words, text};

/// A number as a fraction of whole numbers in lowest terms, to a ten-thousandth; a time under a second as 1/x where it is one.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "times up to 86 400 s and f-numbers up to 512, scaled by 10 000, and reciprocals of times in range"
)]
fn rational(number: f64) -> String {
    let reciprocal = 1.0 / number;
    if number < 1.0 && (reciprocal - reciprocal.round()).abs() < 1e-6 * reciprocal {
        return format!("1/{}", reciprocal.round() as u32);
    }
    let (mut over, mut under) = ((number * 10_000.0).round() as u32, 10_000_u32);
    if over == 0 {
        // A time that is no whole fraction of a second and too short for ten-thousandths.
        return format!("1/{}", reciprocal.round() as u32);
    }
    let (mut a, mut b) = (over, under);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    over /= a;
    under /= a;
    format!("{over}/{under}")
}

/// What the mark really gives where it was measured, else the figure: other programs show it to people.
fn figure(mark: &Mark) -> f64 {
    mark.measured().unwrap_or_else(|| mark.engraved())
}

/// Text for XML: escaped, without the characters that XML 1.0 does not allow.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' => out.push(c),
            _ if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            _ => out.push(c),
        }
    }
    out
}

/// The description of a frame: roll, frame, scene, film, rating and offsets, each named.
fn description(book: &Book, roll: &Roll, frame: &Frame, number: u16) -> String {
    let stock = book.stock_of(roll);
    let mut parts = vec![format!("{}, frame {number}", roll.name)];
    if let Some(scene) = frame.plan.scene().and_then(|scene| roll.scene(scene)) {
        parts.push(format!("scene {}: {}", scene.number, scene.name));
        parts.push(format!("rated {}", scene.rating.rating_words()));
        parts.extend(scene.light.said());
        parts.extend(meter_words(roll, frame));
    }
    if let Some(stock) = stock {
        parts.push(format!(
            "{}, box speed {}",
            stock.film.name(),
            stock.box_speed.shown()
        ));
    }
    if let Some(shot) = as_shot(roll, frame) {
        parts.push(format!(
            "as shot: {}",
            frame_words(&shot, stock.map(|stock| stock.box_speed))
        ));
    }
    let count = count_words(roll, frame);
    if !count.is_empty() && frame.shot.time.is_none() {
        parts.push(format!("{count} for the planned time"));
    }
    if frame.shot.light_changed {
        parts.push(
            "the light had changed since it was read: what it amounts to is not known".to_owned(),
        );
    }
    if let Some(verdict) = &frame.verdict {
        parts.push(verdict.grade.words().to_owned());
    }
    if !frame.shot.note.is_empty() {
        parts.push(frame.shot.note.clone());
    }
    parts.join("; ")
}

/// The XMP packet of one frame.
///
/// Time, f-number and sensitivity are those of the frame as shot; the sensitivity is the EI that it amounts to, so that
/// the three together give the light of the scene. Where the light was another than the reading, or the EI is beyond
/// every sensitivity that is taken anywhere, there is none. An EI that is no whole number is there as a fraction as well
/// (`exif:ExposureIndex`), and one below 1 as that alone.
/// All offsets are in the description, in words.
#[must_use]
pub fn xmp(book: &Book, roll: &Roll, frame: &Frame) -> String {
    let number = roll.number_of(frame.id).unwrap_or(0);
    let mut fields = String::new();
    let mut field = |name: &str, value: &str| {
        fields.push_str(&format!("   <{name}>{value}</{name}>\n"));
    };
    if let Some(set) = as_set(frame) {
        field("exif:ExposureTime", &rational(figure(&set.time.mark())));
        field("exif:FNumber", &rational(figure(&set.aperture.mark())));
    }
    if let Some(ei) = as_shot(roll, frame).and_then(|shot| shot.ei_number()) {
        // Exif takes a sensitivity as a whole number: below 1 there is none.
        if ei >= 1.0 {
            let whole = words::decimal(ei, 0);
            field(
                "exif:ISOSpeedRatings",
                &format!("<rdf:Seq><rdf:li>{whole}</rdf:li></rdf:Seq>"),
            );
            field("exifEX:PhotographicSensitivity", &whole);
        }
        // A fraction can say what that rounds.
        if (ei - ei.round()).abs() > 1e-9 {
            field("exif:ExposureIndex", &rational(ei));
        }
    }
    if let Some(at) = frame.shot.at {
        field("exif:DateTimeOriginal", &at.text());
        field("xmp:CreateDate", &at.text());
    }
    let said = escape(&description(book, roll, frame, number));
    field(
        "dc:description",
        &format!("<rdf:Alt><rdf:li xml:lang=\"x-default\">{said}</rdf:li></rdf:Alt>"),
    );
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n \
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n  \
         <rdf:Description rdf:about=\"\"\n    \
         xmlns:dc=\"http://purl.org/dc/elements/1.1/\"\n    \
         xmlns:exif=\"http://ns.adobe.com/exif/1.0/\"\n    \
         xmlns:exifEX=\"http://cipa.jp/exif/1.0/\"\n    \
         xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\">\n\
         {fields}  </rdf:Description>\n </rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"w\"?>\n"
    )
}

/// The sidecars of a roll: file name and packet for each frame that has a scan.
///
/// Named after the scan with the ending `.xmp`; where two scans differ in their ending only, the second keeps it
/// (`05.tif.xmp`).
#[must_use]
pub fn sidecars(book: &Book, roll: &Roll) -> Vec<(String, String)> {
    let mut out: Vec<(String, String)> = Vec::new();
    for frame in roll.frames.iter().filter(|frame| !frame.scan.is_empty()) {
        // A file name without folders, whatever was typed.
        let name = frame.scan.rsplit(['/', '\\']).next().unwrap_or_default();
        let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
        let stem = if stem.is_empty() { name } else { stem };
        let taken = |wanted: &str| out.iter().any(|(known, _)| known == wanted);
        let mut file = format!("{stem}.xmp");
        if taken(&file) {
            file = format!("{name}.xmp");
        }
        if taken(&file) {
            file = format!(
                "{name}.{}.xmp",
                text::short_hash(&format!("{} {}", roll.id, frame.id))
            );
        }
        out.push((file, xmp(book, roll, frame)));
    }
    out
}

//! What a host says with each file of the page: one table, from which the build writes a file for static hosts and by which
//! the test server answers.

use crate::digest;

/// What the build writes beside the page: paths, and under each its headers, indented.
pub const FILE: &str = "_headers";

/// What is answered where there is no file. Its being there also keeps hosts from sending the page instead.
pub const NOT_FOUND: &str = "404.html";

/// A header's name and value.
pub type Header = (&'static str, String);

/// What the page uses of what a person can be asked for, or of the device.
const USED: [&str; 6] = [
    "autoplay",
    "camera",
    "clipboard-write",
    "geolocation",
    "screen-wake-lock",
    "web-share",
];

/// What it has no use for; only names that a browser of today knows, for it complains of others.
const UNUSED: [&str; 23] = [
    "accelerometer",
    "bluetooth",
    "clipboard-read",
    "display-capture",
    "encrypted-media",
    "fullscreen",
    "gamepad",
    "gyroscope",
    "hid",
    "idle-detection",
    "keyboard-map",
    "local-fonts",
    "magnetometer",
    "microphone",
    "midi",
    "payment",
    "picture-in-picture",
    "publickey-credentials-get",
    "serial",
    "sync-xhr",
    "usb",
    "window-management",
    "xr-spatial-tracking",
];

/// What goes with every answer, also where there is no file.
#[must_use]
pub fn of_all() -> Vec<Header> {
    let used = USED.map(|name| format!("{name}=(self)"));
    let unused = UNUSED.map(|name| format!("{name}=()"));
    let permissions = [used.as_slice(), unused.as_slice()].concat().join(", ");
    vec![
        // All else of the content policy stands in the page itself, where no host can forget it; this cannot.
        (
            "Content-Security-Policy",
            "frame-ancestors 'none'".to_owned(),
        ),
        ("Permissions-Policy", permissions),
        ("Referrer-Policy", "no-referrer".to_owned()),
        ("X-Content-Type-Options", "nosniff".to_owned()),
    ]
}

/// What goes with one file beyond that, by its name.
#[must_use]
pub fn of_file(name: &str) -> Vec<Header> {
    vec![
        ("Content-Type", kind(name).to_owned()),
        ("Cache-Control", caching(name).to_owned()),
    ]
}

/// The text of [`FILE`] for the files of these names.
#[must_use]
pub fn written<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let mut text = String::new();
    let mut rule = |path: &str, headers: &[Header]| {
        text.push_str(path);
        text.push('\n');
        for (name, value) in headers {
            text.push_str(&format!("  {name}: {value}\n"));
        }
    };
    rule("/*", &of_all());
    for name in names {
        if name == "index.html" {
            rule("/", &of_file(name));
        }
        rule(&format!("/{name}"), &of_file(name));
    }
    text
}

fn kind(name: &str) -> &'static str {
    match name.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "webmanifest" => "application/manifest+json",
        "json" => "application/json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

/// A file whose name carries a digest of its contents can be kept for ever; every other one is asked for anew.
fn caching(name: &str) -> &'static str {
    if digest::is_in_name(name) {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_in_the_usual_plain_form() {
        let text = written(["index.html", "app-0123abcd.wasm"]);
        assert!(
            text.starts_with("/*\n  Content-Security-Policy: frame-ancestors 'none'\n"),
            "{text}"
        );
        assert!(
            text.ends_with(
                "/\n  Content-Type: text/html; charset=utf-8\n  Cache-Control: no-cache\n\
                 /index.html\n  Content-Type: text/html; charset=utf-8\n  Cache-Control: no-cache\n\
                 /app-0123abcd.wasm\n  Content-Type: application/wasm\n  Cache-Control: public, max-age=31536000, immutable\n"
            ),
            "{text}"
        );
    }

    #[test]
    fn no_header_has_two_rules_for_a_path() {
        let all = of_all();
        for (name, _) in of_file("index.html") {
            // Hosts join what several rules say, and the two together would mean something else.
            assert!(all.iter().all(|(other, _)| *other != name), "{name}");
        }
    }

    #[test]
    fn nothing_is_both_used_and_unused() {
        for name in USED {
            assert!(!UNUSED.contains(&name), "{name}");
        }
    }
}

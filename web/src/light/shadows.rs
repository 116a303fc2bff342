//! Kinds of daylight as small drawings: a post, the sky over it, and the shadow that it throws.

use readings::scenes::Shadow;

use crate::parts::{Element, svg};

/// The post stands a little left of the middle, and its shadow falls to the right.
const POST: &str = "M26 34V14h4v20z";
const GROUND: &str = "M2 34H62";
/// The shadow of a sharp sun.
const SHADOW: &str = "M26 34h4L56 39h-8z";
/// The same with ever wider edges, each drawn faintly over the other.
const WIDER: [&str; 3] = [
    "M25 34h6L60 39H44z",
    "M26 34h4L57 39H47z",
    "M27 34h2L54 39H50z",
];
const SUN: &str = "M10 10m-5 0a5 5 0 1 0 10 0a5 5 0 1 0-10 0";
const RAYS: &str = "M10 1.5V3.5M10 16.5V18.5M1.5 10H3.5M16.5 10H18.5M4 4L5.4 5.4M14.6 14.6L16 16M16 4L14.6 5.4M5.4 14.6L4 16";
const CLOUD: &str = "M8 15a4.5 4.5 0 0 1 1-8.900A6.500 6.500 0 0 1 21 5.500A5 5 0 0 1 22 15z";
const SECOND_CLOUD: &str =
    "M38 13a3.500 3.500 0 0 1 1-6.900A5.500 5.500 0 0 1 50 5.500A4 4 0 0 1 51 13z";
/// A light ground, as sand or snow: dots on it.
const GRAINS: &str = "M6 37h.1M13 38h.1M20 37h.1M36 37.500h.1M60 37h.1M42 36h.1";
const WALL: &str = "M34 34V6h26v28z";
const IN_ITS_SHADE: &str = "M8 34h26V39H4z";

/// What such light looks like.
pub(super) fn drawing(shadow: Shadow) -> Element {
    let part =
        |class: &'static str, path: &'static str| svg("path").attr("class", class).attr("d", path);
    let sharp = || part("dark", SHADOW);
    let soft = |class: &'static str| WIDER.map(|path| part(class, path));
    let mut all = Vec::new();
    match shadow {
        Shadow::Snow => all.extend([
            part("line", SUN),
            part("line", RAYS),
            sharp(),
            part("grains", GRAINS),
        ]),
        Shadow::Distinct => all.extend([part("line", SUN), part("line", RAYS), sharp()]),
        Shadow::Soft => {
            all.push(part("line", SUN));
            all.extend(soft("dim"));
        }
        Shadow::Faint => {
            all.push(part("line", CLOUD));
            all.extend(soft("faint"));
        }
        Shadow::Cloudy => all.extend([part("line", CLOUD), part("line", SECOND_CLOUD)]),
        Shadow::Overcast => all.extend([part("dark", CLOUD), part("dark", SECOND_CLOUD)]),
        Shadow::OpenShade => all.extend([part("dim", IN_ITS_SHADE), part("line", WALL)]),
    }
    all.extend([part("line", GROUND), part("post", POST)]);
    svg("svg")
        .attr("class", "sketch")
        .attr("viewBox", "0 0 64 42")
        .attr("aria-hidden", "true")
        .all(all)
}

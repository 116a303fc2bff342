//! Numbers of tags (Exif, CIPA DC-008; TIFF 6.0).

/// The number of a tag.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tag(pub(super) u16);

/// Leads to the directory of the camera.
pub(super) const CAMERA: Tag = Tag(0x8769);
/// Leads to a small picture in the block.
pub(super) const PICTURE: Tag = Tag(0x0201);

pub(super) const EXPOSURE_TIME: Tag = Tag(0x829A);
pub(super) const SHUTTER_SPEED: Tag = Tag(0x9201);
pub(super) const F_NUMBER: Tag = Tag(0x829D);
pub(super) const APERTURE: Tag = Tag(0x9202);
pub(super) const BRIGHTNESS: Tag = Tag(0x9203);
pub(super) const COMPENSATION: Tag = Tag(0x9204);
pub(super) const METERING: Tag = Tag(0x9207);
pub(super) const FLASH: Tag = Tag(0x9209);
pub(super) const TAKEN: Tag = Tag(0x9003);

pub(super) const SENSITIVITY: Tag = Tag(0x8827);
pub(super) const SENSITIVITY_KIND: Tag = Tag(0x8830);
pub(super) const OUTPUT_SENSITIVITY: Tag = Tag(0x8831);
pub(super) const RECOMMENDED_INDEX: Tag = Tag(0x8832);
pub(super) const ISO_SPEED: Tag = Tag(0x8833);
pub(super) const EXPOSURE_INDEX: Tag = Tag(0xA215);

//! Several files as one, without compression: the sidecars of a roll are small and are sent on as one file.
//!
//! Source: the ZIP file format specification (APPNOTE 6.3): local headers, central directory, method 0 (stored), bit 11 for
//! names in UTF-8.

/// CRC-32 with the reversed polynomial `EDB8 8320`, worked out bit by bit: the files are small.
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(!0_u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            (crc >> 1) ^ (0xedb8_8320 & 0_u32.wrapping_sub(crc & 1))
        })
    })
}

/// What local header and central directory say alike, from the version that is needed on.
fn common(name: &str, contents: &[u8]) -> Option<Vec<u8>> {
    let size = u32::try_from(contents.len()).ok()?;
    let mut out = Vec::with_capacity(26);
    // Version 2.0, names in UTF-8, stored, and the first date there is (1980-01-01): there is no clock here.
    for word in [20_u16, 1 << 11, 0, 0, 0x21] {
        out.extend(word.to_le_bytes());
    }
    for long in [crc(contents), size, size] {
        out.extend(long.to_le_bytes());
    }
    out.extend(u16::try_from(name.len()).ok()?.to_le_bytes());
    out.extend(0_u16.to_le_bytes());
    Some(out)
}

/// Files (name and text) as one ZIP file; none beyond 4 GB, 65 535 files, or names of more than 65 535 bytes.
#[must_use]
pub fn zip(files: &[(String, String)]) -> Option<Vec<u8>> {
    let mut out = Vec::new();
    let mut directory = Vec::new();
    for (name, text) in files {
        let offset = u32::try_from(out.len()).ok()?;
        let head = common(name, text.as_bytes())?;
        out.extend(b"PK\x03\x04");
        out.extend(&head);
        out.extend(name.as_bytes());
        out.extend(text.as_bytes());
        directory.extend(b"PK\x01\x02");
        directory.extend(20_u16.to_le_bytes());
        directory.extend(&head);
        // No comment, first disk, no attributes.
        directory.extend([0; 10]);
        directory.extend(offset.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let count = u16::try_from(files.len()).ok()?.to_le_bytes();
    let size = u32::try_from(directory.len()).ok()?.to_le_bytes();
    let offset = u32::try_from(out.len()).ok()?.to_le_bytes();
    out.extend(&directory);
    out.extend(b"PK\x05\x06");
    out.extend([0; 4]);
    out.extend(count);
    out.extend(count);
    out.extend(size);
    out.extend(offset);
    out.extend([0; 2]);
    Some(out)
}

//! Packed copies beside the files: brotli at its highest level, which takes long, so each content is packed once.

use std::path::Path;
use std::thread;

use anyhow::{Context, Result, anyhow};
use brotli::enc::BrotliEncoderParams;

use crate::digest;
use crate::project::{Project, files_below, read, write};

/// The extensions that are worth packing; pictures are packed already.
const PACKED: [&str; 8] = [
    "html",
    "js",
    "wasm",
    "css",
    "svg",
    "webmanifest",
    "json",
    "txt",
];

/// Writes `name.br` beside every file that is worth it.
pub(crate) fn pack(project: &Project, dir: &Path) -> Result<()> {
    let cache = project.site_cache().join("br");
    let names: Vec<String> = files_below(dir)?
        .into_iter()
        .filter(|name| is_packed(name))
        .collect();
    thread::scope(|scope| {
        let running: Vec<_> = names
            .iter()
            .map(|name| scope.spawn(|| pack_one(&cache, dir, name)))
            .collect();
        for thread in running {
            thread
                .join()
                .map_err(|_panic| anyhow!("packing failed without saying why"))??;
        }
        Ok(())
    })
}

fn pack_one(cache: &Path, dir: &Path, name: &str) -> Result<()> {
    let contents = read(&dir.join(name))?;
    let kept = cache.join(format!("{}.br", digest::hex(&contents)));
    let packed = if kept.is_file() {
        read(&kept)?
    } else {
        let packed = brotli(&contents).with_context(|| format!("{name} cannot be packed"))?;
        write(&kept, &packed)?;
        packed
    };
    write(&dir.join(format!("{name}.br")), packed)
}

fn is_packed(name: &str) -> bool {
    name.rsplit_once('.')
        .is_some_and(|(_, extension)| PACKED.contains(&extension))
}

fn brotli(contents: &[u8]) -> Result<Vec<u8>> {
    let parameters = BrotliEncoderParams {
        quality: 11,
        lgwin: 22,
        size_hint: contents.len(),
        ..Default::default()
    };
    let mut packed = Vec::new();
    brotli::BrotliCompress(&mut &contents[..], &mut packed, &parameters)?;
    Ok(packed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packed_bytes_come_back() {
        let contents = "one third stop more light, ".repeat(40).into_bytes();
        let packed = brotli(&contents).expect("packing");
        assert!(packed.len() < contents.len() / 4, "{} bytes", packed.len());
        let mut back = Vec::new();
        brotli::BrotliDecompress(&mut &packed[..], &mut back).expect("unpacking");
        assert_eq!(back, contents, "round trip");
    }

    #[test]
    fn pictures_stay_as_they_are() {
        assert!(is_packed("app-0123abcd.wasm"), "wasm");
        assert!(is_packed("manifest.webmanifest"), "manifest");
        assert!(!is_packed("icons/icon-192.png"), "png");
        assert!(!is_packed("app.js.br"), "already packed");
    }
}

//! Files that a person chooses, gets, or hands on or in by way of the system; the page sends none anywhere.

use std::cell::OnceCell;

use js_sys::{Array, Object, Reflect, Uint8Array, decode_uri_component};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
pub(crate) use web_sys::File;
use web_sys::{
    Blob, BlobPropertyBag, Cache, DomException, FilePropertyBag, HtmlAnchorElement, HtmlElement,
    HtmlInputElement, Response, Url,
};

use super::method;

/// Where the service worker keeps a photo that was shared to the page: the name of a cache, an address in it, and the headers
/// with the photo's name and with how many others were shared with it.
const SHARED: [&str; 4] = ["stopkeeper-shared", "./share", "x-name", "x-others"];
/// Where the start script leaves a file that the system opened with this page.
const OPENED: &str = "stopkeeperFile";

/// A picture of a file, for as long as this lives.
#[derive(Debug)]
pub(crate) struct Picture(String);

impl Picture {
    /// Its address, good on this page alone.
    pub(crate) fn address(&self) -> &str {
        &self.0
    }
}

impl Drop for Picture {
    fn drop(&mut self) {
        // OK to ignore: what was not given back goes with the page.
        let _ = Url::revoke_object_url(&self.0);
    }
}

/// A file of which a picture may be wanted: browsers take a moment for each address, and a roll has 36 files.
#[derive(Debug)]
pub(crate) struct MaybePicture {
    file: File,
    picture: OnceCell<Option<Picture>>,
}

impl MaybePicture {
    /// A picture of this file, once it is asked for.
    pub(crate) fn of(file: &File) -> Self {
        Self {
            file: file.clone(),
            picture: OnceCell::new(),
        }
    }

    /// Its address, good on this page alone.
    pub(crate) fn address(&self) -> Option<&str> {
        let made = self.picture.get_or_init(|| picture(&self.file));
        made.as_ref().map(Picture::address)
    }
}

/// A file in the making, piece by piece: what was put into it lies with the browser, and not with the program any more.
pub(crate) struct Pieces(Array);

impl Pieces {
    /// A file with nothing in it.
    pub(crate) fn new() -> Self {
        Self(Array::new())
    }

    /// A file of one piece.
    pub(crate) fn of(bytes: &[u8]) -> Self {
        Self(Array::of1(&Uint8Array::from(bytes)))
    }

    /// Puts a piece at the end.
    pub(crate) fn push(&self, text: &str) {
        let bytes = Uint8Array::from(text.as_bytes());
        let blob = Blob::new_with_u8_array_sequence(&Array::of1(&bytes));
        self.0.push(&blob.map_or(bytes.into(), JsValue::from));
    }

    /// Puts a piece before all others.
    pub(crate) fn put_first(&self, text: &str) {
        self.0.unshift(&Uint8Array::from(text.as_bytes()));
    }
}

/// A picture, or what else bytes are.
pub(crate) fn blob(kind: &str, bytes: &[u8]) -> Option<Blob> {
    blob_of(kind, &Pieces::of(bytes))
}

fn blob_of(kind: &str, pieces: &Pieces) -> Option<Blob> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    Blob::new_with_blob_sequence_and_options(&pieces.0, &options).ok()
}

/// Hands a file to the person under a name.
pub(crate) fn save(name: &str, kind: &str, pieces: &Pieces) -> Option<()> {
    let blob = blob_of(kind, pieces)?;
    let address = Picture(Url::create_object_url_with_blob(&blob).ok()?);
    let document = web_sys::window()?.document()?;
    let link: HtmlAnchorElement = document.create_element("a").ok()?.dyn_into().ok()?;
    link.set_href(address.address());
    link.set_download(name);
    document.body()?.append_child(&link).ok()?;
    link.click();
    link.remove();
    // The browser reads the file later, from the same address.
    std::mem::forget(address);
    Some(())
}

/// The files that were chosen in a field, in the order of their names.
pub(crate) fn chosen(field: &HtmlElement) -> Vec<File> {
    let Some(list) = field.unchecked_ref::<HtmlInputElement>().files() else {
        return Vec::new();
    };
    let mut files: Vec<File> = (0..list.length()).filter_map(|i| list.item(i)).collect();
    files.sort_by_key(File::name);
    files
}

/// Forgets what was chosen in a field, so that the same file can be chosen there again.
pub(crate) fn forget(field: &HtmlElement) {
    field.unchecked_ref::<HtmlInputElement>().set_value("");
}

/// Whether a file has more bytes than these.
pub(crate) fn is_longer(file: &File, bytes: usize) -> bool {
    file.size() > bytes as f64
}

/// The text of a file; none where it is gone or no text.
pub(crate) async fn text(file: &File) -> Option<String> {
    JsFuture::from(file.text()).await.ok()?.as_string()
}

/// A picture of a file.
pub(crate) fn picture(file: &Blob) -> Option<Picture> {
    Url::create_object_url_with_blob(file).ok().map(Picture)
}

/// The bytes of a file; none where it is gone or too large to be held.
pub(crate) async fn bytes(file: &Blob) -> Option<Vec<u8>> {
    let buffer = JsFuture::from(file.array_buffer()).await.ok()?;
    Some(Uint8Array::new(&buffer).to_vec())
}

/// Takes the photo that was shared to this page out of where the service worker has put it, with how many others were shared
/// with it; none where there is none.
pub(crate) async fn shared() -> Option<(File, u32)> {
    let [cache, address, name_header, others_header] = SHARED;
    let window = web_sys::window()?;
    // Elsewhere there is neither a worker nor a place where it keeps things, and the binding would throw.
    if !window.is_secure_context() {
        return None;
    }
    let caches = window.caches().ok()?;
    // Asked first: opening one that is not there makes it.
    let is_there = JsFuture::from(caches.has(cache)).await.ok()?;
    if !is_there.is_truthy() {
        return None;
    }
    let kept: Cache = JsFuture::from(caches.open(cache)).await.ok()?.into();
    let found = JsFuture::from(kept.match_with_str(address)).await.ok()?;
    let found: Response = found.dyn_into().ok()?;
    let blob: Blob = JsFuture::from(found.blob().ok()?).await.ok()?.into();
    let name = found.headers().get(name_header).ok().flatten()?;
    let name = decode_uri_component(&name).ok()?.as_string()?;
    let others = found.headers().get(others_header).ok().flatten();
    // OK to fall back on none: the worker writes a number.
    let others = others.and_then(|others| others.parse().ok()).unwrap_or(0);
    let options = FilePropertyBag::new();
    options.set_type(&blob.type_());
    let file = File::new_with_blob_sequence_and_options(&Array::of1(&blob), &name, &options).ok();
    // OK to ignore: what stays is replaced by the next one that is shared.
    let _ = JsFuture::from(caches.delete(cache)).await;
    file.map(|file| (file, others))
}

/// Takes the file that the system opened with this page; none where it could not be had.
pub(crate) fn opened() -> Option<File> {
    let window = web_sys::window()?;
    let key = JsValue::from_str(OPENED);
    let file = Reflect::get(&window, &key).ok()?.dyn_into().ok();
    // OK to ignore: what stays is replaced by the next one that is opened.
    let _ = Reflect::delete_property(&window, &key);
    file
}

/// What became of something that was handed to the system's share sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shared {
    /// It took it.
    Taken,
    /// The person left the sheet, or it has nowhere to send it.
    Left,
    /// The browser did not let the page share it.
    Refused,
}

fn made(name: &str, kind: &str, pieces: &Pieces) -> Option<File> {
    let options = FilePropertyBag::new();
    options.set_type(kind);
    File::new_with_blob_sequence_and_options(&pieces.0, name, &options).ok()
}

/// What the share sheet is given: one thing under its key.
fn shared_as(key: &str, thing: &JsValue) -> JsValue {
    let data = Object::new();
    // OK to ignore: a new object takes any key.
    let _ = Reflect::set(&data, &JsValue::from_str(key), thing);
    data.into()
}

/// Whether there is a share sheet that takes files of this kind.
pub(crate) fn can_share(name: &str, kind: &str) -> bool {
    let can = || {
        let navigator = web_sys::window()?.navigator();
        let file = made(name, kind, &Pieces::of(b"?"))?;
        let data = shared_as("files", &Array::of1(&file));
        method(&navigator, "share")?;
        let can = method(&navigator, "canShare")?
            .call1(&navigator, &data)
            .ok()?;
        Some(can.is_truthy())
    };
    can().unwrap_or(false)
}

/// Whether there is a share sheet at all.
pub(crate) fn can_share_address() -> bool {
    web_sys::window().is_some_and(|window| method(&window.navigator(), "share").is_some())
}

/// Hands a file to the share sheet.
///
/// Has to follow shortly on the press that asks for it: browsers refuse it later.
pub(crate) async fn share(name: &str, kind: &str, pieces: &Pieces) -> Shared {
    match made(name, kind, pieces) {
        Some(file) => hand_on(&shared_as("files", &Array::of1(&file))).await,
        None => Shared::Refused,
    }
}

/// Hands an address to the share sheet.
pub(crate) async fn share_address(address: &str) -> Shared {
    hand_on(&shared_as("url", &JsValue::from_str(address))).await
}

async fn hand_on(data: &JsValue) -> Shared {
    let began = || -> Option<js_sys::Promise> {
        let navigator = web_sys::window()?.navigator();
        let promise = method(&navigator, "share")?.call1(&navigator, data).ok()?;
        promise.dyn_into().ok()
    };
    let Some(promise) = began() else {
        return Shared::Refused;
    };
    match JsFuture::from(promise).await {
        Ok(_) => Shared::Taken,
        Err(why) => match why.dyn_into::<DomException>() {
            Ok(why) if why.name() == "AbortError" => Shared::Left,
            _ => Shared::Refused,
        },
    }
}

//! A folder that a person lets the page look into, now and at later visits, where the browser has such a thing.

use js_sys::{AsyncIterator, IteratorNext, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{DomException, FileSystemDirectoryHandle, FileSystemFileHandle, FileSystemHandle};

use super::{files::File, method};

/// Why a folder is not open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shut {
    /// The person left the choice.
    Left,
    /// The person or the browser does not let the page look into it.
    Refused,
    /// It is not where it was, or cannot be read.
    Gone,
}

/// A folder; the person is asked before the page looks into it.
#[derive(Debug, Clone)]
pub(crate) struct Folder(FileSystemDirectoryHandle);

/// Calls a method that promises something, and waits for it.
async fn called(of: &JsValue, name: &str, with: &JsValue) -> Result<JsValue, JsValue> {
    let method = method(of, name).ok_or(JsValue::NULL)?;
    let promise: Promise = method.call1(of, with)?.dyn_into()?;
    JsFuture::from(promise).await
}

fn to_read() -> JsValue {
    let options = Object::new();
    // OK to ignore: a new object takes any key.
    let _ = Reflect::set(&options, &"mode".into(), &"read".into());
    options.into()
}

fn shut(error: JsValue) -> Shut {
    let name = error.dyn_into().map(|error: DomException| error.name());
    match name.as_deref() {
        Ok("AbortError") => Shut::Left,
        Ok("NotAllowedError" | "SecurityError") => Shut::Refused,
        _ => Shut::Gone,
    }
}

const CHOOSE: &str = "showDirectoryPicker";

/// Whether a folder can be chosen in this browser.
pub(crate) fn can_choose() -> bool {
    web_sys::window().is_some_and(|window| method(&window, CHOOSE).is_some())
}

/// Lets the person choose a folder.
pub(crate) async fn choose() -> Result<Folder, Shut> {
    let window = web_sys::window().ok_or(Shut::Refused)?;
    let chosen = called(&window, CHOOSE, &to_read()).await.map_err(shut)?;
    Folder::of(chosen).ok_or(Shut::Refused)
}

impl Folder {
    /// A folder that was kept.
    pub(super) fn of(kept: JsValue) -> Option<Self> {
        kept.dyn_into().ok().map(Self)
    }

    pub(super) fn handle(&self) -> &JsValue {
        &self.0
    }

    /// What it is called.
    pub(crate) fn name(&self) -> String {
        self.0.name()
    }

    /// The pictures in it, in no order. The person may be asked, so this has to follow shortly on a press.
    pub(crate) async fn pictures(&self) -> Result<Vec<File>, Shut> {
        let may = called(&self.0, "requestPermission", &to_read()).await;
        if may.map_err(shut)?.as_string().as_deref() != Some("granted") {
            return Err(Shut::Refused);
        }
        self.read().await.map_err(shut)
    }

    async fn read(&self) -> Result<Vec<File>, JsValue> {
        let values = method(&self.0, "values").ok_or(JsValue::NULL)?;
        let values: AsyncIterator = values.call0(&self.0)?.unchecked_into();
        let mut found = Vec::new();
        loop {
            let next: IteratorNext = JsFuture::from(values.next()?).await?.unchecked_into();
            if next.done() {
                break;
            }
            // Not what lies in folders of it, nor what systems hide beside a picture.
            let is_hidden = |entry: &FileSystemHandle| entry.name().starts_with('.');
            let entry = next.value().dyn_into::<FileSystemFileHandle>();
            if let Ok(entry) = entry.map_err(drop)
                && !is_hidden(&entry)
            {
                let file: File = JsFuture::from(entry.get_file()).await?.dyn_into()?;
                if file.type_().starts_with("image/") {
                    found.push(file);
                }
            }
        }
        Ok(found)
    }
}

//! What runs beside the page: the side of the page, which asks, and the side of the program there, which answers one thing after
//! the other. A picture is handed over as the file it is; it is decoded and measured there.

use std::{cell::RefCell, future::Future, rc::Rc};

use js_sys::{Array, Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    Blob, DedicatedWorkerGlobalScope, ImageBitmap, ImageEncodeOptions, MessageEvent,
    OffscreenCanvas, OffscreenCanvasRenderingContext2d, Worker, WorkerOptions, WorkerType,
};

use super::{files::File, picture::Pixels};

/// The script that starts the program, and the elements of the page's head that name it.
const SCRIPT: &str = "measure.js";
const PROGRAM: [&str; 2] = ["measure-script", "measure-program"];

/// What came of a scan.
#[derive(Debug)]
pub(crate) struct Looked {
    /// Its small copy.
    pub(crate) small: Blob,
    /// What was measured, as a record.
    pub(crate) measured: String,
}

/// A program beside the page; it goes with this.
#[derive(Debug, Clone)]
pub(crate) struct Beside(Rc<Running>);

#[derive(Debug)]
struct Running(Worker);

impl Drop for Running {
    fn drop(&mut self) {
        self.0.terminate();
    }
}

/// Waits for the next message; none where the program could not be started.
async fn next(worker: &Worker) -> Option<JsValue> {
    let promise = Promise::new(&mut |resolve, reject| {
        worker.set_onmessage(Some(&resolve));
        worker.set_onerror(Some(&reject));
        worker.set_onmessageerror(Some(&reject));
    });
    let event: MessageEvent = JsFuture::from(promise).await.ok()?.dyn_into().ok()?;
    let data = event.data();
    (!data.is_null()).then_some(data)
}

impl Beside {
    /// Starts it; none where the browser does not let it run.
    pub(crate) async fn start() -> Option<Self> {
        let document = web_sys::window()?.document()?;
        let named = PROGRAM.map(|id| {
            let link = document.get_element_by_id(id)?;
            let address = Reflect::get(&link, &JsValue::from_str("href")).ok()?;
            Some((address, link.get_attribute("integrity")?))
        });
        let [Some((script, _)), Some((program, integrity))] = named else {
            return None;
        };
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = Worker::new_with_options(SCRIPT, &options).ok()?;
        let beside = Self(Rc::new(Running(worker)));
        let worker = &beside.0.0;
        let started = next(worker);
        let message = Array::of3(&script, &program, &JsValue::from_str(&integrity));
        worker.post_message(&message).ok()?;
        started.await?;
        Some(beside)
    }

    async fn ask(&self, question: &Array) -> Option<Array> {
        let worker = &self.0.0;
        let answer = next(worker);
        worker.post_message(question).ok()?;
        // An answer without anything in it is a "no".
        let answer: Array = answer.await?.dyn_into().ok()?;
        (answer.length() > 0).then_some(answer)
    }

    /// Makes a small copy of a picture and measures it; none where it cannot be decoded.
    pub(crate) async fn look(&self, picture: &File) -> Option<Looked> {
        let answer = self.ask(&Array::of1(picture)).await?;
        Some(Looked {
            small: answer.get(0).dyn_into().ok()?,
            measured: answer.get(1).as_string()?,
        })
    }

    /// What the scans of a roll tell, by their records.
    pub(crate) async fn tell(&self, question: &str, records: &[Option<String>]) -> Option<String> {
        let texts: Array = records
            .iter()
            .map(|text| text.as_deref().map_or(JsValue::NULL, JsValue::from_str))
            .collect();
        let asked = Array::of2(&JsValue::from_str(question), &texts);
        self.ask(&asked).await?.get(0).as_string()
    }
}

/// What is asked of the program beside the page.
pub(crate) enum Work {
    /// A picture, to be copied and measured.
    Look(Blob),
    /// A question on a roll, and the records of its files.
    Tell(String, Vec<Option<String>>),
}

fn work(data: JsValue) -> Option<Work> {
    let asked: Array = data.dyn_into().ok()?;
    if asked.length() == 1 {
        return Some(Work::Look(asked.get(0).dyn_into().ok()?));
    }
    let records: Array = asked.get(1).dyn_into().ok()?;
    Some(Work::Tell(
        asked.get(0).as_string()?,
        records.iter().map(|text| text.as_string()).collect(),
    ))
}

fn scope() -> Option<DedicatedWorkerGlobalScope> {
    js_sys::global().dyn_into().ok()
}

/// Answers what is asked, one thing after the other, and says that it has begun.
pub(crate) fn serve<F>(answer: impl Fn(Work) -> F + 'static)
where
    F: Future<Output = Option<Array>> + 'static,
{
    let Some(scope) = scope() else {
        return;
    };
    let post = scope.clone();
    let answer = Rc::new(answer);
    let call = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        let (post, answer) = (post.clone(), Rc::clone(&answer));
        spawn_local(async move {
            let told = match work(event.data()) {
                Some(work) => answer(work).await,
                None => None,
            };
            // OK to ignore: whoever asked is gone then.
            let _ = post.post_message(&told.unwrap_or_default());
        });
    });
    scope.set_onmessage(Some(call.as_ref().unchecked_ref()));
    // It is heard as long as the program runs.
    call.forget();
    // OK to ignore: as above.
    let _ = scope.post_message(&Array::new());
}

/// An answer to [`Work::Tell`].
pub(crate) fn told(text: &str) -> Array {
    Array::of1(&JsValue::from_str(text))
}

/// Copies of a picture.
pub(crate) struct Copy {
    small: Blob,
    /// The whole picture, made smaller.
    pub(crate) tones: Pixels,
    /// A piece from its middle, at full size.
    pub(crate) piece: Pixels,
}

impl Copy {
    /// An answer to [`Work::Look`].
    pub(crate) fn answered(self, measured: &str) -> Array {
        Array::of2(&self.small, &JsValue::from_str(measured))
    }
}

thread_local! {
    /// The canvases, one for each size, used again and again.
    static CANVASES: RefCell<Vec<OffscreenCanvas>> = const { RefCell::new(Vec::new()) };
}

fn canvas(
    nth: usize,
    [width, height]: [u32; 2],
) -> Option<(OffscreenCanvas, OffscreenCanvasRenderingContext2d)> {
    let canvas = CANVASES.with_borrow_mut(|all| {
        while all.len() <= nth {
            all.push(OffscreenCanvas::new(1, 1).ok()?);
        }
        all.get(nth).cloned()
    })?;
    canvas.set_width(width);
    canvas.set_height(height);
    let options = js_sys::Object::new();
    // Two of the three are read back.
    Reflect::set(&options, &"willReadFrequently".into(), &JsValue::TRUE).ok()?;
    let context: OffscreenCanvasRenderingContext2d = canvas
        .get_context_with_context_options("2d", &options)
        .ok()??
        .dyn_into()
        .ok()?;
    Reflect::set(&context, &"imageSmoothingQuality".into(), &"high".into()).ok()?;
    Some((canvas, context))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "sides of pictures"
)]
fn side(length: f64) -> u32 {
    length.round().max(1.0) as u32
}

fn read(context: &OffscreenCanvasRenderingContext2d, [width, height]: [u32; 2]) -> Option<Pixels> {
    let data = context
        .get_image_data(0.0, 0.0, f64::from(width), f64::from(height))
        .ok()?
        .data();
    Some(Pixels {
        width: usize::try_from(width).ok()?,
        height: usize::try_from(height).ok()?,
        data: data.0,
    })
}

async fn bitmap(picture: &Blob) -> Option<ImageBitmap> {
    let scope = scope()?;
    let make: Function = super::method(&scope, "createImageBitmap")?;
    let promise: Promise = make.call1(&scope, picture).ok()?.dyn_into().ok()?;
    JsFuture::from(promise).await.ok()?.dyn_into().ok()
}

/// Decodes a picture and copies it: small, by its longer side and in no more than so many bytes; larger, to be measured; and a piece
/// of its middle at full size. None where it cannot be decoded.
pub(crate) async fn look(
    picture: &Blob,
    [small, tones, piece]: [f64; 3],
    most: f64,
) -> Option<Copy> {
    let bitmap = bitmap(picture).await?;
    let (width, height) = (f64::from(bitmap.width()), f64::from(bitmap.height()));
    let scaled = |longest: f64| {
        let by = (longest / width.max(height)).min(1.0);
        [side(width * by), side(height * by)]
    };
    let draw = |nth, size: [u32; 2]| {
        let (canvas, context) = canvas(nth, size)?;
        let [across, down] = size.map(f64::from);
        context
            .draw_image_with_image_bitmap_and_dw_and_dh(&bitmap, 0.0, 0.0, across, down)
            .ok()?;
        Some((canvas, context))
    };
    let all = || {
        let size = scaled(tones);
        let (_, context) = draw(1, size)?;
        let tones = read(&context, size)?;
        let size = [side(piece.min(width)), side(piece.min(height))];
        let (_, context) = canvas(2, size)?;
        let corner = |whole: f64, part: u32| ((whole - f64::from(part)) / 2.0).floor().max(0.0);
        context
            .draw_image_with_image_bitmap(
                &bitmap,
                -corner(width, size[0]),
                -corner(height, size[1]),
            )
            .ok()?;
        let piece = read(&context, size)?;
        let (canvas, _) = draw(0, scaled(small))?;
        Some((tones, piece, canvas))
    };
    let made = all();
    bitmap.close();
    let (tones, piece, canvas) = made?;
    Some(Copy {
        small: packed(&canvas, most).await?,
        tones,
        piece,
    })
}

/// A canvas as a JPEG of at most so many bytes, as good as that allows.
async fn packed(canvas: &OffscreenCanvas, most: f64) -> Option<Blob> {
    let mut last = None;
    for quality in [0.82, 0.7, 0.55, 0.4, 0.25] {
        let options = ImageEncodeOptions::new();
        options.set_type("image/jpeg");
        options.set_quality(quality);
        let promise = canvas.convert_to_blob_with_options(&options).ok()?;
        let blob: Blob = JsFuture::from(promise).await.ok()?.dyn_into().ok()?;
        let fits = blob.size() <= most;
        last = Some(blob);
        if fits {
            break;
        }
    }
    last
}

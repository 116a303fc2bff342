//! Text records in the browser's database: two stores, an index and what lies beside it.
//!
//! A transaction lives only as long as it has requests, so nothing but answers of the database is waited for within one.

use std::{cell::RefCell, time::Duration};

use js_sys::{Array, Function, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use wasm_bindgen_futures::JsFuture;
use web_sys::{IdbDatabase, IdbObjectStore, IdbOpenDbRequest, IdbRequest, IdbTransaction};

use super::{clock, later::set_timeout};

const NAME: &str = "stopkeeper";
const VERSION: u32 = 1;
/// Small records that are all read at the start.
const INDEX: &str = "index";
/// Whole records, each read when it is opened.
const WHOLE: &str = "whole";
/// Which database this is: one that was emptied gets another name.
const ABOUT: &str = "about";
const BORN: &str = "born";

/// How many requests are made before the page gets its turn.
const AT_ONCE: usize = 100;
/// How long another page may hold an older database before this one goes on without.
const PATIENCE: Duration = Duration::from_secs(3);

/// Why the database does not do what was asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Trouble {
    /// There is none, or the browser does not let the page use it.
    Unavailable,
    /// A newer version of the page has one of its own kind.
    Newer,
    /// Another page holds an older one.
    Blocked,
    /// It has no room.
    Full,
    /// It gave up, for a reason of its own.
    Failed,
}

thread_local! {
    /// The open database, with the name it was given when it was made.
    static OPEN: RefCell<Option<(IdbDatabase, String)>> = const { RefCell::new(None) };
}

pub(super) fn trouble(error: &JsValue) -> Trouble {
    let name = Reflect::get(error, &JsValue::from_str("name"))
        .ok()
        .and_then(|name| name.as_string());
    match name.as_deref() {
        Some("VersionError") => Trouble::Newer,
        Some("QuotaExceededError") => Trouble::Full,
        Some("SecurityError" | "NotAllowedError") => Trouble::Unavailable,
        _ => Trouble::Failed,
    }
}

/// Waits for an answer.
pub(super) async fn answer(request: &IdbRequest) -> Result<JsValue, Trouble> {
    let promise = Promise::new(&mut |resolve, reject| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&reject));
    });
    match JsFuture::from(promise).await {
        Ok(_) => request.result().map_err(|error| trouble(&error)),
        Err(_) => Err(request
            .error()
            .ok()
            .flatten()
            .map_or(Trouble::Failed, |error| trouble(&error))),
    }
}

/// Lets go of the database, so that another page can make it newer, or the browser can empty it.
fn let_go() {
    if let Some((database, _)) = OPEN.take() {
        database.close();
    }
}

/// Opens the database, and makes it where there is none.
async fn open() -> Result<IdbDatabase, Trouble> {
    if let Some(database) = OPEN.with_borrow(|open| open.as_ref().map(|(it, _)| it.clone())) {
        return Ok(database);
    }
    let database = made_or_opened(NAME, VERSION, make_stores).await?;
    // An older page must not keep a newer one, or the browser's broom, waiting.
    let close = Closure::<dyn FnMut()>::new(let_go);
    database.set_onversionchange(Some(close.as_ref().unchecked_ref()));
    database.set_onclose(Some(close.as_ref().unchecked_ref()));
    // The handlers live as long as the database.
    close.forget();
    let name = name_of(&database).await?;
    OPEN.set(Some((database.clone(), name)));
    Ok(database)
}

/// Opens a database, and makes its stores where there is none.
pub(super) async fn made_or_opened(
    name: &str,
    version: u32,
    make: fn(&IdbOpenDbRequest) -> Result<(), JsValue>,
) -> Result<IdbDatabase, Trouble> {
    let unavailable = |_: JsValue| Trouble::Unavailable;
    let factory = web_sys::window()
        .ok_or(Trouble::Unavailable)?
        .indexed_db()
        .map_err(unavailable)?
        .ok_or(Trouble::Unavailable)?;
    let request = factory.open_with_u32(name, version).map_err(unavailable)?;
    let make = {
        let request = request.clone();
        Closure::once_into_js(move || {
            // OK to ignore: what cannot be made is missed at the first transaction, which says so.
            let _ = make(&request);
        })
    };
    request.set_onupgradeneeded(make.dyn_ref());
    opened(&request).await
}

/// Waits for the database, but not for a page that does not let go of an older one.
async fn opened(request: &IdbOpenDbRequest) -> Result<IdbDatabase, Trouble> {
    let promise = Promise::new(&mut |resolve, reject| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&reject));
        set_timeout(
            move || {
                // OK to ignore: it is settled already, or this settles it.
                let _ = reject.call0(&JsValue::NULL);
            },
            PATIENCE,
        );
    });
    let answered = JsFuture::from(promise).await.is_ok();
    if answered {
        let database = request.result().map_err(|error| trouble(&error))?;
        return database.dyn_into().map_err(|_| Trouble::Failed);
    }
    // Reading the error of a request that is still waiting throws.
    match request.error() {
        Ok(Some(error)) => Err(trouble(&error)),
        Ok(None) => Err(Trouble::Failed),
        Err(_) => {
            // Should it come after all, it must not be held.
            let late = {
                let request = request.clone();
                Closure::once_into_js(move || {
                    if let Ok(database) = request.result()
                        && let Ok(database) = database.dyn_into::<IdbDatabase>()
                    {
                        database.close();
                    }
                })
            };
            request.set_onsuccess(late.dyn_ref());
            Err(Trouble::Blocked)
        }
    }
}

fn make_stores(request: &IdbOpenDbRequest) -> Result<(), JsValue> {
    let database: IdbDatabase = request.result()?.dyn_into()?;
    for store in [INDEX, WHOLE, ABOUT] {
        database.create_object_store(store)?;
    }
    Ok(())
}

/// Names a new database, and reads the name of an old one.
async fn name_of(database: &IdbDatabase) -> Result<String, Trouble> {
    let (transaction, [about]) = begin(database, [ABOUT], true, false)?;
    let key = JsValue::from_str(BORN);
    let found = answer(&about.get(&key).map_err(|error| trouble(&error))?).await?;
    if let Some(name) = found.as_string() {
        return Ok(name);
    }
    let birth = clock::stamp();
    let done = finished(&transaction);
    about
        .put_with_key(&JsValue::from_str(&birth), &key)
        .map_err(|error| trouble(&error))?;
    done.await?;
    Ok(birth)
}

/// Begins a transaction over some stores.
///
/// The third argument is given by name: the binding hides it behind a flag.
fn begin<const N: usize>(
    database: &IdbDatabase,
    stores: [&str; N],
    write: bool,
    strict: bool,
) -> Result<(IdbTransaction, [IdbObjectStore; N]), Trouble> {
    let begin = || {
        let names: Array = stores.into_iter().map(JsValue::from_str).collect();
        let options = Object::new();
        let durability = if strict { "strict" } else { "relaxed" };
        Reflect::set(
            &options,
            &JsValue::from_str("durability"),
            &JsValue::from_str(durability),
        )?;
        let mode = JsValue::from_str(if write { "readwrite" } else { "readonly" });
        let function: Function =
            Reflect::get(database, &JsValue::from_str("transaction"))?.dyn_into()?;
        let transaction: IdbTransaction = function
            .call3(database, &names, &mode, &options)?
            .dyn_into()?;
        let mut opened = Vec::new();
        for store in stores {
            opened.push(transaction.object_store(store)?);
        }
        let opened: [IdbObjectStore; N] = opened
            .try_into()
            .map_err(|_| JsValue::from_str("as many stores as were named"))?;
        Ok((transaction, opened))
    };
    begin().map_err(|error: JsValue| {
        // It was closed under this page: the next attempt opens it anew.
        let_go();
        trouble(&error)
    })
}

/// Waits until a transaction has ended. Asked for before its last request is made, so that the end is not missed.
pub(super) fn finished(transaction: &IdbTransaction) -> impl Future<Output = Result<(), Trouble>> {
    let promise = Promise::new(&mut |resolve, reject| {
        transaction.set_oncomplete(Some(&resolve));
        transaction.set_onabort(Some(&reject));
    });
    // Listened to from now on: an end that nobody waits for yet is no error of the page.
    let ended = JsFuture::from(promise);
    let transaction = transaction.clone();
    async move {
        match ended.await {
            Ok(_) => Ok(()),
            Err(_) => Err(transaction
                .error()
                .map_or(Trouble::Failed, |error| trouble(&error))),
        }
    }
}

/// The name of the database, which it got when it was made: another one means that it was emptied in between.
pub(crate) async fn name() -> Result<String, Trouble> {
    open().await?;
    OPEN.with_borrow(|open| open.as_ref().map(|(_, name)| name.clone()))
        .ok_or(Trouble::Failed)
}

/// All records of the index: keys and texts, in the order of their keys.
pub(crate) async fn index() -> Result<Vec<(String, String)>, Trouble> {
    let database = open().await?;
    let (_, [index]) = begin(&database, [INDEX], false, false)?;
    let ask = || Ok((index.get_all_keys()?, index.get_all()?));
    let (keys, texts) = ask().map_err(|error: JsValue| trouble(&error))?;
    // Answers come in the order of the requests.
    let texts: Array = answer(&texts)
        .await?
        .dyn_into()
        .map_err(|_| Trouble::Failed)?;
    let keys: Array = keys
        .result()
        .map_err(|error| trouble(&error))?
        .dyn_into()
        .map_err(|_| Trouble::Failed)?;
    Ok(keys
        .iter()
        .zip(texts.iter())
        .filter_map(|(key, text)| Some((key.as_string()?, text.as_string()?)))
        .collect())
}

/// What the index and the place beside it hold under a key.
pub(crate) type Found = (Option<String>, Option<String>);

/// What is stored under some keys, all at one moment.
pub(crate) async fn read(keys: &[String]) -> Result<Vec<Found>, Trouble> {
    let database = open().await?;
    let (_, [index, whole]) = begin(&database, [INDEX, WHOLE], false, false)?;
    let mut found = Vec::with_capacity(keys.len());
    for keys in keys.chunks(AT_ONCE) {
        let mut requests = Vec::with_capacity(keys.len());
        for key in keys {
            let key = JsValue::from_str(key);
            let ask = || Ok((index.get(&key)?, whole.get(&key)?));
            requests.push(ask().map_err(|error: JsValue| trouble(&error))?);
        }
        if let Some((_, last)) = requests.last() {
            answer(last).await?;
        }
        let text = |request: &IdbRequest| request.result().ok().and_then(|it| it.as_string());
        found.extend(
            requests
                .iter()
                .map(|(index, whole)| (text(index), text(whole))),
        );
    }
    Ok(found)
}

/// What to store under a key, once it is known what the index holds there: the record of the index, and the whole one.
pub(crate) type Put = (String, Option<String>);

/// Exchanges records in one transaction, all or none: `put` gets each key with what the index holds under it, and says what
/// comes in its place, if anything. `on` is told how many are done.
pub(crate) async fn exchange(
    keys: &[String],
    strict: bool,
    mut put: impl FnMut(&str, Option<&str>) -> Option<Put>,
    on: impl Fn(usize),
) -> Result<(), Trouble> {
    let database = open().await?;
    let (transaction, [index, whole]) = begin(&database, [INDEX, WHOLE], true, strict)?;
    let done = finished(&transaction);
    let write = async {
        for (number, keys) in keys.chunks(AT_ONCE).enumerate() {
            let mut requests = Vec::with_capacity(keys.len());
            for key in keys {
                let request = index.get(&JsValue::from_str(key));
                requests.push(request.map_err(|error| trouble(&error))?);
            }
            if let Some(last) = requests.last() {
                answer(last).await?;
            }
            let mut last = None;
            for (key, request) in keys.iter().zip(&requests) {
                let stored = request.result().ok().and_then(|text| text.as_string());
                if let Some((small, large)) = put(key, stored.as_deref()) {
                    let name = JsValue::from_str(key);
                    let write = || {
                        match large {
                            Some(text) => whole.put_with_key(&JsValue::from_str(&text), &name)?,
                            None => whole.delete(&name)?,
                        };
                        index.put_with_key(&JsValue::from_str(&small), &name)
                    };
                    last = Some(write().map_err(|error| trouble(&error))?);
                }
            }
            // The last chunk is waited for by its end.
            if let Some(last) = last
                && (number + 1) * AT_ONCE < keys.len()
            {
                answer(&last).await?;
            }
            on(keys.len().min(AT_ONCE) + number * AT_ONCE);
        }
        Ok(())
    };
    let written: Result<(), Trouble> = write.await;
    if let Err(why) = written {
        // OK to ignore: it may have ended by itself, with nothing written.
        let _ = transaction.abort();
        // A failed request brings the reason, the end brings it where the request was not waited for.
        return Err(match (why, done.await) {
            (Trouble::Failed, Err(why)) => why,
            (why, _) => why,
        });
    }
    done.await
}

/// Takes records out for good, where the index still holds this under the key.
pub(crate) async fn forget(records: &[(String, String)]) -> Result<(), Trouble> {
    let database = open().await?;
    let (transaction, [index]) = begin(&database, [INDEX], true, false)?;
    let done = finished(&transaction);
    for (key, text) in records {
        let key = JsValue::from_str(key);
        let request = index.get(&key).map_err(|error| trouble(&error))?;
        if answer(&request).await?.as_string().as_deref() == Some(text) {
            index.delete(&key).map_err(|error| trouble(&error))?;
        }
    }
    done.await
}

//! Small copies of scans in a database of their own, by roll: the book's records stay texts.

use js_sys::{Array, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    Blob, IdbDatabase, IdbKeyRange, IdbObjectStore, IdbOpenDbRequest, IdbRequest, IdbTransaction,
    IdbTransactionMode,
};

use super::database::{Trouble, answer, finished, made_or_opened, trouble};

const NAME: &str = "stopkeeper-scans";
const VERSION: u32 = 1;
/// Copies by the roll's id and the file's name.
const COPIES: &str = "copies";
/// What a copy is made of.
const PICTURE: &str = "picture";
const MEASURED: &str = "measured";

/// A copy as it is kept.
#[derive(Debug)]
pub(crate) struct Kept {
    /// The file's name.
    pub(crate) name: String,
    /// The picture.
    pub(crate) picture: Blob,
    /// What was measured, as a record.
    pub(crate) measured: String,
}

fn failed(error: JsValue) -> Trouble {
    trouble(&error)
}

fn make_store(request: &IdbOpenDbRequest) -> Result<(), JsValue> {
    let database: IdbDatabase = request.result()?.dyn_into()?;
    database.create_object_store(COPIES).map(drop)
}

/// The database for one use. It is closed again, so that nothing keeps the browser from emptying it.
struct Open(IdbDatabase);

impl Drop for Open {
    fn drop(&mut self) {
        self.0.close();
    }
}

async fn open() -> Result<Open, Trouble> {
    Ok(Open(made_or_opened(NAME, VERSION, make_store).await?))
}

fn begin(
    open: &Open,
    mode: IdbTransactionMode,
) -> Result<(IdbTransaction, IdbObjectStore), Trouble> {
    let transaction = open
        .0
        .transaction_with_str_and_mode(COPIES, mode)
        .map_err(failed)?;
    let store = transaction.object_store(COPIES).map_err(failed)?;
    Ok((transaction, store))
}

fn key(roll: &str, name: &str) -> JsValue {
    Array::of2(&JsValue::from_str(roll), &JsValue::from_str(name)).into()
}

/// All of a roll: an array sorts behind every text.
fn all_of(roll: &str) -> Result<IdbKeyRange, Trouble> {
    let roll = JsValue::from_str(roll);
    IdbKeyRange::bound(&Array::of1(&roll), &Array::of2(&roll, &Array::new())).map_err(failed)
}

/// Keeps a copy; it takes the place of one of the same name.
pub(crate) async fn keep(roll: &str, kept: &Kept) -> Result<(), Trouble> {
    let open = open().await?;
    let (transaction, store) = begin(&open, IdbTransactionMode::Readwrite)?;
    let done = finished(&transaction);
    let value = Object::new();
    Reflect::set(&value, &PICTURE.into(), &kept.picture).map_err(failed)?;
    Reflect::set(&value, &MEASURED.into(), &kept.measured.as_str().into()).map_err(failed)?;
    store
        .put_with_key(&value, &key(roll, &kept.name))
        .map_err(failed)?;
    done.await
}

async fn both(keys: &IdbRequest, values: &IdbRequest) -> Result<Vec<Kept>, Trouble> {
    // Answers come in the order of the requests.
    let values: Array = answer(values).await?.dyn_into().map_err(failed)?;
    let keys: Array = keys.result().map_err(failed)?.dyn_into().map_err(failed)?;
    let of = |key: JsValue, value: &JsValue| {
        Some(Kept {
            name: key.dyn_into::<Array>().ok()?.get(1).as_string()?,
            picture: Reflect::get(value, &PICTURE.into()).ok()?.dyn_into().ok()?,
            measured: Reflect::get(value, &MEASURED.into()).ok()?.as_string()?,
        })
    };
    Ok(keys
        .iter()
        .zip(values.iter())
        .filter_map(|(key, value)| of(key, &value))
        .collect())
}

/// What is kept of a roll, in the order of the names.
pub(crate) async fn of_roll(roll: &str) -> Result<Vec<Kept>, Trouble> {
    let open = open().await?;
    let (_, store) = begin(&open, IdbTransactionMode::Readonly)?;
    let range = all_of(roll)?;
    let keys = store.get_all_keys_with_key(&range).map_err(failed)?;
    let values = store.get_all_with_key(&range).map_err(failed)?;
    both(&keys, &values).await
}

/// The small copy of one scan; none where there is none.
pub(crate) async fn one(roll: &str, name: &str) -> Option<Blob> {
    let open = open().await.ok()?;
    let (_, store) = begin(&open, IdbTransactionMode::Readonly).ok()?;
    let value = answer(&store.get(&key(roll, name)).ok()?).await.ok()?;
    Reflect::get(&value, &PICTURE.into()).ok()?.dyn_into().ok()
}

/// Removes what is kept of a roll.
pub(crate) async fn remove(roll: &str) -> Result<(), Trouble> {
    let open = open().await?;
    let (transaction, store) = begin(&open, IdbTransactionMode::Readwrite)?;
    let done = finished(&transaction);
    store.delete(all_of(roll)?.as_ref()).map_err(failed)?;
    done.await
}

/// Removes the copies of a roll but those of these names, all or none of them.
pub(crate) async fn keep_only(roll: &str, names: &[String]) -> Result<(), Trouble> {
    let open = open().await?;
    let (transaction, store) = begin(&open, IdbTransactionMode::Readwrite)?;
    let done = finished(&transaction);
    let asked = store
        .get_all_keys_with_key(all_of(roll)?.as_ref())
        .map_err(failed)?;
    let keys: Array = answer(&asked).await?.dyn_into().map_err(failed)?;
    for key in keys.iter() {
        let name = key
            .dyn_ref::<Array>()
            .and_then(|key| key.get(1).as_string());
        if name.is_none_or(|name| !names.contains(&name)) {
            store.delete(&key).map_err(failed)?;
        }
    }
    done.await
}

/// The ids of the rolls that have copies.
pub(crate) async fn rolls() -> Result<Vec<String>, Trouble> {
    let open = open().await?;
    let (_, store) = begin(&open, IdbTransactionMode::Readonly)?;
    let keys: Array = answer(&store.get_all_keys().map_err(failed)?)
        .await?
        .dyn_into()
        .map_err(failed)?;
    let mut rolls: Vec<String> = keys
        .iter()
        .filter_map(|key| key.dyn_into::<Array>().ok()?.get(0).as_string())
        .collect();
    rolls.dedup();
    Ok(rolls)
}

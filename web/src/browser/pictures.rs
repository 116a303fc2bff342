//! Small copies of scans in a database of their own, by roll, and what belongs to them: the book's records stay texts.

use js_sys::{Array, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    Blob, IdbDatabase, IdbKeyRange, IdbObjectStore, IdbOpenDbRequest, IdbRequest, IdbTransaction,
    IdbTransactionMode,
};

use super::{
    database::{Trouble, answer, finished, made_or_opened, trouble},
    folder::Folder,
};

const NAME: &str = "stopkeeper-scans";
/// The second version has a second store.
const VERSION: u32 = 2;
/// Copies by the roll's id and the file's name.
const COPIES: &str = "copies";
/// What is known of the scans of a roll, by its id and what it is.
const BESIDE: &str = "beside";
const FOLDER: &str = "folder";
const LINE_UP: &str = "line-up";
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
    // OK to ignore where it is there: an older version made it.
    let _ = database.create_object_store(COPIES);
    database.create_object_store(BESIDE).map(drop)
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
    store: &str,
    mode: IdbTransactionMode,
) -> Result<(IdbTransaction, IdbObjectStore), Trouble> {
    let transaction = open
        .0
        .transaction_with_str_and_mode(store, mode)
        .map_err(failed)?;
    let store = transaction.object_store(store).map_err(failed)?;
    Ok((transaction, store))
}

/// Changes one store, and waits until that is done.
async fn change(
    store: &str,
    change: &dyn Fn(&IdbObjectStore) -> Result<IdbRequest, JsValue>,
) -> Result<(), Trouble> {
    let open = open().await?;
    let (transaction, store) = begin(&open, store, IdbTransactionMode::Readwrite)?;
    let done = finished(&transaction);
    change(&store).map_err(failed)?;
    done.await
}

fn key(roll: &str, name: &str) -> JsValue {
    Array::of2(&JsValue::from_str(roll), &JsValue::from_str(name)).into()
}

/// All of a roll: an array sorts behind every text.
fn all_of(roll: &str) -> Result<IdbKeyRange, Trouble> {
    let roll = JsValue::from_str(roll);
    IdbKeyRange::bound(&Array::of1(&roll), &Array::of2(&roll, &Array::new())).map_err(failed)
}

fn value(kept: &Kept) -> Result<JsValue, JsValue> {
    let value = Object::new();
    Reflect::set(&value, &PICTURE.into(), &kept.picture)?;
    Reflect::set(&value, &MEASURED.into(), &kept.measured.as_str().into())?;
    Ok(value.into())
}

/// Keeps a copy; it takes the place of one of the same name.
pub(crate) async fn keep(roll: &str, kept: &Kept) -> Result<(), Trouble> {
    change(COPIES, &|store| {
        store.put_with_key(&value(kept)?, &key(roll, &kept.name))
    })
    .await
}

/// Keeps a copy where there is none of the same name; whether it did.
pub(crate) async fn keep_new(roll: &str, kept: &Kept) -> Result<bool, Trouble> {
    let open = open().await?;
    let (transaction, store) = begin(&open, COPIES, IdbTransactionMode::Readwrite)?;
    let done = finished(&transaction);
    let key = key(roll, &kept.name);
    let there = answer(&store.count_with_key(&key).map_err(failed)?).await?;
    let is_new = there.as_f64() == Some(0.0);
    if is_new {
        let value = value(kept).map_err(failed)?;
        store.put_with_key(&value, &key).map_err(failed)?;
    }
    done.await?;
    Ok(is_new)
}

fn listed(answer: JsValue) -> Result<Array, Trouble> {
    answer.dyn_into().map_err(failed)
}

/// The first two parts of a key.
fn parts_of(key: JsValue) -> Option<[String; 2]> {
    let key: Array = key.dyn_into().ok()?;
    Some([key.get(0).as_string()?, key.get(1).as_string()?])
}

/// Copies with the ids of their rolls, in the order of both.
async fn found(range: Option<IdbKeyRange>) -> Result<Vec<(String, Kept)>, Trouble> {
    let open = open().await?;
    let (_, store) = begin(&open, COPIES, IdbTransactionMode::Readonly)?;
    let ask = || match &range {
        Some(range) => Ok((
            store.get_all_keys_with_key(range)?,
            store.get_all_with_key(range)?,
        )),
        None => Ok((store.get_all_keys()?, store.get_all()?)),
    };
    let (keys, values) = ask().map_err(failed)?;
    // Answers come in the order of the requests.
    let values = listed(answer(&values).await?)?;
    let keys = listed(keys.result().map_err(failed)?)?;
    let of = |key: JsValue, value: &JsValue| {
        let [roll, name] = parts_of(key)?;
        let kept = Kept {
            name,
            picture: Reflect::get(value, &PICTURE.into()).ok()?.dyn_into().ok()?,
            measured: Reflect::get(value, &MEASURED.into()).ok()?.as_string()?,
        };
        Some((roll, kept))
    };
    Ok(keys
        .iter()
        .zip(values.iter())
        .filter_map(|(key, value)| of(key, &value))
        .collect())
}

/// What is kept of a roll, in the order of the names.
pub(crate) async fn of_roll(roll: &str) -> Result<Vec<Kept>, Trouble> {
    let found = found(Some(all_of(roll)?)).await?;
    Ok(found.into_iter().map(|(_, kept)| kept).collect())
}

/// The ids of the rolls that have copies, with the bytes of each copy.
pub(crate) async fn sizes() -> Result<Vec<(String, f64)>, Trouble> {
    let size = |(roll, kept): (String, Kept)| (roll, kept.picture.size());
    Ok(found(None).await?.into_iter().map(size).collect())
}

/// The small copy of one scan; none where there is none.
pub(crate) async fn one(roll: &str, name: &str) -> Option<Blob> {
    let open = open().await.ok()?;
    let (_, store) = begin(&open, COPIES, IdbTransactionMode::Readonly).ok()?;
    let value = answer(&store.get(&key(roll, name)).ok()?).await.ok()?;
    Reflect::get(&value, &PICTURE.into()).ok()?.dyn_into().ok()
}

/// Keeps how the files of a roll lie, as a record.
pub(crate) async fn keep_line_up(roll: &str, text: &str) -> Result<(), Trouble> {
    change(BESIDE, &|store| {
        store.put_with_key(&text.into(), &key(roll, LINE_UP))
    })
    .await
}

/// Keeps the folder in which the scans of a roll are.
pub(crate) async fn keep_folder(roll: &str, folder: &Folder) -> Result<(), Trouble> {
    change(BESIDE, &|store| {
        store.put_with_key(folder.handle(), &key(roll, FOLDER))
    })
    .await
}

/// The folder in which the scans of a roll are, and the record of how its files lie.
pub(crate) async fn beside(roll: &str) -> Result<(Option<Folder>, Option<String>), Trouble> {
    let open = open().await?;
    let (_, store) = begin(&open, BESIDE, IdbTransactionMode::Readonly)?;
    let folder = store.get(&key(roll, FOLDER)).map_err(failed)?;
    let text = store.get(&key(roll, LINE_UP)).map_err(failed)?;
    let text = answer(&text).await?.as_string();
    Ok((Folder::of(folder.result().map_err(failed)?), text))
}

/// Removes what is kept of a roll: its copies, and what belongs to them.
pub(crate) async fn remove(roll: &str) -> Result<(), Trouble> {
    let range = all_of(roll)?;
    for store in [BESIDE, COPIES] {
        change(store, &|store| store.delete(range.as_ref())).await?;
    }
    Ok(())
}

/// Removes the copies of a roll but those of these names, all or none of them.
pub(crate) async fn keep_only(roll: &str, names: &[String]) -> Result<(), Trouble> {
    let open = open().await?;
    let (transaction, store) = begin(&open, COPIES, IdbTransactionMode::Readwrite)?;
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

/// The ids of the rolls of which anything is kept.
pub(crate) async fn rolls() -> Result<Vec<String>, Trouble> {
    let open = open().await?;
    let mut rolls: Vec<String> = Vec::new();
    for store in [COPIES, BESIDE] {
        let (_, store) = begin(&open, store, IdbTransactionMode::Readonly)?;
        let keys = listed(answer(&store.get_all_keys().map_err(failed)?).await?)?;
        for [roll, _] in keys.iter().filter_map(parts_of) {
            if rolls.last() != Some(&roll) && !rolls.contains(&roll) {
                rolls.push(roll);
            }
        }
    }
    Ok(rolls)
}

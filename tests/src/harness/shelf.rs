//! The browser's database from the outside, and books as heavy as people have them.

use anyhow::{Context, Result};
use serde_json::Value;

use super::Page;

/// What a page says that has the database in hand; `store(name)` and `done(request)` are its words.
const HAND: &str = "
    const done = request => new Promise((good, bad) => {
        request.onsuccess = () => good(request.result);
        request.onerror = () => bad(request.error);
    });
    const there = (await indexedDB.databases()).some(each => each.name === 'stopkeeper');
    const database = there ? await done(indexedDB.open('stopkeeper')) : null;
    if (database) { database.onversionchange = () => database.close(); }
";

/// From here on this page hears nothing of what other tabs write.
pub const DEAF: &str =
    "addEventListener('storage', event => event.stopImmediatePropagation(), true); 0";
/// From here on this page tells other tabs nothing.
pub const MUTE: &str = "BroadcastChannel.prototype.postMessage = () => {}; 0";

/// How long the book took to open: the program's own marks, so that fetching it is not counted.
pub const OPENED: &str =
    "performance.measure('opened', 'stopkeeper-book-starts', 'stopkeeper-book-shows').duration";

/// How long a frame takes, medians of nine: the press itself, and until the browser has said that it is stored.
pub const KEPT: &str = "(async () => {
    const slate = [...document.querySelectorAll('button')].find(button => button.textContent === 'Slate');
    const kept = () => performance.getEntriesByName('stopkeeper-book-kept');
    const [pressed, took] = [[], []];
    for (let n = 0; n < 9; n++) {
        performance.clearMarks('stopkeeper-book-kept');
        const began = performance.now();
        slate.click();
        pressed.push(performance.now() - began);
        while (!kept().length) {
            const { port1, port2 } = new MessageChannel();
            await new Promise(turn => { port1.onmessage = turn; port2.postMessage(0); });
        }
        took.push(kept()[0].startTime - began);
    }
    return [pressed, took].map(all => all.sort((a, b) => a - b)[4]);
})()";

/// From here on `work` holds every sentence on how far something got.
pub const WATCH_WORK: &str = "globalThis.work = [];
    new MutationObserver(() => {
        const said = document.querySelector('.film-book .notice').textContent;
        if (said && work.at(-1) !== said) { work.push(said); }
    }).observe(document.querySelector('.film-book .sheet-body'), { subtree: true, childList: true, characterData: true }); 0";

/// Makes a stock, a batch and a roll of 36 frames as heavy as they are: seven scenes, each a bracket of five and the last of
/// six, shots that were not as planned, verdicts, names of scans, and notes.
const MAKE: &str = r#"
    const stock = (word, n) => JSON.stringify({ format: 'stopkeeper stock', version: 1, record: {
        id: `${word}-${n}`.toLowerCase(), name: `${word} ${n} (invented)`, film: 'colour_negative', process: 'C-41',
        box_speed: 'ISO 160', format: '120', exposures: 36, note: 'from the drawer of an invented uncle' } });
    const batch = (word, n, of) => JSON.stringify({ format: 'stopkeeper batch', version: 1, record: {
        id: `${word}-${n}`.toLowerCase(), stock: `${word}-${of}`.toLowerCase(), expiry: '2004-06', storage: 'room',
        number: `${1000 + n}`, origin: 'an invented attic' } });
    const fields = (word, n, of) => ({
        id: `${word}-${n}`.toLowerCase(), name: `${word} ${n}`, batch: `${word}-${of}`.toLowerCase(), exposures: 36,
        purpose: 'an afternoon by the water', state: 'back',
        loadings: [{ camera: 'garden folder (invented)', rating: 'ISO 80', since: '2024-05-01', first_frame: 1 }],
        finished: '2024-05-12', sent: '2024-05-14', returned: '2024-05-28', development: 'normal', scans: 'fixed' });
    const times = ['1/250', '1/125', '1/60', '1/30', '1/15', '1/8'];
    const scenes = Array.from({ length: 7 }, (_, s) => ({ number: s + 1, name: `Reeds by the boathouse, ${s + 1}`,
        light: { time: '1/125', aperture: 'f/8', sensitivity: 'ISO 100', at: `2024-05-0${s + 1}T10:40`,
            device: 'old hand meter (invented)', method: 'grey card in the shade', correction_twelfths: 4 },
        rating: 'ISO 80', base: { time: '1/125', aperture: 'f/8' }, note: 'thin cloud came and went' }));
    const frames = Array.from({ length: 36 }, (_, f) => {
        const s = Math.min(6, Math.floor(f / 5)), k = f - s * 5;
        return { id: f + 1,
            plan: { picture: { scene: s + 1, set: { time: times[k], aperture: 'f/8' }, more_light_twelfths: 12 * (k - 1) } },
            shot: { fate: 'taken', ...(f % 7 == 3 ? { aperture: 'f/5.6' } : {}), at: `2024-05-0${s + 1}T10:${41 + k}`,
                note: `the wind moved the reeds in frame ${f + 1}` },
            verdict: { grade: ['rejected', 'usable', 'liked', 'usable', 'usable', 'rejected'][k], ticks: ['shadow_texture'] },
            scan: `invented-roll-${f + 1}.tif` };
    });
    const head = (word, n, of) => ({ ...fields(word, n, of), note: 'carried in the left pocket' });
    const roll = (word, n, of) => JSON.stringify({ format: 'stopkeeper roll', version: 1, record: {
        ...fields(word, n, of), scenes, frames, note: 'carried in the left pocket' } });
"#;

/// All records of the book as they are stored: keys and texts. What the page has written into its journal alone is waited
/// for, as long as that may take.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn records(page: &Page<'_>) -> Result<Vec<(String, String)>> {
    let found = page
        .eval(&format!(
            "(async () => {{
                const waits = () => Object.keys(localStorage).some(key => key.startsWith('stopkeeper.journal.'));
                const until = performance.now() + 2000;
                while (waits() && performance.now() < until) {{
                    const {{ port1, port2 }} = new MessageChannel();
                    await new Promise(turn => {{ port1.onmessage = turn; port2.postMessage(0); }});
                }}
                {HAND}
                if (!database) {{ return []; }}
                const read = database.transaction(['index', 'whole']);
                const asked = ['index', 'whole'].map(name => read.objectStore(name))
                    .flatMap(store => [done(store.getAllKeys()), done(store.getAll())]);
                const [names, small, keys, large] = await Promise.all(asked);
                const texts = new Map();
                keys.forEach((key, n) => texts.set(key, large[n]));
                database.close();
                return names
                    .map((key, n) => ['stopkeeper.book.' + key, texts.get(key) ?? JSON.parse(small[n]).text])
                    .filter(([, text]) => text);
            }})()"
        ))
        .await?;
    serde_pairs(&found)
}

fn serde_pairs(found: &Value) -> Result<Vec<(String, String)>> {
    let pairs = found.as_array().context("no list of records")?;
    pairs
        .iter()
        .map(|pair| {
            let text = |n: usize| pair[n].as_str().map(str::to_owned);
            text(0).zip(text(1)).context("no record")
        })
        .collect()
}

/// How many records the index holds.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn count(page: &Page<'_>) -> Result<usize> {
    let count = page
        .eval(&format!(
            "(async () => {{
                {HAND}
                const all = await done(database.transaction('index').objectStore('index').getAll());
                database.close();
                return all.filter(text => text.includes('\"text\":') || text.includes('\"roll\":')).length;
            }})()"
        ))
        .await?;
    count
        .as_u64()
        .and_then(|count| usize::try_from(count).ok())
        .context("no number")
}

/// From here on the database has no room.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn fill(page: &Page<'_>) -> Result<()> {
    page.eval(
        "globalThis.put = IDBObjectStore.prototype.put;
        IDBObjectStore.prototype.put = () => { throw new DOMException('no room', 'QuotaExceededError'); }; 0",
    )
    .await
    .map(drop)
}

/// It has room again.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn make_room(page: &Page<'_>) -> Result<()> {
    page.eval("IDBObjectStore.prototype.put = globalThis.put; 0")
        .await
        .map(drop)
}

/// Puts so many full rolls into the database, ten to a batch and ten batches to a stock.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn many(page: &Page<'_>, count: u32) -> Result<()> {
    page.eval(&format!(
        "(async () => {{
            {HAND} {MAKE}
            const write = database.transaction(['index', 'whole'], 'readwrite', {{ durability: 'relaxed' }});
            const [index, whole] = [write.objectStore('index'), write.objectStore('whole')];
            const small = (key, fields) => index.put(
                JSON.stringify({{ format: 'stopkeeper index', version: 1, key, past: '1.seed', ...fields }}), key);
            for (let n = 0; n < {count}; n++) {{
                const of = Math.floor(n / 10), ten = Math.floor(n / 100);
                if (n % 100 === 0) {{ small(`stock.many-${{ten}}`, {{ text: stock('Many', ten) }}); }}
                if (n % 10 === 0) {{ small(`batch.many-${{of}}`, {{ text: batch('Many', of, ten) }}); }}
                small(`roll.many-${{n}}`, {{ roll: {{ version: 1, mark: String(n).padStart(16, '0'), frames: 36, judged: 36,
                    record: head('Many', n, of) }} }});
                whole.put(roll('Many', n, of), `roll.many-${{n}}`);
            }}
            await new Promise((good, bad) => {{ write.oncomplete = good; write.onabort = bad; }});
            database.close();
            return roll('Many', 1, 0).length;
        }})()"
    ))
    .await
    .map(|weight| println!("a full roll weighs {weight} bytes"))
}

/// Puts a book with so many full rolls where books lay before there was a database, and loads the page again. What was put
/// there comes back.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn store_old_book(page: &Page<'_>, rolls: u32) -> Result<Vec<(String, String)>> {
    let found = page
        .eval(&format!(
            "(() => {{
                {MAKE}
                const all = [['stock.old-0', stock('Old', 0)], ['batch.old-0', batch('Old', 0, 0)]];
                for (let n = 0; n < {rolls}; n++) {{ all.push([`roll.old-${{n}}`, roll('Old', n, 0)]); }}
                return all.map(([key, text]) => {{
                    localStorage.setItem('stopkeeper.book.' + key, text);
                    return ['stopkeeper.book.' + key, text];
                }});
            }})()"
        ))
        .await?;
    page.reload().await?;
    serde_pairs(&found)
}

/// Chooses a saved book with so many full rolls to be brought in.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn choose_large_book(page: &Page<'_>, rolls: u32) -> Result<()> {
    page.eval(&format!(
        "(() => {{
            {MAKE}
            const all = [];
            for (let n = 0; n < {rolls}; n++) {{
                const of = Math.floor(n / 10), ten = Math.floor(n / 100);
                if (n % 100 === 0) {{ all.push(stock('Many', ten)); }}
                if (n % 10 === 0) {{ all.push(batch('Many', of, ten)); }}
                all.push(roll('Many', n, of));
            }}
            const text = `{{\"format\":\"stopkeeper book\",\"version\":1,\"written\":\"2026-11-25\",\"count\":${{all.length}},`
                + `\"records\":[\\n${{all.join(',\\n')}}\\n]}}\\n`;
            const bag = new DataTransfer();
            bag.items.add(new File([text], 'book.json', {{ type: 'application/json' }}));
            const field = document.querySelector('#book-file');
            field.files = bag.files;
            field.dispatchEvent(new Event('change', {{ bubbles: true }}));
        }})()"
    ))
    .await
    .map(drop)
}

/// Notes something on the first frame of the roll whose log is open.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn note(page: &Page<'_>, words: &str) -> Result<()> {
    note_of(page, 0, words).await
}

/// The same on another frame, by its place in the log.
///
/// # Errors
///
/// Fails where the browser does not answer, or not as it should.
pub async fn note_of(page: &Page<'_>, place: usize, words: &str) -> Result<()> {
    let rows = page.find("list", "Frames").await?;
    rows.find_all("button").await?[place].tap().await?;
    page.find("region", "The open frame").await?;
    page.fill("Note", words).await?;
    page.press_on("button", "Keep the frame so").await?;
    page.wait_until("the note is on the page", async || {
        Ok(page.text().await?.contains(words))
    })
    .await
}

/// Presses the first button whose words begin so.
///
/// # Errors
///
/// Fails where there is none.
pub async fn press_first(page: &Page<'_>, words: &str) -> Result<()> {
    page.wait_until(&format!("there is a button {words:?}"), async || {
        let pressed = page
            .eval(&format!(
                "(() => {{
                    const all = [...document.querySelectorAll('.film-book button')];
                    const button = all.find(button => button.textContent.startsWith({}));
                    button?.click();
                    return button !== undefined;
                }})()",
                serde_json::json!(words)
            ))
            .await?;
        Ok(pressed == true)
    })
    .await
}

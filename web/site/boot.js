// Starts the page's program, and the other parts when they are first opened.
// The page's content policy allows no inline script, so this small one is a file of its own.

// A script that is no module shares its names with the page: in a block they are its own.
{
// Markup and addresses of scripts made from text pass here, and nothing comes through that could load anything.
window.trustedTypes?.createPolicy('default', {
  createHTML: (text) => (/<(script|iframe|object|embed|link|base)/i.test(text) ? null : text),
  createScriptURL: (address) => (/^(sw|measure)\.js$/.test(address) ? address : null),
});

// The names of files change with their contents: the page's head has them, with their digests.
const file = (id) => document.getElementById(id);
const MOVED = new Error('the host sends something else');
// What was delivered wrong once may lie in the browser's cache for a year: it is fetched again past it, once.
const whole = (id) => {
  const { href, integrity } = file(id);
  const get = () => fetch(href, { integrity });
  return get().catch(async () => {
    // To the last byte, for only then does the cache have it.
    await (await fetch(href, { cache: 'reload' })).blob();
    return get().catch(() => { throw MOVED; });
  });
};

// Writes what the program shows: each line is an element's number and what of it, and the text.
window.stopkeeperWrite = (elements, lines) => {
  for (const line of lines.split('\x1e')) {
    const [head, now] = line.split('\x1f');
    const element = elements[head.charCodeAt(0) - 32];
    const name = head.slice(2);
    switch (head[1]) {
      case 't':
        // An element that had a text keeps its place for it; one without any has none, as the styles see it.
        if (now && element.firstChild) element.firstChild.data = now;
        else element.textContent = now;
        break;
      case 'v': element.value = now; break;
      case 'c': element.checked = now; break;
      case 'a': element.setAttribute(name, now); break;
      case 'f': element.toggleAttribute(name, now); break;
      case 's': element.style.setProperty(name, now); break;
      default: {
        const texts = now.split('\n');
        element.length = 0;
        while (texts.length > 1) element.add(new Option(...texts.splice(0, 2).reverse()));
      }
    }
  }
};

// A script that failed stays failed under its address as long as the page is open.
let tries = 0;
const load = async (id) => {
  await whole(id);
  return import(`${file(id).href}#${++tries}`);
};
const compile = window.stopkeeperCompile = async (id) => {
  const answer = await whole(id);
  // Not every host names this kind of file.
  return answer.headers.get('content-type') === 'application/wasm'
    ? WebAssembly.compileStreaming(answer)
    : WebAssembly.compile(await answer.arrayBuffer());
};
// A program is started when all that belongs to it is there, for it can be started only once.
const run = async (script, program, needed) => {
  const [{ default: init }, module] = await Promise.all([script, program, needed]);
  await init({ module_or_path: module });
};
const dress = async (id) => {
  await whole(id);
  const link = file(id).cloneNode();
  link.rel = 'stylesheet';
  await new Promise((done, fail) => {
    link.onload = done;
    link.onerror = fail;
    file(id).replaceWith(link);
  });
};

const button = (label, press) => {
  const made = document.createElement('button');
  made.textContent = label;
  made.onclick = press;
  return made;
};
const why = (error, what, again) => (error === MOVED
  ? ['The host no longer sends this version of the page. Reload it; nothing is lost.', button('Reload', () => location.reload())]
  : [`${what} could not be loaded. Check the connection; nothing is lost.`, button('Try again', again)]);

// A colour of the page: none without its styles.
const root = document.documentElement;
const plate = () => getComputedStyle(root).getPropertyValue('--plate').trim();
// The browser's own bar takes it, whichever theme is chosen.
const tint = () => {
  for (const meta of document.querySelectorAll('meta[name="theme-color"]')) meta.content = plate();
};
new MutationObserver(tint).observe(root, { attributeFilter: ['data-theme'] });
matchMedia('(prefers-color-scheme: dark)').addEventListener('change', tint);

// This script runs as soon as it is there: the program comes and is compiled while the document is read and laid out.
let begun = [import(file('app-script').href).catch(() => load('app-script')), compile('app-program')];
// What fails is said by the attempt that waits for it.
for (const part of begun) part.catch(() => {});
// The document is whole; its styles are there, or will not come, when a script behind them runs.
const laid = document.readyState !== 'loading' || new Promise((done) => {
  document.addEventListener('DOMContentLoaded', done);
});

const attempt = async () => {
  await laid;
  const page = file('dial');
  // In the document from the beginning: without styles it can be read at once, without this script after a while.
  const apology = file('apology');
  window.ononline = null;
  apology.hidden = true;
  try {
    // Not before loading is over, for some browsers run this script while the styles are still coming.
    if (document.readyState === 'complete' && !plate()) await dress('app-styles');
    // A page that answers has started, and what goes wrong after that is not for this place to say.
    if (!page.inert) return;
    performance.mark('stopkeeper-boot');
    const [script, program] = begun ?? [load('app-script'), compile('app-program')];
    begun = undefined;
    await run(script, program);
    performance.mark('stopkeeper-started');
    receive();
  } catch (error) {
    console.error(error);
    if (plate() && !page.inert) return;
    apology.hidden = false;
    apology.className = 'notice';
    if (typeof WebAssembly === 'object') {
      apology.replaceChildren(...why(error, 'This page', begin));
      window.ononline = begin;
    } else {
      apology.textContent = 'This page needs WebAssembly, which this browser does not have or does not allow.';
    }
  }
};

// One after the other, so that the page never starts twice.
let turn;
const begin = () => {
  turn = Promise.resolve(turn).then(attempt);
};

// The other parts, "book", "light", "bench" and "learn", are programs of their own with a sheet of styles, fetched when they are first opened.
// Where their files are comes with the first of them.
let listed;
const list = async () => {
  for (const [id, href, integrity] of await (await whole('parts')).json()) {
    document.head.append(Object.assign(document.createElement('link'), { id, rel: 'part', href, integrity }));
  }
};
const fetchPart = async (part) => {
  listed ??= list();
  await listed.catch((error) => {
    listed = undefined;
    throw error;
  });
  await run(load(`${part}-script`), compile(`${part}-program`), dress(`${part}-styles`));
};
const fetched = {};
const lines = {};
window.stopkeeperOpen = (part, message) => {
  const from = document.activeElement;
  const line = lines[part] ??= document.createElement('p');
  line.className = 'notice coming';
  line.setAttribute('role', 'status');
  line.replaceChildren();
  // On what is uppermost, for nothing else is seen and heard; empty at first, for only what changes is spoken.
  ([...document.querySelectorAll('dialog[open]')].pop() ?? document.body).prepend(line);
  const late = setTimeout(() => line.append('This part of the page is coming…'), 100);
  const leave = (press) => () => {
    line.remove();
    // Where the keyboard goes back to when the part is closed.
    from.focus();
    press?.();
  };
  fetched[part] ??= fetchPart(part);
  fetched[part].then(() => {
    line.remove();
    window.dispatchEvent(new CustomEvent(`stopkeeper-${part}`, { detail: message }));
  }, (error) => {
    console.warn(`The part "${part}" could not be loaded:`, error);
    // So that the next press tries again.
    delete fetched[part];
    line.replaceChildren(
      ...why(error, 'This part of the page', leave(() => window.stopkeeperOpen(part, message))),
      button('Leave it', leave()),
    );
  }).finally(() => clearTimeout(late));
};

// A file that the system opened with this page, as an installed one may say it can, goes to the film book.
const receive = () => window.launchQueue?.setConsumer(async ({ files }) => {
  if (!files?.length) return;
  // One that is gone by now is no file, and the book says so; it reads the message in crates/panel/src/message.rs.
  window.stopkeeperFile = await files[0].getFile().catch(() => undefined);
  window.stopkeeperOpen('book', JSON.stringify(['file', `${files.length - 1}`]));
});

begin();

// Keeping the page for use without a network is for later, when the dial already turns.
const afterLoad = () => {
  if (!plate()) begin();
  import('./keep.js').catch((error) => console.warn('The page is not kept for offline use:', error));
};
if (document.readyState === 'complete') afterLoad();
else window.addEventListener('load', afterLoad);
}

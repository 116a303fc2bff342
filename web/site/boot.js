// Starts the page's program, then sees to it that the page works without a network and learns of new versions.
// The page's content policy allows no inline script, so this small one is a file of its own.

// The names of the program's files change with their contents: the page's head has them.
const address = (id) => document.getElementById(id).href;

const start = async () => {
  performance.mark('stopkeeper-boot');
  const { default: init } = await import(address('app-script'));
  await init({ module_or_path: address('app-program') });
  performance.mark('stopkeeper-started');
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

const apologise = (error) => {
  console.error(error);
  // A page that answers has started, and what went wrong is not for this place to say.
  const page = document.getElementById('dial');
  if (!page.inert) return;
  const note = document.createElement('p');
  note.className = 'notice';
  note.setAttribute('role', 'alert');
  note.textContent = typeof WebAssembly === 'object'
    ? 'This page could not be loaded whole: check the connection and reload it.'
    : 'This page needs WebAssembly, which this browser does not have or does not allow.';
  page.before(note);
};

// The browser's own bar takes the colour of the page's, whichever theme is chosen.
const root = document.documentElement;
const tint = () => {
  const colour = getComputedStyle(root).getPropertyValue('--plate').trim();
  for (const meta of document.querySelectorAll('meta[name="theme-color"]')) meta.content = colour;
};
new MutationObserver(tint).observe(root, { attributeFilter: ['data-theme'] });
matchMedia('(prefers-color-scheme: dark)').addEventListener('change', tint);

// The other parts, "book" and "light", are programs of their own with a sheet of styles, fetched when they are first opened.
const named = (id) => new URL(document.getElementById(id).content, document.baseURI).href;
const fetchPart = async (part) => {
  const styles = document.createElement('link');
  styles.rel = 'stylesheet';
  styles.href = named(`${part}-styles`);
  const styled = new Promise((done, fail) => {
    styles.onload = done;
    styles.onerror = () => fail(new Error('the styles were not delivered'));
  });
  document.head.append(styles);
  try {
    const program = import(named(`${part}-script`))
      .then(({ default: init }) => init({ module_or_path: named(`${part}-program`) }));
    await Promise.all([styled, program]);
  } catch (error) {
    styles.remove();
    throw error;
  }
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
  const button = (label, press) => {
    const made = document.createElement('button');
    made.textContent = label;
    made.onclick = () => {
      line.remove();
      // Where the keyboard goes back to when the part is closed.
      from.focus();
      press();
    };
    return made;
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
      'This part of the page could not be loaded. Check the connection; nothing is lost.',
      button('Try again', () => window.stopkeeperOpen(part, message)),
      button('Leave it', () => {}),
    );
  }).finally(() => clearTimeout(late));
};

// A new version never takes over by itself: what is half typed would be lost. The page offers it, a person takes it.
const offer = (take) => {
  window.stopkeeperUpdate = take;
  window.dispatchEvent(new CustomEvent('stopkeeper-update'));
};

const keepOffline = async () => {
  const workers = navigator.serviceWorker;
  // Absent where the address is not a secure one: the page then works with a network only.
  if (!workers) return;
  let asked = false;
  let controller = workers.controller;
  workers.addEventListener('controllerchange', () => {
    // The first worker of a first visit brings the version that is on the screen already.
    const changed = controller !== null;
    controller = workers.controller;
    if (!changed) return;
    if (asked) {
      asked = false;
      location.reload();
    } else {
      // Another tab took the new version; this one may hold half-typed text, so it asks as well.
      offer(() => location.reload());
    }
  });

  const registration = await workers.register('sw.js', { updateViaCache: 'none' });
  const ready = (worker) => offer(() => {
    asked = true;
    worker.postMessage('skip-waiting');
  });
  if (registration.waiting && workers.controller) ready(registration.waiting);
  registration.addEventListener('updatefound', () => {
    const worker = registration.installing;
    worker.addEventListener('statechange', () => {
      if (worker.state === 'installed' && workers.controller) ready(worker);
    });
  });
  document.addEventListener('visibilitychange', () => {
    // Without a network there is nothing to learn: that is no error.
    if (document.visibilityState === 'visible') registration.update().catch(() => {});
  });
};

// A file that the system opened with this page, as an installed one may say it can, goes to the film book.
const receive = () => window.launchQueue?.setConsumer(async ({ files }) => {
  if (!files?.length) return;
  // One that is gone by now is no file, and the book says so.
  window.stopkeeperFile = await files[0].getFile().catch(() => undefined);
  window.stopkeeperOpen('book', `file:${files.length - 1}`);
});

start().then(receive).catch(apologise);

const afterLoad = () => keepOffline().catch((error) => console.warn('The page is not kept for offline use:', error));
if (document.readyState === 'complete') afterLoad();
else window.addEventListener('load', afterLoad);

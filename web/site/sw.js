// Keeps one whole version of the page for use without a network. A version is all of its files or nothing: each is
// checked against its digest, so a half-uploaded or mixed page can never become one.

// The build writes the next two lines: the version, and the address and digest of every file.
const VERSION = "unbuilt";
const FILES = [];

const PREFIX = 'stopkeeper-';
const CACHE = PREFIX + VERSION;
// A photo that was shared to the page waits here, in any version, until the page takes it out.
const SHARED = `${PREFIX}shared`;
const SHARE = './share';
const OWN = new Set(FILES.map(([address]) => new URL(address, location).href));
const HASHED = /-[0-9a-f]{8}\.[a-z]+$/;

const deliver = async (address, integrity, cache) => {
  const response = await fetch(new Request(address, { cache, integrity }));
  // Browsers refuse a redirected response for a navigation, so it may not be kept.
  if (!response.ok || response.redirected) throw new Error(`${address} was not delivered`);
  return response;
};

const whole = ([address, integrity]) => {
  const anew = () => deliver(address, integrity, 'reload');
  // A name that changes with its contents may come from the browser's own cache, where the page has just put it. If what
  // lies there is wrong it would stay so for a year: then it is fetched past the cache, which mends that as well.
  return HASHED.test(address) ? deliver(address, integrity, 'default').catch(anew) : anew();
};

// Nothing is kept before all of it is there.
const fill = async () => {
  const responses = await Promise.all(FILES.map(whole));
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(FILES.map(([address], i) => cache.put(address, responses[i])));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
};

const activate = async () => {
  const names = await caches.keys();
  // Other pages of the same host have caches of their own.
  const old = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE && name !== SHARED);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
};

// The browser may have thrown the files away and left the worker: they are fetched again while there is a network. Where
// the host has moved on the digests do not fit, nothing is kept, and the next worker brings its own.
let filling;
const fillAgain = () => filling ??= fill()
  .catch((error) => console.warn('The page is not kept for offline use:', error))
  .finally(() => { filling = undefined; });

const answer = async (event, address) => {
  const kept = await caches.match(address, { cacheName: CACHE });
  if (kept) return kept;
  const response = await fetch(event.request);
  if (OWN.has(new URL(address, location).href)) event.waitUntil(fillAgain());
  return response;
};

// The system posts a photo as a form would. There is no host to take it: it stays on the device, and the page opens with it.
const takeIn = async (request) => {
  try {
    await caches.delete(SHARED);
    const [photo, ...others] = (await request.formData()).getAll('photo');
    if (!(photo instanceof File)) throw new Error('no file');
    const headers = {
      'content-type': photo.type,
      'x-name': encodeURIComponent(photo.name),
      'x-others': others.length,
    };
    await (await caches.open(SHARED)).put(SHARE, new Response(photo, { headers }));
  } catch (error) {
    // The page says that none came.
    console.warn('What was shared could not be taken in:', error);
  }
  return Response.redirect('./#go=shared', 303);
};

self.addEventListener('install', (event) => event.waitUntil(fill()));
self.addEventListener('activate', (event) => event.waitUntil(activate()));

// No takeover in the middle of somebody's work: the page asks when a person has agreed.
self.addEventListener('message', (event) => {
  if (event.data === 'skip-waiting') self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method === 'POST' && url.href === new URL(SHARE, location).href) {
    event.respondWith(takeIn(request));
    return;
  }
  if (request.method !== 'GET' || url.origin !== location.origin) return;
  // A link's query and fragment are for the page, not for the host.
  const address = request.mode === 'navigate' ? './' : url.origin + url.pathname;
  event.respondWith(answer(event, address));
});

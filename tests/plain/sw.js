// A yardstick only, for `cargo xtask measure`: keeps the files of the hand-written page, so that later visits of both
// pages come from a worker's cache.
const CACHE = 'yardstick-1';
const FILES = ['./', 'style.css', 'app.js'];

addEventListener('install', event => {
  event.waitUntil(caches.open(CACHE).then(cache => cache.addAll(FILES)));
});

addEventListener('activate', event => {
  const clean = async () => {
    for (const name of await caches.keys()) if (name !== CACHE) await caches.delete(name);
    await clients.claim();
  };
  event.waitUntil(clean());
});

addEventListener('fetch', event => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== location.origin) return;
  const key = request.mode === 'navigate' ? './' : request;
  event.respondWith(caches.match(key).then(kept => kept ?? fetch(request)));
});

// Sees to it that the page works without a network and learns of new versions. The start script fetches this one when the
// page is there.

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

keepOffline().catch((error) => console.warn('The page is not kept for offline use:', error));

/* The service worker of the page's folder. What stands above this line in the folder names the files and their version. */

const KEPT = `${self.registration.scope} ${VERSION}`;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(KEPT)
      .then((cache) => cache.addAll(FILES))
      .then(() => self.skipWaiting()),
  );
});

// What an earlier version of this folder kept goes; other folders of the same host keep theirs.
self.addEventListener("activate", (event) => {
  const mine = (name) => name.startsWith(`${self.registration.scope} `) && name !== KEPT;
  const old = caches.keys().then((names) => Promise.all(names.filter(mine).map((name) => caches.delete(name))));
  event.waitUntil(old.then(() => self.clients.claim()));
});

// What is kept is the answer, whether there is a network or not; nothing else is fetched.
self.addEventListener("fetch", (event) => {
  const kept = caches.open(KEPT).then((cache) => cache.match(event.request, { ignoreSearch: true }));
  event.respondWith(kept.then((found) => found ?? Response.error()));
});

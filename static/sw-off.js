// Served in place of the worker when FIELDLOG_OFFLINE is off: it takes away what the worker kept, and itself.
// Records and drafts are in the phone's own store, which it does not touch.
addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(leave()));

async function leave() {
  const ours = (await caches.keys()).filter((name) => name.startsWith("fieldlog-shell-"));
  await Promise.all(ours.map((name) => caches.delete(name)));
  await registration.unregister();
}

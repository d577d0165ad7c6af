// Asks the browser to keep the field pages, and notices when a newer version of them is ready.
const EVERY_MS = 3600000;

/** @typedef {"no-worker"|"not-kept"} Problem why the pages cannot be kept */

/** Sends "changed" when a newer version is ready, or when the pages cannot be kept: "no-worker", "not-kept". */
export const shell = Object.assign(new EventTarget(), {
  isNewer: false,
  problem: /** @type {Problem|null} */ (null),
});

/** @type {ServiceWorkerRegistration|undefined} */
let registration;
let isTapped = false;

/** Starts once the page is there, so that keeping it does not slow it down. */
export function startShell() {
  if (!window.isSecureContext) return;
  if (!navigator.serviceWorker) return tell({ problem: "no-worker" });
  if (document.readyState === "complete") start();
  else addEventListener("load", start, { once: true });
}

/** Begins to use the version that waits. Only the tab in which this was asked for is loaded again. */
export function useNewer() {
  isTapped = true;
  if (registration?.waiting) registration.waiting.postMessage({ type: "use-now" });
  else location.reload();
}

async function start() {
  heedOtherTabs();
  try {
    registration = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
  } catch (error) {
    console.warn("The pages could not be kept.", error);
    if (!navigator.serviceWorker.controller) tell({ problem: "not-kept" });
  }
  if (!registration) return;
  watch(registration);
  look();
  addEventListener("pageshow", ({ persisted }) => persisted && look());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
  setInterval(look, EVERY_MS);
}

/** Asks for a newer version; without the server there is none. */
function look() {
  registration?.update().catch(() => null);
}

/** @param {ServiceWorkerRegistration} kept */
function watch(kept) {
  if (kept.waiting && navigator.serviceWorker.controller) tell({ isNewer: true });
  follow(kept.installing);
  kept.addEventListener("updatefound", () => follow(kept.installing));
}

/** @param {ServiceWorker|null} worker */
function follow(worker) {
  worker?.addEventListener("statechange", () => {
    const isFirst = !navigator.serviceWorker.controller;
    if (worker.state === "installed" && !isFirst) tell({ isNewer: true });
    if (worker.state === "redundant" && isFirst) tell({ problem: "not-kept" });
    if (worker.state === "activated") tell({ problem: null });
  });
}

/** Another tab may go over to the newer version; this one goes on with what it has. */
function heedOtherTabs() {
  let isFirst = !navigator.serviceWorker.controller;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (isTapped) location.reload();
    else if (!isFirst) tell({ isNewer: true });
    isFirst = false;
  });
}

/** @param {{isNewer?: boolean, problem?: Problem|null}} changed */
function tell(changed) {
  Object.assign(shell, changed);
  shell.dispatchEvent(new Event("changed"));
}

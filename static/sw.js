// Keeps the field pages on this device, so that they open without the server. It only caches.
// Each version has a cache of its own; a window gets the files of the version it began with, until it is closed.

// The list, written by `fieldlog shell`.
const VERSION = "39e665f241df";
const PAGES = [
  ["^/$", "/"],
  ["^/arrive$", "/arrive"],
  ["^/changes/[0-9a-fA-F-]{36}$", "/changes/shell"],
  ["^/changes/new$", "/changes/new"],
  ["^/checks/[0-9a-fA-F-]{36}$", "/checks/shell"],
  ["^/grounds$", "/changes/shell"],
  ["^/incidents/new$", "/incidents/new"],
  ["^/outlets/[0-9a-fA-F-]{36}$", "/outlets/shell"],
  ["^/phone$", "/phone"],
  ["^/phone/try$", "/phone/try"],
  ["^/plan$", "/plan"],
  ["^/rigs/[0-9a-fA-F-]{36}/map$", "/rigs/map-shell"],
  ["^/round$", "/round"],
  ["^/sets/new$", "/sets/new"],
  ["^/sign-out$", "/sign-out"],
  ["^/sites$", "/sites"],
];
const FILES = [
  "/",
  "/arrive",
  "/changes/new",
  "/changes/shell",
  "/checks/shell",
  "/incidents/new",
  "/manifest.webmanifest",
  "/offline",
  "/outlets/shell",
  "/phone",
  "/phone/try",
  "/plan",
  "/plan-tables.json",
  "/rig-rules.json",
  "/rigs/map-shell",
  "/round",
  "/rulebook.json",
  "/sets/new",
  "/sign-out",
  "/sites",
  "/static/icons/sign-192.png",
  "/static/icons/sign-full-192.png",
  "/static/icons/sign.svg",
  "/static/joined/css/main.css",
  "/static/joined/js/2h12If.js",
  "/static/joined/js/39uQHf.js",
  "/static/joined/js/B5FN2c.js",
  "/static/joined/js/B5quh0.js",
  "/static/joined/js/BD4UrV.js",
  "/static/joined/js/BDVRuX.js",
  "/static/joined/js/BDgpcF.js",
  "/static/joined/js/BGAZSm.js",
  "/static/joined/js/BLo9Xy.js",
  "/static/joined/js/BOg749.js",
  "/static/joined/js/BRUo-1.js",
  "/static/joined/js/BT9hDd.js",
  "/static/joined/js/BVrzaQ.js",
  "/static/joined/js/Belvhx.js",
  "/static/joined/js/BoRR7b.js",
  "/static/joined/js/C21cf2.js",
  "/static/joined/js/CFoGVj.js",
  "/static/joined/js/CSgzhE.js",
  "/static/joined/js/CbJ4zx.js",
  "/static/joined/js/ChGas5.js",
  "/static/joined/js/D7bxU0.js",
  "/static/joined/js/DHT0Ah.js",
  "/static/joined/js/DHzhP7.js",
  "/static/joined/js/DJbrpT.js",
  "/static/joined/js/DNjNSM.js",
  "/static/joined/js/DVKpeA.js",
  "/static/joined/js/DaVjRv.js",
  "/static/joined/js/Dtwmrs.js",
  "/static/joined/js/DwaR6o.js",
  "/static/joined/js/FEfBfq.js",
  "/static/joined/js/WX9LFX.js",
  "/static/joined/js/chItM4.js",
  "/static/joined/js/d5i7Ed.js",
  "/static/joined/js/iS8gU8.js",
  "/static/joined/js/main.js",
  "/static/joined/js/pages/arrival.js",
  "/static/joined/js/pages/home.js",
  "/static/joined/js/pages/incident.js",
  "/static/joined/js/pages/outlet.js",
  "/static/joined/js/pages/past-check.js",
  "/static/joined/js/pages/phone.js",
  "/static/joined/js/pages/plan.js",
  "/static/joined/js/pages/proving.js",
  "/static/joined/js/pages/rig-map.js",
  "/static/joined/js/pages/round.js",
  "/static/joined/js/pages/sign-out.js",
  "/static/joined/js/pages/sites.js",
  "/static/joined/js/pages/trial.js",
  "/static/joined/js/xV5jiA.js",
  "/static/shapes.svg",
];
// The end of the list.

const PREFIX = "fieldlog-shell-";
const CACHE = PREFIX + VERSION;
const WINDOWS = "/older-windows"; // stands in each cache that was in use: which window still runs on which older one
const LIMIT_MS = 4000;
/** @type {Record<string, string>} */
const TYPES = {
  js: "javascript",
  css: "text/css",
  svg: "image/svg",
  png: "image/png",
  json: "json",
  webmanifest: "json",
};

addEventListener("install", (event) => event.waitUntil(install()));
addEventListener("activate", (event) => event.waitUntil(activate()));
addEventListener("message", ({ data }) => data?.type === "use-now" && skipWaiting());
addEventListener("fetch", (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (origin !== location.origin || !["GET", "HEAD"].includes(event.request.method)) return;
  const answer = answerTo(event.request, pathname, event.clientId);
  if (answer) event.respondWith(answer);
  if (event.request.mode === "navigate") event.waitUntil(forgetClosed());
});

/** All files of this version or none: what is cut short, redirected, changed or some other page's stays out. */
async function install() {
  // What the page has fetched just now is not fetched again, but where the browser's copy turns out to be another's.
  const answers = (await downloads("no-cache")) ?? (await downloads("reload"));
  if (!answers) throw new Error("The files that came are not those of this version.");
  const cache = await caches.open(CACHE);
  await Promise.all(FILES.map((path, i) => cache.put(path, /** @type {Response} */ (answers[i]))));
}

/** @param {RequestCache} mode no-cache: the server is asked whether what the browser has is still right */
async function downloads(mode) {
  const answers = await Promise.all(FILES.map((path) => download(path, mode)));
  return (await versionOf(answers)) === VERSION ? answers : null;
}

/** @param {string} path @param {RequestCache} cache */
async function download(path, cache) {
  const answer = await fetch(path, { cache });
  if (!isRight(answer, path)) throw new Error(`${path} did not come as it should.`);
  return answer;
}

/** @param {Response} answer @param {string} path */
function isRight(answer, path) {
  const wanted = TYPES[path.split(".")[1] ?? ""] ?? "text/html";
  return (
    answer.status === 200 &&
    answer.type === "basic" &&
    !answer.redirected &&
    answer.headers.get("Content-Type")?.includes(wanted)
  );
}

/**
 * The first half of SHA-256 over names, lengths and contents, as `fieldlog shell` makes it.
 * @param {Response[]} answers
 */
async function versionOf(answers) {
  const bodies = await Promise.all(answers.map((answer) => answer.clone().arrayBuffer()));
  const whole = new Blob(bodies.flatMap((body, i) => [`${FILES[i]}\n${body.byteLength}\n`, body]));
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", await whole.arrayBuffer()));
  return Array.from(hash.slice(0, 6), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Windows that are open now began with an older version: they are noted, and its cache stays as long as they do. */
async function activate() {
  const others = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  const notes = await Promise.all(others.map(windowsOn));
  const before = others.filter((_, i) => notes[i]).at(-1);
  const known = Object.assign({}, ...notes);
  const open = before ? await openWindows() : [];
  await note(Object.fromEntries(open.map((id) => [id, known[id] ?? before])));
  const isNewerComing = Boolean(registration.installing || registration.waiting);
  await drop(others.filter((_, i) => notes[i] || !isNewerComing));
  await clients.claim();
}

async function forgetClosed() {
  const windows = await olderWindows();
  if (!Object.keys(windows).length) return;
  const open = await openWindows();
  await note(Object.fromEntries(Object.entries(windows).filter(([id]) => open.includes(id))));
  await drop(Object.values(windows));
}

/** @typedef {Record<string, string>} Windows by id: the cache on which each runs */

/** @type {Promise<Windows|undefined>|null} */
let noted = null;

const openWindows = async () => (await clients.matchAll({ includeUncontrolled: true })).map(({ id }) => id);
/** @param {string} cacheName @returns {Promise<Windows|undefined>} */
const windowsOn = async (cacheName) => (await caches.match(WINDOWS, { cacheName }))?.json();

async function olderWindows() {
  noted ??= windowsOn(CACHE);
  return (await noted) ?? {};
}

/** @param {Windows} windows */
async function note(windows) {
  noted = Promise.resolve(windows);
  await (await caches.open(CACHE)).put(WINDOWS, Response.json(windows));
}

/** @param {string[]} names */
async function drop(names) {
  const needed = [CACHE, ...Object.values(await olderWindows())];
  await Promise.all(names.filter((name) => !needed.includes(name)).map((name) => caches.delete(name)));
}

/** @param {Request} request @param {string} pathname @param {string} clientId */
function answerTo(request, pathname, clientId) {
  const isPage = request.mode === "navigate" || request.method === "HEAD";
  const pages = /** @type {[string, string][]} */ (PAGES);
  const page = isPage && pages.find(([pattern]) => new RegExp(pattern).test(pathname))?.[1];
  if (page) return kept(page).then((answer) => answer ?? online(request));
  if (request.mode === "navigate") return online(request);
  if (pathname.startsWith("/static/")) return asset(request, clientId);
  return FILES.includes(pathname) ? newest(request, pathname) : null;
}

/** @param {string} file */
const kept = (file, cacheName = CACHE) => caches.match(file, { cacheName, ignoreVary: true });

/**
 * A page that only the server makes; without it, the page that says so.
 * @param {Request} request
 */
async function online(request) {
  const answer = await fetch(request).catch(() => null);
  const isAnswered = answer && ![502, 504].includes(answer.status); // a proxy's word for: there is no server
  return isAnswered ? answer : ((await kept("/offline")) ?? answer ?? Response.error());
}

/**
 * What is missing is answered by 404, and never by some page in its place.
 * @param {Request} request
 * @param {string} clientId
 */
async function asset(request, clientId) {
  const found = await kept(request.url, (await olderWindows())[clientId]);
  const answer = found ?? (await fetch(request));
  const isPage = answer.headers.get("Content-Type")?.includes("text/html");
  return isPage || answer.status === 404 ? new Response(null, { status: 404 }) : answer;
}

/**
 * The server's file, where it answers soon and as it should; this version's otherwise.
 * @param {Request} request
 * @param {string} pathname
 */
async function newest(request, pathname) {
  const answer = await fetch(request, { signal: AbortSignal.timeout(LIMIT_MS) }).catch(() => null);
  if (answer && isRight(answer, pathname)) return answer;
  return (await kept(pathname)) ?? answer ?? Response.error();
}

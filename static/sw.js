// Keeps the field pages on this device, so that they open without the server. It only caches.
// Each version has a cache of its own; a window gets the files of the version it began with, until it is closed.

// The list, written by `fieldlog shell`.
const VERSION = "464a49b38e68";
const PAGES = [
  ["^/$", "/"],
  ["^/arrive$", "/arrive"],
  ["^/checks/[0-9a-fA-F-]{36}$", "/checks/shell"],
  ["^/outlets/[0-9a-fA-F-]{36}$", "/outlets/shell"],
];
const FILES = [
  "/",
  "/arrive",
  "/checks/shell",
  "/manifest.webmanifest",
  "/offline",
  "/outlets/shell",
  "/rulebook.json",
  "/static/css/base.css",
  "/static/css/components/button.css",
  "/static/css/components/cards.css",
  "/static/css/components/choice.css",
  "/static/css/components/drawing.css",
  "/static/css/components/field.css",
  "/static/css/components/notice.css",
  "/static/css/components/reach.css",
  "/static/css/components/reasons.css",
  "/static/css/components/record.css",
  "/static/css/components/saved.css",
  "/static/css/components/steps.css",
  "/static/css/components/table.css",
  "/static/css/components/things.css",
  "/static/css/components/trust.css",
  "/static/css/components/update.css",
  "/static/css/components/verdict.css",
  "/static/css/layers.css",
  "/static/css/layout.css",
  "/static/css/print.css",
  "/static/css/tokens.css",
  "/static/icons/sign-192.png",
  "/static/icons/sign-512.png",
  "/static/icons/sign-full-192.png",
  "/static/icons/sign-full-512.png",
  "/static/icons/sign.svg",
  "/static/js/check/added.js",
  "/static/js/check/correction.js",
  "/static/js/check/draft.js",
  "/static/js/check/drawing.js",
  "/static/js/check/engine.js",
  "/static/js/check/entries.js",
  "/static/js/check/explanations.js",
  "/static/js/check/family.js",
  "/static/js/check/findings.js",
  "/static/js/check/further.js",
  "/static/js/check/judge.js",
  "/static/js/check/offer.js",
  "/static/js/check/outcome.js",
  "/static/js/check/pairs.js",
  "/static/js/check/past.js",
  "/static/js/check/problems.js",
  "/static/js/check/readings.js",
  "/static/js/check/record.js",
  "/static/js/check/rig-outlet.js",
  "/static/js/check/saving.js",
  "/static/js/check/skin.js",
  "/static/js/check/steps.js",
  "/static/js/check/tests.js",
  "/static/js/check/verdict.js",
  "/static/js/check/when.js",
  "/static/js/elements/check.js",
  "/static/js/elements/checks.js",
  "/static/js/elements/due.js",
  "/static/js/elements/offline.js",
  "/static/js/elements/past-check.js",
  "/static/js/elements/reach.js",
  "/static/js/elements/saved.js",
  "/static/js/elements/session.js",
  "/static/js/elements/theme.js",
  "/static/js/elements/unreached.js",
  "/static/js/elements/update.js",
  "/static/js/elements/waiting.js",
  "/static/js/engine/assess.js",
  "/static/js/engine/bands.js",
  "/static/js/engine/canonical.js",
  "/static/js/engine/evidence.js",
  "/static/js/engine/explanations.js",
  "/static/js/engine/intake.js",
  "/static/js/engine/likelihood.js",
  "/static/js/engine/limits.js",
  "/static/js/engine/next-test.js",
  "/static/js/engine/reading-sets.js",
  "/static/js/engine/rulebook.js",
  "/static/js/engine/sets.js",
  "/static/js/engine/sha256.js",
  "/static/js/engine/skin.js",
  "/static/js/engine/supply.js",
  "/static/js/engine/trip.js",
  "/static/js/engine/twins.js",
  "/static/js/lib/after-paint.js",
  "/static/js/lib/due.js",
  "/static/js/lib/entry.js",
  "/static/js/lib/fields-markup.js",
  "/static/js/lib/fields.js",
  "/static/js/lib/html.js",
  "/static/js/lib/measured.js",
  "/static/js/lib/saved.js",
  "/static/js/lib/sure.js",
  "/static/js/lib/times.js",
  "/static/js/lib/uuid7.js",
  "/static/js/lib/words.js",
  "/static/js/main.js",
  "/static/js/offline/page.js",
  "/static/js/offline/shell.js",
  "/static/js/outbox/chains.js",
  "/static/js/outbox/db.js",
  "/static/js/outbox/due-devices.js",
  "/static/js/outbox/queue.js",
  "/static/js/outbox/remembered.js",
  "/static/js/sync/flush.js",
  "/static/js/sync/http.js",
  "/static/js/sync/rulebook.js",
  "/static/shapes.svg",
];
// The end of the list.

const PREFIX = "fieldlog-shell-";
const CACHE = PREFIX + VERSION;
const WINDOWS = "/older-windows"; // stands in each cache that was in use: which window still runs on which older one
const LIMIT_MS = 4000;
const TYPES = { js: "javascript", css: "text/css", svg: "image/svg", png: "image/png", json: "json", webmanifest: "json" };

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
  const answers = await Promise.all(FILES.map(download));
  if ((await versionOf(answers)) !== VERSION) throw new Error("The files that came are not those of this version.");
  const cache = await caches.open(CACHE);
  await Promise.all(answers.map((answer, i) => cache.put(FILES[i], answer)));
}

async function download(path) {
  const answer = await fetch(path, { cache: "reload" });
  if (!isRight(answer, path)) throw new Error(`${path} did not come as it should.`);
  return answer;
}

function isRight(answer, path) {
  const wanted = TYPES[path.split(".")[1]] ?? "text/html";
  return answer.status === 200 && answer.type === "basic" && !answer.redirected && answer.headers.get("Content-Type")?.includes(wanted);
}

/** The first half of SHA-256 over names, lengths and contents, as `fieldlog shell` makes it. */
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

/** @type {Promise<Record<string, string>>|null} */
let noted = null;

const openWindows = async () => (await clients.matchAll({ includeUncontrolled: true })).map(({ id }) => id);
const windowsOn = async (cacheName) => (await caches.match(WINDOWS, { cacheName }))?.json();
const olderWindows = async () => (await (noted ??= windowsOn(CACHE))) ?? {};

async function note(windows) {
  noted = Promise.resolve(windows);
  await (await caches.open(CACHE)).put(WINDOWS, Response.json(windows));
}

async function drop(names) {
  const needed = [CACHE, ...Object.values(await olderWindows())];
  await Promise.all(names.filter((name) => !needed.includes(name)).map((name) => caches.delete(name)));
}

function answerTo(request, pathname, clientId) {
  const isPage = request.mode === "navigate" || request.method === "HEAD";
  const page = isPage && PAGES.find(([pattern]) => new RegExp(pattern).test(pathname))?.[1];
  if (page) return kept(page).then((answer) => answer ?? online(request));
  if (request.mode === "navigate") return online(request);
  if (pathname.startsWith("/static/")) return asset(request, clientId);
  return FILES.includes(pathname) ? newest(request, pathname) : null;
}

const kept = (file, cacheName = CACHE) => caches.match(file, { cacheName, ignoreVary: true });

/** A page that only the server makes; without it, the page that says so. */
async function online(request) {
  const answer = await fetch(request).catch(() => null);
  const isAnswered = answer && ![502, 504].includes(answer.status); // a proxy's word for: there is no server
  return isAnswered ? answer : ((await kept("/offline")) ?? answer ?? Response.error());
}

/** What is missing is answered by 404, and never by some page in its place. */
async function asset(request, clientId) {
  const found = await kept(request.url, (await olderWindows())[clientId]);
  const answer = found ?? (await fetch(request));
  const isPage = answer.headers.get("Content-Type")?.includes("text/html");
  return isPage || answer.status === 404 ? new Response(null, { status: 404 }) : answer;
}

/** The server's file, where it answers soon and as it should; this version's otherwise. */
async function newest(request, pathname) {
  const answer = await fetch(request, { signal: AbortSignal.timeout(LIMIT_MS) }).catch(() => null);
  if (answer && isRight(answer, pathname)) return answer;
  return (await kept(pathname)) ?? answer ?? Response.error();
}

// What a browser does when it is asked. Each gives what was observed, and goes no further than that.
import { photoFrom } from "../check/photo.js";
import { readEntry } from "../lib/measured.js";
import { VOLTS } from "../lib/ranges.js";
import { get } from "../outbox/db.js";
import { inTrialStore } from "../outbox/trial-store.js";
import { tenths } from "./trial.js";

/** @import { Observation } from "./states.js" */

const BYTES = 1000;
const SAVES = 5;
const SHOWN_MS = 3000;
const NOTICE = "fieldlog-trial";
const LONGEST = 300;

/** @param {unknown} error @returns {{error: string}} */
export function told(error) {
  const { name, message } = /** @type {Error} */ (error);
  return { error: `${name}: ${message}`.slice(0, LONGEST) };
}

/** @returns {Promise<Observation<"store">>} */
export async function tryStore() {
  /** @type {Observation<"store">} */
  const seen = { opened: false };
  try {
    const bytes = new Uint8Array(BYTES).map((_, i) => i % 251);
    await inTrialStore("readwrite", (rows) => void rows.put({ bytes }, "row"));
    seen.opened = true;
    const row = await inTrialStore("readonly", (rows) => rows.get("row"));
    seen.read_back = row?.bytes?.length === BYTES && bytes.every((byte, i) => row.bytes[i] === byte);
    seen.log_opened = false;
    await get("kept", "clock");
    seen.log_opened = true;
    return seen;
  } catch (error) {
    return { ...seen, ...told(error) };
  }
}

/** @returns {Promise<Observation<"strict-save">>} */
export async function tryStrictSave() {
  /** @type {Observation<"strict-save"> & {saved: number, milliseconds: number[]}} */
  const seen = { asked: SAVES, saved: 0, milliseconds: [] };
  try {
    for (let save = 0; save < SAVES; save++) {
      const began = performance.now();
      await inTrialStore("readwrite", (rows, transaction) => {
        seen.durability = transaction.durability ?? null;
        rows.put({ save }, `save ${save}`);
      });
      seen.saved += 1;
      seen.milliseconds.push(tenths(performance.now() - began));
    }
    return seen;
  } catch (error) {
    return { ...seen, ...told(error) };
  }
}

/** @returns {Promise<Observation<"stay">>} */
export async function tryStay() {
  if (!navigator.storage?.persist) return { offered: false };
  try {
    const asked = navigator.storage.persist(); // within the tap, for browsers that ask the person
    const granted_before = await navigator.storage.persisted();
    const granted = await asked;
    const { quota, usage } = await navigator.storage.estimate();
    const room = quota === undefined ? {} : { quota_bytes: Math.round(quota), usage_bytes: Math.round(usage ?? 0) };
    return { offered: true, granted_before, granted, ...room };
  } catch (error) {
    return { offered: true, ...told(error) };
  }
}

/** @param {File} file @returns {Promise<Observation<"camera">>} */
export async function tryPhoto(file) {
  /** @type {Observation<"camera">} */
  const seen = { type: file.type, bytes: file.size };
  const address = URL.createObjectURL(file);
  try {
    const picture = Object.assign(new Image(), { src: address });
    await picture.decode();
    Object.assign(seen, { width: picture.naturalWidth, height: picture.naturalHeight });
    const { type, bytes, width, height } = await photoFrom(file);
    return { ...seen, kept: { type, bytes, width, height } };
  } catch (error) {
    return { ...seen, ...told(error) };
  } finally {
    URL.revokeObjectURL(address);
  }
}

/** @returns {Promise<Observation<"notification">>} */
export async function tryNotification() {
  if (!("Notification" in window)) return { offered: false };
  /** @type {Observation<"notification">} */
  const seen = { offered: true };
  try {
    seen.permission = await Notification.requestPermission(); // within the tap
    if (seen.permission !== "granted") return seen;
    const worker = await navigator.serviceWorker?.getRegistration();
    seen.shown_by = worker?.active ? "worker" : "page";
    seen.shown = worker?.active ? await shownBy(worker) : await shownByPage();
    return seen;
  } catch (error) {
    return { ...seen, shown: false, ...told(error) };
  }
}

const TITLE = "A trial of this phone";
const OPTIONS = { body: "Nothing has to be done.", tag: NOTICE };

/** @param {ServiceWorkerRegistration} worker */
async function shownBy(worker) {
  await worker.showNotification(TITLE, OPTIONS);
  return (await worker.getNotifications({ tag: NOTICE })).length > 0;
}

/** @returns {Promise<boolean>} */
function shownByPage() {
  return new Promise((resolve) => {
    const notice = new Notification(TITLE, OPTIONS);
    notice.onshow = () => resolve(true);
    notice.onerror = () => resolve(false);
    setTimeout(() => resolve(false), SHOWN_MS);
  });
}

/** @returns {Promise<Observation<"reach">>} */
export async function tryReach() {
  const { protocol, hostname } = location;
  const worker = await navigator.serviceWorker?.getRegistration().catch(() => undefined);
  return {
    secure: window.isSecureContext,
    scheme: protocol.replace(":", ""),
    own_machine: protocol === "http:" && isOwnMachine(hostname),
    worker_offered: "serviceWorker" in navigator,
    worker_registered: Boolean(worker?.active),
    worker_in_charge: Boolean(navigator.serviceWorker?.controller),
  };
}

/** @param {string} host @returns {boolean} as W3C Secure Contexts, 3.1, has it */
export const isOwnMachine = (host) => /^(127(\.\d+){3}|\[::1\]|(.+\.)?localhost)$/.test(host);

/** @param {string} typed @returns {Observation<"keypad">} */
export function tryKeypad(typed) {
  return { typed: typed.slice(0, LONGEST), read_as: readEntry(typed, VOLTS).number ?? null };
}

// A form that only the server can take is sent once the server is there; until then what was typed stays where it is.
import { ask } from "../sync/http.js";

const NOT_SENT =
  "Not sent: the server does not answer. What you typed still stands here; send it again when there is a signal.";

/** Forms whose next submission goes through. @type {WeakSet<HTMLFormElement>} */
const letThrough = new WeakSet();
/** @type {WeakSet<HTMLFormElement>} */
const asking = new WeakSet();

/** Stands before every form that is posted; nothing else on the page hears of a submission that was held back. */
export function heedForms() {
  addEventListener("submit", heed, { capture: true });
}

/** @param {SubmitEvent} event */
function heed(event) {
  const form = /** @type {HTMLFormElement} */ (event.target);
  if (form.getAttribute("method")?.toLowerCase() !== "post" || letThrough.delete(form)) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (!asking.has(form)) askFirst(form, event.submitter);
}

/** @param {HTMLFormElement} form @param {HTMLElement|null} submitter */
async function askFirst(form, submitter) {
  asking.add(form);
  say(form, submitter, "Looking for the server…");
  const isThere = await isReached();
  asking.delete(form);
  if (!isThere) return say(form, submitter, NOT_SENT);
  say(form, submitter, "");
  letThrough.add(form);
  return form.requestSubmit(submitter?.isConnected ? submitter : null);
}

/** A page of some captive portal is no answer. @returns {Promise<boolean>} */
async function isReached() {
  try {
    return (await ask("/api/session")).status === 200;
  } catch {
    return false;
  }
}

/**
 * Beside the button that was tapped.
 * @param {HTMLFormElement} form
 * @param {HTMLElement|null} submitter
 * @param {string} sentence
 */
function say(form, submitter, sentence) {
  const place = /** @type {HTMLElement|null} */ (form.querySelector(".not-sent")) ?? placeIn(form, submitter);
  place.textContent = sentence;
  place.hidden = !sentence;
  place.classList.toggle("problem", sentence === NOT_SENT);
}

/** @param {HTMLFormElement} form @param {HTMLElement|null} submitter @returns {HTMLElement} */
function placeIn(form, submitter) {
  const place = document.createElement("p");
  place.className = "not-sent";
  place.setAttribute("role", "status");
  const button = submitter ?? form.querySelector("[type=submit]");
  if (button && form.contains(button)) button.before(place);
  else form.append(place);
  return place;
}

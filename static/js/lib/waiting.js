import { age, countedBoth, LEVELS } from "./ages.js";
import { html } from "./html.js";

/**
 * @typedef {object} Waiting
 * @property {number} count of records that are on this phone only
 * @property {number} [photos] that are on this phone only
 * @property {number} refused of both, those that go no more by themselves
 * @property {number} failing of both, those on which the server fails
 * @property {number|null} since when the oldest was made, in milliseconds
 * @property {"none"|"amber"|"red"} level
 * @property {{reached: boolean, signedIn: boolean, problem: string|null}} standing
 */

/**
 * Says how much waits on this phone, how long, and why. A level is a word and a shape before it is a colour.
 * @param {Waiting} waiting
 * @param {{now: number, isShort: boolean, isHere: boolean, forgot?: string}} how isShort: no more than a line where
 *   somebody measures; isHere: on the page that says the rest; forgot: what the server does not know any more
 */
export function waitingMarkup(waiting, { now, isShort, isHere, forgot = "" }) {
  const { count, photos = 0, since, level } = waiting;
  const all = count + photos;
  const old = isShort || since === null ? "" : `, the oldest ${age(since, now)} old`;
  return html`${
    level === "none"
      ? ""
      : html`<svg class="alarm__shape" aria-hidden="true"><use href="/static/shapes.svg#waits-${level}"></use></svg><p
        class="alarm__word">${LEVELS[level]}</p>`
  }
    ${forgot ? html`<p class="alarm__count">${forgot}</p>` : ""}
    ${
      all
        ? html`<p class="alarm__count">${countedBoth(count, photos)} ${
            all === 1 ? "is" : "are"
          } on this phone only${old}. ${isShort ? "" : why(waiting, all, isHere)}</p>`
        : ""
    }
    <p class="alarm__ways">
      ${
        all && !isShort && waiting.standing.reached && !waiting.standing.signedIn
          ? html`<a class="button button--quiet" href="/sign-in?next=/phone">Sign in to send ${all}</a>`
          : ""
      }
      ${isHere ? "" : html`<a class="button button--quiet" href="/phone">On this phone</a>`}
      ${
        !isShort && !waiting.standing.reached && waiting.standing.problem
          ? html`<button type="button" class="button button--quiet" data-try>Try now</button>`
          : ""
      }
      ${
        level === "none"
          ? ""
          : html`<button type="button" class="button button--quiet" data-save>Save to a file</button>`
      }
    </p>`;
}

/** @param {Waiting} waiting @param {number} all @param {boolean} isHere */
function why({ refused, failing, standing }, all, isHere) {
  if (!standing.reached)
    return standing.problem ? "There is no way to the server now; it is tried again by itself." : "";
  if (!standing.signedIn) return "Signed in, they go to the server.";
  if (standing.problem) return standing.problem;
  if (refused)
    return `${refused} ${refused === 1 ? "needs" : "need"} a hand ${isHere ? "below" : "under “On this phone”"}.`;
  return failing === all ? "The server failed on them; they are tried again by themselves." : "They are being sent.";
}

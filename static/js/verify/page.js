// The page that verifies a signed record without a network: it shows what was signed, and nothing else.

import { recordIn } from "./carried.js";
import { readCheckpoint } from "./checkpoint.js";
import { canVerify } from "./integrity.js";
import { Refused, say } from "./refused.js";
import { list, shownHeld, why } from "./shown.js";
import { verified } from "./verifying.js";

/** @import { Data } from "./shown.js" */

const data = /** @type {Data} */ (JSON.parse(element("data").textContent ?? ""));
const answer = element("answer");

element("form").addEventListener("submit", (event) => {
  event.preventDefault();
  verify();
});
if (!(await canVerify())) tell("cannot", ["This browser cannot verify signatures. Open this file in a newer one."]);

async function verify() {
  const file = field("file").files?.[0];
  if (!file) return tell("refused", ["Choose the file first."]);
  try {
    const checkpoints = lines("checkpoints").map((line) => readCheckpoint(line) ?? refuse("no-checkpoint"));
    const text = await recordIn(new Uint8Array(await file.arrayBuffer()));
    const held = await verified(text, data, { checkpoints, issuers: lines("issuers") });
    tell("holds", [`${file.name}: ${say(data.words, "not-an-inspection")}`]);
    answer.append(...shownHeld(held, data));
  } catch (error) {
    tell("refused", [why(error, data)]);
  }
}

/** @param {string} reason @returns {never} */
function refuse(reason) {
  throw new Refused(reason);
}

/** @param {"holds"|"refused"|"cannot"} state @param {string[]} sentences */
function tell(state, sentences) {
  answer.replaceChildren(list(sentences));
  answer.dataset.state = state;
  answer.focus();
}

/** @param {string} name @returns {string[]} the lines of a field that hold something */
function lines(name) {
  const text = /** @type {HTMLTextAreaElement} */ (element(name)).value;
  return text
    .split("\n")
    .map((line) => line.trim())
    .filter(Boolean);
}

/** @param {string} name */
const field = (name) => /** @type {HTMLInputElement} */ (element(name));

/** @param {string} id @returns {HTMLElement} */
function element(id) {
  const found = document.getElementById(id);
  if (!found) throw new TypeError(`There is no ${id}.`);
  return found;
}

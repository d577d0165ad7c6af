// Says in sentences what was observed while a phone was tried.
import { counted } from "../lib/ages.js";

/** @import { Observation, StepId } from "./states.js" */

const MEGABYTE = 1048576;

/** @type {Record<string, string>} */
const NAVIGATIONS = {
  navigate: "The browser opened it anew.",
  reload: "The browser says that the page was only loaded again.",
  back_forward: "The browser says that the page was gone back to.",
};

/** @type {Record<NonNullable<Observation<"keypad">["decimal_key"]>, string>} */
const KEYS = {
  comma: "You saw a comma.",
  dot: "You saw a dot.",
  both: "You saw both.",
  none: "You saw neither a comma nor a dot.",
};

/** @type {{[Id in StepId]: (seen: Observation<Id>) => (string|false|undefined)[]}} */
const SAID = {
  store: ({ opened, read_back, log_opened }) => [
    yes(opened, "A store of its own opened.", "A store of its own did not open."),
    yes(read_back, "A row was read back as it was written.", "A row was not read back as it was written."),
    yes(log_opened, "The store of the log opened; nothing in it was touched.", "The store of the log did not open."),
  ],
  "strict-save": ({ asked = 0, saved = 0, durability, milliseconds = [] }) => [
    `${saved} of ${counted(asked, "save")} ${asked === 1 ? "was" : "were"} said to be complete.`,
    milliseconds.length > 0 && `The slowest took ${Math.max(...milliseconds)} ms.`,
    durability === null
      ? "The browser does not say how it saves."
      : durability && `The browser calls it “${durability}”. What lies on the medium the page cannot see.`,
  ],
  kill: killed,
  stay: ({ offered, granted_before, granted, quota_bytes, usage_bytes }) => [
    yes(offered, "", "The browser does not offer it."),
    granted_before && "The browser had promised it before.",
    yes(granted, "The browser promises not to empty the store by itself.", "The browser does not promise it."),
    quota_bytes !== undefined && `${megabytes(usage_bytes ?? 0)} used of ${megabytes(quota_bytes)}.`,
  ],
  camera: ({ type, bytes, width, height, kept }) => [
    bytes !== undefined && `What came: ${type || "no type"}, ${bytes} bytes.`,
    width !== undefined && `It opens as a picture of ${width} x ${height}.`,
    kept && `Made smaller: ${kept.type}, ${kept.bytes} bytes, ${kept.width} x ${kept.height}.`,
  ],
  notification: ({ offered, permission, shown, noticed }) => [
    yes(offered, "", "The browser offers none here."),
    permission !== undefined && `The browser’s answer: “${permission}”.`,
    yes(shown, "The browser says that it shows one.", "The browser did not show one."),
    yes(noticed, "You saw it.", "You did not see it."),
  ],
  reach: ({ secure, scheme, own_machine, worker_offered, worker_registered, worker_in_charge }) => [
    scheme !== undefined && `It came over ${scheme}.`,
    own_machine && "It came from the machine itself, so nothing was seen of a certificate.",
    yes(secure, "The browser takes the page for secure.", "The browser does not take the page for secure."),
    yes(worker_offered, "", "The browser offers no worker, which keeps pages for later."),
    yes(worker_registered, "A worker is registered.", "No worker is registered."),
    yes(worker_in_charge, "It is in charge of this page.", "None is in charge of this page."),
  ],
  keypad: ({ typed, read_as, decimal_key }) => [
    typed !== undefined && `What came: “${typed}”.`,
    read_as !== undefined && (read_as === null ? "It is not read as a number." : `It is read as ${read_as}.`),
    decimal_key && KEYS[decimal_key],
  ],
};

/**
 * Says what was observed of a step, one sentence a thing.
 * @template {StepId} Id
 * @param {Id} step
 * @param {Observation<Id>} seen
 * @returns {string[]}
 */
export function said(step, seen) {
  if (!Object.keys(seen).length) return [];
  const error = seen.error === undefined ? [] : [`The browser said: ${seen.error}`];
  return [...SAID[step](seen).filter((sentence) => typeof sentence === "string" && sentence !== ""), ...error].map(
    String,
  );
}

/** @param {Observation<"kill">} seen */
function killed({ marked_at, rows_written = 0, rows_there, small_mark, tab_memory, navigation = "", ...seen }) {
  if (!marked_at) return [];
  if (rows_there === undefined) return [`The mark is written, with ${counted(rows_written, "row")}.`];
  const isAlone = seen.worker_in_charge && !seen.server_answered;
  return [
    `${rows_there} of ${counted(rows_written, "row")} ${rows_there === 1 ? "was" : "were"} there again.`,
    yes(small_mark, "So was the small mark beside the store.", "The small mark beside the store was lost."),
    NAVIGATIONS[navigation],
    tab_memory && "The tab still had its memory, which a browser may also bring back after it was closed.",
    yes(
      seen.worker_in_charge,
      "A worker of this site is in charge of the page.",
      "No worker is in charge of the page.",
    ),
    yes(
      seen.server_answered,
      "The server could be reached, so this does not show that the page opens without it.",
      isAlone
        ? "The server did not answer when the page asked it, so the page seems to have come from this phone."
        : "The server did not answer when the page asked it.",
    ),
    yes(
      seen.closed === undefined ? undefined : seen.closed === "closed",
      "You closed it altogether.",
      "You only loaded the page again, which shows nothing of closing.",
    ),
  ];
}

/** @param {boolean|undefined} isSo @param {string} so @param {string} not */
const yes = (isSo, so, not) => isSo !== undefined && (isSo ? so : not);

/** @param {number} bytes */
const megabytes = (bytes) => `${Math.round(bytes / MEGABYTE)} MB`;

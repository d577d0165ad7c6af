// Records in a file: kept only where the pages can draw them. schemas/record.schema.json says more; the server holds
// them against it.

import { BODIES } from "./bodies.js";
import { id, moment, orNull, text, wrongAt } from "./shape.js";

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */
/** @import { Shape } from "./shape.js" */

/** @type {Shape} */
const RECORD = {
  id,
  kind: text,
  rig: orNull(id),
  subject: orNull(id),
  observed_at: moment,
  made_by: text,
  instrument: orNull(id),
  body: {},
  corrects: orNull(id),
  reason: orNull(text),
  "also_corrects?": [id],
};
/**
 * Holds a record of a file against the shape of one.
 * @param {unknown} record
 * @returns {string|null} where it first differs, as a pointer; null where it does not
 */
export function recordWrongAt(record) {
  return wrongAt(record, RECORD) ?? bodyWrongAt(/** @type {LogRecord} */ (record));
}

/** @param {LogRecord} record */
function bodyWrongAt({ kind, body }) {
  return Object.hasOwn(BODIES, kind) ? wrongAt(body, /** @type {Shape} */ (BODIES[kind]), "/body") : null;
}

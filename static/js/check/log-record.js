// What every record of the log has.

/** @import { LogRecord } from "../../../schemas/shapes/record.d.ts" */

/**
 * Makes a record; every member is present.
 * @param {Pick<LogRecord, "id"|"kind"|"observed_at"> & Record<string, any>} members
 * @returns {LogRecord}
 */
export function record(members) {
  const made = { rig: null, subject: null, made_by: "", instrument: null, corrects: null, reason: null, ...members };
  return /** @type {LogRecord} */ (made); // the server holds it against its schema
}

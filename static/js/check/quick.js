// The whole check on one screen, for who knows the meter.
import { changeContacts } from "./added.js";

/** @import { Values } from "./entries.js" */

/**
 * Takes what the one form says as the screens would have said it.
 * @param {Values} values changed
 */
export function noteQuick(values) {
  const isReady = String(values["quick.ready"] ?? "") === "yes" ? "yes" : ""; // a list of ticks
  changeContacts(values);
  Object.assign(values, { by: "meter", stopped: "", "ready.dry": isReady, "ready.meter_proved": isReady });
  if (values.looked === "yes") values.look = [];
}

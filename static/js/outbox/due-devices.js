import { due } from "../lib/due.js";
import { dayOf } from "../lib/times.js";
import { chains, current } from "./chains.js";

/**
 * Lists the devices that need a trip test now, and those whose last one failed.
 * @param {import("../outbox/queue.js").Row[]} rows
 * @param {string} today
 */
export function dueDevices(rows, today) {
  const tests = current(rows).filter(({ record }) => record.kind === "trip-test" && isPress(record.body));
  const devices = chains(rows).filter(([{ record }]) => record.kind === "device");
  const standing = devices.map((chain) => {
    const ids = chain.map(({ id }) => id);
    const last = tests.filter(({ record }) => ids.includes(record.subject)).sort(byTime).at(-1)?.record;
    return { id: ids[0], record: chain.at(-1).record, failed: last?.body.tripped === false, ...due(last ? dayOf(last.observed_at) : null, today) };
  });
  return standing.filter(({ state, failed }) => state !== "later" || failed);
}

/** A plug-in tester decides nothing when the device stays on, so only the device's own TEST counts. */
const isPress = ({ by, tripped }) => by === "button" && tripped !== null;

const byTime = (a, b) => (a.record.observed_at < b.record.observed_at ? -1 : 1);

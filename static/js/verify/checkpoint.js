// A checkpoint: a line that names a log, its number of entries and its head.

const UUID = "[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}";
const TEXT = new RegExp(`^fieldlog-checkpoint-1 (${UUID}) ([1-9][0-9]{0,8}) ([0-9a-f]{64}) (\\d{4}-\\d\\d-\\d\\d)$`);

/** @typedef {{log: string, count: number, head: string, day: string}} Checkpoint */

/** @param {string} text @returns {Checkpoint|null} */
export function readCheckpoint(text) {
  const [, log, count, head, day] = TEXT.exec(text.trim()) ?? [];
  return log && head && day ? { log, count: Number(count), head, day } : null;
}

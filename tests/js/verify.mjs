// Verifies one signed record a line as the one file without a network does; the first line holds schema and words.
//   node tests/js/verify.mjs < lines
import { readFileSync } from "node:fs";

import { recordIn } from "../../static/js/verify/carried.js";
import { readCheckpoint } from "../../static/js/verify/checkpoint.js";
import { Refused, say } from "../../static/js/verify/refused.js";
import { verified } from "../../static/js/verify/verifying.js";

const [criteria, ...asked] = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "")
  .map((line) => JSON.parse(line));

for (const { text, checkpoints, issuers } of asked) {
  const against = { checkpoints: checkpoints.map(readCheckpoint), issuers };
  try {
    const record = await recordIn(new Uint8Array(Buffer.from(text, "base64")));
    const held = await verified(record, criteria, against);
    console.log(JSON.stringify({ held: held.sentences }));
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    console.log(JSON.stringify({ refused: say(criteria.words, error.reason, error.values) }));
  }
}

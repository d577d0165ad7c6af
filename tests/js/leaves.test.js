import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { chains, leaves } from "../../static/js/outbox/chains.js";
import { inOrder } from "../../static/js/outbox/rows.js";

const CASES = JSON.parse(readFileSync(new URL("../cases/leaves.json", import.meta.url), "utf8"));
const row = ([id, corrects = null, also_corrects]) => ({
  id,
  record: { corrects, ...(also_corrects && { also_corrects }) },
});

for (const { what, chain, leaves: expected } of CASES) {
  test(`the leaves of a chain: ${what}`, () => {
    const [found, ...more] = chains(inOrder(chain.map(row)));

    assert.deepEqual(more, []);
    assert.deepEqual(
      leaves(found).map(({ id }) => id),
      expected,
    );
    assert.equal(found.at(-1).id, expected.at(-1));
  });
}

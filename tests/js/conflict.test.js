import assert from "node:assert/strict";
import test from "node:test";

import { conflictMarkup, settling } from "../../static/js/check/conflict.js";
import { leaves } from "../../static/js/outbox/chains.js";

const first = {
  id: "01920000-0000-7000-8000-000000000001",
  record: { corrects: null, body: { judgement: { verdict: "use" } } },
};
const one = {
  id: "01920000-0000-7000-8000-000000000002",
  record: {
    corrects: first.id,
    reason: "Read the wrong line",
    made_by: "Heron",
    body: { judgement: { verdict: "use" } },
  },
};
const other = {
  id: "01920000-0000-7000-8000-000000000003",
  record: {
    corrects: first.id,
    reason: "It was site <12>",
    made_by: "Wren",
    body: { judgement: { verdict: "do-not-use" } },
  },
};

test("two corrections of one record stand side by side, each with its word, its maker and its reason", () => {
  const shown = conflictMarkup([one, other], () => "").text;

  assert.match(shown, /Corrected twice, on two phones/);
  assert.match(shown, /#use"><\/use><\/svg>Use</);
  assert.match(shown, /#do-not-use"><\/use><\/svg>Do not use · counts now</);
  assert.match(shown, /by Heron/);
  assert.match(shown, /It was site &lt;12&gt;/);
  assert.equal(shown.match(/This one counts/g).length, 2);
});

test("the chosen one is said again and corrects all that stand side by side, so that one stands alone", () => {
  const { corrects, also_corrects, reason, body } = settling(one, [one, other]);
  const settled = { id: "01920000-0000-7000-8000-000000000004", record: { corrects, also_corrects } };

  assert.equal(corrects, one.id);
  assert.deepEqual(also_corrects, [other.id]);
  assert.ok(reason.length > 0);
  assert.equal(body, one.record.body);
  assert.deepEqual(leaves([first, one, other, settled]), [settled]);
});

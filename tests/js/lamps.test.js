import assert from "node:assert/strict";
import test from "node:test";

import { worthRemembering } from "../../static/js/check/instrument.js";
import { areTogether, lampsOf, noteLearnt, seenPairs } from "../../static/js/check/lamps.js";
import { learntProblem } from "../../static/js/check/problems.js";

const learnt = (states, apart, typed = {}) => {
  const values = { outlet: "TT-30", by: "lamps", "lamp.way": "learn", "lamp.apart": apart, ...typed };
  for (const [i, state] of states.entries()) values[`lamp.learnt.${i + 1}`] = state;
  noteLearnt(values);
  return values;
};
const shown = (values, one, other, dark) =>
  lampsOf({ ...values, "lamps.h-n": one, "lamps.h-g": other, "lamps.n-g": dark });

test("at a right outlet the lamp between neutral and ground is the dark one, wherever it is seen", () => {
  assert.equal(seenPairs(learnt(["dark", "lit", "lit"], "none"))[0], "n-g");
  assert.equal(seenPairs(learnt(["lit", "dark", "lit"], "3"))[1], "n-g");
});

test("where a source floats, the lamp that lights alone is hot to neutral, and the order stays", () => {
  const values = learnt(["lit", "dark", "lit"], "3");

  assert.deepEqual(seenPairs(values), ["h-g", "n-g", "h-n"]);
  assert.equal(values["lamp.h-n.called"], "third lamp");
  assert.equal(areTogether(values), false);
});

test("lamps that were never told apart have no name of their own", () => {
  const values = learnt(["lit", "lit", "dark"], "none");

  assert.equal(areTogether(values), true);
  assert.deepEqual([values["lamp.h-n.called"], values["lamp.n-g.called"]], ["", "third lamp"]);
});

test("nothing but two lit and one dark is taken for a right outlet", () => {
  assert.equal(learntProblem(["lit", "dark", "lit"]), null);
  for (const states of [
    ["lit", "lit", "lit"],
    ["dark", "dark", "lit"],
    ["lit", "lit"],
  ])
    assert.match(learntProblem(states), /another outlet/);
});

test("a dark lamp that was said to light alone tells nothing apart", () => {
  assert.equal(areTogether(learnt(["lit", "lit", "dark"], "3")), true);
});

test("of two lamps not told apart it is known only what both show", () => {
  const values = learnt(["lit", "lit", "dark"], "none");

  assert.deepEqual(shown(values, "lit", "lit", "dark"), { "h-n": "lit", "h-g": "lit", "n-g": "dark" });
  assert.deepEqual(shown(values, "lit", "none", "dark"), { "n-g": "dark" });
  assert.equal(shown(values, "lit", "none", "none"), null);
});

test("two such lamps that differ are not judged, as either could be the dark one", () => {
  const values = learnt(["lit", "lit", "dark"], "none");

  for (const [one, other] of [
    ["lit", "dark"],
    ["dark", "lit"],
    ["dim", "none"],
    ["none", "dark"],
  ])
    assert.throws(() => shown(values, one, other, "dark"), /No right wiring shows that/);
  assert.deepEqual(shown(learnt(["lit", "lit", "dark"], "1"), "lit", "dark", "dark")["h-g"], "dark");
});

test("a tester that was learnt is remembered with the order of its lamps", () => {
  const { lamps } = worthRemembering({ ...learnt(["dark", "lit", "lit"], "2"), verdict: "use-limited" }, {});

  assert.deepEqual(
    [lamps["lamp.way"], lamps["lamp.learnt.1"], lamps["lamp.apart"], lamps["lamp.n-g.called"]],
    ["learn", "dark", "2", "first lamp"],
  );
});

test("the site is offered again only where the rig may stay", () => {
  const after = (verdict, where = "pedestal") =>
    worthRemembering({ outlet: "TT-30", "place.park": "Alder Bend", "place.site": "12", verdict }, { where });

  assert.equal(after("use")["place.site"], "12");
  assert.equal(after("do-not-use")["place.site"], "");
  assert.equal(after("test-more")["place.site"], "");
  assert.equal(after("do-not-use")["place.park"], "Alder Bend");
  assert.ok(!("place.site" in after("do-not-use", "rig")));
});

test("nothing at hand today says nothing of what is tested with next time", () => {
  assert.ok(!("by" in worthRemembering({ outlet: "TT-30", by: "none" }, {})));
});

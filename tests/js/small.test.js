import assert from "node:assert/strict";
import test from "node:test";

import { sameNames } from "../../static/js/check/problems.js";
import { holds, said } from "../../static/js/check/when.js";
import { html } from "../../static/js/lib/html.js";
import { checkInput } from "../../static/js/lib/measured.js";
import { howSure } from "../../static/js/lib/sure.js";
import { localIso, spoken } from "../../static/js/lib/times.js";
import { uuid7 } from "../../static/js/lib/uuid7.js";
import { placeName, stepName } from "../../static/js/lib/words.js";
import { chains, current } from "../../static/js/outbox/chains.js";

test("markup escapes what a person typed", () => {
  assert.equal(
    html`<p title="${'"'}">${"<img src=x onerror=alert(1)>&"}</p>`.text,
    '<p title="&quot;">&lt;img src=x onerror=alert(1)&gt;&amp;</p>',
  );
  assert.equal(
    html`<ul>${["a", "<b>"].map((word) => html`<li>${word}</li>`)}${null}${false}${0}</ul>`.text,
    "<ul><li>a</li><li>&lt;b&gt;</li>0</ul>",
  );
});

test("how sure is said in words and as a number, never as certain", () => {
  assert.equal(howSure(1), "almost certain (over 99 %)");
  assert.equal(howSure(0.97), "very likely (97 %)");
  assert.equal(howSure(0.5), "about as likely as not (50 %)");
  assert.equal(howSure(0.001), "unlikely, not impossible (under 1 %)");
});

test("an id is a UUID of version 7 and begins with the time (RFC 9562, appendix A.6)", () => {
  const id = uuid7(0x017f22e279b0);

  assert.match(id, /^017f22e2-79b0-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  assert.notEqual(id, uuid7(0x017f22e279b0));
});

test("a time carries its offset", () => {
  assert.match(localIso(new Date(0)), /^19(69|70)-\d\d-\d\dT\d\d:\d\d:00\.000[+-]\d\d:\d\d$/);
  assert.equal(new Date(localIso(new Date(1764062000123))).getTime(), 1764062000123);
  assert.equal(spoken("2026-11-25T10:31:07.123+01:00"), "25 Nov 2026, 10:31");
});

test("a place without a name says so", () => {
  assert.equal(placeName({ park: "", site: "" }), "Place not named");
  assert.equal(placeName({ park: "Alder Bend", site: "12" }), "Alder Bend, site 12");
});

test("steps are called by the contacts they lie between", () => {
  assert.equal(stepName("volts.h-n"), "Volts hot–neutral");
  assert.equal(stepName("lamps.n-g"), "The neutral–ground lamp");
});

test("a part is shown by what was entered", () => {
  assert.ok(holds("by=lamps|both", { by: "both" }));
  assert.ok(!holds("by=lamps|both", { by: "meter" }));
  assert.ok(holds("look=", { look: [] }));
  assert.ok(holds("look=*", { look: ["wet"] }));
});

test("a button says what it means", () => {
  assert.deepEqual(said("skin.skipped=no tingle=no"), { "skin.skipped": "no", tingle: "no" });
  assert.deepEqual(said(undefined), {});
});

const row = (id, corrects = null) => ({ id, record: { corrects } });

test("corrections form one chain with what they correct, the current record last", () => {
  const rows = [row("a"), row("b"), row("c", "a"), row("d", "c")];

  assert.deepEqual(
    chains(rows).map((chain) => chain.map(({ id }) => id)),
    [["a", "c", "d"], ["b"]],
  );
  assert.deepEqual(
    current(rows).map(({ id }) => id),
    ["d", "b"],
  );
});

test("a correction whose first record is not here stands by itself", () => {
  assert.deepEqual(
    current([row("c", "elsewhere")]).map(({ id }) => id),
    ["c"],
  );
});

test("records that correct each other end nobody's search", () => {
  assert.equal(chains([row("a", "b"), row("b", "a")]).flat().length, 2);
});

test("measured values become numbers in every set of a check", () => {
  const loaded = { across: "x-n", amps: "9.5 A", amps_percent: "3 %", volts: { "x-n": "116.2 V" } };
  const more = [
    {
      state: "as-found",
      meter: { input: "low-impedance", accuracy_volts: "0.3 V" },
      volts: { "x-n": "119 V" },
      loaded,
    },
  ];

  assert.deepEqual(checkInput({ outlet: "14-50", near: { g: false }, look: ["wet"], loaded, more }), {
    outlet: "14-50",
    near: { g: false },
    look: ["wet"],
    loaded: { across: "x-n", amps: 9.5, amps_percent: 3, volts: { "x-n": 116.2 } },
    more: [
      {
        state: "as-found",
        meter: { input: "low-impedance", accuracy_volts: 0.3 },
        volts: { "x-n": 119 },
        loaded: { across: "x-n", amps: 9.5, amps_percent: 3, volts: { "x-n": 116.2 } },
      },
    ],
  });
  assert.throws(() => checkInput({ more: [{ volts: { "h-n": "9 A" } }] }), /9 A/);
});

test("two lamps with the same name are refused at the later one, and unnamed ones are not", () => {
  const lamps = (...called) => called.map((value, i) => ({ name: `lamp.${["h-n", "h-g", "n-g"][i]}.called`, value }));

  assert.deepEqual(Object.keys(sameNames(lamps("left", " Left ", "right"))), ["lamp.h-g.called"]);
  assert.deepEqual(Object.keys(sameNames(lamps("a", "a", "a"))), ["lamp.h-g.called", "lamp.n-g.called"]);
  assert.deepEqual(sameNames(lamps("left", "middle", "right")), {});
  assert.deepEqual(sameNames(lamps("", "", "")), {});
  assert.deepEqual(
    sameNames([
      { name: "place.park", value: "a" },
      { name: "place.site", value: "a" },
    ]),
    {},
  );
});

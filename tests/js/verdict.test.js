import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { offerOf } from "../../static/js/check/offer.js";
import { bannerMarkup, reasonsMarkup, spokenVerdict } from "../../static/js/check/verdict.js";
import { VERDICTS } from "../../static/js/lib/words.js";

const RULEBOOK = JSON.parse(readFileSync(new URL("../../schemas/rulebook.json", import.meta.url), "utf8"));
const { words } = RULEBOOK;
const NOTHING = {
  verdict: "use",
  faults: [{ id: "correct", probability: 0.97 }],
  not_ruled_out: [],
  next_test: null,
  findings: [],
  supply: null,
};
const finding = (id, members = {}) => ({
  id,
  level: "note",
  source: null,
  quantity: null,
  value: null,
  uncertainty: null,
  limit: null,
  straddles: null,
  ...members,
});

const ABOUT = { outlet: "TT-30", notTested: [] };

/** What a person reads: the markup without its tags. */
function read(answer, about = {}) {
  const { text } = reasonsMarkup({ ...NOTHING, ...answer }, RULEBOOK, { outlet: "TT-30", notTested: [], ...about });
  assert.doesNotMatch(text, /undefined|NaN|\[object/);
  return text.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
}

test("every explanation of both families is named, said and drawn", () => {
  for (const [family, outlet] of [
    ["three-wire", "TT-30"],
    ["split-phase", "14-50"],
  ]) {
    for (const { id, is_named } of RULEBOOK.families[family].wirings.filter((wiring) => wiring.is_named)) {
      const answer = { ...NOTHING, verdict: "do-not-use", faults: [{ id, probability: 1 }] };
      const { text } = reasonsMarkup(answer, RULEBOOK, { outlet, notTested: [] });
      assert.match(text, /<svg class="drawing"/, `${outlet} ${id} ${is_named}`);
      assert.doesNotMatch(text, /undefined|\[object/, `${outlet} ${id}`);
    }
  }
});

test("a finding whose words stand in the banner is not left without any", () => {
  const told = read({ verdict: "use-limited", findings: [finding("volts-not-measured", { level: "limit" })] });

  assert.match(told, /Limit: as said above\./);
});

test("a check that is looked at later orders nothing that was to be done before plugging in", () => {
  for (const verdict of Object.keys(VERDICTS)) {
    const answer = { ...NOTHING, verdict, faults: [{ id: "open-ground", probability: 0.9 }, ...NOTHING.faults] };
    const { kept, do_now, at_rig, sentence } = words.verdicts[verdict];
    const pages = ["pedestal", "rig"].map((where) => ({ where, text: read(answer, { isKept: true, where }) }));

    assert.ok(bannerMarkup(answer, RULEBOOK, { ...ABOUT, isKept: true }).text.includes(kept), verdict);
    assert.ok(!bannerMarkup(answer, RULEBOOK, { ...ABOUT, isKept: true }).text.includes(sentence), verdict);
    for (const { where, text } of pages) {
      // What is wrong in one's own rig stays to be done until it is mended.
      assert.equal(text.includes("What to do now"), where === "rig" && verdict === "do-not-use", `${where} ${verdict}`);
      assert.doesNotMatch(text, /what to do/, `${where} ${verdict}`);
      const orders = where === "rig" ? do_now : [...do_now, ...at_rig];
      if (verdict !== "use")
        for (const order of orders) assert.ok(!text.includes(order), `${where} ${verdict}: ${order}`);
    }
  }
});

test("at a rig’s own outlet nobody is sent to the office, to another site or to the pedestal", () => {
  for (const verdict of Object.keys(words.verdicts)) {
    const faults = [{ id: verdict.startsWith("use") ? "correct" : "open-ground", probability: 1 }];
    const told = (where) => /What to do now (.*?) Why/.exec(read({ verdict, faults }, { where }))[1];

    assert.doesNotMatch(told("rig"), /office|site|pedestal/, verdict);
    const all = [...faults, { id: "open-neutral", probability: 0.3 }];
    assert.deepEqual(
      ["rig", "pedestal"].map((where) => read({ verdict, faults: all }, { where }).includes("Drawing, and what to do")),
      [false, true],
    );
    assert.ok(told("rig").includes(words.verdicts[verdict].at_rig[0]), verdict);
    assert.ok(told("pedestal").includes(words.verdicts[verdict].do_now[0]), verdict);
    const spoken = spokenVerdict({ ...NOTHING, verdict, faults }, RULEBOOK, { ...ABOUT, where: "rig" });
    assert.ok(spoken.endsWith(words.verdicts[verdict].at_rig[0]), verdict);
  }
});

test("that right wiring harms nobody is said only where nothing else was found that may", () => {
  const { people, appliances } = words.explanations.correct;
  const found = {
    "use-limited": ["loop-drop", "limit"],
    "test-more": ["ground-near-voltage", "note"],
    "do-not-use": ["face-live-after-trip", "stop"],
  };

  assert.ok(read({}).includes(people) && read({}).includes(appliances));
  for (const [verdict, [id, level]] of Object.entries(found)) {
    const text = read({ verdict, findings: [finding(id, { level })] });
    assert.ok(text.includes(words.explanations.correct.sentence), verdict);
    assert.ok(!text.includes(people) && !text.includes(appliances), verdict);
  }
});

test("what an explanation other than right wiring does is said whatever else was found", () => {
  const id = "floating-supply";
  assert.ok(
    read({ verdict: "use-limited", faults: [{ id, probability: 0.99 }] }).includes(words.explanations[id].people),
  );
});

test("an explanation is said in the words of its outlet where they differ", () => {
  const own = words.explanations.correct["split-phase"].sentence;

  assert.ok(read({}, { outlet: "14-50" }).includes(own));
  assert.ok(!read({}).includes(own));
});

test("the wiring's ohms come with their bounds, each conductor's part, and the volts lost at 80 %", () => {
  const supply = {
    across: "h-n",
    volts: 121.3,
    ohms: 0.3667,
    ohms_uncertainty: 0.0717,
    ohms_bound: 0.27,
    hot_ohms: 0.2167,
    neutral_ohms: 0.15,
  };
  const text = read({ supply });

  assert.match(text, /hot–neutral 0\.37 Ω/);
  assert.match(text, /0\.3 to 0\.44 Ω/);
  assert.match(text, /At the very worst 0\.1 to 0\.64 Ω/);
  assert.match(text, /Of it the hot 0\.22 Ω Of it the neutral 0\.15 Ω/);
  // Ohm's law: 0.8 × 30 A × 0.3667 ohm = 8.8 V.
  assert.match(text, /At 24 A, 80 % of the rating, 8\.8 V of the 121\.3 V/);
});

test("what was not read of the conductors is not said, and no ohms lie below nought", () => {
  const text = read({
    supply: {
      across: "h-n",
      volts: 121,
      ohms: 0.02,
      ohms_uncertainty: 0.07,
      ohms_bound: 0.27,
      hot_ohms: null,
      neutral_ohms: null,
    },
  });

  assert.match(text, /0 to 0\.09 Ω/);
  assert.doesNotMatch(text, /Of it/);
});

test("the heat of a loose joint is told in whole watts with the name of its quantity", () => {
  const heat = finding("loose-joint-neutral", {
    level: "limit",
    quantity: "joint-heat",
    value: 639.36,
    source: "own choice",
  });

  assert.match(read({ findings: [heat] }), /Heat in the joint at 80 % of the rating: 639 W\. Source: own choice/);
});

test("a wiring without a name is told by what its contacts are joined to, and drawn", () => {
  const answer = {
    verdict: "do-not-use",
    faults: [{ id: "other", probability: 0.9 }],
    findings: [finding("unnamed-wiring", { quantity: "joined-HNX" })],
  };
  const text = read(answer);

  assert.ok(text.includes("ground contact is joined to the hot wire of another leg"), text);
  assert.ok(text.includes(words.unnamed.people));
  assert.match(
    reasonsMarkup({ ...NOTHING, ...answer }, RULEBOOK, { outlet: "TT-30", notTested: [] }).text,
    /<svg class="drawing"/,
  );
});

test("a proposed test is a way on where it can be entered, and told step by step where it cannot", () => {
  const answer = { next_test: { id: "detector", separates: [] } };
  const offer = { next: "detector", others: [], notYet: [] };
  const { text } = reasonsMarkup({ ...NOTHING, ...answer }, RULEBOOK, { outlet: "TT-30", notTested: [], offer });

  assert.match(text, /<button[^>]*data-add="detector"/);
  assert.ok(!text.includes(words.tests.detector.caution));
  assert.ok(read(answer).includes(words.tests.detector.caution));
  assert.ok(!read(answer, { offer: { ...offer, next: null } }).includes("Next test"));
});

test("what is not settled puts its next test before all else", () => {
  const answer = { verdict: "test-more", next_test: { id: "detector", separates: [] } };
  const text = read(answer, { offer: { next: "detector", others: [], notYet: [] } });

  assert.ok(text.indexOf("Next test") < text.indexOf("What to do now"));
});

test("the banner names the cause as it is called at that outlet", () => {
  const answer = { ...NOTHING, verdict: "do-not-use", faults: [{ id: "leg-dead", probability: 0.9 }] };

  assert.ok(
    bannerMarkup(answer, RULEBOOK, { ...ABOUT, outlet: "14-50" }).text.includes(words.explanations["leg-dead"].name),
  );
});

const bannerText = (answer, about = {}) =>
  bannerMarkup({ ...NOTHING, ...answer }, RULEBOOK, { ...ABOUT, ...about }).text.replace(/<[^>]*>/g, " ");

test("the banner names the danger that a load waits for, and the test that settles it", () => {
  const left = ["neutral-ground-reversed", "neutral-ground-bonded", "reversed-with-bonded-ground"];
  const values = { outlet: "TT-30", supply: "utility", by: "meter", "meter.input": "high-impedance" };
  const answer = { ...NOTHING, not_ruled_out: left };
  const { barred } = offerOf(answer, RULEBOOK, values, "pedestal");
  const text = bannerText(answer, { made: ["meter"] }).toLowerCase();

  assert.deepEqual([barred.by, barred.first], [["reversed-with-bonded-ground"], ["earth"]]);
  for (const id of left)
    assert.equal(text.includes(words.explanations[id].name.toLowerCase()), barred.by.includes(id), id);
  assert.ok(text.includes(words.tests.earth.name.toLowerCase()));
  assert.ok(!text.includes("listed below"), text);
});

test("what only a load would show is open where nothing else is", () => {
  const unloaded = finding("not-loaded");

  assert.ok(bannerText({ findings: [unloaded] }).includes(words.findings["not-loaded"].sentence));
  assert.ok(!bannerText({ verdict: "do-not-use", findings: [unloaded] }).includes("load"));
});

test("what the banner says of a finding is not said again below it, its figures and source are", () => {
  const low = finding("voltage-low", { level: "stop", quantity: "h-n", value: 102, limit: 104, source: "a standard" });
  const answer = { verdict: "do-not-use", findings: [low] };
  const [first, rest] = words.findings["voltage-low"].sentence.split(/(?<=made for\.) /);

  assert.ok(bannerText(answer).includes(first) && !bannerText(answer).includes(rest));
  assert.ok(!read(answer).includes(first) && read(answer).includes(rest));
  assert.match(read(answer), /The limit is 104 V\. Source: a standard/);
});

test("what an explanation asks follows what the verdict asks, and nothing is asked twice", () => {
  const text = read({ verdict: "do-not-use", faults: [{ id: "hot-ground-reversed", probability: 0.9 }] });
  const asked = /What to do now (.*?) Why/.exec(text)[1];

  assert.equal(asked.split("Tell the office.").length, 2);
  assert.ok(asked.includes("do not touch a rig that is"));
  assert.ok(asked.startsWith(words.verdicts["do-not-use"].do_now[0]));
});

test("the words of the verdicts that stand in for the rulebook are the rulebook’s", () => {
  const said = Object.entries(words.verdicts).map(([id, { word }]) => [id, word]);

  assert.deepEqual(Object.entries(VERDICTS).sort(), said.sort());
});

test("what the readings cannot show names what is not ruled out, and nothing else", () => {
  const [swapped, deadly] = ["neutral-ground-reversed", "reversed-with-bonded-ground"];
  const seen = (left) => read({ not_ruled_out: left }).split("What this cannot show")[1] ?? "";

  assert.equal(seen([]), "");
  for (const left of [[swapped], [deadly], [swapped, deadly]]) {
    for (const id of [swapped, deadly]) {
      assert.equal(seen(left).includes(words.explanations[id].name), left.includes(id), `${left} ${id}`);
      assert.equal(seen(left).includes(words.twins_shown[id]), left.includes(id), `${left} ${id}`);
    }
  }
});

test("what is not to be tested yet says what stands in the way and leads to what clears it", () => {
  const barred = { why: "standing", by: ["reversed-with-bonded-ground"], first: ["earth"] };
  const offer = { next: null, others: [], notYet: ["load"], barred };
  const { text } = reasonsMarkup(NOTHING, RULEBOOK, { outlet: "TT-30", notTested: [], offer });

  assert.ok(text.includes(words.explanations["reversed-with-bonded-ground"].name));
  assert.match(text, /<button[^>]*data-add="earth"/);
  assert.doesNotMatch(text, /data-add="load"/);
  assert.match(
    read({}, { offer: { ...offer, barred: { why: "not-used", by: [], first: [] } } }),
    /not to be used gets no load/,
  );
});

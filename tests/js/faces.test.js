import assert from "node:assert/strict";
import test from "node:test";

import { FACES, faceMarkup, facingText, placeOf, tipsText } from "../../static/js/check/faces.js";
import { turnFace } from "../../static/js/check/facing.js";

// Facing the outlet: ANSI/NEMA WD 6 and common practice. Quarter turns clockwise from the ground hole down.
const [DOWN, LEFT, UP] = [0, 1, 2];
const places = (outlet, turns) =>
  Object.fromEntries(FACES[outlet].contacts.map(({ role }) => [role, placeOf(outlet, role, turns)]));

test("with the ground hole down a 5-15 and a 5-20 have hot right and neutral left", () => {
  for (const outlet of ["5-15", "5-20"])
    assert.deepEqual(places(outlet, DOWN), { n: "upper left", h: "upper right", g: "bottom" });
});

test("with the ground hole up a TT-30 has hot lower left and neutral lower right", () => {
  assert.deepEqual(places("TT-30", UP), { n: "lower right", h: "lower left", g: "top" });
  assert.deepEqual(places("TT-30", DOWN), { n: "upper left", h: "upper right", g: "bottom" });
  assert.equal(FACES["TT-30"].turns, UP);
});

test("the neutral of a 14-50 lies opposite the ground, the two hots left and right", () => {
  for (const turns of [DOWN, UP]) {
    const seen = places("14-50", turns);
    assert.deepEqual([seen.x, seen.y].sort(), ["left", "right"]);
    assert.deepEqual([seen.n, seen.g].sort(), ["bottom", "top"]);
  }
  assert.equal(places("14-50", UP).n, "bottom");
});

test("with the ground hole to the left a 5-15 has its neutral above its hot", () => {
  assert.deepEqual(places("5-15", LEFT), { n: "upper right", h: "lower right", g: "left" });
});

const holes = (text) =>
  Object.fromEntries(
    [
      ...text.matchAll(/face__contact( face__contact--on)?" data-contact="(\w)"[\s\S]*?translate\((-?\d+) (-?\d+)\)/g),
    ].map(([, on, role, x, y]) => [role, { isOn: Boolean(on), x: Number(x), y: Number(y) }]),
  );

test("the picture marks the two contacts of the reading, where the words say that they lie", () => {
  const seen = holes(faceMarkup("TT-30", { pair: "h-n" }).text);

  assert.deepEqual([seen.h.isOn, seen.n.isOn, seen.g.isOn], [true, true, false]);
  assert.ok(seen.h.x < 0 && seen.n.x > 0 && seen.g.y < 0 && seen.h.y > 0);
  assert.deepEqual(tipsText("TT-30", "h-n", UP), [
    "One tip in H, hot: lower left.",
    "The other in N, neutral: lower right.",
  ]);
});

test("to an earth one contact is marked, and the other tip leaves the outlet", () => {
  const seen = holes(faceMarkup("5-15", { pair: "h-e" }).text);

  assert.deepEqual(Object.values(seen).filter(({ isOn }) => isOn).length, 1);
  assert.deepEqual(tipsText("5-15", "h-e", DOWN)[1], "The other on the earth outside.");
});

test("no letter leaves the face and none lies on a hole, however it is turned", () => {
  for (const { contacts } of Object.values(FACES))
    for (const { letter } of contacts) {
      assert.ok(Math.hypot(...letter) + 19 <= 97 || Math.max(...letter.map(Math.abs)) + 19 <= 94);
      for (const { at } of contacts) assert.ok(Math.hypot(letter[0] - at[0], letter[1] - at[1]) >= 30);
    }
});

test("four taps turn a picture round, and each outlet is turned by itself", () => {
  const values = { outlet: "TT-30" };
  const seen = [1, 2, 3, 4].map(() => {
    turnFace(values);
    return facingText(Number(values["turns.TT-30"])).split(" ").at(-1);
  });

  assert.deepEqual(seen, ["right.", "down.", "left.", "up."]);
  assert.equal(values["turns.5-15"], undefined);
});

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

import { drawingFigure, drawingMarkup, drawingText, figureText } from "../../static/js/check/drawing.js";

const WORDS = JSON.parse(readFileSync(new URL("../../schemas/words.json", import.meta.url), "utf8"));
const THREE = ["h", "n", "g"];
const FOUR = ["x", "y", "n", "g"];
const drawn = (variant, contacts) => drawingMarkup(variant, contacts, WORDS).text;
const count = (text, part) => text.split(part).length - 1;

test("right wiring has a line to each contact and nothing broken", () => {
  const markup = drawn({ joins: "HXNG" }, FOUR);

  assert.equal(count(markup, 'class="drawing__wire '), 4);
  assert.equal(count(markup, "drawing__cross") + count(markup, "drawing__end") + count(markup, "--odd"), 0);
  assert.equal(drawingText({ joins: "HXNG" }, FOUR, WORDS), "Each contact is joined to its own wire.");
});

test("a wiring without a name is said contact by contact", () => {
  assert.equal(
    drawingText({ joins: "-GN" }, THREE, WORDS),
    "The hot contact is joined to no wire. The neutral contact is joined to the ground wire. " +
      "The ground contact is joined to the neutral wire.",
  );
});

test("an open contact has a cross, a wrongly joined one has none; both stand out", () => {
  const markup = drawn({ joins: "NH-" }, THREE);

  assert.equal(count(markup, "drawing__cross"), 1);
  assert.equal(count(markup, "--odd"), 3);
});

test("a conductor that reaches nothing ends in a bar, one that reaches two contacts has a dot", () => {
  const markup = drawn({ joins: "HHG" }, THREE);

  assert.equal(count(markup, "drawing__end"), 1);
  assert.equal(count(markup, "drawing__dot"), 2, "one where neutral and ground meet, one in the hot");
});

test("the picture is named and told in words", () => {
  const markup = drawn({ joins: "HNG", leak: true, energised: true }, THREE);

  assert.match(
    markup,
    /^<svg class="drawing" [^<]+ role="img"><title>What is joined to what<\/title><desc>[^<]+leaks[^<]+<\/desc>/,
  );
});

test("a figure shows the first variant and says how the others differ", () => {
  const variants = [
    { joins: "HXNG", loose: "H" },
    { joins: "HXNG", loose: "X" },
  ];

  assert.equal(count(drawingFigure(variants, FOUR, WORDS).text, "<svg"), 1);
  assert.equal(
    figureText(variants, FOUR, WORDS),
    "Each contact is joined to its own wire. A joint in the wire of leg 1 is loose. Or the same with the legs swapped.",
  );
});

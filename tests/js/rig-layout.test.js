import assert from "node:assert/strict";
import test from "node:test";

import { LABEL, layout } from "../../static/js/rig/layout.js";

/** Numbers that look drawn by lot and are the same each time. */
function lots(seed) {
  let state = seed;
  return (most) => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return Math.floor((state / 2147483648) * most);
  };
}

function drawn(seed, loose = false) {
  const lot = lots(seed);
  const count = 1 + lot(60);
  const parts = Array.from({ length: count }, (_, i) => ({ id: `p${i}`, kind: "junction" }));
  const runs = parts
    .slice(1)
    .map((_, i) => ({ from: `p${lot(i + 1)}`, to: `p${i + 1}`, from_side: lot(2) ? "load" : "line" }));
  if (loose) for (let i = 0; i < 8; i += 1) runs.push({ from: `p${lot(count + 2)}`, to: `p${lot(count + 2)}` });
  return { parts, runs: runs.filter(() => !loose || lot(5)) };
}

const overlap = (a, b) => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

test("every part has one box within the drawing, and no two boxes overlap, loops and loose ends included", () => {
  for (let seed = 1; seed <= 300; seed += 1) {
    const map = drawn(seed, seed % 2 === 0);
    const { boxes, width, height } = layout(map);

    assert.deepEqual(boxes.map(({ part }) => part.id).sort(), map.parts.map(({ id }) => id).sort());
    boxes.forEach((box, i) => {
      assert.ok(box.x >= 0 && box.y >= 0 && box.x + box.width <= width && box.y + box.height <= height, `seed ${seed}`);
      assert.ok(box.width >= 200);
      for (const other of boxes.slice(i + 1))
        assert.ok(!overlap(box, other), `seed ${seed}: ${box.part.id} ${other.part.id}`);
    });
  }
});

test("boxes of any height do not overlap, and what comes in is named between a box and the one above", () => {
  for (let seed = 1; seed <= 100; seed += 1) {
    const lot = lots(seed);
    const { boxes, lines } = layout(drawn(seed, seed % 2 === 0), () => 30 + lot(100));

    for (const [i, { y }] of boxes.slice(1).entries()) assert.ok(y > boxes[i].y + boxes[i].height, `seed ${seed}`);
    for (const {
      label: [, y],
    } of lines)
      assert.ok(
        boxes.every((box) => y < box.y || y - 13 > box.y + box.height),
        `seed ${seed}`,
      );
  }
});

test("parts in one string stand in line, and only a fork goes further in", () => {
  const part = (id) => ({ id, kind: "junction" });
  const { boxes } = layout({
    parts: ["a", "b", "c", "d"].map(part),
    runs: [
      { from: "a", to: "b" },
      { from: "b", to: "c" },
      { from: "b", to: "d" },
    ],
  });
  const [a, b, c, d] = boxes.map(({ x }) => x);

  assert.ok(a === b && b < c && c === d);
});

test("every run between known parts has one line that begins at its one box and ends at its other", () => {
  for (let seed = 1; seed <= 200; seed += 1) {
    const map = drawn(seed, true);
    const known = new Set(map.parts.map(({ id }) => id));
    const { boxes, lines } = layout(map);
    const box = (id) => boxes.find(({ part }) => part.id === id);
    const wanted = map.runs.map((run, i) => [run, i]).filter(([{ from, to }]) => known.has(from) && known.has(to));

    assert.deepEqual(
      lines.map(({ run }) => run),
      wanted.map(([, i]) => i),
    );
    for (const { run, points } of lines) {
      const [start, end] = [points[0], points.at(-1)];
      assert.ok(
        touches(start, box(map.runs[run].from)) && touches(end, box(map.runs[run].to)),
        `seed ${seed} run ${run}`,
      );
    }
  }
});

const touches = ([x, y], box) => x >= box.x && x <= box.x + box.width && y >= box.y && y <= box.y + box.height;

test("in a tree no line of one trunk crosses a box or another trunk", () => {
  for (let seed = 1; seed <= 200; seed += 1) {
    const { boxes, lines } = layout(drawn(seed));
    const segments = lines.flatMap(({ run, side, points }) =>
      points.slice(1).map((end, i) => ({ run, side, from: points[i], to: end })),
    );

    for (const { from, to, run } of segments)
      for (const box of boxes)
        assert.ok(!isThrough(from, to, box), `seed ${seed}: run ${run} goes through ${box.part.id}`);
    const upright = segments.filter(({ from, to }) => from[0] === to[0]);
    const level = segments.filter(({ from, to }) => from[1] === to[1]);
    for (const a of upright)
      for (const b of level)
        if (a.side !== b.side) assert.ok(!crosses(a, b), `seed ${seed}: runs ${a.run} and ${b.run}`);
  }
});

/** Inside a box, its edge not counted. */
function isThrough([x1, y1], [x2, y2], box) {
  return (
    Math.min(x1, x2) < box.x + box.width &&
    Math.max(x1, x2) > box.x &&
    Math.min(y1, y2) < box.y + box.height &&
    Math.max(y1, y2) > box.y
  );
}

function crosses({ from: [x, y1], to: [, y2] }, { from: [x1, y], to: [x2] }) {
  return x > Math.min(x1, x2) && x < Math.max(x1, x2) && y > Math.min(y1, y2) && y < Math.max(y1, y2);
}

test("a second feed goes round the boxes in a gutter of its own", () => {
  const part = (id) => ({ id, kind: "junction" });
  const { boxes, lines, width } = layout({
    parts: ["inlet", "station", "j", "r"].map(part),
    runs: [
      { from: "inlet", to: "j" },
      { from: "j", to: "r" },
      { from: "station", to: "j" },
    ],
  });

  assert.deepEqual(
    lines.map(({ isSecond }) => isSecond),
    [false, false, true],
  );
  const edge = Math.max(...boxes.map(({ x, width: wide }) => x + wide));
  const [, out, back] = lines[2].points;
  assert.ok(out[0] > edge && back[0] > edge && out[0] < width);
});

test("a string of five hundred parts is laid out too", () => {
  const parts = Array.from({ length: 500 }, (_, i) => ({ id: `p${i}`, kind: "junction" }));
  const runs = parts.slice(1).map((_, i) => ({ from: `p${i}`, to: `p${i + 1}` }));

  assert.equal(layout({ parts, runs }).boxes.length, 500);
});

test("the words of a wire may take several lines, and no two wires' words stand in one line", () => {
  const parts = ["a", "b", "c"].map((id) => ({ id, kind: "junction" }));
  const runs = [
    { from: "a", to: "c" },
    { from: "b", to: "c" },
  ];
  const counts = [3, 2];
  const { boxes, lines } = layout(
    { parts, runs },
    () => 40,
    (run) => counts[run],
  );

  const taken = lines
    .flatMap(({ run, label: [, y] }) => Array.from({ length: counts[run] }, (_, i) => y + i * LABEL))
    .sort((one, two) => one - two);
  const at = boxes.findIndex(({ part }) => part.id === "c");
  const [above, box] = [boxes[at - 1], boxes[at]];
  assert.ok(
    taken.every((y, i) => !i || y - taken[i - 1] === LABEL),
    String(taken),
  );
  assert.ok(taken[0] > above.y + above.height && taken.at(-1) < box.y, String(taken));
});

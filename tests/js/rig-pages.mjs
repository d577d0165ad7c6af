// Answers what the phone's pages of one rig a line say, told by its records: the map, and the story of each outlet.
//   node tests/js/rig-pages.mjs < lines
import { readFileSync } from "node:fs";

import { rigDrawing } from "../../static/js/rig/drawing.js";
import { contradictionList, drawingWords, stopList, unguardedList } from "../../static/js/rig/drawing-words.js";
import { judgedMap } from "../../static/js/rig/judged.js";
import { rigsOf } from "../../static/js/rig/rig-of.js";
import { storyMarkup, storyOf } from "../../static/js/rig/story.js";
import { namesOf } from "../../static/js/rig/words.js";

const BY = { rules: null, wordOf: (verdict) => verdict, ohmsOf: () => null };

function answer(records) {
  const rows = records.map((record, at) => ({ id: record.id, seq: at + 1, record }));
  const [rig] = rigsOf(rows);
  const { map, modes, contradictions } = judgedMap(rig);
  const names = namesOf(map);
  const maps = Object.entries(modes).flatMap(([mode, found]) => {
    const known = {
      ...found,
      names,
      without: map.modes[mode]?.without ?? [],
      contradictions: contradictions.filter((each) => each.mode === mode),
    };
    const stops = stopList([[mode, found.stops]], names);
    const parts = [stops, contradictionList(known.contradictions, names, rig.id), unguardedList(map, known, rig.id)];
    return [...parts, drawingWords(map, known, rig.id), rigDrawing(map, known)].map(({ text }) => text);
  });
  return { map: maps.join("\n"), stories: rig.outlets.map(({ id }) => storyMarkup(storyOf(rows, id, null), BY).text) };
}

const lines = readFileSync(0, "utf8")
  .split("\n")
  .filter((line) => line !== "");
process.stdout.write(lines.map((line) => `${JSON.stringify(answer(JSON.parse(line)))}\n`).join(""));

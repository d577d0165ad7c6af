// The tables of a plan, read as fieldlog/tables.py reads them.
import { readFileSync } from "node:fs";

const FILES = ["limits/conductors", "limits/supply", "facts/ampacity", "facts/planning"];
const read = (name) => JSON.parse(readFileSync(new URL(`../../schemas/${name}.json`, import.meta.url), "utf8")).entries;

export const TABLES = Object.fromEntries(
  FILES.flatMap(read).map((entry) => [entry.id, { level: "", says: "", do: "", known: "", ...entry }]),
);

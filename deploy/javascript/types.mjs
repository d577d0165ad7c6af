// Checks the scripts by the types in their comments. Each folder has a number of errors that may only fall.
//   types.mjs           all folders, held against errors-left.json
//   types.mjs FOLDER…   every error of these folders
import { readFileSync } from "node:fs";
import { join, relative, sep } from "node:path";
import ts from "typescript";
import { differing, NOTED } from "./counted.mjs";
import { staleShapes } from "./shapes.mjs";

const ROOT = join(import.meta.dirname, "../..");
/** Which configuration a folder is held to, and the others. */
const OWN = { engine: "tsconfig.engine.json", "sw.js": "tsconfig.worker.json", "sw-off.js": "tsconfig.worker.json" };
const OTHERS = "tsconfig.json";
const MOST_SHOWN = 20;
const ELSEWHERE = "elsewhere";
const HOST = { getCanonicalFileName: (name) => name, getCurrentDirectory: () => ROOT, getNewLine: () => "\n" };

/** Gives the errors in what is held to a configuration; what another one brings in besides is held to its own. */
function errorsOf(project) {
  const read = ts.getParsedCommandLineOfConfigFile(join(import.meta.dirname, project), undefined, {
    ...ts.sys,
    onUnRecoverableConfigFileDiagnostic: (error) => {
      throw new Error(ts.formatDiagnostic(error, HOST));
    },
  });
  const program = ts.createProgram(read.fileNames, read.options);
  return [...read.errors, ...ts.getPreEmitDiagnostics(program)].filter(
    (error) => folderOf(error) === ELSEWHERE || (OWN[folderOf(error)] ?? OTHERS) === project,
  );
}

/** The folder under static/js, or the script that lies in none; what else is wrong has no number. */
function folderOf({ file }) {
  const parts = relative(ROOT, file?.fileName ?? "").split(sep);
  if (parts[0] !== "static") return ELSEWHERE;
  return parts[1] === "js" ? parts[2] : parts[1];
}

const errors = Map.groupBy([OTHERS, ...new Set(Object.values(OWN))].flatMap(errorsOf), folderOf);
const asked = process.argv.slice(2);
if (asked.length) {
  const listed = asked.flatMap((folder) => errors.get(folder) ?? []);
  process.stdout.write(ts.formatDiagnostics(listed, HOST));
  console.log(`${listed.length} errors`);
} else {
  const noted = JSON.parse(readFileSync(join(ROOT, NOTED), "utf8"));
  const found = Object.fromEntries([...errors].map(([folder, each]) => [folder, each.length]));
  const wrong = differing(found, noted);
  for (const { folder, sentence } of wrong) {
    const shown = noted[folder] ? [] : (errors.get(folder) ?? []).slice(0, MOST_SHOWN);
    process.stdout.write(ts.formatDiagnostics(shown, HOST));
    console.log(sentence);
  }
  const stale = await staleShapes();
  for (const name of stale)
    console.log(`${name} is not what its schema gives. Run \`node deploy/javascript/shapes.mjs\` and commit it.`);
  console.log(`${[...errors.values()].flat().length} type errors are left in the scripts.`);
  process.exitCode = wrong.length || stale.length ? 1 : 0;
}

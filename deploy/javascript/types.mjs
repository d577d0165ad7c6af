// Checks the scripts by the types in their comments. Each folder has a number of errors that may only fall.
//   types.mjs           all folders, held against errors-left.json
//   types.mjs FOLDER…   every error of these folders
import { readFileSync } from "node:fs";
import { join, relative, sep } from "node:path";
import ts from "typescript";
import { staleShapes } from "./shapes.mjs";

const ROOT = join(import.meta.dirname, "../..");
const NOTED = "deploy/javascript/errors-left.json";
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

function sentenceOn(folder, found, noted) {
  if (found > noted)
    return (
      `${folder}: ${found} type errors, and ${noted} are allowed. Mend what was added; ` +
      `\`node deploy/javascript/types.mjs ${folder}\` lists them all.`
    );
  return (
    `${folder}: ${found} type errors are left of ${noted}. ` +
    `Write ${found} into ${NOTED}, so that they never become more again.`
  );
}

const errors = Map.groupBy([OTHERS, ...new Set(Object.values(OWN))].flatMap(errorsOf), folderOf);
const asked = process.argv.slice(2);
if (asked.length) {
  const listed = asked.flatMap((folder) => errors.get(folder) ?? []);
  process.stdout.write(ts.formatDiagnostics(listed, HOST));
  console.log(`${listed.length} errors`);
} else {
  const noted = JSON.parse(readFileSync(join(ROOT, NOTED), "utf8"));
  const differing = [...new Set([...Object.keys(noted), ...errors.keys()])].filter(
    (folder) => (errors.get(folder)?.length ?? 0) !== (noted[folder] ?? 0),
  );
  for (const folder of differing) {
    const found = errors.get(folder) ?? [];
    if (!noted[folder]) process.stdout.write(ts.formatDiagnostics(found.slice(0, MOST_SHOWN), HOST));
    console.log(sentenceOn(folder, found.length, noted[folder] ?? 0));
  }
  const stale = await staleShapes();
  for (const name of stale)
    console.log(`${name} is not what its schema gives. Run \`node deploy/javascript/shapes.mjs\` and commit it.`);
  console.log(`${[...errors.values()].flat().length} type errors are left in the scripts.`);
  process.exitCode = differing.length || stale.length ? 1 : 0;
}

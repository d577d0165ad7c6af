// Checks the scripts by the types in their comments, and whether what is made from the schemas is as they give it.
import { join, relative, sep } from "node:path";
import ts from "typescript";
import { staleElements } from "./elements.mjs";
import { staleKinds } from "./kinds.mjs";
import { staleLimits } from "./limits.mjs";
import { staleShapes } from "./shapes.mjs";
import { staleShown } from "./shown.mjs";

const ROOT = join(import.meta.dirname, "../..");
/** Which configuration a folder is held to, and the others. */
const OWN = { engine: "tsconfig.engine.json", "sw.js": "tsconfig.worker.json", "sw-off.js": "tsconfig.worker.json" };
const OTHERS = "tsconfig.json";
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

/** The folder under static/js, or the script that lies in none; what else is wrong counts in each configuration. */
function folderOf({ file }) {
  const parts = relative(ROOT, file?.fileName ?? "").split(sep);
  if (parts[0] !== "static") return ELSEWHERE;
  return parts[1] === "js" ? parts[2] : parts[1];
}

const errors = [OTHERS, ...new Set(Object.values(OWN))].flatMap(errorsOf);
process.stdout.write(ts.formatDiagnostics(errors, HOST));
const stale = [
  ...(await staleShapes()).map((name) => [name, "shapes.mjs"]),
  ...(await staleKinds()).map((name) => [name, "kinds.mjs"]),
  ...(await staleLimits()).map((name) => [name, "limits.mjs"]),
  ...(await staleElements()).map((name) => [name, "elements.mjs"]),
  ...(await staleShown()).map((name) => [name, "shown.mjs"]),
];
for (const [name, by] of stale)
  console.log(`${name} is not what it is made from gives. Run \`node deploy/javascript/${by}\` and commit it.`);
console.log(`${errors.length} type errors in the scripts.`);
process.exitCode = errors.length || stale.length ? 1 : 0;

// Joins the modules and the sheets of static/ for fieldlog/joining.py: joined.mjs STATIC INTO NAME…
// Every NAME under STATIC becomes a file of that name under INTO. What several scripts share becomes files of its
// own; the small ones among these are put together, since a phone waits longer for a file than for a kilobyte.
import { mkdir, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { build, transform } from "esbuild";
import { rollup } from "rollup";

/** The least bytes of a shared file, unpacked, where no page gets what it does not need beyond these. */
const LEAST_BYTES = 2500;
/** Pages hardly opened: each brings all it needs in its own file, so that it cuts up none that other pages share. */
const APART = ["js/pages/trial.js"];
const SHORT = { minify: true, target: "es2022", charset: "utf8", legalComments: "none" };

const [from, into, ...names] = process.argv.slice(2);
const scripts = names.filter((name) => name.endsWith(".js"));
const sheets = names.filter((name) => name.endsWith(".css"));

/** Nothing may be left out or guessed: what it warns of ends the joining. */
function refuseWarnings(level, { message, loc }) {
  if (level === "warn") throw new Error(loc ? `${loc.file}:${loc.line}: ${message}` : message);
}

/** @param {string[]} group of scripts that share what several of them need */
async function joinScripts(group) {
  const shortened = { renderChunk: async (code) => (await transform(code, { ...SHORT, format: "esm" })).code };
  const bundle = await rollup({
    input: Object.fromEntries(group.map((name) => [name.slice(0, -".js".length), join(from, name)])),
    onLog: refuseWarnings,
  });
  const { output } = await bundle.generate({
    format: "es",
    experimentalMinChunkSize: LEAST_BYTES,
    entryFileNames: "[name].js",
    chunkFileNames: "js/[name]-[hash].js",
    plugins: [shortened],
  });
  for (const { fileName, code } of output) {
    const path = join(into, fileName);
    await mkdir(dirname(path), { recursive: true });
    await writeFile(path, code);
  }
}

async function joinSheets() {
  const options = { ...SHORT, absWorkingDir: from, entryPoints: sheets, outbase: from, outdir: into };
  await build({ ...options, bundle: true, logLevel: "silent" });
}

try {
  await joinScripts(scripts.filter((name) => !APART.includes(name)));
  for (const name of scripts.filter((each) => APART.includes(each))) await joinScripts([name]);
  await joinSheets();
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}

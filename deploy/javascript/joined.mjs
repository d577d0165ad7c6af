// Joins the modules and the sheets of static/ for fieldlog/joining.py: joined.mjs STATIC INTO NAME…
// Every NAME under STATIC becomes a file of that name under INTO. What several scripts share becomes files of its
// own; the small ones among these are put together, since a phone waits longer for a file than for a kilobyte.
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { build, transform } from "esbuild";
import { rollup } from "rollup";

/** The least bytes of a shared file, unpacked, where no page gets what it does not need beyond these. */
const LEAST_BYTES = 2500;
/**
 * How the script of a page hardly opened begins: it brings all it needs in its own file, so that it cuts up none that
 * other pages share.
 */
const APART = "// Apart: ";
/**
 * How a small module begins that is only imported later: put together with the script that wants it, as small ones are,
 * it would bring all that it needs with the first screen.
 */
const LATER = "// Later: ";
const SHORT = { minify: true, target: "es2022", charset: "utf8", legalComments: "none" };

const [from, into, ...names] = process.argv.slice(2);
const scripts = names.filter((name) => name.endsWith(".js"));
const sheets = names.filter((name) => name.endsWith(".css"));

/** Markup may be broken and indented as it reads best; one blank stands for that on a phone. */
function withoutIndents(code) {
  const found = [];
  const look = (node) => {
    if (!node || typeof node !== "object") return;
    if (node.type === "TaggedTemplateExpression") found.push(...node.quasi.quasis);
    for (const each of Object.values(node)) if (typeof each === "object") look(each);
  };
  look(this.parse(code));
  const pieces = found.sort((a, b) => b.start - a.start);
  return pieces.reduce(
    (text, { start, end }) => text.slice(0, start) + text.slice(start, end).replace(/\s*\n\s*/g, " ") + text.slice(end),
    code,
  );
}

/** Nothing may be left out or guessed: what it warns of ends the joining. */
function refuseWarnings(level, { message, loc }) {
  if (level === "warn") throw new Error(loc ? `${loc.file}:${loc.line}: ${message}` : message);
}

/** Such a module is a file of its own, however small. */
function ofItsOwn(id, { getModuleInfo }) {
  return getModuleInfo(id).code.startsWith(LATER) ? basename(id, ".js") : null;
}

/** @param {string[]} group of scripts that share what several of them need */
async function joinScripts(group) {
  const shortened = {
    async renderChunk(code) {
      return (await transform(withoutIndents.call(this, code), { ...SHORT, format: "esm" })).code;
    },
  };
  const bundle = await rollup({
    input: Object.fromEntries(group.map((name) => [name.slice(0, -".js".length), join(from, name)])),
    onLog: refuseWarnings,
  });
  const { output } = await bundle.generate({
    format: "es",
    experimentalMinChunkSize: LEAST_BYTES,
    manualChunks: ofItsOwn,
    onlyExplicitManualChunks: true,
    entryFileNames: "[name].js",
    // Every page and every script names them: a name beside it would take 2 kB of what a phone keeps.
    chunkFileNames: "js/[hash:6].js",
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
  const begun = await Promise.all(scripts.map((name) => readFile(join(from, name), "utf8")));
  const apart = scripts.filter((_, i) => begun[i].startsWith(APART));
  await joinScripts(scripts.filter((name) => !apart.includes(name)));
  for (const name of apart) await joinScripts([name]);
  await joinSheets();
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}

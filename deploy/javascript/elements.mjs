// Makes elements.d.ts, which tells querySelector and the like what a custom element is, from the scripts that define
// them: main.js and those of the pages. Run by hand; the step types compares.
import { readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";

const JS = join(import.meta.dirname, "../../static/js");
const FILE = join(import.meta.dirname, "elements.d.ts");
const BANNER = "// Made from the scripts of the pages by deploy/javascript/elements.mjs; not edited by hand.";
const IMPORTED = /import { ([^}]*) } from "\.{1,2}\/([^"]+)";|import\("\.\.\/([^"]+)"\)\)\.(\w+)/g;
const DEFINED = /customElements\.define\(\s*"([a-z-]+)",\s*([^;]+)\)/g;

async function textOfElements() {
  const pages = (await readdir(join(JS, "pages"))).map((name) => `pages/${name}`);
  const scripts = await Promise.all(["main.js", ...pages.sort()].map((name) => readFile(join(JS, name), "utf8")));
  const [files, classes] = [new Map(), new Map()];
  for (const script of scripts) {
    for (const [, names = "", file, later, one] of script.matchAll(IMPORTED))
      for (const name of [...names.split(", "), one]) if (name?.startsWith("Fl")) files.set(name, file ?? later);
    for (const [, element, made] of script.matchAll(DEFINED)) classes.set(element, made.match(/\bFl\w+/g));
  }
  const used = new Set([...classes.values()].flat());
  const imports = [...files].filter(([name]) => used.has(name)).sort((one, other) => (one[1] < other[1] ? -1 : 1));
  const members = [...classes].sort().map(([element, made]) => `    "${element}": ${made.join(" | ")};\n`);
  return `${BANNER}
${imports.map(([name, file]) => `import type { ${name} } from "../../static/js/${file}";\n`).join("")}
declare global {
  interface HTMLElementTagNameMap {
${members.join("")}  }
}
`;
}

/** @returns {Promise<string[]>} the file, where it is missing or differs from what the scripts define */
export async function staleElements() {
  const kept = await readFile(FILE, "utf8").catch(() => null);
  return kept === (await textOfElements()) ? [] : ["deploy/javascript/elements.d.ts"];
}

if (process.argv[1] === import.meta.filename) await writeFile(FILE, await textOfElements());

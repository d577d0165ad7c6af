// Makes the one file that verifies a signed record: verifier.mjs ROOT prints it. Nothing in it is fetched, and its
// policy lets nothing in it fetch.
import { createHash } from "node:crypto";
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { build } from "esbuild";

const [root] = process.argv.slice(2);
const read = (...path) => readFile(join(root, ...path), "utf8");
const policyHash = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
// What stands in a script element ends at "</" and at nothing else.
const within = (text) => text.replaceAll("</", "<\\/");

async function script() {
  const { outputFiles } = await build({
    entryPoints: [join(root, "static/js/verify/page.js")],
    bundle: true,
    minify: true,
    format: "esm",
    target: "es2022",
    charset: "utf8",
    legalComments: "none",
    logLevel: "silent",
    write: false,
  });
  return within(outputFiles[0].text.trim());
}

async function data() {
  const { words } = JSON.parse(await read("schemas/verifying.json"));
  const { $schema, ...schema } = JSON.parse(await read("schemas/bundle.schema.json"));
  const files = (await readdir(join(root, "schemas/book/kinds"))).sort();
  const kinds = await Promise.all(files.map(async (file) => JSON.parse(await read("schemas/book/kinds", file))));
  const names = Object.fromEntries(kinds.map(({ id, name }) => [id, name]));
  const { entries: asked } = JSON.parse(await read("schemas/facts/buyer.json"));
  return within(JSON.stringify({ schema, words, kinds: names, asked }));
}

const page = await read("fieldlog/web/verify/page.html");
const [code, facts] = await Promise.all([script(), data()]);
const style = /<style>([\s\S]*?)<\/style>/.exec(page)[1];
const policy = [
  "default-src 'none'",
  `script-src ${policyHash(code)}`,
  `style-src ${policyHash(style)}`,
  "base-uri 'none'",
  "form-action 'none'",
].join("; ");
const parts = { POLICY: policy, DATA: facts, SCRIPT: code };
process.stdout.write(page.replace(/\b(?:POLICY|DATA|SCRIPT)\b/g, (name) => parts[name]));

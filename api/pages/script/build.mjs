// Bundles the scripts of the pages into ../assets. With --check nothing is
// written: it fails where a file there is not what these sources make.
import { build } from "esbuild";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
/** The scripts, by what they are made of. */
const bundles = { "src/main.ts": "../assets/page.js", "src/bench.ts": "../assets/bench.js", "src/worker.ts": "../assets/worker.js", "src/find.ts": "../assets/find.js", "src/copy.ts": "../assets/copy.js", "src/import.ts": "../assets/import.js", "src/judging.ts": "../assets/judging.js" };

/** The licences of the packages in the bundle, as they ask: each text once, with its copyrights. */
function licences(inputs) {
  const packages = new Set();
  for (const input of Object.keys(inputs)) {
    const found = /^node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(input);
    if (found) packages.add(found[1]);
  }
  const copyrightsOf = new Map();
  for (const name of [...packages].sort()) {
    const lines = readFileSync(join(here, "node_modules", name, "LICENSE"), "utf8").trim().split("\n");
    const isCopyright = (line) => line.startsWith("Copyright");
    const text = lines.filter((line) => !isCopyright(line)).join("\n").trim();
    const copyrights = copyrightsOf.get(text) ?? [];
    copyrights.push(`${name}: ${lines.filter(isCopyright).join(" ")}`);
    copyrightsOf.set(text, copyrights);
  }
  return [...copyrightsOf].map(([text, copyrights]) => `/*\n${copyrights.join("\n")}\n\n${text}\n*/\n`).join("");
}

async function made(source) {
  const result = await build({
    absWorkingDir: here,
    entryPoints: [source],
    bundle: true,
    write: false,
    metafile: true,
    minify: true,
    format: "iife",
    target: "es2022",
    charset: "utf8",
    legalComments: "none",
    logLevel: "warning",
  });
  const [output] = Object.values(result.metafile.outputs);
  return licences(output.inputs) + result.outputFiles[0].text;
}

for (const [source, into] of Object.entries(bundles)) {
  const text = await made(source);
  const bundle = join(here, into);
  const name = relative(process.cwd(), bundle);
  if (!process.argv.includes("--check")) {
    writeFileSync(bundle, text);
    console.log(`${name}: ${Buffer.byteLength(text)} bytes`);
  } else if (existsSync(bundle) && readFileSync(bundle, "utf8") === text) {
    console.log(`${name} is what its sources make.`);
  } else {
    console.error(`${name} is not what its sources make. Run 'npm run build' and commit it.`);
    process.exitCode = 1;
  }
}

// Bundles the tests, which are in TypeScript, and runs them with node's own
// runner.
import { build } from "esbuild";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const tests = readdirSync(here).filter((name) => name.endsWith(".test.ts")).sort();
const into = mkdtempSync(join(tmpdir(), "page-script-"));
try {
  await build({
    entryPoints: tests.map((name) => join(here, name)),
    bundle: true,
    outdir: into,
    outExtension: { ".js": ".mjs" },
    platform: "node",
    format: "esm",
    target: "node18",
    logLevel: "warning",
  });
  const files = tests.map((name) => join(into, name.replace(/\.ts$/, ".mjs")));
  const run = spawnSync(process.execPath, ["--test", ...files], { cwd: here, stdio: "inherit" });
  process.exitCode = run.status ?? 1;
} finally {
  rmSync(into, { recursive: true, force: true });
}

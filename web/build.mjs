// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Builds the page into dist/, or with --tests the unit tests into build-tests/.
import { build, context } from "esbuild";
import { cpSync, mkdirSync, readdirSync, rmSync } from "node:fs";

const common = { bundle: true, target: ["es2020"], charset: "utf8", legalComments: "none", logLevel: "info" };

async function buildTests() {
  rmSync("build-tests", { recursive: true, force: true });
  await build({
    ...common,
    entryPoints: readdirSync("test")
      .filter((f) => f.endsWith(".test.ts"))
      .map((f) => `test/${f}`),
    outdir: "build-tests",
    outExtension: { ".js": ".mjs" },
    platform: "node",
    format: "esm",
    logLevel: "warning",
  });
}

async function buildPage(watch) {
  rmSync("dist", { recursive: true, force: true });
  mkdirSync("dist/assets", { recursive: true });
  cpSync("src/index.html", "dist/index.html");
  cpSync("src/icon.svg", "dist/assets/icon.svg");
  cpSync("node_modules/@fontsource/source-sans-3/LICENSE", "dist/assets/source-sans-3-licence.txt");
  const options = {
    ...common,
    entryPoints: { page: "src/main.tsx" },
    outdir: "dist/assets",
    format: "esm",
    jsx: "automatic",
    jsxImportSource: "preact",
    minify: !watch,
    loader: { ".woff2": "file", ".woff": "empty" },
    assetNames: "[name]",
    entryNames: "[name]",
  };
  if (watch) {
    const watching = await context(options);
    await watching.watch();
  } else {
    await build(options);
  }
}

if (process.argv.includes("--tests")) {
  await buildTests();
} else {
  await buildPage(process.argv.includes("--watch"));
}

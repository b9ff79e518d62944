import { openBrowser } from "./browser.ts";
import { startStation } from "./station-process.ts";
import { readFileSync } from "node:fs";
const station = await startStation();
const browser = await openBrowser();
try {
  const tight = readFileSync("/tmp/plan/tight2.yaml", "utf8");
  const r = await fetch(`${station.address}/api/jobs`, {
    method: "POST",
    headers: { "content-type": "text/plain" },
    body: tight,
  });
  console.log(r.status, (await r.text()).slice(0, 200));
  const jobs = (await (await fetch(`${station.address}/api/jobs`)).json()) as { job: string; stage: string }[];
  console.log(jobs.map((j) => `${j.job} ${j.stage}`).join("\n"));
  for (const [name, job] of [
    ["bath", "CV-2611-002"],
    ["trans", "CV-2611-003"],
    ["tight", "CV-2611-0099"],
  ] as const) {
    for (const viewport of [
      { width: 1280, height: 800 },
      { width: 820, height: 1180 },
    ]) {
      for (const colorScheme of ["light", "dark"] as const) {
        if (colorScheme === "dark" && name !== "bath") continue;
        const page = await browser.newPage({ viewport, colorScheme, reducedMotion: "reduce" });
        page.on("pageerror", (e) => console.log("ERR", e.message));
        page.on("console", (m) => {
          if (m.type() === "error") console.log("CON", m.text());
        });
        await page.goto(`${station.address}/jobs/${job}?stage=plan`, { waitUntil: "domcontentloaded" });
        await page.getByRole("heading", { name: "Kit", exact: true }).waitFor();
        await page.getByRole("button", { name: "Compare with other kits" }).click();
        await page.waitForTimeout(1500);
        await page.screenshot({ path: `/tmp/plan/${name}-${viewport.width}-${colorScheme}.png`, fullPage: true });
        if (name === "bath" && viewport.width === 820 && colorScheme === "dark") {
          await page.getByRole("button", { name: "Use this order" }).click();
          await page.getByText("No order that the procedure allows").waitFor();
          await page.screenshot({ path: `/tmp/plan/used.png` });
        }
        await page.close();
      }
    }
  }
} finally {
  await browser.close();
  await station.stop();
}

import { accessSync, constants } from "node:fs";
import { delimiter, join } from "node:path";

const names = ["google-chrome", "google-chrome-stable", "chromium", "chromium-browser", "chrome"];
const elsewhere = [
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
];

const runs = (path) => {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch (refusal) {
    if (refusal instanceof Error) return false;
    throw refusal;
  }
};

/** The Chrome or Chromium of this machine: CHROMIUM_PATH first, then the search path, then the usual places. */
export const findChromium = () => {
  const named = process.env.CHROMIUM_PATH;
  if (named) return runs(named) ? named : undefined;
  const onPath = (process.env.PATH ?? "").split(delimiter).flatMap((folder) => names.map((name) => join(folder, name)));
  return [...onPath, ...elsewhere].find(runs);
};

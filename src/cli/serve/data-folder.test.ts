import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { chooseDataFolder } from "./data-folder.ts";
import { hasDesktop } from "./open-browser.ts";

const choose = (word: string | undefined, demo: boolean, environment: Record<string, string>) =>
  chooseDataFolder({ word, demo, environment, home: "/opt/dwellpoint", platform: "linux" });

describe("the data folder", () => {
  it.each([
    ["/a", true, { DWELLPOINT_DATA: "/b" }, "/a"],
    [undefined, true, { DWELLPOINT_DATA: "/b" }, "/b"],
    [undefined, true, {}, join("/opt/dwellpoint", "data", "demo")],
    [undefined, false, { XDG_DATA_HOME: "/c" }, join("/c", "dwellpoint")],
  ] as const)("%s, demo %s, %o: %s", (word, demo, environment, expected) => {
    expect(choose(word, demo, environment)).toBe(expected);
  });

  it("is never the demo's folder for real work", () => {
    expect(choose(undefined, false, {})).not.toContain("demo");
  });
});

describe("whether there is a desktop", () => {
  it.each([
    [{ DISPLAY: ":0" }, "linux", true],
    [{ WAYLAND_DISPLAY: "wayland-0" }, "linux", true],
    [{}, "linux", false],
    [{}, "darwin", true],
    [{ CI: "true" }, "darwin", false],
    [{ CI: "true", DISPLAY: ":0" }, "linux", false],
    [{ CI: "false", DISPLAY: ":0" }, "linux", true],
  ] as const)("%o on %s: %s", (environment, platform, expected) => {
    expect(hasDesktop(environment, platform)).toBe(expected);
  });
});

import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { logView } from "../log/log-view.ts";
import { contributionNames } from "./item-lines.ts";
import { gatherPoint } from "./gather-point.ts";
import { inventedJob, InventedRun, thermocouple } from "./invented-run.test-support.ts";
import { sharedInput, sharedOf } from "./shared-input.ts";

const dataOf = (item = thermocouple) => {
  const job = inventedJob({ items: [item] });
  const view = logView(new InventedRun(job).begin().measure({ point: 1 }).events);
  const place = { item: job.items[0]!, pass: "as-found" as const, point: 1 };
  return unwrap(gatherPoint(view, place, view.history("as-found", 1)));
};
const data = dataOf();

describe("the name of the quantity behind a line [C37]", () => {
  it.each([
    ["reference.calibration", "reference:demo-ref/1/calibration"],
    ["reference.drift", "reference:demo-ref/1/drift"],
    ["reference.interpolation", "reference:demo-ref/1/interpolation"],
    ["reference.self-heating", "reference:demo-ref/1/self-heating"],
    ["reference.readout", "readout:demo-readout/1/reference/Ω/400"],
    ["item.readout", "readout:demo-readout/1/item-1/mV/80"],
    ["source.axial", "source:demo-block/1/axial/demo-0001"],
    ["source.radial", "source:demo-block/1/radial/demo-0001"],
    ["source.loading", "source:demo-block/1/loading/demo-0001"],
    ["item.junction", "junction:demo-run/junction"],
  ])("of %s is %s", (id, name) => {
    expect(sharedInput(data, id)).toBe(name);
    expect(sharedOf(data, id)).toEqual({ shared: name });
  });

  it("is the item's own for what is declared of it, but for hysteresis", () => {
    for (const [id] of Object.values(contributionNames))
      expect(sharedInput(data, id)).toBe(
        id === "item.hysteresis" ? undefined : `item:demo-0001/${id.slice("item.".length)}`,
      );
  });

  it.each([
    "reference.resolution",
    "reference.check",
    "source.stability",
    "settling.remainder",
    "item.repeatability",
    "item.resolution",
  ])("is none for %s, which is the point's own", (id) => {
    expect(sharedInput(data, id)).toBeUndefined();
    expect("shared" in sharedOf(data, id)).toBe(false);
  });

  it("is none for a reading that no row of the readout reaches", () => {
    expect(sharedInput({ ...data, signal: 81 }, "item.readout")).toBeUndefined();
    expect(sharedInput({ ...data, signal: -80 }, "item.readout")).toBe("readout:demo-readout/1/item-1/mV/80");
  });

  it("is the ice point's where the junction is in ice", () => {
    expect(sharedInput(dataOf({ ...thermocouple, coldJunction: { kind: "ice-point" } }), "item.junction")).toBe(
      "junction:demo-run/ice-point",
    );
  });
});

import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { ask } from "./ask.test-support.ts";
import { diagnose } from "./diagnose.ts";

const home = new URL("../../../", import.meta.url).pathname;
const log = join(home, "test/fixtures/uncertainty/worked-run.jsonl");

describe("diagnose LOG", () => {
  it("prints one line of JSON: item, pass, verdict, probability that nothing is wrong", async () => {
    const { code, text } = await ask(diagnose, "", [log]);
    expect(code).toBe(0);
    const answer = JSON.parse(text) as { format: string; run: string; items: { verdict: string; healthy: number }[] };
    expect(answer).toMatchObject({
      format: "dwellpoint-diagnosis/1",
      items: [{ verdict: "nothing", pass: "as-found" }],
    });
    expect(answer.items[0]!.healthy).toBeGreaterThan(0.9);
    expect(text.trimEnd()).not.toContain("\n");
  });

  it("says it in sentences where that is asked for", async () => {
    const { text } = await ask(diagnose, "", [log, "--text"]);
    expect(text).toBe("as found: Nothing but an ordinary error of calibration is seen in TT-101 (more than 99 %).\n");
  });

  it.each([
    [[], "usage.wrong", /one log file/],
    [[log, log], "usage.wrong", /one log file/],
    [[log, "--aloud"], "usage.wrong", /aloud/],
    [["no-such-log.jsonl"], "input.invalid", /ENOENT/],
  ])("%j is %s", async (words, code, message) => {
    await expect(ask(diagnose, "", words)).rejects.toMatchObject({ code, message: expect.stringMatching(message) });
  });
});

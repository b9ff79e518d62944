import { evaluate } from "#calibration";
import { renderCertificate } from "#certificates";
import { InventedRun, inventedJob, thermocouple } from "../../src/calibration/evaluate/invented-run.test-support.ts";
import type { Row } from "./row.ts";

const temperatures = [0, 50, 100, 200, 300, 400];

/** Three channels at 1 Hz for `hours`, six points, blocks of ten readings as the engine writes them. */
const longRun = (hours: number): InventedRun["events"] => {
  const job = inventedJob({
    items: [thermocouple],
    procedure: { ...inventedJob().procedure, points: temperatures.map((temperature) => ({ temperature })) },
  });
  const run = new InventedRun(job).begin();
  for (let point = 0; point < temperatures.length; point += 1) {
    const end = (point + 1) * ((hours * 3600) / temperatures.length) - 660;
    for (let start = run.at; start < end; start += 10) {
      const times = Array.from({ length: 10 }, (_, index) => start + index + 1);
      run.readings(
        "reference",
        "Ω",
        times,
        times.map((time) => 100 + (time % 7)),
      );
      run.readings(
        "item-1",
        "mV",
        times,
        times.map((time) => (time % 5) / 10),
      );
      run.readings(
        "junction",
        "°C",
        times,
        times.map(() => 23),
      );
    }
    run.measure({ point, noise: 0.003, count: 60, interval: 1 });
  }
  return run.end();
};

const milliseconds = (work: () => unknown, rounds: number): number => {
  const times = Array.from({ length: rounds }, () => {
    const begun = performance.now();
    work();
    return performance.now() - begun;
  });
  return times.toSorted((a, b) => a - b)[Math.floor(rounds / 2)]!;
};

/** Evaluation of a long run, how it grows with the log, and one certificate, warm. No peer: the goals are times. */
export const evaluation = (): readonly Row[] => {
  const three = longRun(3);
  const twelve = longRun(12);
  milliseconds(() => evaluate(three), 10);
  const short = milliseconds(() => evaluate(three), 20);
  const long = milliseconds(() => evaluate(twelve), 20);
  const result = evaluate(three);
  const issued = { number: "BENCH-1", date: "2026-11-25", authorisedBy: "Idris Farrowby (demo)" };
  const certificate = (): unknown => renderCertificate({ log: three, result, issued });
  milliseconds(certificate, 3);
  const peer = "none";
  return [
    {
      name: "evaluate 6 points, 3 channels, 3 h at 1 Hz, warm, median",
      ours: `${short.toFixed(1)} ms`,
      peer,
      ratio: null,
      goal: "20 ms or less",
    },
    {
      name: "the same for 12 h",
      ours: `${long.toFixed(1)} ms`,
      peer: "the 3 h run",
      ratio: long / short,
      goal: "in proportion: about 4",
    },
    {
      name: "one certificate, PDF/A-3 with XML inside, warm, median",
      ours: `${milliseconds(certificate, 15).toFixed(0)} ms`,
      peer,
      ratio: null,
      goal: "60 ms or less",
    },
  ];
};

import type { Result } from "#contract";
import { plain, typeset, typesetError } from "../figures/digits.ts";
import { stopKey } from "./stops.ts";

/** What the result says of each stop of one item, as the certificate will say it. */
export type ReportedErrors = ReadonlyMap<string, string>;

export const reportedErrors = (result: Result | undefined, item: string): ReportedErrors => {
  const found = result?.items.find((entry) => entry.item === item);
  return new Map(
    (found?.passes ?? []).flatMap(({ pass, points, switch: ofSwitch }) => [
      ...(ofSwitch?.sweeps ?? []).map(
        (sweep) =>
          [
            stopKey({ pass, point: sweep.point }),
            sweep.temperature === null
              ? sweep.status.replace("-", " ")
              : `at ${plain(sweep.temperature.value, 2)}\u00a0°C`,
          ] as const,
      ),
      ...points.flatMap((point) =>
        point.status === "measured"
          ? [
              [
                stopKey({ pass, point: point.point }),
                `${typesetError(point.reported.error)} ±\u00a0${typeset(point.reported.U)}\u00a0K`,
              ] as const,
            ]
          : [],
      ),
    ]),
  );
};

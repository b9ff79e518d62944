import type { ItemResult, Job, MeasuredPoint, PassResult, Result } from "#calibration";
import type { CheckInput } from "./check-input.ts";
import { hasFindings } from "./check-switch.ts";
import { english } from "./words/english.ts";
import type { Finding } from "./model.ts";
import { eventsOf, openedRun } from "./opened-run.ts";
import { belowCapability } from "./scope.ts";
import { decimal, plainNumber, withUnit } from "./typeset.ts";

const { passNames } = english.paper;

interface Place {
  readonly item: ItemResult;
  readonly pass: PassResult;
  readonly point: PassResult["points"][number];
}

const placesOf = (result: Result): readonly Place[] =>
  result.items.flatMap((item) => item.passes.flatMap((pass) => pass.points.map((point) => ({ item, pass, point }))));

const nameOf = ({ item, pass, point }: Place): string =>
  `${item.tag}, ${passNames[pass.pass].toLowerCase()}, ${withUnit(decimal(point.nominal), "°C")}`;

const sentence = (text: string): string => (/[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`);

const decimals = (text: string): number => (text.includes(".") ? text.length - text.indexOf(".") - 1 : 0);

const significantDigits = (text: string): number => {
  const digits = text.replace(".", "").replace(/^0+/, "");
  return text.includes(".") ? digits.length : digits.replace(/0+$/, "").length;
};

/** Stops of one measured point: uncertainty, its rounding (ILAC-P14:09/2020), and conformity. */
const pointStops = (place: Place, point: MeasuredPoint): readonly Finding[] => {
  const { reported, budget } = point;
  const U = plainNumber(reported.U);
  const findings: Finding[] = [];
  if (!(budget.U > 0) || !Number.isFinite(budget.U) || !(Number(U) > 0)) {
    return [
      {
        clause: "7.8.4.1 a",
        message: `${nameOf(place)}: the result has no uncertainty. Evaluate the log again; a result without U is not issued.`,
      },
    ];
  }
  if (significantDigits(U) > 2 || decimals(U) !== decimals(plainNumber(reported.error))) {
    findings.push({
      clause: "ILAC-P14",
      message: `${nameOf(place)}: U = ${reported.U} K and error ${reported.error} K are not rounded to the same place with two significant digits of U at most. Evaluate the log again.`,
    });
  }
  if (point.conformity === null && (point.conformityNote ?? "").trim() === "") {
    findings.push({
      clause: "7.8.6.2",
      message: `${nameOf(place)}: there is neither a statement of conformity nor a reason why there is none. Evaluate the log again.`,
    });
  }
  return findings;
};

/** U is never below the laboratory's stated capability (ILAC-P14:09/2020, from memory). */
const capabilityStops = (job: Job, result: Result): readonly Finding[] =>
  belowCapability(job, result).map(({ item, pass, temperature, printed, least }) => ({
    clause: "ILAC-P14",
    message: `${item.tag}, ${passNames[pass].toLowerCase()}, ${withUnit(decimal(temperature), "°C")}: U = ${printed} K is smaller than the capability that the laboratory states there, ${withUnit(decimal(least), "K")}. Look for what the budget lacks; the certificate cannot promise more than the capability.`,
  }));

/** What forbids issue in the results themselves. */
export const measurementStops = ({ log, result }: CheckInput): readonly Finding[] => {
  const { job } = openedRun(log);
  const missing = job.items
    .filter((item) => !result.items.some((candidate) => candidate.item === item.id))
    .map((item) => ({
      clause: "7.8.2.1 m",
      message: `Item ${item.tag} has no result. Measure it, or take it out of the job.`,
    }));
  const empty = result.items
    .filter((item) => !item.passes.some(hasFindings))
    .map((item) => ({
      clause: "7.8.2.1 m",
      message: `Item ${item.tag} was measured at no point. Measure at least one point before a certificate is issued.`,
    }));
  const points = placesOf(result).flatMap((place): readonly Finding[] => {
    const { point } = place;
    if (point.status === "measured") return pointStops(place, point);
    if (point.status !== "flagged") return [];
    return [
      {
        clause: "7.8.2.1 m",
        message: `${nameOf(place)}: the point is flagged: ${sentence(point.reason)} Repeat the point, or skip it with a reason.`,
      },
    ];
  });
  const rules = ["simple", "guard-band", "specific-risk", "g8-non-binary"];
  const rule = rules.includes(job.procedure.decision.kind)
    ? []
    : [
        {
          clause: "7.8.6.1",
          message:
            "The job names no decision rule, so no conformity can be stated. Give procedure.decision in the job.",
        },
      ];
  return [...rule, ...missing, ...empty, ...points, ...capabilityStops(job, result)];
};

const measured = (item: ItemResult, name: PassResult["pass"]): boolean =>
  item.passes.some((pass) => pass.pass === name && hasFindings(pass));

/** Results before and after an adjustment (ISO/IEC 17025:2017, 7.8.4.1 d). */
export const adjustmentStops = ({ log, result }: CheckInput): readonly Finding[] => {
  const adjusted = new Set(
    [...eventsOf(log, "item-adjusted"), ...eventsOf(log, "coefficients-loaded")].map((event) => event.item),
  );
  return result.items
    .filter((item) => item.adjustment !== null || adjusted.has(item.item))
    .flatMap((item): readonly Finding[] => [
      ...(measured(item, "as-found")
        ? []
        : [
            {
              clause: "7.8.4.1 d",
              message: `${item.tag} was adjusted, and there are no results as found. They cannot be made good afterwards: state with the customer how the job is to be closed, without this certificate.`,
            },
          ]),
      ...(measured(item, "as-left")
        ? []
        : [
            {
              clause: "7.8.4.1 d",
              message: `${item.tag} was adjusted, and there are no results as left. Measure the points again after the adjustment.`,
            },
          ]),
    ]);
};

const pointWarning = (place: Place): readonly Finding[] => {
  const { point } = place;
  const name = nameOf(place);
  if (point.status === "flagged") return [];
  if (point.status !== "measured") {
    const verb = point.status === "skipped" ? "was skipped" : "was not measured";
    return [
      {
        clause: "7.8.2.1 n",
        message: `${name}: the point ${verb}: ${sentence(point.reason)} The certificate says so.`,
      },
    ];
  }
  if (point.conformity === null) {
    return point.conformityNote === null
      ? []
      : [{ clause: "7.8.6.2", message: `${name}: no conformity is stated: ${sentence(point.conformityNote)}` }];
  }
  const { decision } = point.conformity;
  if (decision === "undecided") {
    return [
      {
        clause: "7.8.6.1",
        message: `${name}: undecided, because U = ${point.reported.U} K leaves no room within the tolerance. Better kit or another rule would decide it.`,
      },
    ];
  }
  return decision === "fail" || decision === "conditional-fail"
    ? [
        {
          clause: "7.8.6.2",
          message: `${name}: error ${point.reported.error} K, ${decision.replace("-", " ")}. Tell the customer; what was measured with the item since its last calibration may be affected.`,
        },
      ]
    : [];
};

/** Points without evidence of settling: a sentence each, or one for all where none has any (readings recorded elsewhere). */
const unsettledWarnings = (log: CheckInput["log"], result: Result): readonly Finding[] => {
  const settled = eventsOf(log, "point-settled");
  const measured = placesOf(result).filter(({ point }) => point.status === "measured");
  if (measured.length > 0 && settled.length === 0) {
    return [
      {
        clause: "7.5.1",
        message: "The log holds no evidence that the points had settled. Look at the readings before you authorise.",
      },
    ];
  }
  return measured
    .filter(
      ({ item, pass, point }) =>
        !settled.some((event) => event.item === item.item && event.pass === pass.pass && event.point === point.point),
    )
    .map((place) => ({
      clause: "7.5.1",
      message: `${nameOf(place)}: the log holds no evidence that the point had settled. Look at its readings before you authorise.`,
    }));
};

/** What the person who authorises should look at in the results. */
export const measurementWarnings = ({ log, result }: CheckInput): readonly Finding[] => {
  const unsettled = unsettledWarnings(log, result);
  return [
    ...(result.outcome === "stopped" || result.outcome === "failed"
      ? [
          {
            clause: "7.8.2.1 n",
            message: `The run was ${result.outcome === "stopped" ? "stopped" : "broken off"} before its end. The certificate says so.`,
          },
        ]
      : []),
    ...placesOf(result).flatMap(pointWarning),
    ...unsettled,
    ...result.warnings.map((message) => ({ clause: "7.8.1.1", message })),
  ];
};

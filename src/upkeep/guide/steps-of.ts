import { inWords } from "../words.ts";
import { cautions, touchable } from "./cautions.ts";
import type { PlanOf, UpkeepPlan } from "./plan.ts";
import { coolDown, ending, thereAndBack, type Arrangement, type UpkeepStep } from "./steps.ts";

/** Shortest record of stability, with a little more so that half an hour is surely in it, s. */
const stabilityRecord = 1830;

const set = (temperature: number): UpkeepStep => ({
  do: "set",
  text: `Set ${inWords(temperature)} °C.`,
  temperature,
});

const settle = (target: number): UpkeepStep => ({
  do: "settle",
  text: `Wait until the difference of the thermometers has settled within ${inWords(target)} K.`,
  target,
});

const read = (
  { procedure }: UpkeepPlan,
  text: string,
  visit: Readonly<Record<string, unknown>>,
  seconds = procedure.read.seconds,
): UpkeepStep => ({ do: "read", text, seconds, every: procedure.read.every, visit });

interface Placed {
  readonly text: string;
  readonly place: Arrangement;
  readonly visit: Readonly<Record<string, unknown>>;
}

/** Places of a characterisation one after the other, each part there and back again. */
const placements = ({ procedure }: PlanOf<"characterisation">): Placed[] => {
  const { heights, wells, loading } = procedure;
  const axial = (heights.length > 1 ? thereAndBack(heights) : []).map((height): Placed => ({
    text: `Put the moved thermometer ${inWords(height)} mm above the bottom of the first well.`,
    place: { well: wells[0] ?? "1", height, loaded: false },
    visit: { part: "axial", height, well: wells[0] ?? "1" },
  }));
  const radial = (wells.length > 1 ? thereAndBack(wells) : []).map((well): Placed => ({
    text: `Put the moved thermometer to the bottom of well ${well}.`,
    place: { well, height: 0, loaded: false },
    visit: { part: "radial", well },
  }));
  const loaded = (loading ? [false, true, false] : []).map((full): Placed => ({
    text: full ? "Fill all other wells with probes as they are used." : "Leave all other wells empty.",
    place: { well: wells[0] ?? "1", height: 0, loaded: full },
    visit: { part: "loading", loaded: full, well: wells[0] ?? "1" },
  }));
  return [...axial, ...radial, ...loaded];
};

/** Stays at one place at one temperature. */
const stay = (plan: UpkeepPlan, temperature: number, { text, visit }: Placed): UpkeepStep[] => [
  settle(plan.procedure.target),
  read(plan, `Read: ${text.replace(/^Put |\.$/g, "")}.`, { temperature, ...visit }),
];

const arrange = ({ text, place }: Placed, cold: boolean): UpkeepStep => ({
  do: "arrange",
  text,
  caution: cold ? cautions.moveCold : cautions.moveHot,
  place,
});

/** Whether two placements are the same place, so that nothing is moved between them. */
const samePlace = (one: Placed | undefined, other: Placed): boolean =>
  one !== undefined && JSON.stringify(one.place) === JSON.stringify(other.place);

/** Everything is moved cold: each place is taken to all temperatures before the next, so that it cools only once a place. */
const movedCold = (plan: PlanOf<"characterisation">, temperatures: readonly number[]): UpkeepStep[] =>
  placements(plan).flatMap((placed, index, all) => [
    ...(samePlace(all[index - 1], placed) ? [] : [coolDown, arrange(placed, true)]),
    ...temperatures.flatMap((temperature) => [set(temperature), ...stay(plan, temperature, placed)]),
  ]);

/** Moved as the site's rules allow: all places at one temperature, then the next. */
const movedHot = (plan: PlanOf<"characterisation">, temperatures: readonly number[]): UpkeepStep[] =>
  temperatures.flatMap((temperature) => [
    set(temperature),
    ...placements(plan).flatMap((placed) => [
      arrange(placed, temperature <= touchable),
      ...stay(plan, temperature, placed),
    ]),
  ]);

const characterisationSteps = (plan: PlanOf<"characterisation">): UpkeepStep[] => {
  const { procedure } = plan;
  const temperatures = procedure.temperatures.toSorted((a, b) => a - b);
  const still: UpkeepStep[] = temperatures.flatMap((temperature) => [
    set(temperature),
    settle(procedure.target),
    ...(procedure.stability
      ? [read(plan, "Record for half an hour: stability.", { part: "stability", temperature }, stabilityRecord)]
      : []),
    ...(procedure.hysteresis
      ? [read(plan, "Read as it was reached rising.", { part: "hysteresis", temperature, direction: "rising" })]
      : []),
  ]);
  // The highest has no falling approach; the others are reached again from above.
  const falling: UpkeepStep[] = (procedure.hysteresis ? temperatures.slice(0, -1).toReversed() : []).flatMap(
    (temperature) => [
      set(temperature),
      settle(procedure.target),
      read(plan, "Read as it was reached falling.", { part: "hysteresis", temperature, direction: "falling" }),
    ],
  );
  const first = placements(plan)[0];
  const places = procedure.move === "cold" ? movedCold(plan, temperatures) : movedHot(plan, temperatures);
  return [
    { do: "caution", text: cautions.source },
    { do: "caution", text: cautions.leave },
    {
      do: "arrange",
      text: "Put the thermometer that stays into its well, to the bottom, and the moved one into the first well.",
      caution: cautions.moveCold,
      place: first?.place ?? { well: "1", height: 0, loaded: false },
    },
    ...still,
    ...falling,
    ...places,
    ...ending,
  ];
};

const pullTestSteps = (plan: PlanOf<"pull-test">): UpkeepStep[] => {
  const depths = plan.procedure.depths.toSorted((a, b) => b - a);
  const cold = plan.procedure.move === "cold";
  return [
    { do: "caution", text: cautions.source },
    ...thereAndBack(depths).flatMap((depth, index): UpkeepStep[] => {
      const placed: Placed = {
        text: `Put the thermometer under test to a depth of ${inWords(depth)} mm; the other one stays.`,
        place: { depth },
        visit: { depth },
      };
      return [
        ...(cold && index > 0 ? [coolDown] : []),
        arrange(placed, cold || index === 0),
        ...(cold || index === 0 ? [set(plan.temperature)] : []),
        settle(plan.procedure.target),
        read(plan, `Read at ${inWords(depth)} mm.`, placed.visit),
      ];
    }),
    ...ending,
  ];
};

const selfHeatingSteps = (plan: PlanOf<"self-heating">): UpkeepStep[] => {
  const [one, other] = plan.procedure.currents;
  const currents = [one, ...Array.from({ length: plan.procedure.rounds }, () => [other, one]).flat()];
  return [
    { do: "caution", text: cautions.source },
    { do: "caution", text: cautions.ohms },
    set(plan.temperature),
    ...currents.flatMap((current): UpkeepStep[] => [
      {
        do: "arrange",
        text: `Set the measuring current to ${inWords(current)} mA; move nothing.`,
        caution: cautions.ohms,
        place: { current },
      },
      settle(plan.procedure.target),
      read(plan, `Read at ${inWords(current)} mA.`, { current }),
    ]),
    ...ending,
  ];
};

const checkSteps = (plan: PlanOf<"reference-check">): UpkeepStep[] => {
  const name = plan.point === "ice-point" ? "ice point" : "triple point of water";
  return [
    { do: "caution", text: cautions.ice },
    {
      do: "arrange",
      text:
        plan.point === "ice-point"
          ? "Fill the vessel with finely broken ice of clean water, wet but not floating; put the thermometer in, at least 15 diameters deep, its sheath protected."
          : "See that the cell's mantle turns freely about its well; put the thermometer in, to the bottom.",
      caution: cautions.ice,
      place: { point: plan.point },
    },
    {
      do: "read",
      text: `Read in the ${name} until the readings rest.`,
      seconds: plan.procedure.seconds,
      every: plan.procedure.read.every,
      visit: {},
    },
  ];
};

/** The steps of a procedure in order, with the cautions at the step where they matter (rule K25). */
export const stepsOf = (plan: UpkeepPlan): readonly UpkeepStep[] => {
  switch (plan.kind) {
    case "characterisation":
      return characterisationSteps(plan);
    case "pull-test":
      return pullTestSteps(plan);
    case "self-heating":
      return selfHeatingSteps(plan);
    case "reference-check":
      return checkSteps(plan);
  }
};

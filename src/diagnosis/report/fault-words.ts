import type { Sensor } from "#thermometry";
import type { FaultName } from "../hypotheses/fault-name.ts";

/** What stands in a sentence about a fault. */
export interface FaultWords {
  readonly what: string;
  readonly check: string;
  readonly test: string;
}

interface Named {
  readonly tag: string;
  readonly sensor: Sensor;
  readonly variant: string;
}

const expectedOf = (sensor: Sensor): string => {
  switch (sensor.kind) {
    case "thermocouple":
      return `type ${sensor.type}`;
    case "platinum":
      return sensor.equation === "callendar-van-dusen" ? `${sensor.r0} Ω at 0 °C` : `${sensor.rtpw} Ω at 0.01 °C`;
    case "loop":
      return `${sensor.lower} °C to ${sensor.upper} °C`;
    default:
      return "another sensor";
  }
};

const leadsLike = "Measure the resistance from end to end of one lead with the element shorted at the head";

/** What each fault is, what to check, and what takes two minutes and would tell. Common practice, no source. */
const words: Readonly<Record<FaultName, (named: Named) => FaultWords>> = {
  healthy: ({ tag }) => ({ what: `nothing is wrong with ${tag} but an ordinary error`, check: "", test: "" }),
  reversed: ({ tag }) => ({
    what: `the two wires of ${tag} are exchanged`,
    check: "Compare the colours of wires, plug and terminals with the standard of the plant.",
    test: "Warm the tip in the hand: if the reading falls, swap the two wires at the readout once and repeat.",
  }),
  "double-reversal": ({ tag }) => ({
    what: `the extension of ${tag} is exchanged at both ends, so that it counts its own temperature twice the wrong way`,
    check: "Compare the wire colours at the head and at the terminals: both pairs must be right.",
    test: "Warm the head with the hand or a warm-air gun for a minute: the reading falls by twice what the head rises.",
  }),
  "copper-in-circuit": ({ tag }) => ({
    what: `copper lies in the circuit of ${tag} where extension or compensating wire belongs`,
    check: "Look for plain terminals, a plain plug, a splice or a cable without type colours between head and readout.",
    test: "Warm the head or the suspected joint for a minute: the reading falls as that place gets warmer.",
  }),
  "wrong-type": ({ tag, sensor, variant }) =>
    variant.includes("read as")
      ? {
          what: `${tag} is set to the wrong thermocouple type (${variant})`,
          check: "Compare the type set in the instrument with the sensor's plate and colours.",
          test: "Take the sensor off and feed the voltage of one temperature from a calibrator: the display tells which type it takes it for.",
        }
      : {
          what: `${variant} is connected at ${tag} where ${expectedOf(sensor)} is expected`,
          check:
            "Compare colours, plate and drawing with the type in the job. A magnet holds on one leg of type K and on the positive leg of type J only.",
          test: "Read the raw voltage with the tip at one known temperature and look it up in the tables of both types.",
        },
  "junction-offset": ({ tag }) => ({
    what: `the reference junction of ${tag} is not at the temperature that it is said to have`,
    check: "Look for draught, sun or a warm instrument at the terminals, and give the readout time to warm through.",
    test: "Put both junctions into ice, or short the input with a copper wire: the readout must then show the temperature of its terminals.",
  }),
  "junction-not-compensated": ({ tag, variant }) => ({
    what: `the reference junction of ${tag} is not taken into account as it should be (${variant})`,
    check: "Compare the compensation set in the readout with what the job says of the reference junction.",
    test: "Short the input with a copper wire: without compensation the readout shows 0 mV and 0 °C, with it the temperature of its terminals.",
  }),
  "wrong-alpha": ({ tag, variant }) => ({
    what: `${tag} has platinum of ${variant}, another than the equation in the job is for`,
    check: "Look for the standard and α on the plate or in the papers of the element.",
    test: "Measure the resistance at ice point and at one hot point: their ratio tells the curve.",
  }),
  "wrong-nominal": ({ tag, sensor, variant }) => ({
    what: `${tag} has an element of ${variant} where ${expectedOf(sensor)} is expected`,
    check: "Compare the plate of the element with the job and with the setting of the transmitter.",
    test: "Measure its resistance at room temperature with any ohmmeter: about 109 Ω for a Pt100, 1090 Ω for a Pt1000.",
  }),
  "resistance-shift": ({ tag }) => ({
    what: `the element of ${tag} has shifted: its resistance is off by the same share everywhere`,
    check: "Ask for knocks, vibration and overheating; compare with its last calibration.",
    test: "Check the ice point: a shifted element is off there already, and by less than when hot.",
  }),
  "lead-resistance": ({ tag }) => ({
    what: `the resistance of the leads of ${tag} is measured with the element`,
    check: "See whether two, three or four wires really reach the element, and whether the readout is set to that.",
    test: `${leadsLike}, or read once with four wires: the difference is the leads.`,
  }),
  "unequal-leads": ({ tag }) => ({
    what: `the leads of ${tag} in three-wire connection are not equal`,
    check: "Tighten and clean the terminals; look for a splice or a thinner wire in one lead.",
    test: "Exchange the two outer leads at the readout: the error turns its sign.",
  }),
  shunt: ({ tag, sensor }) =>
    sensor.kind === "loop"
      ? {
          what: `part of the loop current of ${tag} does not go through the meter`,
          check: "Look for moisture in the head, a second instrument or a test socket across the loop.",
          test: "Put the meter in series at the transmitter and then at the far end: the two currents must agree.",
        }
      : {
          what: `the insulation of ${tag} leaks: moisture, or insulation that gives way when hot`,
          check: "Look for moisture in head and sheath end.",
          test: "Measure the insulation resistance between wires and sheath with the element disconnected, at the voltage that its maker allows; then dry it warm and read again.",
        },
  "short-circuit": ({ tag, sensor }) => ({
    what:
      sensor.kind === "thermocouple"
        ? `the wires of ${tag} touch on the way: it reads a place along its cable`
        : `the element of ${tag} is shorted`,
    check: "Look at head, gland and plug for wires that touch.",
    test: "Warm the cable piece by piece with the hand, or disconnect at the head: the reading tells where the short is.",
  }),
  "open-circuit": ({ tag, sensor }) =>
    sensor.kind === "loop"
      ? {
          what: `the loop of ${tag} is open, or fed the wrong way round`,
          check: "Check plug, terminals, supply and polarity.",
          test: "Measure the loop supply at the transmitter's own terminals.",
        }
      : {
          what: `the circuit of ${tag} is open`,
          check: "Check plug and terminals, then the element itself; move the cable while you look at the reading.",
          test: "Measure its resistance from end to end at the head, disconnected: an open element shows none.",
        },
  immersion: ({ tag }) => ({
    what: `${tag} does not reach deep enough, so that its stem takes heat away`,
    check: "Compare the depth with 15 diameters and more beyond the sensing length, and look for a loose well.",
    test: "Pull it out by 20 mm and leave the reference where it is: if the reading moves, the depth matters.",
  }),
  "zero-shift": ({ tag }) => ({
    what: `${tag} is off by the same amount everywhere (zero)`,
    check: "Compare with the last calibration and ask for adjustments since.",
    test: "Feed it one value in the lower part of the range from a calibrator: the same error there is its own.",
  }),
  "span-error": ({ tag, sensor }) => ({
    what:
      sensor.kind === "thermocouple"
        ? `the wires of ${tag} have aged: the voltage is off by the same share everywhere`
        : `${tag} is off in proportion (span)`,
    check: "Compare with the last calibration; ask for overheating and long use at the upper end.",
    test: "Read it at one point near the lower end and at one near the upper: the error grows in proportion.",
  }),
  "wrong-range": ({ tag, sensor, variant }) => ({
    what: `the range in ${tag} is ${variant}, and not ${expectedOf(sensor)}`,
    check: "Read the range out of the transmitter and compare it with the control system and the job.",
    test: "Simulate the sensor at both ends of the range in the job: 4.00 mA and 20.00 mA must come out.",
  }),
  "failure-signal": ({ tag, variant }) => ({
    what: `${tag} signals a failure of its own on the loop (NAMUR NE 43, ${variant} side)`,
    check: "Check the sensor at its terminals, and the burn-out setting.",
    test: "Put a resistor or a wire in place of the sensor: the failure signal must go.",
  }),
  stuck: ({ tag }) => ({
    what: `the output of ${tag} stands still: held, simulated, or not in the source`,
    check: "See that it is inserted, and that hold, simulation and damping are off.",
    test: "Pull it out of the source for half a minute: a live item moves at once.",
  }),
  noise: ({ tag }) => ({
    what: `the readings of ${tag} scatter far more than such an item should`,
    check: "Look for a loose terminal, a missing screen, an earth loop.",
    test: "Switch the heater off for a minute, then move the cable: what changes the scatter is its cause.",
  }),
  "reference-alpha": ({ variant }) => ({
    what: `the reference is platinum of ${variant}, and its coefficients in the job are of another curve`,
    check: "Compare the reference's coefficients in the job with its certificate, digit by digit.",
    test: "Measure the reference at the ice point and at a second known temperature, or against a second reference.",
  }),
  "reference-coefficients": () => ({
    what: "the coefficients of the reference are not those of this probe, or it has shifted since its calibration",
    check: "Compare serial number and coefficients in the job with the certificate, digit by digit.",
    test: "Check the reference at the ice point, or beside a second reference.",
  }),
  swapped: ({ variant }) => ({
    what: `${variant} are exchanged: each is read on the other's channel`,
    check: "Follow the two cables from the source to the readout.",
    test: "Pull one of the two out of the source for half a minute and see which channel moves.",
  }),
  "none-of-these": ({ tag }) => ({
    what: `the errors of ${tag} fit no fault that is known here`,
    check: "Look for two faults at once, for a point that was disturbed, and for a loose connection.",
    test: "Repeat the point with the largest error; if it comes out otherwise, look for what moves.",
  }),
};

export const wordsOf = (fault: FaultName, named: Named): FaultWords => words[fault](named);

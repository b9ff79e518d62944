import { failure, Fault, type Outcome } from "#fault";
import { sensorSchema } from "#calibration";
import { prepare, type Conversion, type PreparedSensor } from "#thermometry";
import type { Command } from "../command.ts";
import { answerLines, readFiniteNumber, readObject } from "../json-lines.ts";

const help = `
dwellpoint convert

Signals to temperatures and back. JSON Lines on standard input, one line out per line in, in order.

in   {"sensor":S,"signal":x}           signal in mV, Ω, mA or °C, by the sensor
     {"sensor":S,"temperature":t}      temperature in °C (ITS-90)
     with "coldJunction":t for thermocouples: temperature of the reference junction, °C, 0 where nothing is said
out  {"temperature":t,"signal":x,"slope":s}     slope: signal per °C
     {"error":{"code","message","data"}}        in its place, when the line cannot be answered

sensors
  {"kind":"thermocouple","type":"K","deviation":[d0,d1]}        B E J K N R S T C A; deviation in mV, optional
  {"kind":"platinum","equation":"its-90","rtpw":R,"coefficients":[{"subrange":7,"a":a,"b":b,"c":c}]}
  {"kind":"platinum","equation":"callendar-van-dusen","r0":100,"a":3.9083e-3,"b":-5.775e-7,"c":-4.183e-12}
  {"kind":"thermistor","equation":"steinhart-hart","a":a,"b":b,"c":c,"d":0}
  {"kind":"loop","lower":-50,"upper":150,"current":[4,20]}
  {"kind":"indication"}

Exit 0 when every line was answered, 1 when one or more got an error, 2 for wrong usage.
Example: echo '{"sensor":{"kind":"thermocouple","type":"K"},"signal":4.096}' | dwellpoint convert
`;

const fields = ["sensor", "signal", "temperature", "coldJunction"];
const mostKept = 4096;

/** Sensors by their JSON text: a file of a million lines mostly names the same few. */
class PreparedSensors {
  readonly #kept = new Map<string, Outcome<PreparedSensor>>();

  of(sensor: unknown): Outcome<PreparedSensor> {
    const text = JSON.stringify(sensor) ?? "";
    const kept = this.#kept.get(text);
    if (kept !== undefined) return kept;
    const outcome = readSensor(sensor);
    if (this.#kept.size >= mostKept) this.#kept.clear();
    this.#kept.set(text, outcome);
    return outcome;
  }
}

const readSensor = (value: unknown): Outcome<PreparedSensor> => {
  const parsed = sensorSchema.safeParse(value);
  if (parsed.success) return prepare(parsed.data);
  const [issue] = parsed.error.issues;
  const path = ["sensor", ...(issue?.path ?? [])].join(".");
  return failure(
    "input.invalid",
    `${path}: ${issue?.message ?? "not a sensor"}. dwellpoint convert --help shows the sensors.`,
    { field: path },
  );
};

const answerWith =
  (sensors: PreparedSensors) =>
  (line: unknown): Outcome<Conversion> => {
    const object = readObject(line, fields);
    if (!object.ok) return object;
    const { sensor, signal, temperature, coldJunction = 0 } = object.value;
    if ((signal === undefined) === (temperature === undefined)) {
      return failure(
        "input.invalid",
        'Give either "signal" or "temperature": one of them is what the other is worked out from.',
      );
    }
    const prepared = sensors.of(sensor);
    if (!prepared.ok) return prepared;
    const junction = readFiniteNumber("coldJunction", coldJunction);
    if (!junction.ok) return junction;
    const given =
      signal === undefined ? readFiniteNumber("temperature", temperature) : readFiniteNumber("signal", signal);
    if (!given.ok) return given;
    const options = { coldJunction: junction.value };
    return signal === undefined
      ? prepared.value.signal(given.value, options)
      : prepared.value.temperature(given.value, options);
  };

/** `convert`: signals to temperatures and back, a JSON line each. */
export const convert: Command = {
  name: "convert",
  summary: "signals to temperatures and back, a JSON line each",
  help,
  run: (words, surroundings) => {
    if (words.length > 0)
      throw new Fault(
        "usage.wrong",
        `convert takes no words, only lines on standard input; "${words[0]}" is one. dwellpoint convert --help tells more.`,
      );
    return answerLines(surroundings, answerWith(new PreparedSensors()));
  },
};

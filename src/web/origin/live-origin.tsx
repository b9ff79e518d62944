import type { Job, RunView } from "#contract";
import { onDay, onRunClock } from "../figures/clock.ts";
import { placesFor, plain, signal, signed } from "../figures/digits.ts";
import type { NumeralName } from "../measure/numerals.tsx";
import { limitsText, sensorWords } from "../plan/words.ts";
import { OriginDrawer, type Origin, type OriginStep } from "./origin-drawer.tsx";

const reading = (
  view: RunView,
  latest: { at: number; signal: number; unit: string },
  channel: string,
  job: Job,
): OriginStep => {
  const wire = job.bench.channels[channel];
  const time = onRunClock(view.opened, latest.at);
  return {
    title: `${signal(latest.signal)} ${latest.unit}, as read`,
    words: `Channel ${channel}${wire === undefined ? "" : wire.typed === true ? ", typed by a person" : ` on ${wire.instrument}, input ${wire.input}`}, at ${time.text} (${time.utc}). Every reading stands in the run's log.`,
  };
};

const referenceOrigin = (view: RunView, job: Job): Origin | null => {
  const { reference } = job.kit;
  const { calibration } = reference;
  if (view.reference === null) return null;
  return {
    title: "Where the reference temperature comes from",
    value: view.reference.temperature === null ? "no temperature" : `${plain(view.reference.temperature, 3)} °C`,
    steps: [
      {
        title: `Conversion: ${sensorWords(reference.sensor)}`,
        words: `${reference.description}, ${reference.id} revision ${reference.revision}, serial ${reference.serial}. Resistance becomes temperature by the coefficients of its certificate, inverted exactly.`,
      },
      {
        title: `Certificate ${calibration.certificate}`,
        words: `${calibration.laboratory}, ${onDay(calibration.date).text}, due ${onDay(calibration.due).text}${typeof calibration.uncertainty === "number" ? `, U = ${calibration.uncertainty} K` : ""}, k = ${calibration.k}.`,
      },
      reading(view, view.reference, reference.channel, job),
    ],
    lines: [],
  };
};

const indicationOrigin = (view: RunView, job: Job, id: string): Origin | null => {
  const live = view.items.find((entry) => entry.item === id);
  const item = job.items.find((entry) => entry.id === id);
  if (item === undefined || live === undefined || live.latest === null) return null;
  const junction =
    item.coldJunction === undefined
      ? ""
      : item.coldJunction.kind === "ice-point"
        ? " The reference junction is at the ice point."
        : ` The reference junction is read on channel ${item.coldJunction.channel}.`;
  return {
    title: `Where the indication of ${item.tag} comes from`,
    value: live.latest.temperature === null ? "no temperature" : `${plain(live.latest.temperature, 3)} °C`,
    steps: [
      {
        title: `Conversion: ${sensorWords(item.sensor)}`,
        words: `${item.description}, serial ${item.serial}.${junction}`,
      },
      reading(view, live.latest, item.channel, job),
    ],
    lines: [],
  };
};

const errorOrigin = (view: RunView, job: Job, id: string): Origin | null => {
  const live = view.items.find((entry) => entry.item === id);
  const item = job.items.find((entry) => entry.id === id);
  const settling = view.settling.find((entry) => entry.item === id);
  if (item === undefined || live === undefined || live.error === null) return null;
  const steps: OriginStep[] = [
    {
      title: "Indication less reference",
      words: `At the same moment: ${live.latest?.temperature === null || live.latest === null ? "–" : plain(live.latest.temperature, 3)} °C − ${view.reference?.temperature === null || view.reference === null ? "–" : plain(view.reference.temperature, 3)} °C.`,
    },
  ];
  if (settling !== undefined && settling.estimate !== null && settling.bound !== null) {
    const places = placesFor(settling.bound);
    steps.push({
      title: `± ${plain(settling.bound, places)} K still open`,
      words: `The steady difference is estimated as ${signed(settling.estimate, places)} K from the window so far; with about 95 % confidence no more than the bound is still missing. It must come within ±${plain(settling.target, placesFor(settling.target))} K before readings count. The full uncertainty, with all its lines, stands under judge once the point is measured.`,
    });
  }
  if (live.tolerance !== null)
    steps.push({
      title: `Tolerance ${limitsText(live.tolerance)}`,
      words: "As agreed with the customer, at the present set point.",
    });
  return { title: `Where the error of ${item.tag} comes from`, value: `${signed(live.error, 3)} K`, steps, lines: [] };
};

/** The origin of a live numeral. */
export const LiveOrigin = ({
  name,
  close,
  view,
  job,
  item,
}: {
  name: NumeralName | null;
  close: () => void;
  view: RunView;
  job: Job;
  item: string;
}) => {
  const origin =
    name === null
      ? null
      : name === "reference"
        ? referenceOrigin(view, job)
        : name === "indication"
          ? indicationOrigin(view, job, item)
          : errorOrigin(view, job, item);
  return <OriginDrawer origin={origin} run={view.run} close={close} />;
};

import type { BenchAnswer } from "#contract";

export type Entry = BenchAnswer["entries"][number];

/** An address that may be the one, and where it comes from. */
export interface SuggestedAddress {
  readonly at: string;
  readonly from: string;
  /** The run that has it; it cannot be tried then. */
  readonly usedBy: string | null;
}

/**
 * Addresses at which an instrument of an entry may be: the serial ports, where it speaks over a serial line, and those that
 * jobs name for what speaks the same way; those of the entry itself first.
 */
export const suggestedAddresses = (
  entry: Entry,
  { ports, earlier }: Pick<BenchAnswer, "ports" | "earlier">,
): readonly SuggestedAddress[] => {
  const fitting = earlier.filter(({ transport }) => transport !== null && entry.transports.includes(transport));
  const own = fitting.filter((each) => each.entry === entry.entry);
  const others = fitting.filter((each) => each.entry !== entry.entry);
  const suggested = [
    ...own.map(({ at, job, usedBy }) => ({ at, from: `in job ${job}`, usedBy })),
    ...ports.flatMap(({ about, usedBy, addresses }) =>
      addresses
        .filter(({ transport }) => entry.transports.includes(transport))
        .map(({ at }) => ({ at, from: about ?? "serial port", usedBy })),
    ),
    ...others.map(({ at, job, usedBy }) => ({ at, from: `in job ${job}, another instrument`, usedBy })),
  ];
  return suggested.filter(({ at }, index) => suggested.findIndex((other) => other.at === at) === index);
};

/** Whether an instrument of an entry can be looked for on the serial ports. */
export const isOnSerialLine = ({ transports }: Entry): boolean =>
  transports.includes("serial") || transports.includes("modbus-rtu");

const transportWords: Readonly<Record<Entry["transports"][number], string>> = {
  "tcp-socket": "network socket",
  serial: "serial line",
  "usb-tmc": "USB-TMC",
  "modbus-tcp": "Modbus TCP",
  "modbus-rtu": "Modbus RTU",
};

const roleWords: Readonly<Record<Entry["role"], string>> = {
  readout: "readout",
  source: "heat source",
  item: "an item's own adjustment",
};

/** What an entry is, in a line: its role, what it reads, how it is reached. */
export const entryWords = ({ role, reads, transports }: Entry): string => {
  const last = Math.max(0, ...reads.map((read) => read.last - read.first + 1));
  const inputs = last > 1 ? ` on ${last} inputs` : "";
  const units = reads.map(({ unit }) => unit).join(", ");
  return [
    roleWords[role],
    reads.length === 0 ? "reads nothing" : `reads ${units}${inputs}`,
    transports.map((transport) => transportWords[transport]).join(", "),
  ].join(" · ");
};

/**
 * Every fault code that the product can answer with, and what the code means.
 * Codes are stable: scripts and records refer to them. The sentence that a user gets is written where the fault is
 * raised, because only that place knows the names and figures that belong in it.
 */
export const faultCodes = {
  "usage.wrong": "The command line was used wrongly.",
  "input.malformed": "The input is not the format it should be.",
  "input.invalid": "A field of the input has a value that cannot be used.",
  "job.invalid": "A job file does not say what is needed, or says it wrongly.",
  "job.cannot-prove": "A job cannot prove anything as it is planned.",
  "log.invalid": "A run log breaks its own format.",
  "thermometry.out-of-range": "A temperature or signal lies outside the published range of the equation.",
  "thermometry.ambiguous": "A signal belongs to more than one temperature.",
  "thermometry.unsupported": "The sensor kind or equation is not known to this version.",
  "thermometry.invalid": "A sensor's coefficients cannot describe a thermometer.",
  "loop.failure-signal": "A 4-20 mA loop carries a failure signal (NAMUR NE 43).",
  "tolerance.undefined": "The tolerance class is not defined at this temperature.",
  "fit.impossible": "A curve cannot be laid through the points as they are given.",
  "uncertainty.invalid": "A budget cannot be combined as it is given.",
  "kit.out-of-calibration": "A kit entry's own calibration does not cover the day of use.",
  "kit.out-of-range": "A kit entry is asked to work outside its range.",
  "item.out-of-range": "An item would be taken outside its limits.",
  "instrument.unreachable": "No connection to an instrument could be made.",
  "instrument.timeout": "An instrument did not answer in time.",
  "instrument.garbled": "An instrument's answer could not be understood.",
  "instrument.closed": "The connection to an instrument was lost.",
  "instrument.reported": "An instrument reported an error of its own.",
  "instrument.entry-invalid": "A catalogue entry cannot be used.",
  "instrument.exchanged": "Another instrument answers at an address than the one expected there.",
  "signal.open-circuit": "A sensor's circuit is open.",
  "signal.reversed": "A signal moves the wrong way: connections are reversed.",
  "signal.out-of-range": "A signal lies outside what the sensor can give.",
  "signal.stuck": "A signal does not change at all.",
  "settling.too-slow": "A point did not settle within the longest wait allowed.",
  "run.not-allowed": "The run is not in a state in which this can be done.",
  "run.limit": "A hard limit of kit or item would be crossed.",
  "records.read-only": "The data folder cannot be written.",
  "records.conflict": "A record was changed by somebody else meanwhile.",
  "records.not-found": "There is no such record.",
  "records.busy": "The records are in use by another process.",
  "records.damaged": "A file of records is damaged, or is not what it should be.",
  "certificate.incomplete": "A certificate lacks something that it must state.",
  "station.port-in-use": "The network port is taken by another program.",
  "station.foreign-request": "A request did not come from the station's own pages.",
  internal: "A defect of this program.",
} as const satisfies Record<string, string>;

export type FaultCode = keyof typeof faultCodes;

export { faultCodes, type FaultCode } from "./codes.ts";
export { Fault, failure, faultValue, success, unwrap, type FaultValue, type Outcome } from "./fault.ts";

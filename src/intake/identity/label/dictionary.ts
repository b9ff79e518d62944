/**
 * Words that stand in nearly every kit entry, for the compression of version 1 of the label's code. Frozen: a code can only
 * be read with the very dictionary that it was written with. The commonest words come last.
 */
export const dictionary1 = [
  '"accreditation":"","wells":[{"count":1,"depth":,"diameter":}]"rates":{"cooldown":,"cooling":,"heating":,"rest":}',
  '"axial":,"characterised":"20","class":"dry-block","class":"bath","class":"furnace","loading":,"radial":,"stability":',
  '"accuracy":[{"absolute":,"percentOfReading":,"resolution":,"unit":"mV"},{"upTo":',
  '"kind":"thermocouple","type":"K"},"unit":"mV","deviation":[0,',
  '"kind":"thermistor","equation":"steinhart-hart","kind":"indication"},"unit":"°C"',
  '"names":["r0","a","b","c"]"names":["rtpw","a","b"],"covariance":[[0.000',
  '"coefficients":[{"a":-0.000,"b":-0.000,"c":,"subrange":7},{"subrange":4}],"equation":"its-90","kind":"platinum","rtpw":25.',
  '"checkValues":[{"digits":4,"signal":100.,"temperature":0},{"digits":4,"signal":138.5,"temperature":100},',
  '"diameter":6,"immersion":150,"interpolation":0.00,"selfHeating":0.00,"driftPerYear":0.0',
  '"uncertainty":[{"temperature":-,"value":0.0},{"temperature":,"value":0.0',
  '"model":","revision":1,"serial":","sensor":{"a":0.0039083,"b":-5.775e-7,"c":-4.183e-12,"equation":"callendar-van-dusen","kind":"platinum","r0":100.0},"unit":"Ω"}',
  '{"entry":{"calibration":{"certificate":","date":"202","due":"202","k":2,"laboratory":","uncertainty":0.0},"description":"',
  '"id":","range":{"maximum":,"minimum":},"kind":"reference"}',
].join("");

/** What only the machine-readable certificate needs. */
export interface DataWords {
  readonly job: string;
  readonly run: string;
  readonly hash: string;
  readonly serial: string;
  readonly tag: string;
  readonly item: string;
  readonly notice: string;
  readonly place: string;
  readonly equipment: string;
  readonly certificate: string;
  readonly certificateOf: (certificate: string, day: string, laboratory: string) => string;
  readonly validUntil: (text: string) => string;
  readonly characterised: (text: string) => string;
  readonly unknown: string;
  readonly within: (halfWidth: string) => string;
  readonly conformity: string;
  readonly conformityNote: (rule: string) => string;
  readonly acceptance: Readonly<Record<"lower" | "upper", string>>;
  readonly tolerance: Readonly<Record<"lower" | "upper", string>>;
  readonly agreedTemperature: string;
  readonly agreedDeviation: string;
  readonly nothing: string;
  readonly reference: string;
  readonly calibrationPoint: string;
  readonly indication: string;
  readonly error: string;
  readonly inUnit: (symbol: string, unit: string) => string;
  readonly coverage: (k: string, probability: string) => string;
  readonly previous: string;
  readonly people: { readonly technician: string; readonly authorised: string };
}

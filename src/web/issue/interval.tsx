import { TextInput } from "@mantine/core";
import css from "./issue-stage.module.css";

export interface AgreedInterval {
  readonly due: string;
  readonly agreedWith: string;
}

/** The next calibration, which a certificate or a label names only where the customer agreed to it. */
export const Interval = ({
  value,
  change,
}: {
  value: AgreedInterval | null;
  change: (interval: AgreedInterval | null) => void;
}) => (
  <fieldset className={css.choice}>
    <legend>Next calibration</legend>
    <label className={css.tick}>
      <input
        type="checkbox"
        checked={value !== null}
        onChange={(event) => change(event.currentTarget.checked ? { due: "", agreedWith: "" } : null)}
      />
      The customer agreed to an interval; name the day on the certificate
    </label>
    {value !== null && (
      <>
        <TextInput
          type="date"
          label="Due on"
          value={value.due}
          onChange={(event) => change({ ...value, due: event.currentTarget.value })}
        />
        <TextInput
          label="Agreed with"
          description="who at the customer's"
          value={value.agreedWith}
          maxLength={120}
          onChange={(event) => change({ ...value, agreedWith: event.currentTarget.value })}
        />
      </>
    )}
  </fieldset>
);

/** Whether an interval is either not wanted or whole. */
export const isWhole = (interval: AgreedInterval | null): boolean =>
  interval === null || (interval.due !== "" && interval.agreedWith.trim() !== "");

import { IconBackspace } from "@tabler/icons-react";
import { useLayoutEffect, useRef, type ReactNode } from "react";
import parts from "../../face/parts.module.css";
import css from "./by-hand.module.css";
import { press, type Key, type Typing } from "./typing.ts";

const keys: readonly { readonly key: Key; readonly face: ReactNode; readonly name: string }[] = [
  ...(["7", "8", "9"] as const).map((key) => ({ key, face: key, name: key })),
  { key: "back", face: <IconBackspace size={30} aria-hidden="true" />, name: "delete a digit" },
  ...(["4", "5", "6"] as const).map((key) => ({ key, face: key, name: key })),
  { key: "sign", face: "±", name: "change the sign" },
  ...(["1", "2", "3"] as const).map((key) => ({ key, face: key, name: key })),
  { key: "clear", face: "C", name: "clear" },
  { key: ",", face: ",", name: "decimal comma" },
  { key: "0", face: "0", name: "0" },
  { key: ".", face: ".", name: "decimal point" },
];

/** A number with its unit, large, and keys for gloves. A keyboard works as well: digits, Enter. */
export const Keypad = ({
  name,
  unit,
  typing,
  change,
  act,
  busy,
  wanted,
  children,
}: {
  name: string;
  unit: string;
  typing: Typing;
  change: (typing: Typing) => void;
  act: string;
  busy: boolean;
  /** It is asked for now: the cursor goes there, unless somebody is at something else. */
  wanted: number | null;
  /** What belongs below the number, beside the keys where there is room. */
  children: ReactNode;
}) => {
  const field = useRef<HTMLInputElement>(null);
  const start = useRef(typing);
  useLayoutEffect(() => {
    const input = field.current;
    if (input !== null && document.activeElement === input) input.setSelectionRange(typing.from, typing.to);
  }, [typing]);
  useLayoutEffect(() => {
    const input = field.current;
    const idle = document.activeElement === null || document.activeElement === document.body;
    if (wanted === null || input === null || !idle) return;
    const { from, to } = start.current;
    input.focus({ preventScroll: true });
    input.setSelectionRange(from, to);
  }, [wanted]);
  const look = ({ selectionStart, selectionEnd, value }: HTMLInputElement): Typing => ({
    text: value,
    from: selectionStart ?? value.length,
    to: selectionEnd ?? value.length,
  });
  return (
    <div className={css.typing}>
      <div className={css.number}>
        <label className={css.display}>
          <span className={css.name}>{name}</span>
          <input
            ref={field}
            className={css.field}
            value={typing.text}
            inputMode="none"
            autoComplete="off"
            spellCheck={false}
            maxLength={24}
            onChange={(event) => change(look(event.currentTarget))}
            onSelect={(event) => {
              const next = look(event.currentTarget);
              if (next.from !== typing.from || next.to !== typing.to) change(next);
            }}
          />
          <span className={css.unit}>{unit}</span>
        </label>
        {children}
      </div>
      <div className={css.keys} role="group" aria-label="Keypad">
        {keys.map(({ key, face, name: words }) => (
          <button
            key={key}
            type="button"
            className={css.key}
            aria-label={words}
            onClick={() => {
              change(press(typing, key));
              field.current?.focus({ preventScroll: true });
            }}
            // A touch must not take the cursor out of the field.
            onPointerDown={(event) => event.preventDefault()}
          >
            {face}
          </button>
        ))}
        <button
          type="submit"
          className={`${parts.button} ${parts.main} ${css.enter}`}
          disabled={busy || typing.text.trim() === ""}
        >
          {act}
        </button>
      </div>
    </div>
  );
};

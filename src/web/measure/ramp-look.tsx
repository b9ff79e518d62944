import { useElementSize } from "@mantine/hooks";
import type { ReactNode } from "react";
import type { Job, RampView, RunView } from "#contract";
import parts from "../face/parts.module.css";
import { ContactShape, RoleShape } from "../face/shapes.tsx";
import { nominal, plain, signal } from "../figures/digits.ts";
import { Hazards } from "./hazards.tsx";
import css from "./measure-stage.module.css";
import type { NumeralName } from "./numerals.tsx";
import own from "./ramp-look.module.css";
import { Sentence } from "./sentence.tsx";

type ContactView = RampView["contacts"][number];

const stateWord = (closed: boolean | null): string => (closed === null ? "–" : closed ? "closed" : "open");

const changeWord = ({ closes, changed, changedAt, chattering, expected }: ContactView): string => {
  if (changed)
    return `${closes ? "closed" : "opened"}${changedAt === null ? "" : ` at ${plain(changedAt, 2)}\u00a0°C`}`;
  if (chattering) return "bouncing";
  return `is to ${closes ? "close" : "open"} about ${nominal(expected)}\u00a0°C`;
};

/** Reference, contact and ramp as three numerals; the contact in word and shape, read from two metres. */
const Face = ({
  view,
  ramp,
  job,
  contact,
  open,
}: {
  view: RunView;
  ramp: RampView;
  job: Job;
  contact: ContactView | undefined;
  open: (name: NumeralName) => void;
}) => {
  const { reference } = view;
  return (
    <div className={css.face}>
      <button
        type="button"
        className={css.numeral}
        onClick={() => open("reference")}
        title="where this number comes from"
      >
        <span className={css.name}>
          <RoleShape role="reference" />
          reference
        </span>
        <span className={css.value}>
          {reference === null || reference.temperature === null ? "–" : plain(reference.temperature, 2)}
          <span className={css.unit}>°C</span>
        </span>
        <span className={`${css.beneath} ${own.whole}`}>
          {reference === null
            ? "no reading yet"
            : `${job.kit.reference.id} · ${signal(reference.signal)} ${reference.unit}`}
        </span>
      </button>
      <div className={css.numeral}>
        <span className={css.name}>
          <RoleShape role="item" />
          contact
        </span>
        <span className={`${css.value} ${own.state}`}>
          <ContactShape closed={contact?.closed ?? null} />
          {stateWord(contact?.closed ?? null)}
        </span>
        <span className={`${css.beneath} ${own.whole}`}>
          {contact === undefined ? "" : `${contact.tag} · ${changeWord(contact)}`}
        </span>
      </div>
      <div className={css.numeral}>
        <span className={css.name}>
          <RoleShape role="source" />
          ramp {ramp.direction}
        </span>
        <span className={css.value}>
          {ramp.setPoint === null ? nominal(ramp.from) : plain(ramp.setPoint, 2)}
          <span className={css.unit}>°C</span>
        </span>
        <span className={`${css.beneath} ${own.whole}`}>
          {ramp.phase === "ramp"
            ? `set point, ${ramp.direction === "rising" ? "up" : "down"} ${nominal(ramp.rate)}\u00a0K/min to ${plain(ramp.to, 1)}\u00a0°C at most`
            : ramp.phase === "reset"
              ? "going back first, so that the contact resets"
              : "here the slow ramp begins"}
        </span>
      </div>
    </div>
  );
};

const margin = { left: 24, right: 24 };

/** The ramp as a track over temperature: where it began, where a change is allowed, where the reference is, where it changed. */
const Track = ({ view, ramp, contact }: { view: RunView; ramp: RampView; contact: ContactView | undefined }) => {
  const { ref, width } = useElementSize();
  const wide = Math.max(320, width);
  const now = view.reference?.temperature ?? null;
  const marks = [ramp.from, ramp.to, contact?.expected ?? ramp.from, contact?.allowed?.lower, contact?.allowed?.upper];
  const all = marks.filter((value) => value !== undefined);
  const least = Math.min(...all) - 0.4;
  const span = Math.max(...all) + 0.4 - least;
  const x = (temperature: number): number =>
    margin.left +
    (Math.min(Math.max(temperature, least), least + span) - least) * ((wide - margin.left - margin.right) / span);
  const level = 104;
  const reached = ramp.setPoint ?? ramp.from;
  const allowed = contact?.allowed ?? null;
  const words = `Ramp ${ramp.direction} from ${ramp.from} to ${ramp.to} °C; reference ${now === null ? "not read" : `${plain(now, 2)} °C`}; ${contact === undefined ? "" : `${contact.tag} ${stateWord(contact.closed)}, ${changeWord(contact)}`}.`;
  return (
    <figure className={own.figure}>
      <div className={own.plot} ref={ref}>
        <svg role="img" aria-label={words}>
          {allowed !== null && (
            <g>
              <rect
                className={own.allowed}
                x={x(allowed.lower)}
                width={Math.max(2, x(allowed.upper) - x(allowed.lower))}
                y={level - 30}
                height={60}
              />
              <text className={own.quiet} x={x(allowed.lower)} y={level + 50}>
                allowed {nominal(allowed.lower)} to {nominal(allowed.upper)} °C
              </text>
            </g>
          )}
          {contact !== undefined && (
            <g>
              <path className={own.expected} d={`M${x(contact.expected)} ${level - 40}V${level + 30}`} />
              <text className={own.quiet} x={x(contact.expected)} y={level + 72} textAnchor="middle">
                {contact.closes ? "closes" : "opens"} about {nominal(contact.expected)} °C
              </text>
            </g>
          )}
          <path className={own.track} d={`M${x(ramp.from)} ${level}H${x(ramp.to)}`} />
          <path className={own.gone} d={`M${x(ramp.from)} ${level}H${x(reached)}`} />
          <path className={own.track} d={`M${x(ramp.from)} ${level - 9}v18M${x(ramp.to)} ${level - 9}v18`} />
          {contact?.changedAt !== undefined && contact.changedAt !== null && (
            <path className={own.changed} d={`M${x(contact.changedAt)} ${level - 13}l13 13-13 13-13-13z`} />
          )}
          {now !== null && (
            <g>
              <path
                d={`M${x(now)} ${level - 12}l-11 -18h22z`}
                fill="var(--reference-mark)"
                stroke="var(--enamel)"
                strokeWidth="1.5"
              />
              <text
                className={own.firm}
                x={x(now)}
                y={level - 42}
                textAnchor={x(now) > wide - 120 ? "end" : x(now) < 120 ? "start" : "middle"}
              >
                reference {plain(now, 2)} °C{now < least || now > least + span ? " (beyond this picture)" : ""}
              </text>
            </g>
          )}
        </svg>
      </div>
      <figcaption className="unseen">{words}</figcaption>
    </figure>
  );
};

/** The measuring page during the slow ramp of a switch. */
export const RampLook = ({
  view,
  ramp,
  job,
  item,
  open,
  faults,
}: {
  view: RunView;
  ramp: RampView;
  job: Job;
  item: string;
  open: (name: NumeralName) => void;
  faults: ReactNode;
}) => {
  const contact = ramp.contacts.find((each) => each.item === item) ?? ramp.contacts[0];
  return (
    <>
      <Face view={view} ramp={ramp} job={job} contact={contact} open={open} />
      <Sentence view={view} job={job} />
      {faults}
      <div className={css.look}>
        <Track view={view} ramp={ramp} contact={contact} />
        <div className={css.side}>
          <ul className={own.contacts} aria-label="Contacts">
            {ramp.contacts.map((each) => (
              <li key={each.item}>
                <ContactShape closed={each.closed} />
                <strong>{each.tag}</strong> {stateWord(each.closed)}
                <span className={parts.note}>{changeWord(each)}</span>
              </li>
            ))}
          </ul>
          <Hazards cautions={view.cautions} />
        </div>
      </div>
    </>
  );
};

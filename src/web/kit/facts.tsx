import css from "./kit-page.module.css";

/** Labels with what they are, a pair a line. */
export const Facts = ({
  facts,
  code = false,
}: {
  facts: readonly { readonly label: string; readonly text: string }[];
  code?: boolean;
}) => (
  <dl className={css.facts}>
    {facts.map(({ label, text }) => (
      <div key={`${label} ${text}`}>
        <dt>{label}</dt>
        <dd>{code ? <code>{text}</code> : text}</dd>
      </div>
    ))}
  </dl>
);

import { Fragment } from "react";
import { Dialog } from "./dialog.tsx";
import shell from "./shell.module.css";

const groups: readonly { readonly name: string; readonly keys: readonly (readonly [readonly string[], string])[] }[] = [
  {
    name: "Everywhere",
    keys: [
      [["?"], "this sheet"],
      [["g", "j"], "jobs"],
      [["g", "i"], "items"],
      [["g", "b"], "bench"],
      [["g", "t"], "kit"],
      [["g", "c"], "certificates"],
      [["d"], "light, dark, or as the system"],
      [["m"], "tones on or off"],
    ],
  },
  {
    name: "On a job",
    keys: [
      [["1"], "plan"],
      [["2"], "measure"],
      [["3"], "judge"],
      [["4"], "issue"],
      [["←", "→"], "along the route, once a stop has the focus"],
    ],
  },
  {
    name: "While measuring",
    keys: [
      [["p"], "pause, and go on again"],
      [["r"], "repeat a point"],
      [["k"], "skip the point"],
      [["n"], "add a note"],
      [["o"], "more: add a point, change the order, a break, replace kit"],
      [["x"], "stop the run"],
    ],
  },
];

export const HelpSheet = ({ opened, close }: { opened: boolean; close: () => void }) => (
  <Dialog opened={opened} close={close} title="Keys" size="xl">
    <div className={shell.sheet}>
      {groups.map(({ name, keys }) => (
        <section key={name} className={shell.group} aria-label={name}>
          <h3>{name}</h3>
          <dl className={shell.keys}>
            {keys.map(([strokes, what]) => (
              <Fragment key={what}>
                <dt>
                  {strokes.map((stroke) => (
                    <kbd key={stroke}>{stroke}</kbd>
                  ))}
                </dt>
                <dd>{what}</dd>
              </Fragment>
            ))}
          </dl>
        </section>
      ))}
    </div>
  </Dialog>
);

import type { Generator } from "#numerics";
import type { CompleteLine } from "../budget.ts";

/** Student's t by the polar method, for real degrees of freedom (R. W. Bailey, Math. Comp. 62 (1994) 779, from memory). */
const student = (generator: Generator, dof: number): number => {
  for (;;) {
    const a = 2 * generator.next() - 1;
    const b = 2 * generator.next() - 1;
    const w = a * a + b * b;
    if (w > 0 && w < 1) return a * Math.sqrt((dof * Math.expm1((-2 / dof) * Math.log(w))) / w);
  }
};

/** What is drawn: about `value`, in units of `u`. */
interface Scale {
  readonly value: number;
  readonly u: number;
}

const fillNormal = (generator: Generator, column: Float64Array, { value, u }: Scale): void => {
  for (let trial = 0; trial < column.length; trial += 1) column[trial] = value + u * generator.normal();
};

const fillRectangular = (generator: Generator, column: Float64Array, { value, u }: Scale): void => {
  const width = 2 * Math.sqrt(3) * u;
  generator.fillUniform(column);
  for (let trial = 0; trial < column.length; trial += 1) column[trial] = value + width * (column[trial]! - 0.5);
};

/** A trapezoid whose top is `shape` times its base; 0 is the triangle (JCGM 101:2008, 6.4.4.4 and 6.4.5.4). */
const fillTrapezoid = (generator: Generator, column: Float64Array, { value, u }: Scale, shape: number): void => {
  const half = u * Math.sqrt(6 / (1 + shape * shape));
  const [wide, narrow] = [half * (1 + shape), half * (1 - shape)];
  for (let trial = 0; trial < column.length; trial += 1) {
    column[trial] = value + (wide * (generator.next() - 0.5) + narrow * (generator.next() - 0.5));
  }
};

const fillArcSine = (generator: Generator, column: Float64Array, { value, u }: Scale): void => {
  generator.fillUniform(column);
  for (let trial = 0; trial < column.length; trial += 1) {
    column[trial] = value + u * Math.SQRT2 * Math.sin(2 * Math.PI * column[trial]!);
  }
};

const fillStudent = (generator: Generator, column: Float64Array, { value, u }: Scale, dof: number): void => {
  for (let trial = 0; trial < column.length; trial += 1) column[trial] = value + u * student(generator, dof);
};

/**
 * Fills a column with draws of a quantity: its estimate `value` and standard uncertainty `u`; of Student's t, `u` is the
 * scale (JCGM 101:2008, 6.4.2 to 6.4.9).
 */
export const drawColumn = (
  line: Pick<CompleteLine, "value" | "u" | "distribution" | "dof" | "shape">,
  generator: Generator,
  column: Float64Array,
): void => {
  switch (line.distribution) {
    case "normal":
      return fillNormal(generator, column, line);
    case "rectangular":
      return fillRectangular(generator, column, line);
    case "triangular":
      return fillTrapezoid(generator, column, line, 0);
    case "trapezoid":
      return fillTrapezoid(generator, column, line, line.shape ?? 0.5);
    case "u-shaped":
      return fillArcSine(generator, column, line);
    case "student":
      return line.dof === Number.POSITIVE_INFINITY
        ? fillNormal(generator, column, line)
        : fillStudent(generator, column, line, line.dof);
  }
};

/** A figure that holds everywhere, or rows over temperature in rising order, linear between them, level beyond. */
export type Figure = number | readonly { readonly temperature: number; readonly value: number }[];

export const figureValue = (figure: Figure, temperature: number): number => {
  if (typeof figure === "number") return figure;
  let below = figure[0];
  if (below === undefined) return 0;
  for (const row of figure) {
    if (row.temperature >= temperature) {
      const width = row.temperature - below.temperature;
      return width <= 0
        ? row.value
        : below.value + ((temperature - below.temperature) / width) * (row.value - below.value);
    }
    below = row;
  }
  return below.value;
};

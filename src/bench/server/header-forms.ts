/**
 * All ways of writing a header pattern: capitals are the short form, brackets hold what may be left out.
 * "SYSTem:ERRor[:NEXT]" gives SYST:ERR, SYSTEM:ERR, SYST:ERROR:NEXT and so on (SCPI-1999 6.2.1 and 6.2.3).
 */
export const headerForms = (pattern: string): readonly string[] => {
  if (pattern.startsWith("*")) return [pattern];
  const nodes = [...pattern.matchAll(/(\[)?:?([A-Za-z]+):?(\])?/g)].map(([, opened, name, closed]) => ({
    optional: opened !== undefined && closed !== undefined,
    names: [...new Set([name!.replace(/[a-z]+/g, ""), name!.toUpperCase()])],
  }));
  let forms: string[][] = [[]];
  for (const { optional, names } of nodes) {
    const grown = forms.flatMap((form) => names.map((name) => [...form, name]));
    forms = optional ? [...grown, ...forms] : grown;
  }
  return forms.map((form) => form.join(":"));
};

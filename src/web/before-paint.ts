/*
 * Imported before everything else. A choice of light or dark that was kept is put on the page before anything is drawn;
 * and as the content policy forbids code made from text, the schema library need not even try.
 */
const kept = (): string | null => {
  try {
    return localStorage.getItem("mantine-color-scheme-value");
  } catch (error) {
    // A browser that keeps nothing refuses even the question; then the system's choice holds.
    if (error instanceof DOMException) return null;
    throw error;
  }
};

const choice = kept();
const dark = choice === "dark" || (choice !== "light" && matchMedia("(prefers-color-scheme: dark)").matches);
document.documentElement.setAttribute("data-mantine-color-scheme", dark ? "dark" : "light");
Object.assign(globalThis, { __zod_globalConfig: { jitless: true } });

// Runs before the first paint, so that a dark room never sees a white flash. A file of its own because the station's
// content policy allows no script inside the page.
(() => {
  let kept = null;
  try {
    kept = localStorage.getItem("mantine-color-scheme-value");
  } catch {
    kept = null;
  }
  const dark = kept === "dark" || (kept !== "light" && matchMedia("(prefers-color-scheme: dark)").matches);
  document.documentElement.setAttribute("data-mantine-color-scheme", dark ? "dark" : "light");
  // The content policy forbids code made from text; the schema library need not even try.
  globalThis.__zod_globalConfig = { jitless: true };
})();

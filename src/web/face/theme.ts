import { createTheme } from "@mantine/core";

/** The component library brings behaviour (focus, dialogs, fields); its looks are taken from our tokens. */
export const theme = createTheme({
  fontFamily: "var(--font)",
  fontFamilyMonospace: "ui-monospace, 'DejaVu Sans Mono', monospace",
  defaultRadius: 3,
  primaryColor: "dark",
  respectReducedMotion: true,
  cursorType: "pointer",
});

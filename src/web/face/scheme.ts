import type { MantineColorScheme } from "@mantine/core";

const schemes: readonly MantineColorScheme[] = ["auto", "light", "dark"];

export const schemeWords: Record<MantineColorScheme, string> = { auto: "as the system", light: "light", dark: "dark" };

export const nextScheme = (scheme: MantineColorScheme): MantineColorScheme =>
  schemes[(schemes.indexOf(scheme) + 1) % schemes.length] ?? "auto";

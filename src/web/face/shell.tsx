import { useMantineColorScheme } from "@mantine/core";
import { useDisclosure, useHotkeys } from "@mantine/hooks";
import { Outlet, useNavigate } from "@tanstack/react-router";
import { useRef } from "react";
import { useMuted } from "../live/use-tones.ts";
import { HelpContext } from "./bar.tsx";
import { HelpSheet } from "./help-sheet.tsx";
import { nextScheme } from "./scheme.ts";
import shell from "./shell.module.css";

/** `g` then a letter goes to a place; the pair must come within a second. */
const useGo = (): void => {
  const navigate = useNavigate();
  const armed = useRef(0);
  const go = (to: "/" | "/items" | "/bench" | "/kit" | "/certificates"): void => {
    if (Date.now() - armed.current < 1_000) void navigate({ to });
  };
  useHotkeys([
    ["g", () => (armed.current = Date.now())],
    ["j", () => go("/")],
    ["i", () => go("/items")],
    ["b", () => go("/bench")],
    ["t", () => go("/kit")],
    ["c", () => go("/certificates")],
  ]);
};

/** What every page has: the keys, the help sheet, the way past the bar. */
export const Shell = () => {
  const { colorScheme, setColorScheme } = useMantineColorScheme();
  const [muted, setMuted] = useMuted();
  const [help, { open, close, toggle }] = useDisclosure(false);
  useHotkeys([
    ["shift+?", toggle],
    ["?", toggle],
    ["d", () => setColorScheme(nextScheme(colorScheme))],
    ["m", () => setMuted(!muted)],
  ]);
  useGo();
  return (
    <HelpContext value={open}>
      <div className={shell.shell}>
        <a className={shell.skip} href="#main">
          Go to the page
        </a>
        <Outlet />
      </div>
      <HelpSheet opened={help} close={close} />
    </HelpContext>
  );
};

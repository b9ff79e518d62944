import { useMantineColorScheme } from "@mantine/core";
import { IconDeviceDesktop, IconMoon, IconQuestionMark, IconSun, IconVolume, IconVolumeOff } from "@tabler/icons-react";
import { Link } from "@tanstack/react-router";
import { createContext, useContext, type ReactNode } from "react";
import { useMuted } from "../live/use-tones.ts";
import { nextScheme, schemeWords } from "./scheme.ts";
import shell from "./shell.module.css";

const schemeIcons = { auto: IconDeviceDesktop, light: IconSun, dark: IconMoon } as const;

/** Opens the help sheet, wherever it stands. */
export const HelpContext = createContext<() => void>(() => undefined);

const Mark = () => (
  <svg viewBox="0 0 44 26" aria-hidden="true">
    <path d="M1 23h9L20 9h23" fill="none" stroke="currentColor" strokeWidth="2.5" strokeLinejoin="round" />
    <circle cx="31" cy="9" r="6.5" fill="currentColor" />
  </svg>
);

const Tools = () => {
  const { colorScheme, setColorScheme } = useMantineColorScheme();
  const [muted, setMuted] = useMuted();
  const openHelp = useContext(HelpContext);
  const SchemeIcon = schemeIcons[colorScheme];
  const SoundIcon = muted ? IconVolumeOff : IconVolume;
  return (
    <div className={shell.tools}>
      <button
        type="button"
        className={shell.tool}
        onClick={() => setMuted(!muted)}
        aria-label={muted ? "Tones are muted; let them sound" : "Tones sound; mute them"}
        title={muted ? "tones are muted" : "tones sound"}
      >
        <SoundIcon size={22} aria-hidden="true" />
      </button>
      <button
        type="button"
        className={shell.tool}
        onClick={() => setColorScheme(nextScheme(colorScheme))}
        aria-label={`Colours: ${schemeWords[colorScheme]}; change`}
        title={`colours: ${schemeWords[colorScheme]}`}
      >
        <SchemeIcon size={22} aria-hidden="true" />
      </button>
      <button type="button" className={shell.tool} onClick={openHelp} aria-label="Keys and help" title="keys and help">
        <IconQuestionMark size={22} aria-hidden="true" />
      </button>
    </div>
  );
};

/** The one bar: where one is. A page puts its own title in; without one, the places stand there. */
export const Bar = ({ children }: { children?: ReactNode }) => (
  <header className={shell.bar}>
    <Link to="/" className={shell.brand} aria-label="Dwellpoint, to the jobs">
      <Mark />
      {children === undefined && "Dwellpoint"}
    </Link>
    {children ?? (
      <nav className={shell.places} aria-label="Places">
        <Link to="/" className={shell.place} activeOptions={{ exact: true }}>
          Jobs
        </Link>
        <Link to="/items" className={shell.place}>
          Items
        </Link>
        <Link to="/bench" className={shell.place}>
          Bench
        </Link>
        <Link to="/kit" className={shell.place}>
          Kit
        </Link>
        <Link to="/certificates" className={shell.place}>
          Certificates
        </Link>
      </nav>
    )}
    <Tools />
  </header>
);

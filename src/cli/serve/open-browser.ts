import { spawn } from "node:child_process";

type Environment = Readonly<Record<string, string | undefined>>;

const given = (value: string | undefined): boolean => value !== undefined && value !== "";

/** Whether there is a desktop on which a page could be shown. Automation (`CI`) has none. */
export const hasDesktop = (environment: Environment, platform: string = process.platform): boolean => {
  if (given(environment["CI"]) && environment["CI"] !== "false") return false;
  if (platform === "darwin" || platform === "win32") return true;
  return given(environment["DISPLAY"]) || given(environment["WAYLAND_DISPLAY"]);
};

const opener = (platform: string, address: string): { command: string; words: string[] } => {
  if (platform === "darwin") return { command: "open", words: [address] };
  // `start` takes its first quoted word as a window title, hence the empty one.
  if (platform === "win32") return { command: "cmd", words: ["/c", "start", "", address] };
  return { command: "xdg-open", words: [address] };
};

/** Shows the address in the user's browser; resolves to false where that could not be done, which is no failure of the station. */
export const openBrowser = (address: string, platform: string = process.platform): Promise<boolean> =>
  new Promise((resolve) => {
    const { command, words } = opener(platform, address);
    const child = spawn(command, words, { detached: true, stdio: "ignore" });
    child.once("error", () => resolve(false));
    child.once("spawn", () => {
      child.unref();
      resolve(true);
    });
  });

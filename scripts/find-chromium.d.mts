/** The Chrome or Chromium of this machine: CHROMIUM_PATH first, then the search path, then the usual places. */
export declare const findChromium: () => string | undefined;

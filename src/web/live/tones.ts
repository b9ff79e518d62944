let context: AudioContext | null = null;

/** Browsers let a page sound only after a person has touched it; the first touch opens the way. */
export const allowTones = (): (() => void) => {
  const open = (): void => {
    context ??= new AudioContext();
    void context.resume();
  };
  addEventListener("pointerdown", open, { once: true });
  addEventListener("keydown", open, { once: true });
  return () => {
    removeEventListener("pointerdown", open);
    removeEventListener("keydown", open);
  };
};

interface Note {
  readonly after: number;
  readonly hertz: number;
  readonly length: number;
}

/**
 * Ready rises and is soft; trouble repeats one low note and is harsh; a call for a person's hands is two short high notes, as of a
 * door bell. Nobody has to remember which is which.
 */
const tunes: Record<"ready" | "trouble" | "call", { shape: OscillatorType; loudness: number; notes: readonly Note[] }> =
  {
    ready: {
      shape: "sine",
      loudness: 0.35,
      notes: [
        { after: 0, hertz: 587, length: 0.16 },
        { after: 0.18, hertz: 880, length: 0.34 },
      ],
    },
    call: {
      shape: "triangle",
      loudness: 0.35,
      notes: [
        { after: 0, hertz: 1047, length: 0.14 },
        { after: 0.2, hertz: 784, length: 0.3 },
      ],
    },
    trouble: {
      shape: "sawtooth",
      loudness: 0.22,
      notes: [0, 0.28, 0.56].map((after) => ({ after, hertz: 208, length: 0.18 })),
    },
  };

export type Tone = keyof typeof tunes;

export const sound = (tone: Tone): void => {
  if (context === null || context.state !== "running") return;
  const { shape, loudness, notes } = tunes[tone];
  for (const { after, hertz, length } of notes) {
    const begin = context.currentTime + after;
    const oscillator = new OscillatorNode(context, { type: shape, frequency: hertz });
    const level = new GainNode(context, { gain: 0 });
    level.gain.setValueAtTime(0, begin);
    level.gain.linearRampToValueAtTime(loudness, begin + 0.015);
    level.gain.setValueAtTime(loudness, begin + length - 0.05);
    level.gain.linearRampToValueAtTime(0, begin + length);
    oscillator.connect(level).connect(context.destination);
    oscillator.start(begin);
    oscillator.stop(begin + length);
  }
};

import { constants } from "node:fs";
import { open, type FileHandle } from "node:fs/promises";
import { failure, success, type Outcome } from "#fault";
import { decodeText } from "../wire/latin-text.ts";
import { wireEnd } from "../wire/wire-end.ts";
import type { Wire } from "../wire/wire.ts";
import { reasonOf } from "./reasons.ts";

const codeOf = (error: unknown): string => (error instanceof Error && "code" in error ? String(error.code) : "");

/** How long between two looks, ms, where the device says that nothing is there yet. */
const lookAgain = 5;
/** The longest response message that is read in one piece; longer ones come in several. */
const pieceLength = 65_536;

/**
 * A USB-TMC device answers only when it is read, and complains of being read without a question: so a message with a
 * question in it is followed by reading until its line is whole, and any other is not.
 */
const wireOf = (device: FileHandle): Wire => {
  const ours = wireEnd();
  let reading = false;
  let wanted = 0;
  let writing: Promise<unknown> = Promise.resolve();

  const end = (reason: string) => {
    if (ours.gone()) return;
    // A device that is gone cannot be closed properly either; what is said of it is the reason above.
    void device.close().catch(() => undefined);
    ours.close(reason);
  };

  const rest = () => new Promise<void>((resolve) => setTimeout(resolve, lookAgain));

  /** One piece; null when nothing is there yet. */
  const look = async (buffer: Buffer): Promise<Uint8Array | null> => {
    try {
      const { bytesRead } = await device.read(buffer, 0, pieceLength, null);
      if (bytesRead === 0) throw Object.assign(new Error("end of file"), { code: "EIO" });
      return new Uint8Array(buffer.subarray(0, bytesRead));
    } catch (error) {
      if (codeOf(error) === "EAGAIN" || codeOf(error) === "ETIMEDOUT") return null;
      throw error;
    }
  };

  const readOn = async () => {
    if (reading) return;
    reading = true;
    const buffer = Buffer.alloc(pieceLength);
    try {
      while (wanted > 0 && !ours.gone()) {
        const piece = await look(buffer);
        if (piece === null) {
          await rest();
          continue;
        }
        wanted -= decodeText(piece).split("\n").length - 1;
        ours.take(piece);
      }
    } catch (error) {
      end(error instanceof Error ? reasonOf(error) : String(error));
    }
    wanted = Math.max(0, wanted);
    reading = false;
  };

  return {
    listen: ours.listen,
    send(bytes) {
      const isQuestion = decodeText(bytes).includes("?");
      writing = writing.then(async () => {
        if (ours.gone()) return;
        try {
          await device.write(bytes);
          // One answer is due for each question; one that never came is not waited for beside the next.
          if (isQuestion) wanted = 1;
          void readOn();
        } catch (error) {
          end(error instanceof Error ? reasonOf(error) : String(error));
        }
      });
    },
    close: () => end("closed by this program"),
  };
};

/** Opens a USB-TMC device file (Linux: /dev/usbtmc0). Reading does not hold the program up: it looks, and looks again. */
export const connectUsbTmc = async (path: string): Promise<Outcome<Wire>> => {
  try {
    return success(wireOf(await open(path, constants.O_RDWR | constants.O_NONBLOCK)));
  } catch (error) {
    return failure("instrument.unreachable", `${path}: ${error instanceof Error ? reasonOf(error) : String(error)}`);
  }
};

import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { chainStart, checkChain, link, type ChainedText } from "./chain.ts";

const seed = 3174;

const chainOf = (texts: readonly string[]): ChainedText[] => {
  let hash = chainStart;
  return texts.map((text, n) => {
    hash = link(hash, text);
    return { n, text, hash };
  });
};

describe("a chain of texts", () => {
  it("has the hashes that another implementation gives [R5]", () => {
    // Python 3, hashlib.sha256 over the predecessor's digits and the text in UTF-8.
    const [first, second] = chainOf(['{"a":"Ω"}', '{"b":1}']);
    expect([first!.hash, second!.hash]).toEqual([
      "9b231aeb1dfff597b41fc4527fdd0a6bb32b8e704faa6aeb12cfc9ef132b129d",
      "f410244ee7bb168b7280c91a0fc6854c3a858dd64abb91833978e744e32b51b6",
    ]);
  });

  it("is whole as it was written, and an empty one too [R6]", () => {
    const chain = chainOf(["a", "b"]);
    expect(checkChain(chain)).toEqual({ whole: true, entries: 2, head: chain[1]!.hash });
    expect(checkChain([])).toEqual({ whole: true, entries: 0, head: chainStart });
  });

  it(`tells where it was changed, thinned, filled or exchanged, and what holds before (seed ${seed}) [R6]`, () => {
    const texts = fc.array(fc.string({ minLength: 1, maxLength: 20 }), { minLength: 2, maxLength: 30 });
    const changes = fc.constantFrom("text", "hash", "remove", "add", "exchange", "text and own hash");
    fc.assert(
      fc.property(texts, changes, fc.nat(), fc.nat(), (list, change, where, byte) => {
        const chain = chainOf(list);
        // The last entry removed, or given a hash that fits its new text, is found by what was noted outside the chain.
        const place = where % (chain.length - 1);
        const entry = chain[place]!;
        const altered = { ...entry, text: flip(entry.text, byte) };
        const spoilt: ChainedText[] = [...chain];
        if (change === "text") spoilt[place] = altered;
        else if (change === "hash") spoilt[place] = { ...entry, hash: flip(entry.hash, byte) };
        else if (change === "remove") spoilt.splice(place, 1);
        else if (change === "add") spoilt.splice(place, 0, altered);
        else if (change === "exchange") spoilt.splice(place, 2, chain[place + 1]!, entry);
        else spoilt[place] = { ...altered, hash: link(chain[place - 1]?.hash ?? chainStart, altered.text) };
        const check = checkChain(spoilt);
        // A new entry with a hash that fits holds by itself; the one behind it does not.
        const holds = change === "text and own hash" ? place + 1 : place;
        expect(check).toMatchObject({
          whole: false,
          entries: holds,
          at: holds,
          reason: expect.stringContaining(`Entry ${holds} `),
        });
      }),
      { seed, numRuns: 2000 },
    );
  });
});

const flip = (text: string, byte: number): string => {
  const bytes = [...text];
  const place = byte % bytes.length;
  bytes[place] = bytes[place] === "x" ? "y" : "x";
  return bytes.join("");
};

/** Prints the table of rooms for ARCHITECTURE.md, made from the one map. */
import { rooms } from "./rooms.ts";

const rows = rooms.map((room) => {
  const imports = room.mayImport.length === 0 ? "nothing" : room.mayImport.map((name) => `\`${name}\``).join(" ");
  return `| \`${room.name}\` | ${room.purpose} | ${room.never} | ${imports} | ${room.compiled} |`;
});
process.stdout.write(
  ["| room | what it holds | never | may import | compiled |", "|---|---|---|---|---|", ...rows, ""].join("\n"),
);

import { rooms } from "./scripts/rooms.ts";

/** One rule a room, made from the map in `scripts/rooms.ts`; plus doors, cycles, orphans and packages. */
const doors = rooms.map((room) => ({
  name: `${room.name}-imports`,
  comment:
    `src/${room.name} (${room.purpose}) may import only ${room.mayImport.join(", ") || "nothing"}. ` +
    "Move the code to the room it belongs to, or hand the thing over as an argument or a port.",
  severity: "error",
  from: { path: `^src/${room.name}/` },
  to: { path: "^src/", pathNot: [`^src/${room.name}/`, ...room.mayImport.map((name) => `^src/${name}/index\\.ts$`)] },
}));

/** Tests stand beside their source and may reach further: a proof may use any room, through its door. */
const source = (room) => ({ path: `^src/${room.name}/`, pathNot: "\\.(test|test-support)\\.tsx?$|/dev/" });

const packages = rooms.map((room) => ({
  name: `${room.name}-packages`,
  comment: `src/${room.name} may use only these packages: ${room.packages.join(", ") || "none"}. See scripts/rooms.ts.`,
  severity: "error",
  from: source(room),
  to: {
    dependencyTypes: ["npm", "npm-dev", "npm-optional", "npm-no-pkg", "npm-unknown"],
    pathNot: room.packages
      .map((name) => `node_modules/${name}/`)
      .concat(room.compiled === "dom" ? ["\\.css$", "node_modules/@fontsource"] : ["^$"]),
  },
}));

export default {
  forbidden: [
    ...doors.map((rule, index) => ({ ...rule, from: source(rooms[index]) })),
    ...packages,
    {
      name: "pure-rooms-touch-no-platform",
      comment: "Pure rooms take time, chance, files and sockets as arguments: no Node module may be imported here.",
      severity: "error",
      from: {
        path: rooms.flatMap((room) =>
          room.compiled === "pure"
            ? [`^src/${room.name}/`]
            : (room.pureFolders ?? []).map((folder) => `^src/${room.name}/${folder}/`),
        ),
        pathNot: "\\.(test|test-support)\\.ts$",
      },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "tests-by-the-door",
      comment: "A test that needs another room imports it as #room, like everybody else.",
      severity: "error",
      from: { path: "^src/([^/]+)/.*\\.test\\.tsx?$" },
      to: { path: "^src/", pathNot: ["^src/$1/", "^src/[^/]+/index\\.ts$"] },
    },
    {
      name: "no-cycles",
      comment: "Two files that need each other are one file, or lack a third that both can use.",
      severity: "error",
      from: {},
      to: { circular: true },
    },
    {
      name: "bench-stays-outside",
      comment: "The simulated bench is an independent path: only the command line, rehearsals and tests may start it.",
      severity: "error",
      from: { path: "^src/", pathNot: ["^src/(bench|cli|rehearsal)/", "\\.(test|test-support)\\.ts$"] },
      to: { path: "^src/bench/" },
    },
    {
      name: "no-orphans",
      comment: "Nobody imports this file: use it or remove it.",
      severity: "error",
      from: { orphan: true, path: "^src/", pathNot: ["\\.test\\.tsx?$", "\\.d\\.ts$", "^src/cli/main\\.ts$"] },
      to: {},
    },
    {
      name: "nothing-unresolved",
      comment: "The import leads nowhere.",
      severity: "error",
      from: {},
      to: { couldNotResolve: true, pathNot: ["^#", "\\.css$", "^virtual:", "^node:"] },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.node.json" },
    doNotFollow: { path: "node_modules" },
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "node", "default", "types"],
      extensions: [".ts", ".tsx", ".js", ".mjs", ".json"],
    },
  },
};

import { createRootRoute, createRoute, createRouter, lazyRouteComponent, Link } from "@tanstack/react-router";
import { Shell } from "./face/shell.tsx";
import { Page } from "./face/page.tsx";
import { readJobSearch } from "./job/job-search.ts";
import { JobsPage } from "./jobs/jobs-page.tsx";

const NotHere = () => (
  <Page>
    <h1>There is no such page.</h1>
    <p>
      <Link to="/">Go to the jobs</Link>.
    </p>
  </Page>
);

const root = createRootRoute({ component: Shell, notFoundComponent: NotHere });

const routes = [
  createRoute({ getParentRoute: () => root, path: "/", component: JobsPage }),
  createRoute({
    getParentRoute: () => root,
    path: "/jobs/$job",
    component: lazyRouteComponent(() => import("./job/job-page.tsx"), "JobPage"),
    validateSearch: readJobSearch,
  }),
  // Each page's script comes with its first visit, or when a pointer nears the link that leads there.
  createRoute({
    getParentRoute: () => root,
    path: "/bench",
    component: lazyRouteComponent(() => import("./bench/bench-page.tsx"), "BenchPage"),
  }),
  createRoute({
    getParentRoute: () => root,
    path: "/kit",
    component: lazyRouteComponent(() => import("./kit/kit-page.tsx"), "KitPage"),
  }),
  createRoute({
    getParentRoute: () => root,
    path: "/kit/$entry/upkeep",
    component: lazyRouteComponent(() => import("./upkeep/upkeep-page.tsx"), "UpkeepPage"),
  }),
  createRoute({
    getParentRoute: () => root,
    path: "/items",
    component: lazyRouteComponent(() => import("./items/items-page.tsx"), "ItemsPage"),
  }),
  createRoute({
    getParentRoute: () => root,
    path: "/items/$item",
    component: lazyRouteComponent(() => import("./items/item-page.tsx"), "ItemPage"),
    // A serial number of digits alone comes as a number.
    validateSearch: (search): { serial: string } => ({ serial: String(search["serial"] ?? "") }),
  }),
  createRoute({
    getParentRoute: () => root,
    path: "/found-out",
    component: lazyRouteComponent(() => import("./traceback/trace-page.tsx"), "TracePage"),
  }),
  createRoute({
    getParentRoute: () => root,
    path: "/certificates",
    component: lazyRouteComponent(() => import("./records/certificates-page.tsx"), "CertificatesPage"),
    validateSearch: (search): { find?: string } =>
      search["find"] === undefined ? {} : { find: String(search["find"]) },
  }),
] as const;

export const router = createRouter({
  routeTree: root.addChildren(routes),
  defaultPreload: "intent",
  scrollRestoration: true,
});

declare module "@tanstack/react-router" {
  interface Register {
    router: typeof router;
  }
}

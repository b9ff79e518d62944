import { z } from "zod";
import { identifierSchema } from "#calibration";
import { itemHistorySchema, itemSummarySchema, problemSchema } from "#contract";
import type { Server } from "../http/server.ts";
import type { ItemsDesk } from "../desk/items-desk.ts";

/** Items and what they showed over the years. */
export const itemRoutes = (server: Server, desk: ItemsDesk): void => {
  server.route({
    method: "GET",
    url: "/api/items",
    schema: { summary: "items that runs measured, by tag", response: { 200: z.array(itemSummarySchema) } },
    handler: async () => desk.list(),
  });
  server.route({
    method: "GET",
    url: "/api/items/:item",
    schema: {
      summary: "what an item showed: errors over the years, drift, reliability, and the interval that follows",
      params: z.object({ item: identifierSchema }),
      querystring: z.object({ serial: z.string().min(1).max(200) }),
      response: { 200: itemHistorySchema, 404: problemSchema },
    },
    handler: async (request) => desk.history(request.params.item, request.query.serial),
  });
};

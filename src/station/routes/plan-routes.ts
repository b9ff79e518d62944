import { z } from "zod";
import { identifierSchema } from "#calibration";
import {
  chosenOrderSchema,
  dayPlanSchema,
  dayQuestionSchema,
  jobDetailSchema,
  kitComparisonSchema,
  problemSchema,
} from "#contract";
import { Fault } from "#fault";
import type { Server } from "../http/server.ts";
import type { Desk } from "./desk.ts";

const jobParameter = z.object({ job: identifierSchema });

const minutesOf = (clock: string): number => {
  const [hours, minutes] = clock.split(":").map(Number);
  return hours! * 60 + minutes!;
};

/** Plans: an order for the points, other kits, the day. */
export const planRoutes = (server: Server, desk: Desk): void => {
  server.route({
    method: "POST",
    url: "/api/jobs/:job/order",
    schema: {
      summary: "takes another order for the points of a job that no run is going on of",
      params: jobParameter,
      body: chosenOrderSchema,
      response: { 200: jobDetailSchema, 400: problemSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.takeOrder(request.params.job, request.body.points),
  });
  server.route({
    method: "GET",
    url: "/api/jobs/:job/kits",
    schema: {
      summary: "the job with the kits that the station knows, beside each other",
      params: jobParameter,
      response: { 200: kitComparisonSchema, 404: problemSchema },
    },
    handler: async (request) => desk.kits(request.params.job),
  });
  server.route({
    method: "GET",
    url: "/api/day",
    schema: {
      summary: "a timetable of the day over one job or several",
      querystring: dayQuestionSchema,
      response: { 200: dayPlanSchema, 400: problemSchema, 404: problemSchema },
    },
    handler: async (request) => {
      const { jobs, start, end, pause, pauseMinutes } = request.query;
      const [from, to] = [minutesOf(start), end === undefined ? null : minutesOf(end)];
      if (to !== null && to <= from)
        throw new Fault("input.invalid", "The end of the day must be later than its start.", { data: { start, end } });
      return desk.day(jobs.split(","), {
        start: from,
        end: to,
        pause: pause === undefined ? null : { from: minutesOf(pause), minutes: pauseMinutes },
      });
    },
  });
};

import { backupMadeSchema, backupStateSchema, chosenBackupSchema, problemSchema } from "#contract";
import type { BackupDesk } from "../desk/backup-desk.ts";
import type { Server } from "../http/server.ts";

/** Backups: by a schedule, and when somebody asks for one. */
export const backupRoutes = (server: Server, desk: BackupDesk): void => {
  server.route({
    method: "GET",
    url: "/api/backup",
    schema: {
      summary: "where backups go, the last one, when the next is due, and what went wrong",
      response: { 200: backupStateSchema },
    },
    handler: async () => desk.state(),
  });
  server.route({
    method: "PUT",
    url: "/api/backup",
    schema: {
      summary: "sets where backups go, how often they are made, and how many stay",
      body: chosenBackupSchema,
      response: { 200: backupStateSchema, 400: problemSchema },
    },
    handler: async (request) => desk.set(request.body),
  });
  server.route({
    method: "POST",
    url: "/api/backup",
    schema: {
      summary: "makes a backup now, while runs go on",
      response: { 200: backupMadeSchema, 409: problemSchema, 507: problemSchema },
    },
    handler: async () => desk.make(),
  });
};

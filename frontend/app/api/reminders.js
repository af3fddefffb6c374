/** The delivery record of e-mails. */
import { get } from "./client.js";

/** @typedef {import("./types.d.ts").MailRecord} MailRecord */

/**
 * @param {{ status?: string, page?: number }} query
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<import("./types.d.ts").Answer<import("./types.d.ts").Paged<MailRecord>>>}
 */
export function listMail(query, reading) {
  return get("/mail", { ...reading, query });
}

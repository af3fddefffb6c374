/** The delivery record, safety notices, calendars and a person's settings of mail. */
import { call, get } from "./client.js";

/** @typedef {import("./types.d.ts").MailRecord} MailRecord */
/** @typedef {import("./types.d.ts").SafetyNotice} SafetyNotice */
/** @typedef {import("./types.d.ts").RaisedNotice} RaisedNotice */
/** @typedef {import("./types.d.ts").Feed} Feed */
/** @typedef {import("./types.d.ts").NewFeed} NewFeed */
/** @typedef {import("./types.d.ts").MailSettings} MailSettings */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {Promise<import("./types.d.ts").Answer<T>>} Reply
 */
/**
 * @template T
 * @typedef {import("./types.d.ts").Paged<T>} Paged
 */

/**
 * @param {{ status?: string, kind?: string, problem?: string, sort?: string, page?: number }} query
 * @param {Reading} [reading]
 * @returns {Reply<Paged<MailRecord>>}
 */
export function listMail(query, reading) {
  return get("/mail", { ...reading, query });
}

/**
 * @param {string} mailId
 * @param {string} key
 * @returns {Reply<{ id: string, status: string }>}
 */
export function resendMail(mailId, key) {
  return call("POST", `/mail/${mailId}/resend`, { key });
}

/**
 * @param {{ unread?: boolean, page?: number }} query
 * @param {Reading} [reading]
 * @returns {Reply<Paged<SafetyNotice>>}
 */
export function listNotices(query, reading) {
  return get("/notices", { ...reading, query });
}

/**
 * @param {string} noticeId
 * @param {string} key
 * @returns {Reply<SafetyNotice>}
 */
export function readNotice(noticeId, key) {
  return call("POST", `/notices/${noticeId}/reading`, { key });
}

/**
 * @param {{ rung?: boolean, page?: number }} query
 * @param {Reading} [reading]
 * @returns {Reply<Paged<RaisedNotice>>}
 */
export function listRaised(query, reading) {
  return get("/raised_notices", { ...reading, query });
}

/**
 * @param {string} noticeId
 * @param {string} note
 * @param {string} key
 * @returns {Reply<RaisedNotice>}
 */
export function ringNotice(noticeId, note, key) {
  return call("POST", `/notices/${noticeId}/ringing`, { body: { note }, key });
}

/**
 * @param {Reading} [reading]
 * @returns {Reply<{ items: Feed[] }>}
 */
export function listFeeds(reading) {
  return get("/feeds", reading);
}

/**
 * @param {"rechecks" | "plan"} kind
 * @param {string} key
 * @returns {Reply<NewFeed>}
 */
export function makeFeed(kind, key) {
  return call("POST", "/feeds", { body: { kind }, key });
}

/**
 * @param {string} feedId
 * @param {string} key
 * @returns {Reply<Feed>}
 */
export function revokeFeed(feedId, key) {
  return call("POST", `/feeds/${feedId}/revocation`, { key });
}

/**
 * @param {Reading} [reading]
 * @returns {Reply<MailSettings>}
 */
export function getMailSettings(reading) {
  return get("/mail_settings", reading);
}

/**
 * @param {{ tips_muted: boolean, telephone: string }} settings
 * @param {string | null} etag
 * @returns {Reply<MailSettings>}
 */
export function changeMailSettings(settings, etag) {
  return call("PUT", "/mail_settings", { body: settings, etag });
}

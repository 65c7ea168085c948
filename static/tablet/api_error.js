/** What can come between the tablet and its answer. */

/** @typedef {"offline" | "signed_out" | "another_person" | "refused" | "server"} ErrorKind */

export class ApiError extends Error {
  /**
   * @param {object} about
   * @param {string} about.code
   * @param {string} about.sentence
   * @param {ErrorKind} about.kind
   * @param {number} [about.status] 0 where there was no answer
   * @param {number} [about.retryAfter] Seconds the server asks to wait
   * @param {number} [about.offset] Where the server stands in a photo
   * @param {unknown} [about.cause]
   */
  constructor({ code, sentence, kind, status = 0, retryAfter = 0, offset = 0, cause }) {
    super(sentence, { cause });
    this.name = "ApiError";
    this.code = code;
    this.sentence = sentence;
    this.kind = kind;
    this.status = status;
    this.retryAfter = retryAfter;
    this.offset = offset;
  }
}

const OFFLINE = "No connection to the office. Everything saved stays on this tablet and is sent later.";
const SLOW = "The connection is too slow just now. It is tried again.";
const NOT_OURS = "Something else answered in place of the office, such as the login page of a hotspot. Look at the"
  + " tablet's connection.";
const SIGNED_OUT = "Sign in again to send. Everything saved stays on this tablet.";
const TROUBLE = "The office's server has trouble. It is tried again; everything saved stays on this tablet.";
const UNREADABLE = "The server could not read this. Enter it again, or ask the office.";

/** How the server answers where it has looked at what was sent and does not take it. */
const REFUSALS = new Set([409, 413, 415, 422]);
/** Answers of that kind that are about the sending alone. */
const ABOUT_THE_SENDING = new Set(["same_again", "digest_missing"]);

/** @param {unknown} cause */
export function noAnswer(cause) {
  const slow = cause instanceof Error && cause.name === "TimeoutError";
  return new ApiError({
    code: slow ? "timeout" : "offline", sentence: slow ? SLOW : OFFLINE, kind: "offline", cause,
  });
}

/** @param {number} status */
export function notOurs(status) {
  return new ApiError({ code: "not_ours", sentence: NOT_OURS, kind: "server", status });
}

/**
 * Say what an answer that is no success means.
 *
 * @param {Response} response
 * @param {any} said Its JSON; null where it is none
 * @returns {ApiError}
 */
export function refusalOf(response, said) {
  const { status } = response;
  const about = {
    status,
    retryAfter: Number(response.headers.get("Retry-After")) || 0,
    offset: Number.isSafeInteger(said?.offset) ? said.offset : 0,
  };
  const told = (/** @type {string} */ otherwise) => String(said?.sentence || otherwise);
  if (status === 401) return new ApiError({ ...about, code: "signed_out", sentence: SIGNED_OUT, kind: "signed_out" });
  if (status === 408 || status === 429 || status >= 500) {
    return new ApiError({ ...about, code: "server", sentence: told(TROUBLE), kind: "server" });
  }
  if (status === 413 && !said) return new ApiError({ ...about, code: "too_large", sentence: UNREADABLE, kind: "server" });
  if (!said?.code) return notOurs(status);
  const code = String(said.code);
  return new ApiError({ ...about, code, sentence: told(UNREADABLE), kind: kindOf(status, code) });
}

/**
 * @param {number} status
 * @param {string} code
 * @returns {ErrorKind}
 */
function kindOf(status, code) {
  if (code === "another_person") return code;
  if (code === "no_such_job") return "refused";
  return REFUSALS.has(status) && !ABOUT_THE_SENDING.has(code) ? "refused" : "server";
}

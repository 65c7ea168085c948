/** One photo to the server, part by part, from where it was cut. */
import { ApiError } from "#tablet/api_error.js";
import { sha256 } from "#tablet/digests.js";

/** @typedef {import("#tablet/api.js").Api} Api */
/** @typedef {import("#tablet/types.js").Entry} Entry */

export const LARGEST_PART = 256 * 1024;
const SMALLEST_PART = 8 * 1024;
/** How often in a row a part is tried at once before the upload waits like everything else. */
const MOST_TRIES = 5;

/** How large the parts are: on a slow line a large one would never arrive in time. */
export class Pace {
  /** @param {number} [largest] */
  constructor(largest = LARGEST_PART) {
    this.largest = largest;
    this.size = largest;
  }

  slower() {
    this.size = Math.max(Math.min(SMALLEST_PART, this.largest), Math.floor(this.size / 2));
  }

  faster() {
    this.size = Math.min(this.largest, this.size * 2);
  }
}

/**
 * Send a photo's bytes; returns when the server has all of them.
 *
 * @param {object} told
 * @param {Api} told.api
 * @param {Entry} told.entry
 * @param {ArrayBuffer} told.bytes
 * @param {Pace} told.pace
 * @param {(sent: number) => void} told.onBytes
 */
export async function uploadPhoto({ api, entry, bytes, pace, onBytes }) {
  const length = bytes.byteLength;
  const whole = entry.photo?.sha256 || (await sha256(bytes));
  let { offset, complete } = await api.photoState(entry.job, entry.entry);
  let tries = 0;
  while (!complete) {
    if (offset > length) throw stuck();
    onBytes(offset);
    const part = bytes.slice(offset, offset + pace.size);
    const before = offset;
    try {
      const partSha256 = await sha256(part);
      const sent = { offset, length, part, partSha256, sha256: whole };
      ({ offset, complete } = await api.sendPhotoPart(entry.job, entry.entry, sent));
      pace.faster();
    } catch (error) {
      offset = await whereToGoOn(error, { api, entry, offset, pace });
    }
    tries = offset > before ? 0 : tries + 1;
    if (tries === MOST_TRIES && !complete) throw stuck();
  }
  onBytes(length);
}

/**
 * @param {unknown} error
 * @param {{api: Api, entry: Entry, offset: number, pace: Pace}} at
 * @returns {Promise<number>}
 */
async function whereToGoOn(error, { api, entry, offset, pace }) {
  if (!(error instanceof ApiError)) throw error;
  if (error.code === "timeout") pace.slower();
  if (error.status === 413 && pace.size > SMALLEST_PART) {
    pace.slower();
    return offset;
  }
  if (error.kind !== "refused") throw error;
  if (error.code === "wrong_offset") return error.offset;
  if (error.code === "part_broken") return offset;
  if (error.code === "photo_broken") return (await api.photoState(entry.job, entry.entry)).offset;
  throw error;
}

function stuck() {
  return new ApiError({
    code: "photo_stuck",
    sentence: "A photo does not get through just now. It is tried again; it stays on this tablet until then.",
    kind: "server",
  });
}

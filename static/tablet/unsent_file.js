/** What waits on a tablet, in files that the office can bring in where the tablet cannot send. */
import { deviceTime } from "#tablet/clock.js";
import { sentForm } from "#tablet/entry_versions.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */

export const FORMAT = "fluewright unsent work";
export const VERSION = 1;
const MOST_PHOTO_BYTES = 20 * 1024 * 1024;

/** A file that holds no unsent work; the sentence says what to do. */
export class UnsentFileError extends Error {
  /**
   * @param {string} code
   * @param {string} sentence
   */
  constructor(code, sentence) {
    super(sentence);
    this.name = "UnsentFileError";
    this.code = code;
  }
}

/**
 * @typedef {object} UnsentFile
 * @property {string} made_at
 * @property {string} device
 * @property {{id: number, name: string}} person
 * @property {number} part
 * @property {number} parts
 * @property {{job: number, sent: Record<string, any>, bytes: ArrayBuffer | null}[]} entries
 */

/**
 * Write everything that is only on this tablet, waiting or refused, into files.
 *
 * @param {import("#tablet/store.js").Store} store
 * @param {{id: number, name: string}} person
 * @param {string} device
 * @param {{now?: () => Date, most?: number}} [options] `most`: bytes of photos in one file
 * @returns {Promise<Blob[]>}
 */
export async function exportUnsent(store, person, device, { now = () => new Date(), most = MOST_PHOTO_BYTES } = {}) {
  if (store.personId !== person.id) throw new UnsentFileError("another_person", "This is another person's shelf.");
  const groups = inGroups(await store.entries(), most);
  const about = { format: FORMAT, version: VERSION, made_at: deviceTime(now()), device,
    person: { id: person.id, name: person.name } };
  const files = [];
  for (const [index, group] of groups.entries()) {
    const written = [];
    for (const entry of group) written.push(JSON.stringify(await entryWritten(store, entry)));
    const head = JSON.stringify({ ...about, part: index + 1, parts: groups.length }).slice(0, -1);
    files.push(new Blob([`${head},"entries":[`, written.join(",\n"), "]}\n"], { type: "application/json" }));
  }
  return files;
}

/**
 * Read such a file back.
 *
 * @param {string} text
 * @returns {UnsentFile}
 */
export function readUnsent(text) {
  /** @type {any} */
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    file = null;
  }
  if (file?.format !== FORMAT || !Array.isArray(file.entries)) {
    throw new UnsentFileError("not_unsent_work",
      "This is no file of unsent work, or it did not arrive whole. Save it on the tablet once more.");
  }
  if (file.version !== VERSION) {
    throw new UnsentFileError("newer_file", "This file was saved by a newer Fluewright. Update this one first.");
  }
  const { made_at, device, person, part, parts } = file;
  return { made_at, device, person, part, parts, entries: file.entries.map(readEntry) };
}

/** @param {any} written */
function readEntry({ job, ...sent }) {
  if (!sent.photo) return { job, sent, bytes: null };
  const { bytes, ...photo } = sent.photo;
  return { job, sent: { ...sent, photo }, bytes: fromBase64(bytes) };
}

/**
 * @param {Entry[]} entries
 * @param {number} most
 * @returns {Entry[][]}
 */
function inGroups(entries, most) {
  /** @type {Entry[][]} */
  const groups = [];
  let room = 0;
  for (const entry of entries) {
    const size = entry.photo?.size ?? 0;
    if (!groups.length || size > room) {
      groups.push([]);
      room = most;
    }
    groups[groups.length - 1].push(entry);
    room -= size;
  }
  return groups;
}

/**
 * @param {import("#tablet/store.js").Store} store
 * @param {Entry} entry
 */
async function entryWritten(store, entry) {
  const sent = sentForm(entry);
  const bytes = entry.photo ? await store.photoBytes(entry.entry) : undefined;
  const photo = entry.photo && bytes ? { ...entry.photo, bytes: toBase64(bytes) } : null;
  return { job: entry.job, ...sent, photo };
}

/** @param {ArrayBuffer} bytes */
function toBase64(bytes) {
  const view = new Uint8Array(bytes);
  const pieces = [];
  // A call takes only so many arguments; the step is a multiple of three so that no piece is padded.
  for (let at = 0; at < view.length; at += 0x6000) {
    pieces.push(btoa(String.fromCharCode(...view.subarray(at, at + 0x6000))));
  }
  return pieces.join("");
}

/** @param {string} text */
function fromBase64(text) {
  return Uint8Array.from(atob(text), (one) => one.charCodeAt(0)).buffer;
}

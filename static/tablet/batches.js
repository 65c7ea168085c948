/** Which entries of a job can go next. What must be known for it comes in; nothing is asked. */

/** @typedef {import("#tablet/types.js").Entry} Entry */

export const MOST_ENTRIES = 50;

/**
 * @typedef {object} Standing How things stand with the entries of a job
 * @property {ReadonlySet<string>} uploaded Photos whose bytes the server has
 * @property {ReadonlySet<string>} aside Entries that are not tried now
 * @property {number} [most] Entries a batch may hold
 */

/**
 * Return the next batch of one job.
 *
 * Never two of one item, as the server takes the items of a batch side by side. What begins or ends something goes
 * alone: the beginning before everything, a signature after everything that came before it. An entry that cannot
 * go yet holds back later ones of its item, and a signature later ones of its stage; the rest passes.
 *
 * @param {Entry[]} waiting Entries of one job that wait, in the order they were made
 * @param {Standing} standing
 * @returns {Entry[]}
 */
export function nextBatch(waiting, { uploaded, aside, most = MOST_ENTRIES }) {
  const batch = [];
  const items = new Set();
  const stages = new Set();
  for (const entry of waiting) {
    if (batch.length === most) break;
    const goes = !aside.has(entry.entry) && (entry.kind !== "photo" || uploaded.has(entry.entry));
    if (goesAlone(entry)) {
      if (entry === waiting[0] && goes) return [entry];
      if (entry.kind !== "signature") break;
      stages.add(entry.stage);
      continue;
    }
    const item = itemOf(entry);
    if (goes && !items.has(item) && !stages.has(entry.stage) && !waitsForDefect(entry, waiting)) batch.push(entry);
    if (item) items.add(item);
  }
  return batch;
}

/**
 * Return the next photo of one job whose bytes the server has not got.
 *
 * @param {Entry[]} waiting
 * @param {Standing} standing
 * @returns {Entry | null}
 */
export function nextPhoto(waiting, { uploaded, aside }) {
  const begin = waiting.find((entry) => entry.kind === "begin");
  if (begin && aside.has(begin.entry)) return null;
  const missing = (/** @type {Entry} */ { kind, entry }) => kind === "photo" && !uploaded.has(entry) && !aside.has(entry);
  return waiting.find(missing) ?? null;
}

/** @param {Entry} entry */
function goesAlone({ kind }) {
  return kind === "begin" || kind === "signature" || kind === "sign_off";
}

/** @param {Entry} entry */
function itemOf({ stage, item }) {
  return item ? `${stage}/${item}` : "";
}

/**
 * Whether an entry puts a defect right that the server has not heard of.
 *
 * @param {Entry} entry
 * @param {Entry[]} waiting
 */
function waitsForDefect({ item }, waiting) {
  const number = /^defect-([0-9a-f]{12})(?:-photo)?$/.exec(item)?.[1];
  if (!number) return false;
  return waiting.some((one) => one.kind === "defect" && one.entry.replaceAll("-", "").startsWith(number));
}

/** Whether the browser keeps what is on this tablet, and how much room there is. */

/**
 * @typedef {object} Storage
 * @property {boolean | null} persisted null: not asked yet
 * @property {number} usage Bytes
 * @property {number} quota Bytes; 0 where the browser does not tell
 */

/** @type {Storage} */
export const NOT_ASKED = { persisted: null, usage: 0, quota: 0 };

/**
 * Ask the browser to keep what is on this tablet, once; say what it answered and how much room there is.
 * @param {import("#tablet/device.js").Device} device
 * @param {boolean} ask Whether there is something to keep yet
 * @returns {Promise<Storage>}
 */
export async function storageOf(device, ask) {
  const { storage } = navigator;
  if (!storage?.estimate) return { ...NOT_ASKED, persisted: ask ? false : null };
  const { usage = 0, quota = 0 } = await storage.estimate();
  const asked = await device.fact("storage");
  const persisted = await storage.persisted();
  if (persisted) return { persisted, usage, quota };
  if (!ask || asked) return { persisted: asked ? false : null, usage, quota };
  const answer = await storage.persist();
  await device.setFact("storage", { persisted: answer, asked_at: new Date().toISOString() });
  return { persisted: answer, usage, quota };
}

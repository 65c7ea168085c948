/** Who is signed in with this browser, as the server says it, and signing out. */
import { Api } from "#tablet/api.js";
import { ApiError } from "#tablet/api_error.js";

/** @typedef {import("#tablet/device.js").Device} Device */
/**
 * @typedef {{kind: "known", me: import("#tablet/api.js").Me}
 *   | {kind: "offline" | "signed_out" | "trouble"}
 *   | {kind: "refused", sentence: string}} Answer
 */

/**
 * Ask the server who is signed in.
 * @param {{device: string, version: string}} about
 * @returns {Promise<Answer>}
 */
export async function whoIsSignedIn({ device, version }) {
  try {
    return { kind: "known", me: await new Api({ device, app: version }).me() };
  } catch (error) {
    if (!(error instanceof ApiError)) throw error;
    if (error.kind === "offline" || error.kind === "signed_out") return { kind: error.kind };
    if (error.kind === "refused") return { kind: "refused", sentence: error.sentence };
    return { kind: "trouble" };
  }
}

/**
 * Sign out at the server; where there is no network, as soon as there is one.
 * @param {Device} device
 * @param {string} address
 * @returns {Promise<boolean>} Whether the server knows it already
 */
export async function leave(device, address) {
  await device.setPerson(null);
  await device.setFact("leaving", true);
  return finishLeaving(device, address);
}

/**
 * Tell the server of a signing out it has not heard of yet.
 * @param {Device} device
 * @param {string} address
 * @returns {Promise<boolean>} Whether nobody is on the way out any more
 */
export async function finishLeaving(device, address) {
  if (!(await device.fact("leaving"))) return true;
  const token = /(?:^|;\s*)csrftoken=([^;]*)/.exec(document.cookie)?.[1] ?? "";
  try {
    const answer = await fetch(address, {
      method: "POST", headers: { "X-CSRFToken": token }, credentials: "same-origin", redirect: "manual",
    });
    // A redirect is the answer of a signing out; a refused token means that nobody is signed in here any more.
    if (answer.type !== "opaqueredirect" && !answer.ok && answer.status !== 403) return false;
  } catch {
    return false;
  }
  await device.setFact("leaving", false);
  return true;
}

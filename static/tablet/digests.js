/** SHA-256 by the browser, which offers it only where the page came over a sealed connection. */

/**
 * @param {ArrayBuffer} bytes
 * @returns {Promise<string>} In hexadecimal figures
 */
export async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (one) => one.toString(16).padStart(2, "0")).join("");
}

/**
 * Write a digest as RFC 9530 has it in Content-Digest and Repr-Digest.
 *
 * @param {string} hexadecimal
 * @returns {string}
 */
export function digestField(hexadecimal) {
  const bytes = (hexadecimal.match(/../g) ?? []).map((pair) => String.fromCharCode(parseInt(pair, 16)));
  return `sha-256=:${btoa(bytes.join(""))}:`;
}

/** Whether ink is a signature: the server's own rules, so that nobody learns back at the road that it was a dot. */

/** @typedef {import("#tablet/types.js").SignatureInk} SignatureInk */

const MOST_STROKES = 300;
const MOST_POINTS = 20_000;
const LEAST_INK = 0.1;

/**
 * Return what stands against a signature; null where nothing does.
 *
 * @param {SignatureInk} ink
 * @param {string} signer The signer's name
 * @returns {{code: string, sentence: string} | null}
 */
export function inkRefusal({ strokes, width, name }, signer) {
  if (!strokes.length) {
    if (plain(name) === plain(signer)) return null;
    const sentence = `Sign in the box with your finger, or type your name as it is: ${signer}.`;
    return { code: "signature_missing", sentence };
  }
  const points = strokes.reduce((count, stroke) => count + stroke.length, 0);
  if (strokes.length > MOST_STROKES || points > MOST_POINTS) {
    return { code: "signature_broken", sentence: "That is more ink than a signature. Clear it and sign again." };
  }
  if (strokes.reduce((ink, stroke) => ink + strokeLength(stroke), 0) < LEAST_INK * width) {
    return { code: "signature_too_small", sentence: "That is a dot, not a signature. Sign again." };
  }
  return null;
}

/** @param {string} name */
function plain(name) {
  return name.trim().replace(/\s+/g, " ").toLowerCase();
}

/** @param {number[][]} stroke */
function strokeLength(stroke) {
  let length = 0;
  for (let point = 1; point < stroke.length; point += 1) {
    length += Math.hypot(stroke[point][0] - stroke[point - 1][0], stroke[point][1] - stroke[point - 1][1]);
  }
  return length;
}

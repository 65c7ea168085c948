/** How large a photo is kept: the arithmetic, without a browser. */

export const LONGEST_SIDE = 2560;
export const MOST_BYTES = 25 * 1024 * 1024;
export const JPEG_QUALITY = 0.85;

const AS_THEY_COME = new Set(["image/jpeg", "image/png", "image/webp"]);

/**
 * Return the size in which the longest side fits, with the sides' proportion kept and never larger than it came.
 *
 * @param {number} width
 * @param {number} height
 * @param {number} [longest]
 * @returns {{width: number, height: number}}
 */
export function sizeWithin(width, height, longest = LONGEST_SIDE) {
  const scale = Math.min(1, longest / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/**
 * Whether a picture stays as it came from the camera.
 *
 * @param {{width: number, height: number, media_type: string, size: number}} picture
 */
export function staysAsItCame({ width, height, media_type, size }) {
  return AS_THEY_COME.has(media_type) && Math.max(width, height) <= LONGEST_SIDE && size <= MOST_BYTES;
}

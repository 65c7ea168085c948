/** Amounts of bytes in words. */

/**
 * @param {number} bytes
 * @returns {string} Such as "3.4 MB"
 */
export function bytesWords(bytes) {
  if (bytes < 1000) return `${bytes} bytes`;
  const units = ["kB", "MB", "GB", "TB"];
  let figure = bytes / 1000;
  let unit = 0;
  while (figure >= 999.5 && unit < units.length - 1) {
    figure /= 1000;
    unit += 1;
  }
  return `${figure < 9.95 ? figure.toFixed(1) : Math.round(figure)} ${units[unit]}`;
}

/** The tablet's clock, and waiting by it. */

/**
 * Write a moment as the tablet's clock shows it, with its offset from UTC.
 *
 * @param {Date} moment
 * @param {number} [offset] Minutes the local clock is ahead of UTC
 * @returns {string}
 */
export function deviceTime(moment, offset = -moment.getTimezoneOffset()) {
  const local = new Date(moment.getTime() + offset * 60_000).toISOString().slice(0, -1);
  const sign = offset < 0 ? "-" : "+";
  const [hours, minutes] = [Math.floor(Math.abs(offset) / 60), Math.abs(offset) % 60];
  return `${local}${sign}${two(hours)}:${two(minutes)}`;
}

/** @param {number} figure */
function two(figure) {
  return String(figure).padStart(2, "0");
}

/**
 * Wait some milliseconds, or until woken.
 *
 * @param {number} milliseconds Infinity: until woken
 * @param {AbortSignal} wake
 * @returns {Promise<void>}
 */
export function wait(milliseconds, wake) {
  return new Promise((resolve) => {
    if (wake.aborted) return resolve();
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    let timer;
    const end = () => {
      clearTimeout(timer);
      wake.removeEventListener("abort", end);
      resolve();
    };
    wake.addEventListener("abort", end);
    if (Number.isFinite(milliseconds)) timer = setTimeout(end, milliseconds);
    return undefined;
  });
}

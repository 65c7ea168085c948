/** Times in words, always on the clock of a named zone: the house's where there is a house. */

/** @type {Map<string, Intl.DateTimeFormat>} */
const formats = new Map();
const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

/**
 * @param {string} zone
 * @param {Intl.DateTimeFormatOptions} options
 */
function format(zone, options) {
  const key = JSON.stringify([zone, options]);
  let made = formats.get(key);
  if (!made) formats.set(key, (made = new Intl.DateTimeFormat("en-US", { timeZone: zone || undefined, ...options })));
  return made;
}

/**
 * @param {string} iso
 * @param {string} zone
 * @returns {string} Such as "8:30 AM"
 */
export function clockTime(iso, zone) {
  return format(zone, { hour: "numeric", minute: "2-digit" }).format(new Date(iso)).replace("\u202f", " ");
}

/**
 * @param {string} iso
 * @param {string} zone
 * @returns {string} Such as "26 Nov 2026, 8:30 AM"
 */
export function dayTime(iso, zone) {
  const [year, month, day] = calendarDay(new Date(iso), zone).split("-").map(Number);
  return `${day} ${shortMonth(month)} ${year}, ${clockTime(iso, zone)}`;
}

/**
 * @param {Date} date
 * @param {string} zone
 * @returns {string} YYYY-MM-DD
 */
export function calendarDay(date, zone) {
  /** @type {Record<string, string>} */
  const parts = {};
  const told = format(zone, { year: "numeric", month: "2-digit", day: "2-digit" }).formatToParts(date);
  for (const { type, value } of told) parts[type] = value;
  return `${parts.year}-${parts.month}-${parts.day}`;
}

/**
 * @param {string} day YYYY-MM-DD
 * @param {string} today YYYY-MM-DD
 * @returns {string} Such as "Tomorrow, 26 Nov"
 */
export function dayWords(day, today) {
  const [year, month, date] = day.split("-").map(Number);
  const at = Date.UTC(year, month - 1, date);
  const words = `${date} ${shortMonth(month)}`;
  const apart = Math.round((at - Date.parse(`${today}T00:00:00Z`)) / DAY);
  if (apart === 0) return `Today, ${words}`;
  if (apart === 1) return `Tomorrow, ${words}`;
  return `${format("UTC", { weekday: "long" }).format(at)}, ${words}`;
}

/** @param {number} month */
function shortMonth(month) {
  return format("UTC", { month: "short" }).format(Date.UTC(2000, month - 1, 1));
}

/**
 * How long ago something was, as people say it.
 * @param {string} iso
 * @param {Date} now
 */
export function agoWords(iso, now) {
  const gone = now.getTime() - Date.parse(iso);
  if (gone < MINUTE) return "just now";
  if (gone < HOUR) return `${counted(Math.floor(gone / MINUTE), "minute")} ago`;
  if (gone < DAY) return `${counted(Math.floor(gone / HOUR), "hour")} ago`;
  return `${counted(Math.floor(gone / DAY), "day")} ago`;
}

/**
 * @param {string} iso
 * @param {Date} now
 * @returns {boolean} Whether what was fetched then may well have changed since
 */
export function isOld(iso, now) {
  return now.getTime() - Date.parse(iso) >= DAY;
}

/**
 * @param {number} count
 * @param {string} noun
 */
export function counted(count, noun, many = `${noun}s`) {
  return `${count} ${count === 1 ? noun : many}`;
}

/**
 * @param {number} milliseconds
 * @returns {string} Such as "3 minutes"
 */
export function spanWords(milliseconds) {
  const long = Math.abs(milliseconds);
  if (long < 2 * MINUTE) return counted(Math.round(long / 1000), "second");
  if (long < 2 * HOUR) return counted(Math.round(long / MINUTE), "minute");
  if (long < 2 * DAY) return counted(Math.round(long / HOUR), "hour");
  return counted(Math.round(long / DAY), "day");
}

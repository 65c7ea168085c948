/** Keys for gloves: digits, fractions and units, which write where the cursor stands in a field. */
import { html } from "lit-html";

const DIGITS = ["7", "8", "9", "4", "5", "6", "1", "2", "3"];

/**
 * @param {object} of
 * @param {string} of.field Id of the field
 * @param {[string, string][]} of.keys What is on a key, what it writes
 * @param {boolean} of.whole Whether only whole numbers are asked for
 * @param {() => void} of.onKeyboard The tablet's own keyboard is wanted
 */
export function numberPad({ field, keys, whole, onKeyboard }) {
  const key = (/** @type {string} */ shown, /** @type {string} */ writes, /** @type {string} */ kind = "") =>
    html`<button type="button" class="key ${kind}" @click=${() => write(field, writes)}>${shown}</button>`;
  return html`<div class="pad" role="group" aria-label="Keys">
    <div class="pad-digits">
      ${DIGITS.map((digit) => key(digit, digit))}
      ${whole ? html`<span></span>` : key(".", ".")}
      ${key("0", "0")}
      <button type="button" class="key" aria-label="Rub out" @click=${() => rubOut(field)}>⌫</button>
    </div>
    <div class="pad-more">
      ${keys.map(([shown, writes]) => key(shown, writes, /^\d/.test(shown) ? "fraction" : ""))}
      <button type="button" class="key key-wide" @click=${onKeyboard}>Keyboard</button>
    </div>
  </div>`;
}

/** @param {string} id */
function fieldOf(id) {
  const field = document.getElementById(id);
  return field instanceof HTMLInputElement ? field : null;
}

/**
 * @param {string} id
 * @param {string} writes
 */
function write(id, writes) {
  const field = fieldOf(id);
  if (!field) return;
  const from = field.selectionStart ?? field.value.length;
  const to = field.selectionEnd ?? from;
  const before = field.value.slice(0, from);
  // A fraction key writes a space before itself, but never at the beginning nor after another.
  field.setRangeText(before === "" || before.endsWith(" ") ? writes.trimStart() : writes, from, to, "end");
  changed(field);
}

/** @param {string} id */
function rubOut(id) {
  const field = fieldOf(id);
  if (!field) return;
  const to = field.selectionEnd ?? field.value.length;
  const from = field.selectionStart === to ? Math.max(to - 1, 0) : (field.selectionStart ?? to);
  field.setRangeText("", from, to, "end");
  changed(field);
}

/** @param {HTMLInputElement} field */
function changed(field) {
  field.focus({ preventScroll: true });
  field.dispatchEvent(new InputEvent("input", { bubbles: true }));
}


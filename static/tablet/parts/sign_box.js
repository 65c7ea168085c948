/** A box to sign in with a finger, `<sign-box>`. It tells `ink` whenever what is drawn in it changes. */
import SignaturePad from "signature_pad";

const HEIGHT = 220;

class SignBox extends HTMLElement {
  /** @type {SignaturePad | null} */
  #pad = null;
  /** @type {ResizeObserver | null} */
  #watch = null;
  #width = 0;

  connectedCallback() {
    const canvas = document.createElement("canvas");
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", this.getAttribute("label") ?? "Box to sign in");
    this.replaceChildren(canvas);
    this.#width = 0;
    this.#pad = new SignaturePad(canvas, { minWidth: 1.2, maxWidth: 3.2, penColor: "#101418" });
    this.#pad.addEventListener("endStroke", () => this.#tell());
    this.#fit();
    // Turning the tablet changes the box; what was drawn stays.
    this.#watch = new ResizeObserver(() => this.#fit());
    this.#watch.observe(this);
  }

  disconnectedCallback() {
    this.#watch?.disconnect();
    this.#pad?.off();
    this.#pad = null;
  }

  /** Begin anew. */
  clear() {
    this.#pad?.clear();
    this.#tell();
  }

  /** @returns {{strokes: number[][][], width: number, height: number} | null} null while nothing is drawn */
  get ink() {
    const strokes = this.#pad?.toData().map(({ points }) => points.map(({ x, y }) => [tenth(x), tenth(y)])) ?? [];
    return strokes.length ? { strokes, width: Math.round(this.#width), height: HEIGHT } : null;
  }

  #tell() {
    this.dispatchEvent(new CustomEvent("ink", { detail: this.ink !== null }));
  }

  #fit() {
    const canvas = this.querySelector("canvas");
    const width = Math.max(Math.round(this.clientWidth), 200);
    if (!canvas || !this.#pad || width === this.#width) return;
    const smaller = this.#width ? Math.min(width / this.#width, 1) : 1;
    const strokes = this.#pad.toData();
    for (const { points } of strokes) {
      for (const point of points) {
        point.x *= smaller;
        point.y *= smaller;
      }
    }
    this.#width = width;
    const dots = Math.max(window.devicePixelRatio || 1, 1);
    canvas.width = Math.round(width * dots);
    canvas.height = Math.round(HEIGHT * dots);
    canvas.getContext("2d")?.scale(dots, dots);
    this.#pad.clear();
    this.#pad.fromData(strokes);
  }
}

/** @param {number} figure */
function tenth(figure) {
  return Math.round(figure * 10) / 10;
}

customElements.define("sign-box", SignBox);

/** @typedef {SignBox} SignBoxElement */

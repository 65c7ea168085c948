/** The box to sign in: strokes go as points into a hidden field when the form is sent. */
import SignaturePad from "../signature_pad/signature_pad.min.js";

const HEIGHT = 220;

class Pad {
  #box;
  #canvas;
  #pad;

  constructor(box) {
    this.#box = box;
    this.#canvas = box.querySelector("canvas");
    this.#pad = new SignaturePad(this.#canvas, { minWidth: 1.2, maxWidth: 3.2, penColor: "#101418" });
    const refused = this.#field("strokes").value;
    this.#fit();
    this.#drawAgain(refused);
    box.querySelector("[data-sign-clear]").addEventListener("click", () => { this.#pad.clear(); this.#keep(); });
    this.#pad.addEventListener("endStroke", () => this.#keep());
    // Turning the tablet changes the box; what was drawn stays.
    new ResizeObserver(() => this.#fit()).observe(this.#canvas.parentElement);
  }

  #field(name) {
    return this.#box.querySelector(`[name=${name}]`);
  }

  #fit() {
    const width = Math.max(Math.round(this.#canvas.parentElement.clientWidth), 200);
    const dots = Math.max(window.devicePixelRatio || 1, 1);
    if (this.#canvas.width === Math.round(width * dots)) return;
    const strokes = this.#pad.toData();
    this.#canvas.style.width = `${width}px`;
    this.#canvas.style.height = `${HEIGHT}px`;
    this.#canvas.width = Math.round(width * dots);
    this.#canvas.height = Math.round(HEIGHT * dots);
    this.#canvas.getContext("2d").scale(dots, dots);
    this.#pad.clear();
    this.#pad.fromData(strokes);
    this.#keep();
  }

  #keep() {
    const strokes = this.#pad.toData().map((stroke) => stroke.points.map(({ x, y }) => [round(x), round(y)]));
    this.#field("strokes").value = strokes.length ? JSON.stringify(strokes) : "";
    this.#field("width").value = Math.round(this.#canvas.clientWidth) || 600;
    this.#field("height").value = HEIGHT;
  }

  /** A refusal brings the page back; what was drawn before it comes back too. */
  #drawAgain(kept) {
    if (!kept) return;
    try {
      this.#pad.fromData(JSON.parse(kept).map((points) => ({ points: points.map(([x, y]) => ({ x, y, time: 0, pressure: 0 })) })));
    } catch {
      this.#pad.clear();
    }
    this.#keep();
  }
}

function round(figure) {
  return Math.round(figure * 10) / 10;
}

/** Make every box in a part of the page ready to sign in. */
export function attachAll(part) {
  const boxes = part.matches?.("[data-sign]") ? [part] : part.querySelectorAll?.("[data-sign]") ?? [];
  for (const box of boxes) {
    if (box.dataset.ready) continue;
    box.dataset.ready = "yes";
    new Pad(box);
  }
}

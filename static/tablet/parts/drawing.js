/** A plan's drawing as elements of the page, with nothing in it that could run, load or lead anywhere. */

const SVG = "http://www.w3.org/2000/svg";
const SHAPES = new Set([
  "svg", "g", "title", "desc", "defs", "marker", "pattern", "clipPath", "path", "rect", "circle", "ellipse", "line",
  "polyline", "polygon", "text", "tspan", "linearGradient", "stop",
]);

/** @type {Map<string, SVGElement | null>} */
const drawn = new Map();

/**
 * @param {string} source
 * @returns {Node | null} null where it is no drawing
 */
export function drawing(source) {
  let kept = drawn.get(source) ?? null;
  if (!drawn.has(source)) {
    drawn.clear();
    drawn.set(source, (kept = clean(source)));
  }
  return kept;
}

/** @param {string} source */
function clean(source) {
  const root = new DOMParser().parseFromString(source, "image/svg+xml").documentElement;
  if (root.namespaceURI !== SVG || root.localName !== "svg") return null;
  for (const element of [root, ...root.querySelectorAll("*")]) {
    if (element.namespaceURI !== SVG || !SHAPES.has(element.localName)) element.remove();
    for (const { name, value } of [...element.attributes]) {
      const leads = /^(on|style$|href$|.*:href$)/i.test(name) || (/url\(/i.test(value) && !/^url\(#[\w-]+\)$/.test(value));
      if (leads) element.removeAttribute(name);
    }
  }
  return /** @type {any} */ (document.importNode(root, true));
}

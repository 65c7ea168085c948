/** The measured value on a bar between its limits. */
import { html, nothing, svg } from "lit-html";

/** @param {import("#tablet/gauge.js").Gauge | null} gauge */
export function gaugeBar(gauge) {
  if (!gauge) return nothing;
  return html`<svg class="gauge" data-verdict=${gauge.verdict} viewBox="0 0 400 62" role="img" aria-label=${gauge.words}>
    <rect class="gauge-rail" x="20" y="27" width="360" height="10" rx="2"></rect>
    <rect class="gauge-band" x=${gauge.bandFrom} y="25" width=${gauge.bandWidth} height="14"></rect>
    ${end(gauge.minimumAt, gauge.minimumTextAt, gauge.minimumText)}
    ${end(gauge.maximumAt, gauge.maximumTextAt, gauge.maximumText)}
    ${gauge.valueText
      ? svg`<g class="gauge-value"><path d=${gauge.mark}></path><text x=${gauge.valueTextAt} y="13" text-anchor="middle">${gauge.valueText}</text></g>`
      : nothing}
  </svg>`;
}

/**
 * @param {number | null} at
 * @param {number} textAt
 * @param {string} words
 */
function end(at, textAt, words) {
  if (at === null || !words) return nothing;
  return svg`<path class="gauge-limit" d=${`M${at} 21v22`}></path><text class="gauge-end" x=${textAt} y="57" text-anchor="middle">${words}</text>`;
}

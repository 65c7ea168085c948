/**
 * Which items apply, given what was answered so far: inspections/queries/applicable.py on the device.
 *
 * @module
 */

/** @import {Condition, Stage} from "#tablet/types.js" */

/** @typedef {{text: string, verdict: string}} Latest What counts of an item */

/**
 * The keys of the items that apply. What the facts of the job do not ask for is not in the stages at all.
 *
 * @param {Pick<Stage, "items">[]} stages
 * @param {ReadonlyMap<string, Latest>} latest By item
 */
export function itemsApplicable(stages, latest) {
  /** @type {Set<string>} */
  const found = new Set();
  for (const item of stages.flatMap((stage) => stage.items)) {
    if (item.when === null || holds(item.when, found, latest)) found.add(item.key);
  }
  return found;
}

/** @param {Condition} condition @param {ReadonlySet<string>} found @param {ReadonlyMap<string, Latest>} latest */
function holds(condition, found, latest) {
  const answer = latest.get(condition.item);
  if (!answer || !found.has(condition.item)) return false;
  return condition.chosen.length ? condition.chosen.includes(answer.text) : answer.verdict === condition.outcome;
}

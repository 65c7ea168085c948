/**
 * The items by which a defect that belongs to no item of the checklist is put right.
 *
 * correction_items of inspections/queries on the device.
 *
 * @module
 */

/** @import {Item} from "#tablet/types.js" */
/** @import {DefectView} from "#tablet/record_shapes.js" */

/** @type {Omit<Item, "key" | "kind" | "ask" | "how" | "required">} */
const PLAIN = {
  as_found: false,
  quantity: "",
  measures: false,
  limit: null,
  limit_words: "",
  source_words: "",
  options: [],
  when: null,
  keys: [],
  hint: "",
  input_mode: "decimal",
  severity: "correct",
};

/** What the key of the photos of a defect as found ends with. */
export const FOUND = "-found";
const ENDS = [FOUND, "-done", "-measure", "-photo"];

/**
 * The item a defect lies on, from the key of one that hangs on the defect.
 *
 * @param {string} item
 */
export function baseKey(item) {
  const end = ENDS.find((one) => item.endsWith(one));
  return end ? item.slice(0, -end.length) : item;
}

/**
 * Asks for photos of the defect on an item; each answer to it is kept and counts.
 *
 * @param {string} key
 * @returns {Item}
 */
export function foundItem(key) {
  return {
    ...PLAIN,
    key: `${key}${FOUND}`,
    kind: "photo",
    ask: "Photo of the defect as found",
    how: "As many as it takes, one after the other: each is kept.",
    required: false,
  };
}

/**
 * The key of a defect reported here, before and after the server has it.
 *
 * @param {string} entry UUID
 */
export function defectKey(entry) {
  return `defect-${entry.replaceAll("-", "").slice(0, 12)}`;
}

/** @param {DefectView} defect @returns {Item[]} */
export function correctionItems(defect) {
  if (defect.came_for) return defect.items;
  return [
    foundItem(defect.item),
    {
      ...PLAIN,
      key: defect.item,
      kind: "confirm",
      ask: `Put right: ${defect.description}`,
      how: "Answer yes when it has been put right and you have looked at it yourself.",
      required: defect.waiver === null,
    },
    {
      ...PLAIN,
      key: `${defect.item}-photo`,
      kind: "photo",
      ask: "Photo of what was put right",
      how: "",
      required: false,
    },
  ];
}

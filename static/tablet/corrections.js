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
};

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
  return [
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

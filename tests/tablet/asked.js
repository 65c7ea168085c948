/** Answers what tests/node.py asks of the tablet's modules: a list of calls comes in, their answers go out. */

import { readFileSync, writeFileSync } from "node:fs";

/** @type {[name: string, given: unknown[]][]} */
const calls = JSON.parse(readFileSync(0, "utf8"));

/** @param {string} name @returns {Promise<(...given: unknown[]) => unknown>} */
async function named(name) {
  const [file, exported] = name.split(".");
  const found = (await import(`#tablet/${file}.js`))[exported];
  if (typeof found !== "function") throw new Error(`${file}.js exports no ${exported}`);
  return found;
}

const functions = new Map();
for (const name of new Set(calls.map(([one]) => one))) functions.set(name, await named(name));

const answers = calls.map(([name, given]) => {
  try {
    return { value: functions.get(name)(...given) };
  } catch (error) {
    if (error instanceof Error && "code" in error) return { code: error.code, sentence: error.message };
    throw error;
  }
});
writeFileSync(1, JSON.stringify(answers));

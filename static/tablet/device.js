/** What the tablet knows of itself: its number, who works on it, what the browser answered. */
import { openDevice } from "#tablet/db.js";

/** @typedef {import("#tablet/types.js").Person} Person */

export class Device {
  #db;

  /** @param {Awaited<ReturnType<typeof openDevice>>} db */
  constructor(db) {
    this.#db = db;
  }

  /** @param {import("#tablet/db.js").ConnectionOptions} [options] */
  static async open(options) {
    return new Device(await openDevice(options));
  }

  /**
   * Return the tablet's own number; it is made once.
   *
   * @param {() => string} [make]
   * @returns {Promise<string>}
   */
  number(make = () => crypto.randomUUID()) {
    return this.#db.write(["facts"], async (tx) => {
      const facts = tx.objectStore("facts");
      const kept = await facts.get("number");
      if (kept) return String(kept.value);
      const value = make();
      await facts.put({ name: "number", value });
      return value;
    });
  }

  /**
   * Return who worked on the tablet last: whose shelf opens where there is no network to ask.
   *
   * @returns {Promise<Person | null>}
   */
  async person() {
    return (await this.fact("person")) ?? null;
  }

  /** @param {Person | null} person */
  async setPerson(person) {
    await this.setFact("person", person);
  }

  /**
   * @param {string} name
   * @returns {Promise<any>} undefined where nothing is known
   */
  fact(name) {
    return this.#db.read(["facts"], async (tx) => (await tx.objectStore("facts").get(name))?.value);
  }

  /**
   * @param {string} name
   * @param {any} value
   */
  async setFact(name, value) {
    await this.#db.write(["facts"], async (tx) => tx.objectStore("facts").put({ name, value }));
  }

  close() {
    this.#db.close();
  }
}

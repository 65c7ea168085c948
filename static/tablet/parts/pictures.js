/** Addresses of photos that lie on this tablet, for showing them. They hold memory until they are let go. */

export class Pictures {
  /** @type {Map<string, string>} */
  #addresses = new Map();
  /** @type {Map<string, {file: Blob, address: string}>} */
  #files = new Map();
  /** @type {Set<string>} */
  #asked = new Set();
  #onLoaded;

  /** @param {() => void} onLoaded */
  constructor(onLoaded) {
    this.#onLoaded = onLoaded;
  }

  /**
   * Return the address of a kept photo; "" while it is being read, and where it is not here.
   * @param {import("#tablet/store.js").Store} store
   * @param {string} entry
   */
  ofEntry(store, entry) {
    const address = this.#addresses.get(entry);
    if (!address && !this.#asked.has(entry)) {
      this.#asked.add(entry);
      store.photoBytes(entry).then(
        (bytes) => {
          if (!bytes || !this.#asked.has(entry)) return;
          this.#addresses.set(entry, URL.createObjectURL(new Blob([bytes])));
          this.#onLoaded();
        },
        () => this.#asked.delete(entry),
      );
    }
    return address ?? "";
  }

  /**
   * Return the address of a photo as it came from the camera.
   * @param {string} key
   * @param {Blob} file
   */
  ofFile(key, file) {
    const kept = this.#files.get(key);
    if (kept?.file === file) return kept.address;
    if (kept) URL.revokeObjectURL(kept.address);
    const address = URL.createObjectURL(file);
    this.#files.set(key, { file, address });
    return address;
  }

  /** Let go of all of them, when another job is opened. */
  letGo() {
    for (const address of this.#addresses.values()) URL.revokeObjectURL(address);
    for (const { address } of this.#files.values()) URL.revokeObjectURL(address);
    this.#addresses.clear();
    this.#files.clear();
    this.#asked.clear();
  }
}

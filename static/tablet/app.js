/** The app: opens what is on this tablet first, asks the server afterwards, and draws the page somebody is on. */
import { render } from "lit-html";
import { Device } from "#tablet/device.js";
import { keepApp, lookForNewVersion, shellVersion, takeNewVersion } from "#tablet/install.js";
import { pageOf } from "#tablet/pages/pages.js";
import { Drafts, sentenceOf } from "#tablet/parts/drafts.js";
import { Pictures } from "#tablet/parts/pictures.js";
import { Scroll } from "#tablet/parts/scroll.js";
import { say } from "#tablet/parts/spoken.js";
import { placeAt } from "#tablet/places.js";
import { Shift } from "#tablet/shift.js";
import { finishLeaving, leave, whoIsSignedIn } from "#tablet/sign_in.js";
import { NOT_ASKED, storageOf } from "#tablet/storage.js";
import { exportUnsent } from "#tablet/unsent_file.js";

/** @typedef {import("#tablet/types.js").Person} Person */

const A_WHILE = 20_000;

export class App {
  place = placeAt(window.location.hash);
  /** @type {Person | null} Whose shelf is open */
  person = null;
  /** @type {Shift | null} */
  shift = null;
  /** @type {{name: string, phone: string} | null} */
  shop = null;
  online = navigator.onLine;
  signedOut = false;
  /** @type {Person | null} Who is signed in instead */
  otherPerson = null;
  notForOffice = "";
  newVersion = false;
  opened = false;
  fetching = false;
  /** What keeps the app from working, in a sentence */
  trouble = "";
  /** @type {number | null} Milliseconds the tablet's clock is ahead of the server's */
  skew = null;
  storage = NOT_ASKED;
  /** @type {{name: string, address: string}[]} */
  unsentFiles = [];
  drafts = new Drafts();
  pictures = new Pictures(() => this.update());
  version = shellVersion();
  mark = document.querySelector('link[rel="icon"]')?.getAttribute("href") ?? "";
  signInAddress = document.body.dataset.signIn ?? "/";

  /** Which field has its keys open, uses the tablet's keyboard, is entered again, is signed by name, is asked about */
  pad = "";
  keyboard = "";
  again = "";
  signByName = "";
  asked = "";

  #scroll = new Scroll();
  #due = false;
  /** @type {HTMLElement | null} */
  #root = null;
  #number = "";
  /** @type {Device | null} */
  #device = null;
  #storageAsked = false;

  now() {
    return new Date();
  }

  /** Open what is here, then look for what is new. */
  async start() {
    this.#listen();
    try {
      this.#device = await Device.open({ onBlocked: () => this.#stopped(BLOCKED) });
      this.#number = await this.#device.number();
      this.shop = (await this.#device.fact("shop")) ?? null;
      this.skew = (await this.#device.fact("skew")) ?? null;
      const person = await this.#device.person();
      if (person) await this.#open(person);
    } catch (error) {
      this.#stopped(sentenceOf(error));
    }
    this.opened = true;
    this.#arrive();
    keepApp(() => this.#newVersionReady());
    await this.identify(true);
  }

  /** Draw the page; many calls in a row draw it once. */
  update() {
    if (this.#due) return;
    this.#due = true;
    queueMicrotask(() => {
      this.#due = false;
      this.#draw();
    });
  }

  /**
   * Ask who is signed in, and go on as that person where nobody is at work here yet.
   * @param {boolean} starting
   */
  async identify(starting = false) {
    if (!this.#device || !(await finishLeaving(this.#device, this.#signOutAddress()))) return this.#nobodyYet();
    const answer = await whoIsSignedIn({ device: this.#number, version: this.version });
    this.notForOffice = answer.kind === "refused" ? answer.sentence : "";
    this.signedOut = answer.kind === "signed_out";
    this.online = navigator.onLine && answer.kind !== "offline";
    if (answer.kind === "known") await this.#known(answer.me, starting);
    // Sending finds out by itself when the signal is back.
    this.shift?.sync.run();
    this.update();
    return undefined;
  }

  /**
   * Go on as somebody else; what the one before has not sent stays on their own shelf.
   * @param {Person} person
   */
  async takeOver(person) {
    try {
      await this.#device?.setPerson(person);
      await this.#open(person);
    } catch (error) {
      this.#stopped(sentenceOf(error));
    }
    this.otherPerson = null;
    this.signedOut = false;
    this.shift?.sync.run();
    this.#arrive();
  }

  async signOut() {
    if (!this.#device || this.drafts.any()) return;
    this.#close();
    await leave(this.#device, this.#signOutAddress());
    window.location.hash = "";
    this.update();
  }

  takeNewVersion() {
    if (this.drafts.any()) return;
    takeNewVersion();
  }

  /** @param {Shift} shift */
  async makeUnsentFiles(shift) {
    const { person } = shift;
    await this.drafts.during("export", async () => {
      const files = await exportUnsent(shift.store, person, this.#number);
      const day = this.now().toISOString().slice(0, 10);
      this.unsentFiles = files.map((file, index) => ({
        name: `fluewright-unsent-${day}${files.length > 1 ? `-${index + 1}-of-${files.length}` : ""}.json`,
        address: URL.createObjectURL(file),
      }));
    });
    this.update();
  }

  /**
   * Bring an item into sight.
   * @param {string} key
   */
  showItem(key) {
    this.show(`item-${key}`);
  }

  /** @param {string} id */
  show(id) {
    this.#scroll.show(id);
  }

  /**
   * Have the whole of something in sight, once it is drawn.
   * @param {string} id
   */
  settle(id) {
    requestAnimationFrame(() => this.#scroll.settle(id));
  }

  /**
   * The first of some items that stands below the one somebody looks at, else the first of all.
   * @param {string[]} keys
   */
  nextAfter(keys) {
    return this.#scroll.nextBelow(keys);
  }

  /** @param {Person} person */
  async #open(person) {
    this.#close();
    this.shift = await Shift.open({
      person,
      device: this.#number,
      version: this.version,
      now: () => this.now(),
      onChange: () => this.#changed(),
      onSync: (state) => this.#synced(state),
    });
    this.person = person;
    this.#changed();
  }

  #close() {
    this.shift?.close();
    this.shift = null;
    this.person = null;
    this.fetching = false;
    this.#letGoOfFiles();
    this.pictures.letGo();
    this.drafts = new Drafts();
  }

  /**
   * @param {import("#tablet/api.js").Me} me
   * @param {boolean} starting
   */
  async #known(me, starting) {
    this.shop = me.shop;
    this.skew = this.now().getTime() - Date.parse(me.server_time);
    await this.#device?.setFact("shop", me.shop);
    await this.#device?.setFact("skew", this.skew);
    const { id, name, role } = me.person;
    if (!this.person || (starting && this.person.id !== id && !this.drafts.any())) {
      await this.takeOver({ id, name, role });
    } else if (this.person.id !== id) {
      this.otherPerson = { id, name, role };
    } else {
      this.otherPerson = null;
      await this.#device?.setPerson({ id, name, role });
    }
    this.fetching = Boolean(this.shift && !this.shift.bundles.size);
  }

  #nobodyYet() {
    this.online = navigator.onLine;
    this.update();
  }

  #changed() {
    if (!this.shift?.unsent) this.#letGoOfFiles();
    if (this.shift?.bundles.size) {
      this.fetching = false;
      this.#askForStorage();
    }
    this.update();
  }

  #letGoOfFiles() {
    for (const { address } of this.unsentFiles) URL.revokeObjectURL(address);
    this.unsentFiles = [];
  }

  /** @param {import("#tablet/sync.js").SyncState} state */
  #synced({ phase }) {
    if (phase !== "offline") this.online = navigator.onLine;
    if (phase === "signed_out") this.signedOut = true;
    if (phase === "another_person" && !this.otherPerson) this.identify();
    if (phase === "idle" || phase === "sending") {
      this.signedOut = false;
      this.otherPerson = null;
    }
    if (phase === "idle") this.fetching = false;
    this.update();
  }

  #askForStorage() {
    if (this.#storageAsked || !this.#device) return;
    this.#storageAsked = true;
    this.#readStorage(true);
  }

  /** @param {boolean} ask */
  async #readStorage(ask) {
    if (!this.#device) return;
    this.storage = await storageOf(this.#device, ask).catch(() => NOT_ASKED);
    this.update();
  }

  #newVersionReady() {
    this.newVersion = true;
    say("A newer version is ready.");
    this.update();
  }

  /** @param {string} sentence */
  #stopped(sentence) {
    this.trouble = sentence;
    this.update();
  }

  #signOutAddress() {
    return document.body.dataset.signOut ?? "/";
  }

  #listen() {
    window.addEventListener("hashchange", () => this.#move());
    window.addEventListener("beforeunload", (event) => {
      if (this.drafts.any()) event.preventDefault();
    });
    for (const name of ["online", "offline"]) {
      window.addEventListener(name, () => {
        this.online = navigator.onLine;
        say(this.online ? "There is a signal again." : "No signal. Everything you enter is kept on this tablet.");
        if (this.online && !this.shift) this.identify();
        this.update();
      });
    }
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState !== "visible") return;
      this.shift?.sync.poke();
      lookForNewVersion();
      if (!this.shift) this.identify();
    });
    document.querySelector("[data-skip]")?.addEventListener("click", (event) => {
      event.preventDefault();
      document.getElementById("content")?.focus();
    });
    setInterval(() => this.update(), A_WHILE);
  }

  #move() {
    this.#scroll.leave(this.place);
    const before = this.place;
    this.place = placeAt(window.location.hash);
    if (before.job !== this.place.job) this.pictures.letGo();
    this.pad = this.keyboard = this.again = this.asked = "";
    if (this.place.name === "tablet" || this.place.name === "unsent") this.#readStorage(false);
    this.#arrive();
  }

  /** Draw at once, so that what is to be shown is there. */
  #arrive() {
    this.#draw();
    this.#scroll.arrive(this.place);
  }

  #draw() {
    const { title, page } = pageOf(this);
    document.title = title;
    if (!this.#root) {
      this.#root = /** @type {HTMLElement} */ (document.getElementById("app"));
      this.#root.replaceChildren();
    }
    render(page, this.#root);
  }
}

const BLOCKED = "An older page of this app is open on this tablet. Close it, then open this one again.";

new App().start();

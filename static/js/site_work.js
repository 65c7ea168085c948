/** The tablet's pages: fraction keys, photos, signatures, and what happens when saving does not work. */
import "./keys.js";
import "./photos.js";
import "./saving.js";
import { attachAll } from "./signature.js";

attachAll(document);
document.addEventListener("htmx:load", (event) => attachAll(event.detail.elt));

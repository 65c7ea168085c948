/** What stands where nobody is known on this tablet. */
import { html } from "lit-html";

/** @param {import("#tablet/app.js").App} app */
export function welcomePage(app) {
  return {
    title: "Site work",
    heading: "Site work",
    main: html`<a class="btn btn-primary go-on" href=${app.signInAddress}>Sign in</a>`,
    content: html`<div class="empty"><p>${words(app)}</p></div>`,
  };
}

/** @param {import("#tablet/app.js").App} app */
function words(app) {
  if (app.notForOffice) return `${app.notForOffice} Sign out there and sign in as the one who works with this tablet.`;
  if (!app.online) {
    return "Nobody is signed in on this tablet, and there is no signal to sign in with. Sign in where there is one; after that your jobs open here without.";
  }
  return "Nobody is signed in on this tablet. Sign in once where there is a signal; after that your jobs open here without.";
}

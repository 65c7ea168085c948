/** A photo is shown as soon as it is taken, with how much of it has been sent. */
const previews = new WeakMap();

document.addEventListener("change", (event) => {
  const form = event.target.closest(".photo-form");
  const file = form && event.target.files?.[0];
  if (!file) return;
  const image = form.querySelector(".preview");
  URL.revokeObjectURL(previews.get(form));
  const address = URL.createObjectURL(file);
  previews.set(form, address);
  // A picture the browser cannot draw, such as HEIC, is sent all the same.
  image.onerror = () => { image.hidden = true; };
  image.hidden = false;
  image.src = address;
  say(form, "Sending…");
  form.querySelector(".sending").hidden = false;
  form.querySelector(".send-again").hidden = true;
});

document.addEventListener("htmx:xhr:progress", (event) => {
  const form = event.target.closest(".photo-form");
  const { loaded, total, lengthComputable } = event.detail;
  if (!form || !lengthComputable || !total) return;
  form.querySelector("progress").value = Math.round((loaded / total) * 100);
  if (loaded === total) say(form, "Sent, being kept…");
});

/** Offer to send a photo again: it is still in the form. */
export function offerAgain(form) {
  say(form, "Not sent.");
  form.querySelector("progress").value = 0;
  form.querySelector(".send-again").hidden = false;
}

function say(form, words) {
  form.querySelector(".sending-words").textContent = words;
}

document.addEventListener("htmx:beforeCleanupElement", (event) => {
  const form = event.target.querySelector?.(".photo-form");
  if (form && previews.has(form)) URL.revokeObjectURL(previews.get(form));
});

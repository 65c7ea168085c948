/** Keeps the app on the tablet, and tells when a newer version lies ready. */

const WORKER = "/tablet/service-worker.js";
const SCOPE = "/tablet/";

/**
 * Register the worker; call `onReady` whenever a newer version waits to be taken.
 * @param {() => void} onReady
 */
export async function keepApp(onReady = () => {}) {
  if (!("serviceWorker" in navigator)) return;
  let registration;
  try {
    registration = await navigator.serviceWorker.register(WORKER, { scope: SCOPE, updateViaCache: "none" });
  } catch {
    // Without a network, or without a sealed connection, the app that is there goes on as it is.
    return;
  }
  if (registration.waiting && navigator.serviceWorker.controller) onReady();
  registration.addEventListener("updatefound", () => {
    const coming = registration.installing;
    coming?.addEventListener("statechange", () => {
      if (coming.state === "installed" && navigator.serviceWorker.controller) onReady();
    });
  });
}

/** Have the newer version take over; the page opens anew with it. */
export async function takeNewVersion() {
  const registration = await navigator.serviceWorker.getRegistration(SCOPE);
  if (!registration?.waiting) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => window.location.reload(), { once: true });
  registration.waiting.postMessage("take over");
}

/** Ask the server whether there is a newer version; without a network nothing happens. */
export async function lookForNewVersion() {
  const registration = await navigator.serviceWorker?.getRegistration(SCOPE);
  await registration?.update().catch(() => {});
}

/** @returns {string} The version of the shell this page came from */
export function shellVersion() {
  return document.querySelector('meta[name="fluewright-app"]')?.getAttribute("content") ?? "";
}

/* global SHELL */
/**
 * Keeps the shell on the tablet, one cache for each version, and opens the app from it.
 *
 * Nothing of a person or a job goes through here: those are in the page's own database. SHELL, the list of files and
 * its version, stands in the line the server puts in front.
 */
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const OURS = "fluewright-shell-";
const CACHE = OURS + SHELL.version;
const FILES = new Set(SHELL.files);

worker.addEventListener("install", (event) => event.waitUntil(keepShell()));

worker.addEventListener("activate", (event) => event.waitUntil(takeOver()));

worker.addEventListener("message", (event) => {
  if (event.data === "take over") worker.skipWaiting();
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== worker.location.origin) return;
  if (request.mode === "navigate" ? address.pathname === SHELL.page : FILES.has(address.pathname)) {
    event.respondWith(fromShell(request, address.pathname));
  }
});

/** All of it or nothing: a shell with a file missing would not open in an attic. */
async function keepShell() {
  const cache = await caches.open(CACHE);
  try {
    await Promise.all([keepPage(cache), ...SHELL.files.map((file) => keepFile(cache, file))]);
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

/**
 * @param {Cache} cache
 * @param {string} file
 */
async function keepFile(cache, file) {
  // What an older version has under the same address is the same file: the address holds its digest.
  const kept = /\.[0-9a-f]{12}\.[a-z0-9]+$/.test(file) ? await caches.match(file) : undefined;
  await cache.put(file, kept ?? (await fetched(file)));
}

/** @param {Cache} cache */
async function keepPage(cache) {
  const response = await fetched(SHELL.page);
  const version = response.headers.get("Fluewright-Shell");
  // Between the worker and its page the server may have been updated; the next look takes both anew.
  if (version !== SHELL.version) throw new Error(`The page is of version ${version}, the worker of ${SHELL.version}.`);
  await cache.put(SHELL.page, response);
}

/**
 * Refuses everything that is not the file itself: a page to sign in, a redirect, an error.
 *
 * @param {string} file
 */
async function fetched(file) {
  const response = await fetch(file, { cache: "no-cache", credentials: "same-origin", redirect: "error" });
  if (!response.ok || response.redirected || response.type !== "basic") {
    throw new Error(`${file} could not be fetched (${response.status}).`);
  }
  return response;
}

async function takeOver() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(OURS) && name !== CACHE).map((name) => caches.delete(name)));
  await worker.clients.claim();
}

/**
 * @param {Request} request
 * @param {string} path
 */
async function fromShell(request, path) {
  const kept = await caches.match(path, { cacheName: CACHE, ignoreVary: true });
  return kept ?? fetch(request);
}

/// <reference lib="webworker" />
/**
 * The service worker: the shell and its files, kept on the device, so that the pages open without
 * the server. It leaves /api alone: what was last seen, and what waits, is the pages' own affair.
 * An old set of files is dropped only when no page uses it any more.
 */
declare const __KEPT__: string[];
declare const __VERSION__: string;

const worker = self as unknown as ServiceWorkerGlobalScope;
/** Which tract of its server these pages are of; empty where it is the only one. */
const TRACT = /^\/t\/[^/]*?([0-9a-z]+)\/$/.exec(new URL(worker.registration.scope).pathname)?.[1] ?? "";
/** Each tract keeps its own set, so that none drops what another still uses. */
const PREFIX = TRACT === "" ? "fencerow-" : `fencerow-tract-${TRACT}-`;
const NAME = PREFIX + __VERSION__;

worker.addEventListener("install", (event) => {
  event.waitUntil(caches.open(NAME).then((cache) => cache.addAll(__KEPT__)));
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(dropOld().then(() => worker.clients.claim()));
});

worker.addEventListener("message", (event) => {
  if (event.data === "use-new") void worker.skipWaiting();
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (/^(\/t\/[^/]+)?\/api\//.test(url.pathname)) return;
  event.respondWith(answer(request, url));
});

async function answer(request: Request, url: URL): Promise<Response> {
  const cache = await caches.open(NAME);
  const isPage = request.mode === "navigate" && !url.pathname.includes(".");
  const kept = await cache.match(isPage ? "/index.html" : url.pathname);
  return kept ?? fetch(request);
}

const ours = (name: string): boolean =>
  name.startsWith(PREFIX) && (TRACT !== "" || !name.startsWith("fencerow-tract-"));

async function dropOld(): Promise<void> {
  const names = await caches.keys();
  const old = names.filter((name) => ours(name) && name !== NAME);
  await Promise.all(old.map((name) => caches.delete(name)));
}

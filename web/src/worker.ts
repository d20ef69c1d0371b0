/** Keeps the page itself, never the answers of the service: those the page keeps, and says from when they are. */

/** The part of a service worker's surroundings that is used here. */
interface Lasting extends Event {
  waitUntil: (done: Promise<unknown>) => void;
}
interface Fetching extends Lasting {
  request: Request;
  respondWith: (answer: Promise<Response>) => void;
}
interface Sleeper {
  skipWaiting: () => Promise<void>;
  clients: { claim: () => Promise<void> };
  location: Location;
  addEventListener: ((kind: "install" | "activate", act: (event: Lasting) => void) => void)
    & ((kind: "fetch", act: (event: Fetching) => void) => void)
    & ((kind: "message", act: (event: Lasting & { data: string[] }) => void) => void);
}

const worker = globalThis as unknown as Sleeper;
const SHELF = "lapful-page";

/** Keeps these files, and none that an older page was made of. */
async function keep(files: readonly string[]): Promise<void> {
  const shelf = await caches.open(SHELF);
  for (const known of await shelf.keys()) {
    if (!files.includes(new URL(known.url).pathname)) await shelf.delete(known);
  }
  for (const file of files) if (!(await shelf.match(file)) || !file.includes("/assets/")) await shelf.add(file);
}

/** The page itself is the same in every language, whatever else the service says of its answers. */
const found = (what: Request | string): Promise<Response | undefined> => caches.match(what, { ignoreVary: true });

/** The page anew while the service is awake, else as it was kept. */
async function pageFor(request: Request): Promise<Response> {
  try {
    return await fetch(request);
  } catch (error) {
    const kept = await found(new URL(request.url).pathname);
    if (kept) return kept;
    throw error;
  }
}

async function assetFor(request: Request): Promise<Response> {
  return (await found(request)) ?? fetch(request);
}

worker.addEventListener("install", (event) => { event.waitUntil(worker.skipWaiting()); });
worker.addEventListener("activate", (event) => { event.waitUntil(worker.clients.claim()); });
worker.addEventListener("message", (event) => { event.waitUntil(keep(event.data)); });
worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== worker.location.origin) return;
  if (url.pathname === "/" && event.request.mode === "navigate") event.respondWith(pageFor(event.request));
  else if (url.pathname.startsWith("/assets/")) event.respondWith(assetFor(event.request));
});

export {};

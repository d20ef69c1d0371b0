/** Lets the page open while the service sleeps, where the browser trusts the address. */

/** A service worker is to be had on this machine or over trusted https only. */
export const isTrusted = (): boolean => globalThis.isSecureContext === true && "serviceWorker" in navigator;

/** What this page was made of, for the worker to keep. */
function ownFiles(): string[] {
  const loaded = performance.getEntriesByType("resource").map((entry) => new URL(entry.name));
  const ours = loaded.filter((url) => url.origin === location.origin && url.pathname.includes("/assets/"));
  return [location.pathname, ...new Set(ours.map((url) => url.pathname))];
}

export async function sleepWell(): Promise<void> {
  if (!isTrusted()) return;
  await navigator.serviceWorker.register("sw.js");
  const ready = await navigator.serviceWorker.ready;
  await document.fonts.ready;
  ready.active?.postMessage(ownFiles());
}

/**
 * Where ticks and notes wait for the service: in a database of the browser, each put in and taken out by itself, so
 * that a closed tab, a full shelf or another tab at the same moment loses none. Without one, the small shelf must do.
 */
import type { Item } from "./model";
import { forget, recall, remember } from "./shelf";

const NAME = "lapful";
const STORE = "outbox";
const SHELF = "outbox";

const answered = <T>(request: IDBRequest<T>): Promise<T> => new Promise((done, fail) => {
  request.onsuccess = () => { done(request.result); };
  request.onerror = () => { fail(new Error(String(request.error))); };
});

const opened: Promise<IDBDatabase | null> = open();
const others = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("lapful.outbox");

async function open(): Promise<IDBDatabase | null> {
  try {
    const asked = globalThis.indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => { asked.result.createObjectStore(STORE, { keyPath: "id" }); };
    return await answered(asked);
  } catch {
    // Some browsers have none, or refuse it in private windows.
    return null;
  }
}

/** On the disk before it is said to be kept: a tablet that is switched off hard keeps it too. */
async function write(act: (store: IDBObjectStore) => void): Promise<boolean> {
  const database = await opened;
  if (!database) return false;
  try {
    const change = database.transaction(STORE, "readwrite", { durability: "strict" });
    act(change.objectStore(STORE));
    await new Promise<void>((done, fail) => {
      change.oncomplete = () => { done(); };
      change.onabort = () => { fail(new Error(String(change.error))); };
    });
    return true;
  } catch {
    return false;
  }
}

function onShelf(): Item[] {
  try {
    return JSON.parse(recall(SHELF) ?? "[]") as Item[];
  } catch {
    return [];
  }
}

/** What somebody ticked goes before what the service could make again. */
function putOnShelf(items: readonly Item[]): boolean {
  const text = JSON.stringify(items);
  if (remember(SHELF, text)) return true;
  forget("ready");
  return remember(SHELF, text);
}

/** Everything that waits, oldest first. */
export async function waitingItems(): Promise<Item[]> {
  const database = await opened;
  const kept = database ? await answered<Item[]>(database.transaction(STORE).objectStore(STORE).getAll()) : [];
  return [...kept, ...onShelf()].sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
}

/** Whether it will outlast this page. */
export async function keep(item: Item): Promise<boolean> {
  const isKept = await write((store) => { store.put(item); }) || putOnShelf([...onShelf(), item]);
  others?.postMessage(null);
  return isKept;
}

export async function drop(ids: readonly string[]): Promise<void> {
  await write((store) => { for (const id of ids) store.delete(id); });
  const shelf = onShelf();
  const left = shelf.filter((item) => !ids.includes(item.id));
  if (left.length < shelf.length) putOnShelf(left);
  others?.postMessage(null);
}

/** Another tab put something in or took something out. */
export function whenOthersChange(act: () => void): void {
  others?.addEventListener("message", act);
}

/** Rooms beside the week. Their code comes after the week is shown, and stays for when the service sleeps. */
import { signal } from "@preact/signals";
import type { ComponentType } from "preact";
import { wordsHere } from "./words";

/** A room is a file whose default is a component; its name for people is in `words.rooms`. */
const ROOMS = {
  start: () => import("./rooms/Start"),
  house: () => import("./rooms/House"),
  friday: () => import("./rooms/Friday"),
  ahead: () => import("./rooms/Ahead"),
  themes: () => import("./rooms/Themes"),
  catalogue: () => import("./rooms/Catalogue"),
  coop: () => import("./rooms/Coop"),
  feeds: () => import("./rooms/Feeds"),
} satisfies Record<string, () => Promise<{ default: ComponentType }>>;

export type RoomName = keyof typeof ROOMS;

const isName = (text: string): text is RoomName => text in ROOMS;

function inAddress(): RoomName | null {
  const name = location.hash.slice(1);
  return isName(name) ? name : null;
}

/** Which room is shown instead of the week. */
export const entered = signal<RoomName | null>(inAddress());

window.addEventListener("popstate", () => { entered.value = inAddress(); });

export function enter(name: RoomName): void {
  history.pushState({ entered: true }, "", `#${name}`);
  entered.value = name;
  window.scrollTo(0, 0);
}

/** Back to the week; the browser's own way back does the same. */
export function leaveRoom(): void {
  if ((history.state as { entered?: boolean } | null)?.entered) {
    history.back();
    return;
  }
  history.replaceState(null, "", location.pathname + location.search);
  entered.value = null;
}

export async function fetchRoom(name: RoomName): Promise<ComponentType> {
  const room = await ROOMS[name]();
  await wordsHere();
  return room.default;
}

/** All of them, once nothing else is wanted; a room that does not come now is asked for again at the door. */
export async function fetchRooms(): Promise<void> {
  await Promise.allSettled(Object.keys(ROOMS).filter(isName).map(fetchRoom));
}

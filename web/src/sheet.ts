/** Which sheet of paper lies over the day: one at most. */
import { signal } from "@preact/signals";
import type { Instead } from "./api";
import type { Day } from "./model";

export type Sheet =
  | { kind: "happened" }
  | { kind: "card"; booking: string }
  | { kind: "why"; about: string; title: string }
  | { kind: "move"; booking: string; day: Day; stretch: string | null }
  | { kind: "instead"; booking: string; how: Instead }
  | { kind: "note"; booking: string | null }
  | { kind: "menu" }
  | { kind: "wishes" }
  | { kind: "compare" }
  | { kind: "devices" };

export const sheet = signal<Sheet | null>(null);

export function lay(next: Sheet): void {
  sheet.value = next;
}

export function clearAway(): void {
  sheet.value = null;
}

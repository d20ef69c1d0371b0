/** The page reads its words before it shows anything; so do its tests. */
import { vi } from "vitest";
import plain from "../src/words/english.json";

/** Into the words as they are imported now. */
export async function readWords(): Promise<void> {
  // What the page asks a browser for its language, and tells the service by.
  if (!("document" in globalThis)) vi.stubGlobal("document", { cookie: "" });
  vi.stubGlobal("navigator", { language: "en" });
  const { learn } = await import("../src/words");
  vi.stubGlobal("fetch", () => Promise.resolve({ json: () => plain }));
  await learn("en");
}

// What a browser has and node lacks: the language, and where the page tells it to the service.
vi.stubGlobal("navigator", { language: "en-GB" });
vi.stubGlobal("document", { cookie: "" });
await readWords();

import { describe, expect, it } from "vitest";
import { readdirSync, readFileSync } from "node:fs";

const folder = new URL("../src/words/", import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith(".en.json"));
const read = (name: string) => JSON.parse(readFileSync(new URL(name, folder), "utf8")) as unknown;

/** Each text with the path to it, and which gaps it leaves to be filled. */
function texts(found: unknown, path = ""): Record<string, string[]> {
  if (typeof found === "string") return { [path]: [...found.matchAll(/\{\d\}/g)].map(([gap]) => gap).sort() };
  return Object.assign({}, ...Object.entries(found as object).map(([key, value]) => texts(value, `${path}.${key}`))) as Record<string, string[]>;
}

describe("the words of the rooms", () => {
  it.each(files)("%s says the same things in both languages", (name) => {
    expect(texts(read(name.replace(".en.", ".es.")))).toEqual(texts(read(name)));
  });

  it("finds them", () => { expect(files.length).toBeGreaterThan(1); });
});

import { afterEach, expect, test, vi } from "vitest";
import { getView } from "../src/api";

const refusing = (problem: object): void => {
  vi.stubGlobal("fetch", () => Promise.resolve(new Response(JSON.stringify(problem), { status: 405 })));
};

afterEach(() => vi.unstubAllGlobals());

test("a problem without a detail says its title, never nothing", async () => {
  refusing({ title: "Method Not Allowed", status: 405, detail: "", faults: [] });
  await expect(getView(null)).rejects.toThrow(/^Method Not Allowed$/);
});

test("a problem says its detail and the field to mend", async () => {
  refusing({ title: "Mend it", status: 405, detail: "A day is missing.", faults: [{ path: "day", message: "name one" }] });
  await expect(getView(null)).rejects.toThrow(/^A day is missing\. day: name one$/);
});

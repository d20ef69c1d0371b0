import { afterEach, expect, it, vi } from "vitest";
import * as house from "../src/rooms/house";
import { view } from "./shown";

afterEach(() => { vi.unstubAllGlobals(); });

it("keeps what is written while the house is on its way", async () => {
  const sent: string[] = [];
  vi.stubGlobal("fetch", (_: string, init?: RequestInit) => {
    if (init) {
      sent.push(String(new Headers(init.headers).get("if-match")));
      house.edit({ name: "Hedge under the pear" });
    }
    return Promise.resolve(new Response(JSON.stringify({ ...view.household, name: "Hedge" }), { headers: { etag: `"${sent.length}"` } }));
  });
  await house.fetchHouse();
  house.edit({ name: "Hedge" });
  expect(await house.save()).toBe(true);
  expect(house.kept.value?.house.name).toBe("Hedge");
  expect(house.draft.value?.name).toBe("Hedge under the pear");
  await house.save();
  expect(sent).toEqual(['"0"', '"1"']);
});

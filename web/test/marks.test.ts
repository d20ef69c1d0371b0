import { beforeEach, describe, expect, it, vi } from "vitest";
import * as api from "../src/api";
import { Trouble } from "../src/api";
import type { Item } from "../src/model";

vi.mock("../src/api", async (original) => ({ ...(await original<typeof api>()), sendItems: vi.fn(), getMarks: vi.fn() }));

const WEEK = "2027-W05";

/** A shelf that holds so many signs. */
function shelfOf(room: number) {
  const kept = new Map<string, string>();
  return {
    kept,
    getItem: (name: string) => kept.get(name) ?? null,
    removeItem: (name: string) => kept.delete(name),
    setItem: (name: string, text: string) => {
      const others = [...kept].filter(([known]) => known !== name).reduce((sum, [, one]) => sum + one.length, 0);
      if (others + text.length > room) throw new Error("it is full");
      kept.set(name, text);
    },
  };
}

async function fresh(shelf: unknown) {
  vi.resetModules();
  vi.stubGlobal("localStorage", shelf);
  const marks = await import("../src/marks");
  marks.known.value = { week: WEEK, marks: { ticks: [], notes: [] } };
  return marks;
}

const sent = (): Item[] => vi.mocked(api.sendItems).mock.calls.flatMap(([items]) => items);

describe("the outbox", () => {
  beforeEach(() => {
    vi.resetAllMocks();
    vi.mocked(api.getMarks).mockResolvedValue({ ticks: [], notes: [] });
    vi.mocked(api.sendItems).mockImplementation((items) => Promise.resolve({ ids: items.map((item) => item.id) }));
  });

  it("shows a tick before the service has it, and sends it once", async () => {
    const marks = await fresh(shelfOf(10_000));
    const going = marks.tick(WEEK, "hop.1.1", "done");
    expect(marks.outcomes.value.get("hop.1.1")).toBe("done");
    await going;
    await marks.send();
    expect(sent()).toHaveLength(1);
    expect(marks.outbox.value).toEqual([]);
  });

  it("keeps what nobody took, under the same name", async () => {
    const shelf = shelfOf(10_000);
    const marks = await fresh(shelf);
    vi.mocked(api.sendItems).mockRejectedValueOnce(new Trouble("away", null));
    await marks.tick(WEEK, "hop.1.1", "loved");
    const again = await fresh(shelf);
    expect(again.outcomes.value.get("hop.1.1")).toBe("loved");
    await again.send();
    expect(new Set(sent().map((item) => item.id)).size).toBe(1);
  });

  it("makes room for a tick by giving up what can be made again", async () => {
    const shelf = shelfOf(400);
    shelf.kept.set("lapful.ready", "x".repeat(380));
    const marks = await fresh(shelf);
    vi.mocked(api.sendItems).mockRejectedValueOnce(new Trouble("away", null));
    await marks.tick(WEEK, "hop.1.1", "fine");
    expect(shelf.kept.has("lapful.ready")).toBe(false);
    expect(JSON.parse(shelf.kept.get("lapful.outbox") ?? "[]")).toHaveLength(1);
  });

  it("sends even where the browser keeps nothing", async () => {
    const marks = await fresh(undefined);
    await marks.note(WEEK, null, "rain on the tin roof");
    expect(sent().map((item) => item.note)).toEqual(["rain on the tin roof"]);
    expect(marks.outbox.value).toEqual([]);
  });

  it("takes back what nobody heard of", async () => {
    const marks = await fresh(shelfOf(10_000));
    vi.mocked(api.sendItems).mockRejectedValue(new Trouble("away", null));
    await marks.tick(WEEK, "hop.1.1", "done");
    expect(marks.takeBackLast()).toBe(true);
    expect(marks.outcomes.value.size).toBe(0);
    expect(marks.takeBackLast()).toBe(false);
  });
});

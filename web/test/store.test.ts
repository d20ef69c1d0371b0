import { beforeEach, describe, expect, it, vi } from "vitest";
import * as api from "../src/api";
import type { Job } from "../src/model";
import { view } from "./shown";
import { readWords } from "./words";

vi.mock("../src/api", async (original) => ({
  ...(await original<typeof api>()),
  getView: vi.fn(), startSolve: vi.fn(), cancelJob: vi.fn(), getJob: vi.fn(), followJob: vi.fn(),
  getMarks: vi.fn(), getChanges: vi.fn(), sendItems: vi.fn(), undo: vi.fn(),
}));

const job = (id: string, state: Job["state"] = "running"): Job => ({
  id, week: view.week.id, state, reason: "", settings: { seconds: 15, seed: 1, workers: 2, soft: false, loss_proof: null },
  progress: null, plan_id: null, created_at: "2027-02-01T00:00:00Z", ended_at: null,
});

async function fresh() {
  vi.resetModules();
  vi.stubGlobal("window", { setTimeout: vi.fn() });
  const store = await import("../src/store");
  await readWords();
  vi.mocked(api.getView).mockResolvedValue(view);
  vi.mocked(api.getView).mockResolvedValue(view);
  vi.mocked(api.getMarks).mockResolvedValue({ ticks: [], notes: [] });
  vi.mocked(api.getChanges).mockResolvedValue([]);
  await store.load();
  return store;
}

describe("the store", () => {
  beforeEach(() => { vi.resetAllMocks(); });

  it("listens to the newest job only", async () => {
    const store = await fresh();
    const listeners = new Map<string, (changed: Job) => void>();
    const stop = vi.fn();
    vi.mocked(api.followJob).mockImplementation((id, changed) => { listeners.set(id, changed); return stop; });
    vi.mocked(api.startSolve).mockResolvedValueOnce(job("old")).mockResolvedValueOnce(job("new"));
    await store.makeWeek();
    await store.makeWeek();
    expect(stop).toHaveBeenCalledOnce();
    listeners.get("old")?.(job("old", "cancelled"));
    expect(store.job.value?.id).toBe("new");
    expect(store.notice.value).toBeNull();
    listeners.get("new")?.(job("new", "cancelled"));
    expect(store.isMaking.value).toBe(false);
    expect(store.notice.value?.text).toMatch(/Stopped/);
  });

  it("keeps the week and says since when, while nobody answers", async () => {
    const store = await fresh();
    vi.mocked(api.getView).mockRejectedValue(new api.Trouble("gone", null));
    await store.load();
    expect(store.view.value?.week.id).toBe(view.week.id);
    expect(store.unreachable.value?.shownFrom).toMatch(/^\d+:\d\d$/);
  });

  it("tells a refusal in the service's words", async () => {
    const store = await fresh();
    vi.mocked(api.startSolve).mockRejectedValue(new api.Trouble("there is no adult at home", 422));
    await store.makeWeek();
    expect(store.notice.value?.text).toContain("there is no adult at home");
    expect(store.unreachable.value).toBeNull();
  });

  it("knows a house that is not set up from one that is silent", async () => {
    const store = await fresh();
    vi.mocked(api.getView).mockResolvedValue(null);
    await store.load();
    expect(store.phase.value).toBe("nothing");
  });
});

describe("the week that is shown", () => {
  beforeEach(() => { vi.resetAllMocks(); });

  it("asks for the week of today until another is picked, and again when the day is over", async () => {
    const store = await fresh();
    await store.pickWeek("2027-W06");
    await store.load();
    const weeks = () => vi.mocked(api.getView).mock.calls.map(([week]) => week);
    expect(weeks()).toEqual([null, "2027-W06", "2027-W06"]);
    store.pickDay("friday");
    vi.useFakeTimers({ now: Date.now() + 24 * 60 * 60_000 });
    store.readClock();
    vi.useRealTimers();
    await store.load();
    expect(weeks().at(-1)).toBeNull();
    expect(store.pickedDay.value).toBeNull();
  });

  it("drops the answer for a week that is no longer wanted", async () => {
    const store = await fresh();
    let answer: (late: typeof view) => void = () => undefined;
    vi.mocked(api.getView).mockReturnValueOnce(new Promise((resolve) => { answer = resolve; }));
    const late = store.pickWeek("2027-W06");
    vi.mocked(api.getView).mockResolvedValueOnce(view);
    await store.pickWeek(view.week.id);
    answer({ ...view, week: { ...view.week, id: "2027-W06" } });
    await late;
    expect(store.view.value?.week.id).toBe(view.week.id);
  });
});

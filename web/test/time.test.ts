import { describe, expect, it } from "vitest";
import { clockOf, dateAfter, dayOn, gapsIn, minutesOf, nowIn, overlap, weekMinutes } from "../src/time";

describe("clock", () => {
  it("reads and writes clock times", () => {
    expect(minutesOf("09:05")).toBe(545);
    expect(clockOf(545)).toBe("9:05");
    expect(minutesOf("24:00")).toBe(1440);
  });

  it("counts week minutes from Monday", () => {
    expect(weekMinutes({ day: "tuesday", time: "00:10" })).toBe(1450);
  });

  it("knows which day of a week a date is, and that others are none", () => {
    expect(dayOn("2027-02-01", "2027-02-01")).toBe("monday");
    expect(dayOn("2027-02-01", "2027-02-07")).toBe("sunday");
    expect(dayOn("2027-02-01", "2027-02-08")).toBeNull();
    expect(dayOn("2027-02-01", "2027-01-31")).toBeNull();
  });

  it("steps over a change of month", () => {
    expect(dateAfter("2027-03-29", 3).toISOString().slice(0, 10)).toBe("2027-04-01");
  });

  it("tells the time of the house, not of the screen", () => {
    const noon = new Date("2027-06-01T12:00:00Z");
    expect(nowIn("UTC", noon)).toEqual({ date: "2027-06-01", minutes: 720 });
    expect(nowIn("Asia/Tokyo", noon)).toEqual({ date: "2027-06-01", minutes: 1260 });
    expect(nowIn("Pacific/Auckland", noon).date).toBe("2027-06-02");
  });
});

describe("spans", () => {
  it("finds what is left between", () => {
    expect(gapsIn({ start: 0, end: 100 }, [{ start: 50, end: 60 }, { start: 10, end: 20 }]))
      .toEqual([{ start: 0, end: 10 }, { start: 20, end: 50 }, { start: 60, end: 100 }]);
  });

  it("leaves nothing where all is taken, whatever sticks out", () => {
    expect(gapsIn({ start: 10, end: 20 }, [{ start: 0, end: 30 }])).toEqual([]);
    expect(gapsIn({ start: 10, end: 20 }, [{ start: 30, end: 40 }])).toEqual([{ start: 10, end: 20 }]);
  });

  it("measures what two share", () => {
    expect(overlap({ start: 0, end: 10 }, { start: 5, end: 20 })).toBe(5);
    expect(overlap({ start: 0, end: 10 }, { start: 10, end: 20 })).toBe(0);
  });
});

/** Whether two say the same of what happened. */
import type { Mishap } from "../model";

const isUsual = (value: unknown): boolean =>
  value === null || value === false || value === "00:00" || value === "24:00" || (Array.isArray(value) && value.length === 0);

/** The same mishap; what one of them leaves unsaid is as usual in the other. */
export function isAlike(said: Mishap, made: Mishap): boolean {
  const [one, other] = [said as Record<string, unknown>, made as Record<string, unknown>];
  return [...new Set([...Object.keys(one), ...Object.keys(other)])].every((key) => {
    const [a, b] = [one[key] ?? null, other[key] ?? null];
    return JSON.stringify(a) === JSON.stringify(b) || (isUsual(a) && isUsual(b));
  });
}

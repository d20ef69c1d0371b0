/** How near the best a week is, said without more certainty than there is. */
import type { Plan, Progress, TierResult } from "../model";
import { words } from "../words";

export interface Sure {
  isProved: boolean;
  headline: string;
  why: string;
}

/** Distance between value and bound as a share of the value. */
export function gapOf(value: number, bound: number): number {
  if (value <= bound) return 0;
  return value > 0 ? (value - bound) / value : 1;
}

/** Rounded up, so that it never promises more than was shown. */
export function percentText(gap: number): string {
  const percent = gap * 100;
  return percent > 0 && percent < 1 ? "1 %" : `${Math.ceil(percent - 1e-9)} %`;
}

/** Beyond this a percentage says no more than that a longer search is worth it. */
const FAR = 0.5;

const tierName = (tier: string): string => words.tier[tier] ?? tier;

export function sureOf(tiers: readonly TierResult[]): Sure {
  if (tiers.length === 0) return { isProved: false, headline: words.sureOpen, why: "" };
  const open = tiers.filter((tier) => !tier.proved);
  if (open.length === 0) return { isProved: true, headline: words.sureProved, why: words.sureProvedWhy };
  const worst = Math.max(...open.map((tier) => gapOf(tier.value, tier.bound)));
  const proved = tiers.filter((tier) => tier.proved).map((tier) => tierName(tier.name));
  const headline = worst > FAR ? words.sureOpen : words.sureWithin(percentText(worst));
  return { isProved: false, headline, why: words.sureWithinWhy(proved) };
}

export interface MakingText {
  headline: string;
  facts: string[];
  /** 0 to 1, or null while nothing is known. */
  nearness: number | null;
}

export function makingText(progress: Progress | null): MakingText {
  if (!progress) return { headline: words.makingStart, facts: [], nearness: null };
  const { value, bound, tier, seconds, bookings } = progress;
  const facts = [words.makingSeconds(seconds)];
  if (bookings > 0) facts.unshift(words.makingBookings(bookings));
  if (value == null) return { headline: words.makingFirst, facts, nearness: null };
  const gap = bound == null ? null : gapOf(value, bound);
  if (gap !== null && gap <= FAR) facts.unshift(gap === 0 ? words.makingBest : words.makingGap(percentText(gap)));
  return { headline: words.makingTier(tierName(tier)), facts, nearness: gap === null ? null : 1 - gap };
}

export const soughtText = (plan: Plan): string => (plan.stopped ? words.stopped : words.soughtFor(plan.seconds));

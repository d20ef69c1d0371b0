/** What a theme would cost, taking it, the weeks ahead, and days to celebrate. */
import { ask, sending } from "../api";
import type { Activity, SoftWeek, Step, ThemeCost } from "../contract";
import { changed, guarded, load } from "../store";
import { upperFirst } from "../words";
import { tell } from "./tell";

const name = encodeURIComponent;

export const getCost = (theme: string, start: string): Promise<ThemeCost> => ask(`themes/${name(theme)}/cost?start=${start}`);
export const getSoft = (week: string): Promise<SoftWeek[]> => ask(`weeks/${name(week)}/soft`);
export const getSteps = (activity: string, by: string): Promise<Step[]> => ask(`activities/${name(activity)}/back-plan?by=${by}`);

/** Weeks may have been begun by it, so they are read again too. */
async function told(text: string): Promise<void> {
  await load();
  await changed(text);
}

export async function take(theme: string, week: string, weeks: number, activities: readonly string[]): Promise<void> {
  await guarded(async () => {
    await ask(`themes/${name(theme)}/take`, sending("POST", { week, weeks, activities }));
    await told(tell("taken", upperFirst(theme)));
  });
}

export async function lookAhead(week: string, rest: boolean): Promise<void> {
  await guarded(async () => {
    await ask(`weeks/${name(week)}/soft?rest=${String(rest)}`, { method: "POST" });
    await told(tell(rest ? "rested" : "looked"));
  });
}

export async function promise(activity: Activity, by: string): Promise<void> {
  await guarded(async () => {
    await ask(`activities/${name(activity.id)}/back-plan?by=${by}`, { method: "POST" });
    await told(tell("put", activity.title));
  });
}

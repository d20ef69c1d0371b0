/** Fields for people, for the first run and for the house alike. */
import type { ComponentChildren } from "preact";
import type { Day } from "../model";
import { DAYS } from "../time";
import { DAY_NAMES } from "../words";
import type { Faults, HoursText, NapText } from "./check";
import { Input, numberOf, Toggles } from "./form";
import { told } from "./house-words";

/** A list with one thing changed, or one thing taken out. */
export const put = <T,>(all: readonly T[], index: number, one: T | null): T[] =>
  all.flatMap((old, at) => (at !== index ? [old] : one === null ? [] : [one]));

export const toggled = <T,>(all: readonly T[], one: T): T[] => (all.includes(one) ? all.filter((other) => other !== one) : [...all, one]);

export const shortDays = (): (readonly [Day, string])[] => DAYS.map((day) => [day, DAY_NAMES[day].slice(0, 3)] as const);

interface NapsProps<N extends NapText> {
  at: string;
  naps: readonly N[];
  fresh: N;
  faults: Faults;
  change: (naps: N[]) => void;
}

export function Naps<N extends NapText & { days_of_seven?: number | null }>({ at, naps, fresh, faults, change }: NapsProps<N>) {
  return (
    <>
      {naps.map((nap, index) => {
        const path = `${at}.naps[${index}]`;
        const set = (some: Partial<NapText & { days_of_seven: number }>) => { change(put(naps, index, { ...nap, ...some })); };
        return (
          <div key={index} class="form hours">
            <Input type="time" label={told.napStart} value={nap.start} fault={faults[`${path}.start`]} change={(start) => { set({ start }); }} />
            <Input type="number" label={told.napLength} value={nap.length_min || ""} fault={faults[`${path}.length_min`]} more={{ min: 1, max: 360 }} change={(text) => { set({ length_min: numberOf(text) ?? 0 }); }} />
            <Input type="number" label={told.napDays} value={nap.days_of_seven ?? ""} fault={faults[`${path}.days_of_seven`]} more={{ min: 0, max: 7 }}
              change={(text) => { set({ days_of_seven: Math.min(7, numberOf(text) ?? 7) }); }} />
            <button type="button" class="button button-quiet" onClick={() => { change(put(naps, index, null)); }}>{told.noNap}</button>
          </div>
        );
      })}
      {naps.length < 4 ? <button type="button" class="button" onClick={() => { change([...naps, fresh]); }}>{told.addNap}</button> : null}
    </>
  );
}

interface HoursProps<H extends HoursText & { days: Day[] }> {
  at: string;
  label: string;
  hours: readonly H[];
  fresh: H;
  faults: Faults;
  change: (hours: H[]) => void;
  /** Where none at all are needed: how the first are asked for. */
  first?: string;
  /** What else is said of such hours. */
  beside?: (one: H, set: (one: H) => void) => ComponentChildren;
}

/** No days named means every day, and is shown so. */
export function HoursFields<H extends HoursText & { days: Day[] }>({ at, label, hours, fresh, faults, change, first, beside }: HoursProps<H>) {
  return (
    <>
      {hours.map((one, index) => {
        const path = `${at}[${index}]`;
        const days = one.days.length ? one.days : DAYS;
        const set = (some: Partial<HoursText & { days: Day[] }>) => { change(put(hours, index, { ...one, ...some })); };
        const pick = (day: Day) => { set({ days: DAYS.filter((other) => toggled(days, day).includes(other)) }); };
        return (
          <div key={index} class="hours">
            <Toggles label={label} chosen={days} choices={shortDays()} touch={pick} fault={faults[path]} />
            <div class="form">
              <Input type="time" label={told.from} value={one.start} fault={faults[`${path}.start`]} change={(start) => { set({ start }); }} />
              <Input type="time" label={told.until} value={one.end} fault={faults[`${path}.end`]} change={(end) => { set({ end }); }} />
              {beside?.(one, (next) => { change(put(hours, index, next)); })}
              {first || hours.length > 1 ? <button type="button" class="button button-quiet" onClick={() => { change(put(hours, index, null)); }}>{told.noHours}</button> : null}
            </div>
          </div>
        );
      })}
      <button type="button" class="button" onClick={() => { change([...hours, fresh]); }}>{(!hours.length && first) || told.addHours}</button>
    </>
  );
}

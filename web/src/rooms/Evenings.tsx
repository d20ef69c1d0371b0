/** Evenings for making ready, each with its minutes. */
import type { Evening } from "../contract";
import { DAYS } from "../time";
import { EVENING_NAMES, fill, upperFirst } from "../words";
import type { Faults } from "./check";
import { Input, numberOf, Toggles } from "./form";
import { told } from "./house-words";
import { put } from "./people";

const EVENINGS: readonly Evening[] = ["sunday_before", ...DAYS];
const MINUTES = 20;

interface One {
  evening: Evening;
  minutes: number;
  quiet?: boolean;
}
interface EveningsProps<P extends One> {
  label: string;
  at: string;
  prep: readonly P[];
  fresh: Omit<P, "evening" | "minutes">;
  faults: Faults;
  change: (prep: P[]) => void;
}

export function Evenings<P extends One>({ label, at, prep, fresh, faults, change }: EveningsProps<P>) {
  const set = (next: readonly P[]) => { change(EVENINGS.flatMap((evening) => next.filter((one) => one.evening === evening))); };
  const touch = (evening: Evening) => {
    const others = prep.filter((one) => one.evening !== evening);
    set(others.length < prep.length ? others : [...prep, { ...fresh, evening, minutes: MINUTES } as P]);
  };
  return (
    <>
      <Toggles label="" of={label} chosen={prep.map((one) => one.evening)} choices={EVENINGS.map((one) => [one, upperFirst(EVENING_NAMES[one])] as const)} touch={touch} />
      {prep.map((one, index) => (
        <div key={one.evening} class="form hours">
          <Input type="number" label={fill(told.minutesOn, upperFirst(EVENING_NAMES[one.evening]))} value={one.minutes} fault={faults[`${at}[${index}].minutes`]} more={{ min: 0, max: 300, step: 5 }}
            change={(text) => { set(put(prep, index, { ...one, minutes: numberOf(text) ?? 0 })); }} />
          {one.quiet === undefined ? null : (
            <Toggles label="" of={EVENING_NAMES[one.evening]} chosen={one.quiet ? ["quiet"] : []} choices={[["quiet", told.house.quiet]]} touch={() => { set(put(prep, index, { ...one, quiet: !one.quiet })); }} />
          )}
        </div>
      ))}
    </>
  );
}

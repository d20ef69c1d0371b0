/** A list of the house, each thing of it to be changed, taken out, or joined by another. */
import type { ComponentChildren } from "preact";
import { getActivities } from "../api";
import type { Activity, Sitting } from "../contract";
import { ownId } from "../marks";
import { called as calledHere, fill } from "../words";
import { useFresh } from "./dates";
import { told } from "./house-words";
import { put } from "./people";

export const called = (name: string): string => calledHere(name) || told.unnamed;

export const sittingsOf = ({ sittings, lighter }: Activity): Sitting[] => (lighter ? [...sittings, lighter.sitting] : sittings);

/** Titles of the activities that count on a thing; nothing while they are not known. */
export function useUsers(countsOn: (one: Activity) => readonly (string | null)[]): (id: string) => readonly string[] | null {
  const activities = useFresh("activities", getActivities);
  return (id) => activities?.filter((one) => countsOn(one).includes(id)).map((one) => calledHere(one.title)) ?? null;
}

interface OutProps {
  name: string;
  out: () => void;
  /** What counts on it: then it stays in the list as one that is not there. */
  users?: readonly string[] | null;
  isGone?: boolean;
  gone?: () => void;
}

const SOME = 4;

export function TakeOut({ name, out, users = [], isGone = false, gone = out }: OutProps) {
  if (!users) return null;
  if (users.length && isGone) return <p class="quiet">{fill(told.house.counted, users.slice(0, SOME).join(" · "), users.length > SOME ? ` + ${users.length - SOME}` : "")}</p>;
  return <button type="button" class="button button-quiet" onClick={users.length ? gone : out}>{fill(told.takeOut, called(name))}</button>;
}

interface LinesProps<T> {
  list: readonly T[];
  fresh: Omit<T, "id">;
  add: string;
  change: (list: T[]) => void;
  line: (one: T, set: (some: Partial<T>) => void, index: number) => ComponentChildren;
  out: (one: T, set: (some: Partial<T>) => void, out: () => void) => ComponentChildren;
}

export function Lines<T extends { id: string }>({ list, fresh, add, change, line, out }: LinesProps<T>) {
  return (
    <>
      {list.map((one, index) => {
        const set = (some: Partial<T>) => { change(put(list, index, { ...one, ...some })); };
        return <div key={one.id} class="person">{line(one, set, index)}{out(one, set, () => { change(put(list, index, null)); })}</div>;
      })}
      <button type="button" class="button" onClick={() => { change([...list, { ...fresh, id: ownId() } as unknown as T]); }}>{add}</button>
    </>
  );
}

/** What may do good after the last days: taken up with one touch, put aside with another. */
import * as api from "../api";
import type { Suggestion } from "../model";
import { changed, guarded, now, today } from "../store";
import type { Room } from "../vm/cards";
import { happened } from "../ways";
import { DAY_NAMES, words } from "../words";

async function putAside(week: string, one: Suggestion): Promise<void> {
  await guarded(async () => {
    await api.putAside(week, one.id);
    await changed(words.leftAside);
  });
}

async function takeUp(room: Room, one: Suggestion): Promise<void> {
  const { id } = room.view.week;
  if (one.kind === "nap-going" && one.child) {
    await happened(textOf(room, one), { kind: "nap-gone", child: one.child, day: today.value ?? "monday" });
    return;
  }
  await guarded(async () => {
    await api.makeSmaller(id);
    await changed(words.smallerNow);
  });
}

function textOf(room: Room, one: Suggestion): string {
  if (one.kind === "smaller-week") return words.smallerWeek(one.days.length);
  const helped = one.helped.map((each) => ({ day: DAY_NAMES[each.day], who: room.names.person(each.adult) }));
  return words.napGoing(room.names.person(one.child ?? ""), one.days.length, one.titles, helped);
}

/** Old ones, and those of days still to come, are not said. */
export const isTimely = (one: Suggestion, date: string): boolean => (one.days.at(-1) ?? date) <= date && date <= one.until;

export function Suggested({ room }: { room: Room }) {
  // One thought at a time.
  const timely = (room.view.suggestions ?? []).filter((one) => isTimely(one, now.value.date)).slice(0, 1);
  return (
    <>
      {timely.map((one) => (
        <aside key={one.id} class="notice" aria-label={words.suggested}>
          <p>{textOf(room, one)}</p>
          <div class="suggested-acts">
            <button type="button" class="button" onClick={() => { void takeUp(room, one); }}>{words.takeUp[one.kind]}</button>
            <button type="button" class="button button-quiet" onClick={() => { void putAside(room.view.week.id, one); }}>{words.notNow}</button>
          </div>
        </aside>
      ))}
    </>
  );
}

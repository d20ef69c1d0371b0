/** Friday: one pass over the week, and what it says. */
import { useEffect } from "preact/hooks";
import type { Draft } from "../contract";
import { changed, changes, guarded, now, room, unreachable } from "../store";
import { DAYS } from "../time";
import type { Room } from "../vm/cards";
import { DAY_NAMES, fill, upperFirst, words } from "../words";
import { daysAfter } from "./dates";
import { said } from "./friday-words";
import { Learned } from "./Learned";
import { drafts, fetchDrafts, openPass, outcomeOf, sayOfOthers, toWrite, write } from "./pass";
import { PassLine } from "./PassLine";
import { Record } from "./Record";

/** Read again after every change, so that what was taken back is seen to be. */
function useDrafts(week: string): readonly Draft[] | null {
  const latest = changes.value[0]?.id;
  const isAway = unreachable.value !== null;
  useEffect(() => {
    openPass(week);
    void guarded(() => fetchDrafts(week));
  }, [week, latest, isAway]);
  return drafts.value;
}

async function keepPass(week: string, of: readonly Draft[]): Promise<void> {
  await guarded(async () => {
    await write(week, of);
    await changed(said.written);
  });
}

/** What nobody has touched, in one touch; each can still be said otherwise. */
function Others({ drafts }: { drafts: readonly Draft[] }) {
  if (drafts.every(outcomeOf)) return null;
  return (
    <div class="room-acts">
      <button type="button" class="button" onClick={() => { sayOfOthers(drafts, "done"); }}>{said.othersDone}</button>
      <button type="button" class="button" onClick={() => { sayOfOthers(drafts, "not"); }}>{said.othersNot}</button>
    </div>
  );
}

function Keep({ week, drafts }: { week: string; drafts: readonly Draft[] }) {
  const waiting = toWrite(drafts).length;
  const told = drafts.filter(outcomeOf).length;
  return (
    <div class="room-keep">
      <p role="status"><b>{fill(said.said, told, drafts.length)}</b> <span class="quiet">{waiting ? said.waits : told ? said.inLog : ""}</span></p>
      <button type="button" class="button button-main" disabled={!waiting} onClick={() => { void keepPass(week, drafts); }}>{said.write}</button>
    </div>
  );
}

function Pass({ room: { view, names }, drafts }: { room: Room; drafts: readonly Draft[] }) {
  return (
    <section class="room-part" aria-labelledby="pass">
      <h2 id="pass">{said.passTitle}</h2>
      <p class="quiet">{said.passText}</p>
      <Others drafts={drafts} />
      {DAYS.map((day) => {
        const lines = drafts.filter((draft) => draft.day === day);
        return lines.length ? (
          <section key={day} class="pass-day" aria-label={upperFirst(DAY_NAMES[day])}>
            <h3>{upperFirst(DAY_NAMES[day])}</h3>
            <ul>{lines.map((draft) => <PassLine key={draft.booking} draft={draft} names={names} />)}</ul>
          </section>
        ) : null;
      })}
      <Keep week={view.week.id} drafts={drafts} />
    </section>
  );
}

function Week({ room: here }: { room: Room }) {
  const found = useDrafts(here.view.week.id);
  if (!found) return <p role="status">{unreachable.value ? words.needsService : words.roomComes}</p>;
  const { monday } = here.view;
  const today = [now.value.date, daysAfter(monday, 6)].sort()[1] ?? "";
  return (
    <>
      {found.length ? <Pass room={here} drafts={found} /> : <p>{said.nobody}</p>}
      <Learned today={today} />
      <Record room={here} />
    </>
  );
}

export default function Friday() {
  const here = room.value;
  return here?.view.stored ? <Week room={here} /> : <p>{said.noPlan}</p>;
}

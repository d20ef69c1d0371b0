/** The week now against the one before it, by what differs; and the way back. */
import { useEffect, useState } from "preact/hooks";
import * as api from "../api";
import { Trouble } from "../api";
import type { StoredPlan } from "../model";
import { clearAway } from "../sheet";
import { changed, changes, guarded, undo } from "../store";
import type { Room } from "../vm/cards";
import { compare, type Difference } from "../vm/compare";
import { words } from "../words";
import { SheetOf } from "./Sheet";
import { Sign } from "./Sign";

function Differences({ title, lines }: { title: string; lines: readonly Difference[] }) {
  if (lines.length === 0) return null;
  return (
    <section class="way-part">
      <h3>{title}</h3>
      <ul>{lines.map((line) => <li key={line.id}>{line.title} <span class="quiet">{line.when}</span></li>)}</ul>
    </section>
  );
}

/** Nothing yet, the plan before, or that there is none. */
function usePlanBefore(week: string): StoredPlan | "none" | null {
  const [found, setFound] = useState<StoredPlan | "none" | null>(null);
  useEffect(() => {
    void guarded(async () => {
      try {
        setFound(await api.getPlanBefore(week));
      } catch (error) {
        if (!(error instanceof Trouble) || error.status !== 404) throw error;
        setFound("none");
      }
    });
  }, [week]);
  return found;
}

async function goBack(room: Room, before: StoredPlan): Promise<void> {
  const { week, stored } = room.view;
  await guarded(async () => {
    await api.bringBack(week.id, before.id, stored?.id ?? 0);
    clearAway();
    await changed(words.broughtBack);
  });
}

/** An earlier plan alone comes back only while the week it was made for is still the same. */
function WayBack({ room, before }: { room: Room; before: StoredPlan }) {
  const [last] = changes.value;
  if (before.is_current) return <button type="button" class="button" onClick={() => { void goBack(room, before); }}>{words.goBack}</button>;
  if (!last) return <p class="quiet">{words.weekChangedToo}</p>;
  const takeBack = () => { clearAway(); void undo(); };
  return <button type="button" class="button" onClick={takeBack}><Sign name="turn" /> {words.undoNext(last.what)}</button>;
}

function Told({ room, now, before }: { room: Room; now: StoredPlan; before: StoredPlan }) {
  const found = compare(room.view, now.plan, before.plan);
  return (
    <>
      <p class="quiet">{words.compareText} {words.compareSame(found.same)}</p>
      <div class="way-body">
        <Differences title={words.compareMoved} lines={found.moved} />
        <Differences title={words.compareNew} lines={found.fresh} />
        <Differences title={words.compareGone} lines={found.gone} />
      </div>
      <div class="sheet-foot">
        <WayBack room={room} before={before} />
        <button type="button" class="button button-main" onClick={clearAway}>{words.keepNew}</button>
      </div>
    </>
  );
}

export function CompareSheet({ room }: { room: Room }) {
  const before = usePlanBefore(room.view.week.id);
  const now = room.view.stored;
  return (
    <SheetOf title={words.compareTitle} wide close={clearAway}>
      {before === null || !now ? <p role="status">{words.asking}</p>
        : before === "none" ? <p role="status">{words.nothingBefore}</p> : <Told room={room} now={now} before={before} />}
    </SheetOf>
  );
}

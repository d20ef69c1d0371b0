/** The first run: six answers, what was taken for granted, and a week that is made and shown. */
import { useEffect, useState } from "preact/hooks";
import { Tongues } from "../components/Tongues";
import type { Started } from "../contract";
import * as api from "../api";
import { leaveRoom } from "../rooms";
import { guarded, load, makeWeek, movedIn, unreachable, view } from "../store";
import { fill, words } from "../words";
import { faults, lookOver, moveDemoIn, moveIn } from "./answers";
import { toFirstFault } from "./form";
import { Granted } from "./Granted";
import { told } from "./house-words";
import { Six } from "./Six";

/** Shows the house that came, and makes its first week. */
async function settle(text: string, before: boolean): Promise<void> {
  const [latest] = await api.getChanges();
  await load();
  movedIn(text, before ? latest?.id : undefined);
  leaveRoom();
  await makeWeek(true);
}

const bringIn = (): Promise<void> => guarded(async () => {
  const before = view.value !== null;
  await moveIn(before);
  await settle(told.movedIn, before);
});

const bringDemoIn = (): Promise<void> => guarded(async () => {
  await moveDemoIn();
  await settle(told.atHome, false);
});

function Welcome() {
  const here = view.value?.household.name;
  if (here) return <p>{fill(told.makesWay, here)}</p>;
  return (
    <section class="room-part">
      <p>{told.sixText}</p>
      <div class="room-acts">
        <button type="button" class="button" onClick={() => { void bringDemoIn(); }}>{told.lookFirst}</button>
        <p class="quiet">{told.lookFirstText}</p>
      </div>
      <Tongues />
    </section>
  );
}

function Asked({ done }: { done: (made: Started) => void }) {
  const [isAsking, ask] = useState(false);
  const count = Object.keys(faults.value).length;
  const goOn = async () => {
    ask(true);
    await guarded(async () => {
      const made = await lookOver();
      if (made) done(made);
      else toFirstFault();
    });
    ask(false);
  };
  return (
    <form noValidate class="room" onSubmit={(event) => { event.preventDefault(); void goOn(); }}>
      <Six />
      <div class="room-keep">
        <p role="status">{isAsking ? told.looking : count ? fill(told.mendFirst, count) : unreachable.value ? words.needsService : <span class="quiet">{told.kept}</span>}</p>
        <button type="submit" class="button button-main" disabled={isAsking}>{told.goOn}</button>
      </div>
    </form>
  );
}

export default function Start() {
  const [made, keep] = useState<Started | null>(null);
  useEffect(() => { window.scrollTo(0, 0); }, [made]);
  if (!made) return <><Welcome /><Asked done={keep} /></>;
  return (
    <>
      <Granted made={made} />
      <div class="room-keep">
        <button type="button" class="button" onClick={() => { keep(null); }}>{told.backToAnswers}</button>
        <button type="button" class="button button-main" onClick={() => { void bringIn(); }}>{told.moveIn}</button>
      </div>
    </>
  );
}

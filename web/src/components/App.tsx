/** Which part of the page is shown. Reads the store; every change goes back to it as a call. */
import { outbox } from "../marks";
import { entered } from "../rooms";
import * as store from "../store";
import { isPeeking } from "../touch";
import { ways } from "../ways";
import { words } from "../words";
import { Band } from "./Band";
import { Day } from "./Day";
import { Glance } from "./Glance";
import { Hangs } from "./LossProof";
import { Evenings, Fetch, HowSure, LeftOver, Shopping, Waits, Written } from "./Notes";
import { RoomPage } from "./RoomPage";
import { Foot, Messages } from "./Said";
import { Fresh, Loading, NoPlan } from "./States";
import { Sheets } from "./Sheets";
import { Suggested } from "./Suggested";
import { Top } from "./Top";
import { WaysOn } from "./WaysOn";

const make = () => { void store.makeWeek(); };

function Beside() {
  const room = store.room.value;
  const day = store.day.value;
  const from = store.freshFrom.value;
  if (!room) return null;
  return (
    <aside class="notes" aria-label={words.inYourLap}>
      <Fetch room={room} day={day} hand={store.hand.value} />
      <Waits room={room} day={day} />
      <Evenings room={room} day={day} />
      <Written room={room} />
      <LeftOver room={room} />
      <Shopping room={room} />
      <HowSure room={room} />
      {from && !store.unreachable.value ? <Fresh from={from} waiting={outbox.value.length} /> : null}
    </aside>
  );
}

function WeekPage() {
  const room = store.room.value;
  const picture = store.picture.value;
  if (!room || !picture) return null;
  const { view } = room;
  const hasPlan = view.stored !== null;
  return (
    <>
      <a class="skip" href="#day">{words.skip}</a>
      <Top view={view} day={store.day.value} isToday={picture.isToday} canMake={hasPlan && !store.isMaking.value && !isPeeking.value} canMend={hasPlan && !ways.value}
        make={make} pickWeek={(id) => { void store.pickWeek(id); }} />
      <Messages />
      {ways.value ? <WaysOn ways={ways.value} room={room} /> : null}
      {hasPlan ? <Glance room={room} day={store.day.value} hand={store.hand.value} /> : null}
      <main id="day" tabIndex={-1}>
        {hasPlan ? null : <NoPlan view={view} isMaking={store.isMaking.value} make={make} />}
        <Day key={store.day.value} picture={picture} loom={room.loom} isPlanned={hasPlan} />
      </main>
      {hasPlan ? <Beside /> : null}
      {hasPlan && !ways.value ? <Suggested room={room} /> : null}
      {hasPlan ? <Hangs room={room} /> : null}
      <Band days={store.band.value} strands={room.loom.strands.length} shown={store.day.value} today={store.today.value} pick={store.pickDay} />
      <Foot />
      <Sheets room={room} />
    </>
  );
}

export function App() {
  if (!store.room.value && store.phase.value === "nothing") return <RoomPage name="start" />;
  if (entered.value && store.room.value) return <RoomPage name={entered.value} />;
  if (store.room.value) return <div class={`page ${isPeeking.value ? "is-peeking" : ""}`}><WeekPage /></div>;
  return (
    <div class="page">
      <Messages />
      <Foot />
      <Loading />
    </div>
  );
}

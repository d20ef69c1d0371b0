/** Which part of the page is shown. Reads the store; every change goes back to it as a call. */
import * as store from "../store";
import { words } from "../words";
import { Band } from "./Band";
import { Day } from "./Day";
import { Glance } from "./Glance";
import { Making, Notice } from "./Making";
import { Evenings, Fetch, HowSure, LeftOver, Shopping, Waits } from "./Notes";
import { Loading, NoHousehold, NoPlan, Unreachable } from "./States";
import { Top } from "./Top";

const make = () => { void store.makeWeek(); };
const retry = () => { void store.load(); };

function Messages() {
  const away = store.unreachable.value;
  const notice = store.notice.value;
  const job = store.job.value;
  return (
    <>
      {away ? <Unreachable shownFrom={away.shownFrom} retry={retry} /> : null}
      {store.isMaking.value && job ? <Making job={job} stop={() => { void store.stopMaking(); }} /> : null}
      {notice ? <Notice text={notice.text} tone={notice.tone} close={store.closeNotice} /> : null}
    </>
  );
}

function Beside() {
  const room = store.room.value;
  const day = store.day.value;
  if (!room) return null;
  return (
    <aside class="notes" aria-label={words.inYourLap}>
      <Fetch room={room} day={day} hand={store.hand.value} />
      <Waits room={room} day={day} />
      <Evenings room={room} day={day} />
      <LeftOver room={room} />
      <Shopping room={room} />
      <HowSure room={room} />
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
      <Top view={view} day={store.day.value} isToday={picture.isToday} canMake={hasPlan && !store.isMaking.value}
        make={make} pickWeek={(id) => { void store.pickWeek(id); }} />
      <Messages />
      {hasPlan ? <Glance room={room} day={store.day.value} hand={store.hand.value} /> : null}
      <main id="day" tabIndex={-1}>
        {hasPlan ? null : <NoPlan view={view} isMaking={store.isMaking.value} make={make} />}
        <Day key={store.day.value} picture={picture} loom={room.loom} isPlanned={hasPlan} />
      </main>
      {hasPlan ? <Beside /> : null}
      <Band days={store.band.value} strands={room.loom.strands.length} shown={store.day.value} today={store.today.value} pick={store.pickDay} />
    </>
  );
}

export function App() {
  if (store.room.value) return <div class="page"><WeekPage /></div>;
  return (
    <div class="page">
      <Messages />
      {store.phase.value === "nothing" ? <NoHousehold /> : <Loading />}
    </div>
  );
}

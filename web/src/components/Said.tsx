/** What the page has to say, in whichever room: that the service sleeps, that a week is made, what was just done. */
import * as api from "../api";
import { outbox } from "../marks";
import { lay } from "../sheet";
import * as store from "../store";
import { Making } from "./Making";
import { Notice } from "./Notice";
import { Unreachable } from "./States";

const retry = () => { void store.load(); };

export function Messages() {
  const away = store.unreachable.value;
  const job = store.job.value;
  return (
    <>
      {away ? <Unreachable shownFrom={away.shownFrom} waiting={outbox.value.length} retry={retry} /> : null}
      {store.isMaking.value && job ? <Making key={job.id} job={job} keep={() => { void store.endMaking(api.enoughOfJob); }} stop={() => { void store.endMaking(api.cancelJob); }} /> : null}
    </>
  );
}

/** What was just done stays in reach of the thumb, wherever the page is scrolled to. */
export function Foot() {
  const said = store.notice.value;
  if (!said) return null;
  return <div class="foot"><Notice said={said} close={store.closeNotice} undo={() => { void store.undo(); }} compare={() => { lay({ kind: "compare" }); }} /></div>;
}

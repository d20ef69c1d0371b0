/** The search as it goes on: what is found, how near the best, and a way to stop. */
import { words } from "../words";
import type { Job } from "../model";
import type { Said } from "../store";
import { makingText } from "../vm/sure";
import { Sign } from "./Sign";

export function Making({ job, stop }: { job: Job; stop: () => void }) {
  const text = makingText(job.progress);
  return (
    <section class="making" aria-label={words.making}>
      <div class="making-text" role="status">
        <p class="making-head">{text.headline}</p>
        <p class="making-facts">{text.facts.map((fact) => <span key={fact} class="fact">{fact}</span>)}</p>
      </div>
      <progress aria-label={words.making} max={1} {...(text.nearness === null ? {} : { value: text.nearness })} />
      <button type="button" class="button" onClick={stop}>{words.cancel}</button>
    </section>
  );
}

interface NoticeProps {
  said: Said;
  close: () => void;
  undo: () => void;
  compare: () => void;
}

/** What was done just now, and the way back from it. */
export function Notice({ said, close, undo, compare }: NoticeProps) {
  return (
    <div class={`notice notice-${said.tone}`} role="status">
      <p>{said.text}</p>
      {said.undo ? <button type="button" class="button" onClick={undo}><Sign name="turn" /> {said.undoes ? words.undoNext(said.undoes) : words.undo}</button> : null}
      {said.compare ? <button type="button" class="button" onClick={compare}>{words.seeDifference}</button> : null}
      <button type="button" class="button button-quiet" onClick={close}>{words.close}</button>
    </div>
  );
}

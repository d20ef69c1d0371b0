/** The search as it goes on: what is found, how near the best, and two ways to stop: with what fits by now, or without. */
import { useState } from "preact/hooks";
import { words } from "../words";
import type { Job } from "../model";
import { makingText } from "../vm/sure";

export function Making({ job, keep, stop }: { job: Job; keep: () => void; stop: () => void }) {
  const [isEnding, setEnding] = useState(false);
  const end = () => { setEnding(true); keep(); };
  const text = makingText(job.progress);
  return (
    <section class="making" aria-label={words.making}>
      <div class="making-text" role="status">
        <p class="making-head">{isEnding ? words.makingEnd : text.headline}</p>
        <p class="making-facts">{text.facts.map((fact) => <span key={fact} class="fact">{fact}</span>)}</p>
      </div>
      <progress aria-label={words.making} max={1} {...(text.nearness === null ? {} : { value: text.nearness })} />
      <div class="making-ends">
        {job.progress && !isEnding ? <button type="button" class="button" onClick={end}>{words.enough}</button> : null}
        <button type="button" class="button" onClick={stop}>{words.cancel}</button>
      </div>
    </section>
  );
}

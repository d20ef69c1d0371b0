/** The search as it goes on: what is found, how near the best, and a way to stop. */
import { words } from "../words";
import type { Job } from "../model";
import { makingText } from "../vm/sure";

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

/** What the log suggests, with how it was worked out; nothing changes without a yes. */
import { ask } from "../api";
import type { Proposal } from "../contract";
import { changed, guarded } from "../store";
import { fill } from "../words";
import { dateText, useFresh } from "./dates";
import { said } from "./friday-words";

function Asked({ one, today }: { one: Proposal; today: string }) {
  const answer = (how: "take" | "refuse") => { void guarded(async () => {
    await ask(`proposals/${one.id}/${how}?today=${today}`, { method: "POST" });
    await changed(how === "take" ? said.taken : said.refused);
  }); };
  return (
    <li class="person">
      <p><b>{one.sentence}</b></p>
      <p class="quiet"><span>{fill(said.workedOut, one.how)}</span> {one.evidence.map((time) => `${dateText(time.date)}: ${time.value}`).join("; ")}</p>
      <div class="room-acts">
        <button type="button" class="button" aria-label={`${said.yes}: ${one.sentence}`} onClick={() => { answer("take"); }}>{said.yes}</button>
        <button type="button" class="button" aria-label={`${said.no}: ${one.sentence}`} onClick={() => { answer("refuse"); }}>{said.no}</button>
      </div>
    </li>
  );
}

export function Learned({ today }: { today: string }) {
  const found = useFresh(today, () => ask<Proposal[]>(`proposals?today=${today}`));
  if (!found) return null;
  return (
    <section class="room-part" aria-labelledby="learned">
      <h2 id="learned">{said.learned}</h2>
      <p class="quiet">{found.length ? said.learnedText : said.nothingLearned}</p>
      <ul>{found.map((one) => <Asked key={one.id} one={one} today={today} />)}</ul>
    </section>
  );
}

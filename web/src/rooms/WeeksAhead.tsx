/** The weeks after this one: two of them soft, a quiet one proposed after six, a day to celebrate planned back. */
import { useState } from "preact/hooks";
import type { Activity, SoftWeek } from "../contract";
import { pickWeek } from "../store";
import { leaveRoom } from "../rooms";
import { called, words } from "../words";
import { dateText, useFresh } from "./dates";
import { Input, Pick } from "./form";
import { getSoft, getSteps, lookAhead, promise } from "./themes";
import { tell } from "./tell";

function Week({ week, rest }: { week: SoftWeek; rest: (() => void) | null }) {
  const state = week.soft ? tell("soft") : week.placed ? tell("yours") : tell("unplanned");
  const facts = [week.placed ? tell("placed", week.placed) : "", week.held_over.length ? tell("held", week.held_over.join(" · ")) : "", week.left_over.length ? tell("left", week.left_over.join(" · ")) : "", week.trouble];
  return (
    <li class="ahead-line">
      <div>
        <b>{dateText(week.monday)} · {words.weekOf(called(week.theme ?? ""), week.week)} <span class="week-state">{state}</span></b>
        <span class="quiet">{facts.filter(Boolean).join(" · ")}</span>
        {week.break_proposed ? <span>{tell("pause", week.weeks_on)}</span> : null}
      </div>
      <div class="room-acts">
        {rest ? <button type="button" class="button" onClick={rest}>{tell("rest")}</button> : null}
        <button type="button" class="button" aria-label={`${tell("see")}: ${dateText(week.monday)}`} onClick={() => { void pickWeek(week.week); leaveRoom(); }}>{tell("see")}</button>
      </div>
    </li>
  );
}

export function WeeksAhead({ week }: { week: string }) {
  const [isLooking, look] = useState(false);
  const found = useFresh(`soft ${week}`, () => getSoft(week));
  // The first that may be quiet becomes it, and the weeks after it stand on their own again.
  const first = found?.find((one) => one.may_rest);
  const go = (rest: boolean) => {
    look(true);
    void lookAhead(week, rest).finally(() => { look(false); });
  };
  return (
    <section class="room-part" aria-labelledby="weeks-ahead">
      <h2 id="weeks-ahead">{tell("ahead")}</h2>
      <p class="quiet">{tell("aheadText")}</p>
      {found?.length === 0 ? <p>{tell("noAhead")}</p> : null}
      <ul class="ahead-lines">{found?.map((one) => <Week key={one.week} week={one} rest={one === first && one.break_proposed ? () => { go(true); } : null} />)}</ul>
      <p role="status">{isLooking ? tell("looking") : ""}</p>
      <div class="room-acts"><button type="button" class="button button-main" disabled={isLooking} onClick={() => { go(false); }}>{tell("look")}</button></div>
    </section>
  );
}

export function Celebration({ activities, from }: { activities: readonly Activity[]; from: string }) {
  const [ident, pick] = useState("");
  const [by, setBy] = useState(from);
  // A day that is typed asks at each stroke; only the answer for what stands there now may be shown.
  const steps = useFresh(`${ident} ${by}`, async () => (ident && by ? getSteps(ident, by) : []));
  const chosen = activities.find((one) => one.id === ident);
  const choices: [string, string][] = [["", "–"], ...activities.map((one): [string, string] => [one.id, called(one.title)])];
  return (
    <section class="room-part" aria-labelledby="celebration">
      <h2 id="celebration">{tell("celebration")}</h2>
      <p class="quiet">{tell("celebrationText")}</p>
      <div class="form">
        <Pick label={tell("what")} value={ident} choices={choices} change={pick} />
        <Input type="date" label={tell("day")} value={by} change={setBy} />
      </div>
      {chosen && steps?.length ? (
        <>
          <ol class="ahead-lines">{steps.map((step, at) => <li key={at} class="ahead-line"><div><b>{step.what}</b> <span class="quiet">{tell("latest", dateText(step.latest))}</span></div></li>)}</ol>
          <div class="room-acts"><button type="button" class="button" onClick={() => { void promise(chosen, by); }}>{tell("putIn")}</button></div>
        </>
      ) : null}
    </section>
  );
}

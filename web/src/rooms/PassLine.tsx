/** One booking of the week: how it went, by one touch; more only where somebody wants to say more. */
import { useState } from "preact/hooks";
import type { Draft, FridayLine } from "../contract";
import type { Names } from "../vm/names";
import { clockOf, minutesOf } from "../time";
import { fill, listOf } from "../words";
import { Sign } from "../components/Sign";
import { Input, numberOf, Pick, Toggles } from "./form";
import { said } from "./friday-words";
import { Seen } from "./Seen";
import { outcomeOf, pass, say, type Outcome, type Said } from "./pass";

const OUTCOMES: readonly Outcome[] = ["done", "loved", "not", "no"];
type Reason = FridayLine["reasons"][string];

interface LineProps {
  draft: Draft;
  names: Names;
}

/** What is written in the fields: said just now, else what the log has. */
const now = (draft: Draft): Said => ({ ...draft.said, ...pass.value.lines[draft.booking] });

function Minutes({ draft, names }: LineProps) {
  const { minutes = {}, setup_min: setup = null, cleanup_min: cleanup = null } = now(draft);
  return (
    <>
      {Object.entries(draft.minutes).map(([child, planned]) => (
        <Input key={child} type="number" label={fill(said.minutesOf, names.person(child))} value={minutes[child] ?? planned} more={{ min: 0, max: 600, inputMode: "numeric" }}
          change={(text) => { say(draft, { minutes: { ...minutes, [child]: numberOf(text) ?? planned } }); }} />
      ))}
      <Input type="number" label={said.setup} value={setup} more={{ min: 0, max: 600, inputMode: "numeric" }} change={(text) => { say(draft, { setup_min: numberOf(text) }); }} />
      <Input type="number" label={said.cleanup} value={cleanup} more={{ min: 0, max: 600, inputMode: "numeric" }} change={(text) => { say(draft, { cleanup_min: numberOf(text) }); }} />
    </>
  );
}

function Reasons({ draft, names }: LineProps) {
  const { reasons = {} } = now(draft);
  const choices: [string, string][] = [["", said.noReason], ...Object.entries(said.reasons)];
  const choose = (child: string, reason: string) => {
    const others = Object.fromEntries(Object.entries(reasons).filter(([one]) => one !== child));
    say(draft, { reasons: reason ? { ...others, [child]: reason as Reason } : others });
  };
  return (
    <>
      {Object.keys(draft.minutes).map((child) => (
        <Pick key={child} label={fill(said.reasonOf, names.person(child))} value={reasons[child] ?? ""} choices={choices} change={(reason) => { choose(child, reason); }} />
      ))}
    </>
  );
}

function More({ draft, names }: LineProps) {
  const outcome = outcomeOf(draft);
  return (
    <div class="pass-rest">
    <div class="form narrow">
      {outcome === "no" ? <Reasons draft={draft} names={names} /> : null}
      {outcome === "no" || outcome === "not" ? null : <Minutes draft={draft} names={names} />}
      <Input label={said.note} value={now(draft).note ?? ""} more={{ maxLength: 2000 }} change={(note) => { say(draft, { note }); }} />
    </div>
    {Object.keys(draft.minutes).map((child) => <Seen key={child} draft={draft} child={child} name={names.person(child)} area={names.activity(draft.activity)?.areas[0] ?? null} />)}
    </div>
  );
}

export function PassLine({ draft, names }: LineProps) {
  const [isOpen, open] = useState(false);
  const booking = names.booking(draft.booking);
  const outcome = outcomeOf(draft);
  const chosen: Outcome[] = outcome === null ? [] : [outcome === "fine" ? "done" : outcome];
  return (
    <li class="pass-line">
      <div class="pass-what">
        <b>{draft.title}</b>
        <span class="quiet">{booking ? `${clockOf(minutesOf(booking.start))} · ` : ""}{listOf(Object.keys(draft.minutes).map(names.person))}</span>
      </div>
      <Toggles label="" of={fill(said.how, draft.title)} chosen={chosen} choices={OUTCOMES.map((one) => [one, said.outcomes[one]] as const)} touch={(one) => { say(draft, { outcome: one }); }} />
      <button type="button" class="toggle pass-more" aria-expanded={isOpen} aria-label={`${said.more}: ${draft.title}`} onClick={() => { open(!isOpen); }}><Sign name="more" /></button>
      {isOpen ? <More draft={draft} names={names} /> : null}
    </li>
  );
}

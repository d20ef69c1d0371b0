/** What was seen of a child, by one touch: not yet, with help, alone. */
import { useState } from "preact/hooks";
import { ask, sending } from "../api";
import type { Draft, Observation } from "../contract";
import { changed, guarded } from "../store";
import { fill } from "../words";
import { Input, Toggles } from "./form";
import { said } from "./friday-words";

type Level = Observation["level"];

export function Seen({ draft, child, name, area }: { draft: Draft; child: string; name: string; area: string | null }) {
  const [skill, write] = useState(draft.title);
  const [level, pick] = useState<Level | null>(null);
  const keep = (next: Level) => guarded(async () => {
    const id = [draft.booking, child, draft.date].join("_").replace(/[^\w-]/g, "-").slice(0, 80);
    await ask(`observations/${id}`, sending("PUT", { id, child, date: draft.date, skill: skill.trim() || draft.title, level: next, area, seen: "" }));
    pick(next);
    await changed(fill(said.kept, name, said.levels[next]));
  });
  return (
    <div class="person">
      <div class="form"><Input label={fill(said.skill, name)} value={skill} more={{ maxLength: 200 }} change={write} /></div>
      <Toggles label="" of={fill(said.seen, name)} chosen={level ? [level] : []} choices={Object.entries(said.levels) as [Level, string][]} touch={(next) => { void keep(next); }} />
    </div>
  );
}

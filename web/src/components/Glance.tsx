/** Where the notes lie below the day: what to fetch, what waits, what the evening asks, in one line. */
import type { Day } from "../model";
import { minutes, words } from "../words";
import type { Room } from "../vm/cards";
import { eveningNotes, fetchNote, waitLines } from "../vm/notes";

export function Glance({ room, day, hand }: { room: Room; day: Day; hand: number | null }) {
  const waits = waitLines(room, day).length;
  const evening = eveningNotes(room, day).at(-1)?.used ?? 0;
  const parts = [
    { kind: "fetch", label: words.glanceFetch, value: fetchNote(room, day, hand)?.things[0] ?? words.nothing },
    { kind: "waits", label: words.glanceWaits, value: waits ? words.thingsWait(waits) : words.nothing },
    { kind: "evening", label: words.glanceEvening, value: evening ? minutes(evening) : words.nothing },
  ];
  return (
    <nav class="glance" aria-label={words.glance}>
      {parts.map((part) => <a key={part.kind} href={`#note-${part.kind}`}><span>{part.label}</span> <b>{part.value}</b></a>)}
    </nav>
  );
}

/** The week small: a bead for each booking; a tap or the arrow keys show a day large. */
import { useRef } from "preact/hooks";
import type { Day } from "../model";
import { DAYS } from "../time";
import { DAY_NAMES, upperFirst, words } from "../words";
import type { BandDay, Bead } from "../vm/band";
import { Mark } from "./Mark";

const STEPS: Record<string, (index: number) => number> = {
  ArrowLeft: (index) => index - 1,
  ArrowRight: (index) => index + 1,
  Home: () => 0,
  End: () => DAYS.length - 1,
};

/** The strands lie across here: each booking ties its beads on the strands it concerns. */
function BeadView({ bead, strands }: { bead: Bead; strands: number }) {
  const kinds = [bead.promise ? "bead-promise" : "", bead.over ? "bead-over" : "", bead.newStretch ? "bead-apart" : "",
    bead.marks.length > 1 ? "bead-joint" : "", bead.marks.length === 0 ? "bead-step" : ""];
  const joined = { "--from": Math.min(...bead.rows), "--to": strands - 1 - Math.max(...bead.rows) };
  return (
    <i style={bead.marks.length > 1 ? joined : {}} class={`bead ${kinds.filter(Boolean).join(" ")}`}>
      {Array.from({ length: strands }, (_, index) => (
        <i key={index} class="bead-seat">{bead.rows.includes(index) ? <Mark mark={bead.marks[bead.rows.indexOf(index)] ?? 0} /> : null}</i>
      ))}
    </i>
  );
}

interface DayButtonProps {
  one: BandDay;
  strands: number;
  isShown: boolean;
  isToday: boolean;
  pick: (day: Day) => void;
}

function DayButton({ one, strands, isShown, isToday, pick }: DayButtonProps) {
  return (
    <button type="button" class="band-day" data-day={one.day} tabIndex={isShown ? 0 : -1} aria-current={isShown ? "true" : undefined}
      onClick={() => { pick(one.day); }}>
      <span class="unseen">{upperFirst(DAY_NAMES[one.day])}</span>
      <span class="band-name" aria-hidden="true">{upperFirst(DAY_NAMES[one.day].slice(0, 3))}</span>
      <span class="band-date">{one.date.getUTCDate()}</span>
      {isToday ? <span class="band-today">{words.bandToday}</span> : null}
      <span class="beads" aria-hidden="true">{one.beads.map((bead) => <BeadView key={bead.id} bead={bead} strands={strands} />)}</span>
      <span class="unseen">{words.bandCounts(one.beads.length, one.promises)}</span>
    </button>
  );
}

interface BandProps {
  days: BandDay[];
  strands: number;
  shown: Day;
  today: Day | null;
  pick: (day: Day) => void;
}

export function Band({ days, strands, shown, today, pick }: BandProps) {
  const list = useRef<HTMLOListElement>(null);
  const onKeyDown = (event: KeyboardEvent) => {
    const next = DAYS[STEPS[event.key]?.(DAYS.indexOf(shown)) ?? -1];
    if (!next) return;
    event.preventDefault();
    pick(next);
    list.current?.querySelectorAll("button")[DAYS.indexOf(next)]?.focus();
  };
  return (
    <nav class="band" aria-label={words.band}>
      <ol ref={list} onKeyDown={onKeyDown}>
        {days.map((one) => (
          <li key={one.day}><DayButton one={one} strands={strands} isShown={one.day === shown} isToday={one.day === today} pick={pick} /></li>
        ))}
      </ol>
    </nav>
  );
}

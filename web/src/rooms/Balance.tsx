/** A child's areas by week: a bead for each week, whose size stands for its minutes, on the thread of its area. */
import type { Report } from "../contract";
import { said } from "./friday-words";

const MOST = 15;

/** The area of a bead, not its width, stands for the minutes. */
function Bead({ minutes, most, own }: { minutes: number; most: number; own: boolean }) {
  return (
    <svg class={own ? "area-bead is-own" : "area-bead"} viewBox="-16 -16 32 32" aria-hidden="true" focusable="false">
      <path d="M-16 0H16" />{minutes ? <circle r={Math.max(3, MOST * Math.sqrt(minutes / most))} /> : null}
    </svg>
  );
}

export function Balance({ report, child, name }: { report: Report; child: string; name: string }) {
  const rows = report.subjects.filter((one) => one.child === child);
  const weeks = [...new Set(rows.flatMap((one) => Object.keys(one.by_week)))].sort();
  const most = Math.max(1, ...rows.flatMap((one) => Object.values(one.by_week)));
  if (!rows.length) return null;
  return (
    <div class="balance" tabIndex={0} role="region" aria-label={`${said.minutesTitle}: ${name}`}>
      <table>
        <caption>{name}</caption>
        <thead><tr><th scope="col">{said.area}</th>{weeks.map((week) => <th key={week} scope="col">{week.slice(5)}</th>)}<th scope="col">{said.all}</th></tr></thead>
        <tbody>
          {rows.map(({ subject, by_week: by, minutes }) => (
            <tr key={subject.name}>
              <th scope="row"><span lang={subject.own ? undefined : "en"}>{subject.name}</span>{subject.own ? <small class="quiet"> {said.ownTag}</small> : null}</th>
              {weeks.map((week) => <td key={week}><Bead minutes={by[week] ?? 0} most={most} own={subject.own} />{by[week] ?? 0}</td>)}
              <td><b>{minutes}</b></td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

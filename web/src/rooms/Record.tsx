/** What the log adds up to: minutes by area, what is thin and one cheap fix, days and hours, and what can be taken along. */
import { useState } from "preact/hooks";
import { ask, sending } from "../api";
import type { CrossWalk, GentleNote, Report } from "../contract";
import { changed, guarded, load } from "../store";
import type { Room } from "../vm/cards";
import { fill } from "../words";
import { Balance } from "./Balance";
import { daysAfter, isoWeek, useFresh } from "./dates";
import { Pick } from "./form";
import { said } from "./friday-words";
import { Rule } from "./Rule";

function Thin({ report, room: { names, view: { monday } } }: { report: Report; room: Room }) {
  const wish = ({ fix: activity, fix_title: title, child, fits_in: week }: Report["thin"][number]) => guarded(async () => {
    await ask("record/fix", sending("POST", { activity, child, week: week ?? isoWeek(daysAfter(monday, 7)) }));
    await load();
    await changed(fill(said.wished, title));
  });
  if (!report.thin.length) return <p>{said.noThin}</p>;
  return (
    <ul class="ahead-lines">
      {report.thin.map((one) => (
        <li key={`${one.child} ${one.area}`} class="ahead-line">
          <div>{fill(said.thin, names.person(one.child), one.name, one.times_a_week, one.wanted)}{one.fix ? ` ${fill(said.fix, one.fix_title, one.fix_minutes)}` : ""}{one.fits_in ? ` ${fill(said.fits, one.fits_in)}` : ""}</div>
          {one.fix ? <div class="room-acts"><button type="button" class="button" aria-label={`${said.wish}: ${one.fix_title}, ${names.person(one.child)}`} onClick={() => { void wish(one); }}>{said.wish}</button></div> : null}
        </li>
      ))}
    </ul>
  );
}

/** What is published, beside what is planned: nothing is wrong, and nothing is asked. */
function Published({ room: { view: { week, stored } } }: { room: Room }) {
  const notes = useFresh(`gentle ${week.id}`, () => (stored ? ask<GentleNote[]>(`weeks/${week.id}/gentle`) : Promise.resolve([])));
  const walk = useFresh("walk", () => ask<CrossWalk[]>("record/kindergarten"));
  return (
    <details>
      <summary>{said.published}</summary>
      <ul>{notes?.map((one) => <li key={one.text}>{one.text} <span class="quiet">{one.source}</span></li>)}</ul>
      <h3>{said.walk}</h3>
      <ul>{walk?.map((one) => <li key={one.domain}>{one.domain}: {one.goes_on_in} <span class="quiet">{one.standing}</span></li>)}</ul>
    </details>
  );
}

export function Record({ room }: { room: Room }) {
  const [weeks, pick] = useState("1");
  const { names, loom: { strands }, view: { monday } } = room;
  const time = `since=${daysAfter(monday, 7 - 7 * Number(weeks))}&until=${daysAfter(monday, 6)}`;
  const report = useFresh(time, () => ask<Report>(`record?${time}&weeks=${Math.min(12, Number(weeks))}`));
  return (
    <>
      <section class="room-part" aria-labelledby="minutes">
        <h2 id="minutes">{said.minutesTitle}</h2>
        <div class="form"><Pick label={said.period} value={weeks} choices={Object.entries(said.periods)} change={pick} /></div>
        {report ? (
          <>
            {report.subjects.length ? null : <p>{said.noMinutes}</p>}
            {strands.map((one) => <Balance key={one.id} report={report} child={one.id} name={one.name} />)}
            <p class="quiet">{said.framework}</p>
            {report.subjects.length ? <Thin report={report} room={room} /> : null}
          </>
        ) : null}
        <Published room={room} />
        <h3>{said.take}</h3>
        <div class="room-acts">
          {strands.map((one) => <a key={one.id} class="choice" download href={`api/record/${encodeURIComponent(one.id)}/portfolio?${time}&file=true`}>{fill(said.portfolio, one.name)}</a>)}
          {(["csv", "xlsx"] as const).map((form) => <a key={form} class="choice" download href={`api/record/table?${time}&format=${form}`}>{said[form]}</a>)}
        </div>
      </section>
      {report ? <Rule key={time} report={report} children={strands.map((one) => one.id)} names={names} /> : null}
    </>
  );
}

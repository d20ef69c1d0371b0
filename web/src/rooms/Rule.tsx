/** Days and hours by the family's own rule. Lapful knows no law. */
import { useState } from "preact/hooks";
import { ask, sending } from "../api";
import type { RecordRule, Report } from "../contract";
import { changed, guarded } from "../store";
import type { Names } from "../vm/names";
import { fill } from "../words";
import { Input, numberOf, Pick } from "./form";
import { said } from "./friday-words";

interface RuleProps {
  report: Report;
  children: readonly string[];
  names: Names;
}

export function Rule({ report, children, names }: RuleProps) {
  const known = report.progress.map((one) => one.rule);
  const fresh = (child: string): RecordRule => known.find((one) => one.child === child) ?? { child, kind: "days", since: report.since, until: report.until, target: 0, over: 0, areas: [], source: "", source_date: null };
  const [rule, set] = useState(() => fresh(children[0] ?? ""));
  const keep = (event: Event) => {
    event.preventDefault();
    void guarded(async () => {
      await ask(`record/rules/${encodeURIComponent(rule.child)}`, sending("PUT", rule));
      await changed(said.ruleSet);
    });
  };
  return (
    <section class="room-part" aria-labelledby="rule">
      <h2 id="rule">{said.rule}</h2>
      <p><b>{said.ruleText}</b></p>
      {report.progress.map(({ rule: { child, source }, days, hours, each }) => (
        <p key={child}>{fill(said.counted, names.person(child), days, hours)} {each ? fill(said.each, each) : ""} <span class="quiet">{source}</span></p>
      ))}
      <form class="form" onSubmit={keep}>
        <Pick label={said.ruleFor} value={rule.child} choices={children.map((one) => [one, names.person(one)] as const)} change={(child) => { set(fresh(child)); }} />
        <Pick label={said.kind} value={rule.kind} choices={Object.entries(said.kinds)} change={(kind) => { set({ ...rule, kind: kind as RecordRule["kind"] }); }} />
        {(["since", "until"] as const).map((key) => <Input key={key} type="date" label={said[key]} value={rule[key]} more={{ required: true }} change={(date) => { set({ ...rule, [key]: date }); }} />)}
        {(["target", "over"] as const).map((key) => <Input key={key} type="number" label={said[key]} value={rule[key]} more={{ min: 0 }} change={(text) => { set({ ...rule, [key]: numberOf(text) ?? 0 }); }} />)}
        <Input type="date" label={said.sourceDate} value={rule.source_date} change={(date) => { set({ ...rule, source_date: date || null }); }} />
        <Input label={said.source} value={rule.source} more={{ maxLength: 2000 }} change={(source) => { set({ ...rule, source }); }} />
        <button type="submit" class="button">{said.setRule}</button>
      </form>
    </section>
  );
}

/** Books: the next thing to do about each, and one touch to say that it is done. */
import { useState } from "preact/hooks";
import type { BookLine, Loan } from "../contract";
import { setLoan } from "./ahead";
import { dateText, daysAfter } from "./dates";
import { Input } from "./form";
import { tell } from "./tell";

/** Loans of two to four weeks are usual (common practice, no source). */
const LOAN_DAYS = 21;

interface Step {
  did: Loan["did"];
  isDated: boolean;
}

function stepsOf(line: BookLine): Step[] {
  const back: Step = { did: "given back", isDated: false };
  const renew: Step = { did: "renewed", isDated: true };
  switch (line.advice) {
    case "reserve it": return [...(line.due ? [back] : []), { did: "reserved", isDated: false }];
    case "fetch it when it arrives": return [{ did: "fetched", isDated: true }];
    case "renew it": return [renew];
    default: return line.renewals_left ? [back, renew] : [back];
  }
}

function Line({ line }: { line: BookLine }) {
  const steps = stepsOf(line);
  const [until, setUntil] = useState(daysAfter(line.due ?? line.by, LOAN_DAYS));
  const facts = [line.note ? tell(line.note) : "", line.renewals_left ? tell("renewals", line.renewals_left) : ""].filter(Boolean).join(" ");
  return (
    <li class="ahead-line">
      <div><b>{line.title}</b> <span>{tell(line.advice)}, {dateText(line.by)}</span> <span class="quiet">{facts}</span></div>
      <div class="room-acts">
        {steps.some((step) => step.isDated) ? <Input type="date" label={tell("until")} value={until} change={setUntil} /> : null}
        {steps.map((step) => (
          <button key={step.did} type="button" class="button" aria-label={`${tell(step.did)}: ${line.title}`}
            onClick={() => { void setLoan(line.book, line.title, { did: step.did, until: step.isDated ? until : null }); }}>{tell(step.did)}</button>
        ))}
      </div>
    </li>
  );
}

export function Books({ lines }: { lines: readonly BookLine[] }) {
  return (
    <section class="room-part" aria-labelledby="books">
      <h2 id="books">{tell("books")}</h2>
      {lines.length ? <ul class="ahead-lines">{lines.map((line) => <Line key={`${line.book} ${line.advice} ${line.due ?? ""}`} line={line} />)}</ul> : <p class="quiet">{tell("noBooks")}</p>}
    </section>
  );
}

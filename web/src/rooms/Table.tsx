/** The catalogue as a spreadsheet: out, and in again once every row is right. */
import { useState } from "preact/hooks";
import type { Fault, Imported } from "../contract";
import { Trouble } from "../api";
import { guarded } from "../store";
import { bring, orFaults } from "./catalogue";
import { tell } from "./tell";

type Looked = { file: File; brings: Imported } | null;

export function Table() {
  const [looked, look] = useState<Looked>(null);
  const [faults, mend] = useState<readonly Fault[]>([]);
  const read = (file: File | undefined) => {
    look(null);
    mend([]);
    if (file) void guarded(async () => {
      try {
        look({ file, brings: await bring(file, false) });
      } catch (error) {
        if (!(error instanceof Trouble) || !error.problem.faults?.length) throw error;
        mend(error.problem.faults);
      }
    });
  };
  const take = (file: File) => { void guarded(async () => { mend(await orFaults(() => bring(file, true), tell("brought"))); look(null); }); };
  return (
    <section class="room-part" aria-labelledby="table">
      <h2 id="table">{tell("table")}</h2>
      <p class="quiet">{tell("tableText")}</p>
      <div class="room-acts">
        {["xlsx", "csv"].map((form) => <a key={form} class="button" download href={`api/catalogue/table?format=${form}`}>{tell("takeOut", form.toUpperCase())}</a>)}
      </div>
      <label class="field"><span>{tell("bringIn")}</span><input type="file" accept=".csv,.xlsx" onChange={(event) => { read(event.currentTarget.files?.[0]); }} /></label>
      {looked ? (
        <div role="status">
          <p>{tell("brings", looked.brings.added.length, looked.brings.changed.length, looked.brings.same)}</p>
          <button type="button" class="button button-main" onClick={() => { take(looked.file); }}>{tell("bringNow")}</button>
        </div>
      ) : null}
      {faults.length ? (
        <div role="alert">
          <p><b>{tell("mendRows")}</b></p>
          <ul class="theme-facts">{faults.map((fault, at) => <li key={at}><b>{fault.path}</b>: {fault.message}</li>)}</ul>
        </div>
      ) : null}
    </section>
  );
}

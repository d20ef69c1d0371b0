/** What lies ahead, and what is done about it. */
import { ask, sending } from "../api";
import type { Ahead, EveningList, Loan, PrepItem, Prepared, Shop, ToBuy, Week } from "../contract";
import { changed, guarded, load } from "../store";
import { tell } from "./tell";

const name = encodeURIComponent;

export const getAhead = (week: string): Promise<Ahead> => ask(`weeks/${name(week)}/ahead`);

const isOf = (item: PrepItem) => (one: Prepared) => one.wish === item.wish && one.go === item.go && one.task === item.task;

/** The list is written as a whole, so it is read just before: another tablet may have ticked meanwhile. */
export async function setReady(evening: EveningList, item: PrepItem): Promise<void> {
  await guarded(async () => {
    const path = `weeks/${name(item.week)}`;
    const { prepared } = await ask<Week>(path);
    const mine = { wish: item.wish, go: item.go, task: item.task, evening: evening.evening };
    const others = prepared.filter((one) => !isOf(item)(one));
    await ask(`${path}/prepared`, sending("PUT", item.done ? others : [...others, mine]));
    await changed(tell(item.done ? "notReady" : "readyKept", item.name));
  });
}

export async function setBought(line: ToBuy): Promise<void> {
  await guarded(async () => {
    await ask("stock", sending("POST", { [line.material]: line.count }));
    await changed(tell("boughtKept", line.name));
  });
}

export async function setShops(week: string, shops: readonly Shop[]): Promise<void> {
  await guarded(async () => {
    await ask(`weeks/${name(week)}/shops`, sending("PUT", shops));
    await load();
    await changed(tell("shopsKept"));
  });
}

export async function setLoan(book: string, title: string, loan: Loan): Promise<void> {
  await guarded(async () => {
    await ask(`books/${name(book)}/loan`, sending("PUT", loan));
    await changed(tell("loanKept", title));
  });
}

/** What was taken without asking, with who stands behind it, before anything is kept. */
import type { Child, Default, FixedPoint, Household, Started } from "../contract";
import { fill, listOf } from "../words";
import { told } from "./house-words";

/** The thing that a path names: `household.children[0].bed` is a child's bedtime. */
function valueOf(child: Child | undefined, house: Household, key: string): string {
  switch (key) {
    case "bed": return child?.bed ?? "";
    case "wake": return child?.wake ?? "";
    case "naps": return listOf((child?.naps ?? []).map((nap) => fill(told.napTold, nap.start, nap.length_min, nap.days_of_seven))) || told.none;
    case "attention": return child ? fill(told.spans, child.attention.listening_min, child.attention.table_min, child.attention.hands_min) : "";
    case "alone_min": return `${child?.alone_min ?? ""} min`;
    case "outdoor_times_a_day": case "screen_min_a_day": case "money_a_week": return String(house.limits[key]);
    case "free_share": return `${Math.round(house.limits.free_share * 100)} %`;
    case "stretches": return listOf(house.stretches.map((one) => one.name));
    default: return "";
  }
}

const mealOf = (point: FixedPoint): string => (point.meal && point.meal in told.meals ? told.meals[point.meal as keyof typeof told.meals] : point.title);

function lineOf({ document: { household } }: Started, { path }: Default): string {
  const place = /(children|fixed_points)\[(\d+)\]/.exec(path);
  const index = Number(place?.[2]);
  const point = household.fixed_points[index];
  if (place?.[1] === "fixed_points" && point) return `${mealOf(point)}: ${point.start}–${point.end}`;
  const granted: Record<string, string> = told.granted;
  const key = path.slice(path.lastIndexOf(".") + 1);
  const child = place ? household.children[index] : undefined;
  const said = [granted[key] ?? key, valueOf(child, household, key)].filter(Boolean).join(": ");
  return child ? `${child.name}, ${said}` : said;
}

export function Granted({ made }: { made: Started }) {
  return (
    <section class="room-part" aria-labelledby="granted">
      <h2 id="granted">{told.grantedTitle}</h2>
      <p class="quiet">{fill(told.grantedText, made.defaults.length)}</p>
      <ul class="granted">
        {made.defaults.map((one) => (
          <li key={one.path}>
            <span>{lineOf(made, one)}</span> <small class={`standing standing-${one.standing.replaceAll(" ", "-")}`}>{told.standing[one.standing]}</small>
            {one.source ? <small class="quiet">{one.source}</small> : null}
          </li>
        ))}
      </ul>
      {made.notes.length ? (
        <>
          <h3>{told.goodToKnow}</h3>
          {made.notes.map((note) => <p key={note}>{note}</p>)}
        </>
      ) : null}
      <p class="quiet">{told.notAdvice}</p>
    </section>
  );
}

/** One way on, told as what becomes of each thing. */
import type { Move, Offer } from "../model";
import { clockOf, minutesOf } from "../time";
import { DAY_NAMES, upperFirst, words } from "../words";
import type { Names } from "./names";
import type { Room } from "./cards";

export interface OfferPart {
  kind: "moved" | "waits" | "gone" | "off" | "notes";
  title: string;
  lines: { id: string; text: string; more: string }[];
}

const at = (time: string): string => clockOf(minutesOf(time));

function whenText(room: Room, move: Move): string {
  if (move.from_day === move.to_day) return words.fromTo(at(move.from_start), at(move.to_start));
  const stretch = room.view.household.stretches.find((one) => one.id === move.to_stretch)?.name ?? at(move.to_start);
  return words.fromTo(DAY_NAMES[move.from_day], `${DAY_NAMES[move.to_day]}, ${stretch.toLowerCase()}`);
}

function moveLine(room: Room, move: Move): OfferPart["lines"][number] {
  const stays = move.from_day === move.to_day && move.from_start === move.to_start;
  const text = stays ? words.lighterWay(move.title) : words.movesTo(move.title, whenText(room, move));
  return { id: move.booking, text, more: move.lighter && !stays ? words.lighter : "" };
}

const leftLines = (lines: Offer["held_over"]): OfferPart["lines"] => lines.map((left) => ({
  id: `${left.wish}.${left.go}`, text: left.title, more: left.until ? words.until(left.until) : left.reason.sentence,
}));

function offLines(names: Names, offer: Offer): OfferPart["lines"] {
  return offer.cancelled.map((one) => ({
    id: `${one.fixed_point}-${one.day}`,
    text: [`${one.title}, ${DAY_NAMES[one.day]}`, words.listOf(one.for_whom.map(names.person))].filter(Boolean).join(" · "),
    more: [`${upperFirst(one.why)}.`, one.tell].filter(Boolean).join(" "),
  }));
}

export function offerParts(room: Room, offer: Offer): OfferPart[] {
  const parts: OfferPart[] = [
    { kind: "moved", title: words.waysMoved, lines: offer.moved.map((move) => moveLine(room, move)) },
    { kind: "waits", title: words.waysWaits, lines: leftLines(offer.held_over) },
    { kind: "gone", title: words.waysGone, lines: leftLines(offer.let_go) },
    { kind: "off", title: words.waysOff, lines: offLines(room.names, offer) },
    { kind: "notes", title: words.waysNotes, lines: offer.notes.map((text) => ({ id: text, text, more: "" })) },
  ];
  return parts.filter((part) => part.lines.length > 0);
}

/** What a card says of itself while an offer is only looked at. */
export function peekBadges(moved: readonly Move[]): ReadonlyMap<string, string> {
  return new Map(moved.map((move) => [
    move.booking, move.from_day === move.to_day && move.from_start === move.to_start ? words.lighterHere : words.movedHere,
  ]));
}

/** A moment as it is said of people: its day, and of today the hour. */
import { shortDay, todayHere } from "../../lib/days";

export const dayOf = (at: string): string => shortDay(todayHere(new Date(at)), true);

export function whenOf(at: string): string {
  const moment = new Date(at);
  const time = moment.toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
  return todayHere(moment) === todayHere() ? time : `${dayOf(at)}, ${time}`;
}

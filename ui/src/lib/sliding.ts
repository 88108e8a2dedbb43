/** Choosing a place of a drawing by finger or by key: what `Curve` and `Strip` have in common. */
import { placeAt, stepped, type Sheet } from "./draw";

export interface Slid {
  sheet: Pick<Sheet, "places" | "px">;
  at: number;
  /** Pixels before the first place. */
  left?: number;
}

/** What a drawing listens to; `now` says how it lies and which place is chosen. */
export function sliding(now: () => Slid, choose: (at: number) => void) {
  const point = (event: PointerEvent & { currentTarget: Element }): void => {
    if (event.type === "pointermove" && event.buttons === 0) return;
    const { sheet, left = 0 } = now();
    choose(placeAt(sheet, event.clientX - event.currentTarget.getBoundingClientRect().left - left));
  };
  const key = (event: KeyboardEvent): void => {
    const { sheet, at } = now();
    const to = stepped(at, event.key, sheet.places);
    if (to === undefined) return;
    event.preventDefault();
    choose(to);
  };
  return { onpointerdown: point, onpointermove: point, onkeydown: key };
}

/** How far a place is from where one stands; good to a few yards over a tract. */
import { corners, YARDS_A_DEGREE, yardsAcross, type LonLat } from "./earth";
import type { Place } from "./form";

/** The place nearest to a point, and how many yards off its nearest corner is. */
export function nearest(places: Place[], at: LonLat): { place: Place; yards: number } | null {
  let best: { place: Place; yards: number } | null = null;
  for (const place of places) {
    if (place.kind === "boundary") continue;
    for (const corner of corners(place.shape)) {
      const yards = apart(at, corner);
      if (best === null || yards < best.yards) best = { place, yards };
    }
  }
  return best;
}

const apart = ([lon, lat]: LonLat, [lon2, lat2]: LonLat): number =>
  Math.hypot((lon2 - lon) * yardsAcross(lat), (lat2 - lat) * YARDS_A_DEGREE);

/** Where the device is, if it says so. */
export function whereAmI(): Promise<LonLat> {
  return new Promise((found, failed) => {
    if (navigator.geolocation === undefined) return failed(new Error("no position"));
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => found([coords.longitude, coords.latitude]),
      failed,
      { enableHighAccuracy: true, timeout: 10_000, maximumAge: 60_000 },
    );
  });
}

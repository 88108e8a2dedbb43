/** How far a place is from where one stands; good to a few yards over a tract. */
import type { Place } from "./form";

type LonLat = [number, number];
const YARDS_A_DEGREE = 121_740;

/** The place nearest to a point, and how many yards off its nearest corner is. */
export function nearest(places: Place[], at: LonLat): { place: Place; yards: number } | null {
  let best: { place: Place; yards: number } | null = null;
  for (const place of places) {
    if (place.kind === "boundary") continue;
    for (const corner of corners(place.shape?.coordinates)) {
      const yards = apart(at, corner);
      if (best === null || yards < best.yards) best = { place, yards };
    }
  }
  return best;
}

function apart([lon, lat]: LonLat, [lon2, lat2]: LonLat): number {
  const across = (lon2 - lon) * Math.cos((lat * Math.PI) / 180);
  return Math.hypot(across, lat2 - lat) * YARDS_A_DEGREE;
}

function* corners(coordinates: unknown): Generator<LonLat> {
  if (!Array.isArray(coordinates)) return;
  if (typeof coordinates[0] === "number") yield coordinates as LonLat;
  else for (const part of coordinates) yield* corners(part);
}

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

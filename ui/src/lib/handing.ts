/** Files that are handed in: in which order, and how the server is asked to read them. */

/** Ground first, for soil tests name its places and elevation is cut to it. */
const TURN = [/\.(geojson|json|kml|kmz|gpx|zip|gpkg)$/i, /\.csv$/i, /\.tiff?$/i];

export function inTurn<F extends { name: string }>(files: Iterable<F>): F[] {
  const turn = ({ name }: F): number => {
    const at = TURN.findIndex((ending) => ending.test(name));
    return at < 0 ? TURN.length : at;
  };
  return [...files].sort((a, b) => turn(a) - turn(b));
}

export interface Reading {
  /** The kind of what the file gives no kind; empty asks. */
  rest: string;
  /** The unit of an elevation that does not say it. */
  vertical: string;
  /** What a GeoTIFF holds, where it is no elevation. */
  holds: string;
}

export const rulesOf = ({ rest, vertical, holds }: Reading): Record<string, string> => ({
  ...(rest && { map: `*=${rest}` }),
  ...(vertical && { vertical_unit: vertical }),
  ...(holds && { holds }),
});
